"""A file read for its preview is not read again to be recorded, while nobody changed it."""

from __future__ import annotations

import os
from datetime import datetime
from zoneinfo import ZoneInfo

from intake.flows.imports.logger import HowRead, Logged, read_logger
from intake.flows.imports.opened import Progress

_Mark = tuple[str, int, int, int, HowRead, str, datetime]
_kept: dict[_Mark, tuple[datetime, Logged]] = {}


def logged_file(
    path: str,
    said: HowRead,
    where: ZoneInfo,
    since: datetime,
    now: datetime,
    progress: Progress | None = None,
) -> Logged:
    """What `read_logger` says of a file, kept for the last file read.

    Raises
    ------
    Unreadable
        As `read_logger`.
    """
    mark = _mark(path, said, where, since)
    if mark is not None and mark in _kept and _kept[mark][0] <= now:
        return _kept[mark][1]
    found = read_logger(path, said, where, since, now, progress)
    _kept.clear()
    if mark is not None and mark == _mark(path, said, where, since):
        _kept[mark] = (now, found)
    return found


def _mark(path: str, said: HowRead, where: ZoneInfo, since: datetime) -> _Mark | None:
    try:
        info = os.lstat(path)
    except (OSError, ValueError):
        return None
    return (path, info.st_ino, info.st_mtime_ns, info.st_size, said, str(where), since)
