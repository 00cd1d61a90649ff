"""Invented loggers' files and what is read from them."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from intake.flows.imports.logger import HowRead, Logged, read_logger
from intake.science.problem import Problem, Unreadable

LISBON = ZoneInfo("Europe/Lisbon")
SINCE = datetime(2025, 1, 1, tzinfo=UTC)
NOW = datetime(2026, 12, 1, tzinfo=UTC)


def read(
    text: str | bytes,
    *,
    where: ZoneInfo = LISBON,
    since: datetime = SINCE,
    now: datetime = NOW,
    **said: str,
) -> Logged:
    """A file of that text, read as the keeper says."""
    return _read(text, HowRead(**said), where, since, now)


def _read(
    text: str | bytes, said: HowRead, where: ZoneInfo, since: datetime, now: datetime
) -> Logged:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "log.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_logger(str(path), said, where, since, now)


def problems(text: str | bytes, **said: str) -> list[Problem]:
    """What is wrong with it."""
    try:
        found = _read(text, HowRead(**said), LISBON, SINCE, NOW)
    except Unreadable as unreadable:
        return list(unreadable.problems)
    raise AssertionError(f"it was read: {found}")


def days(found: Logged) -> list[tuple[str, float, float, int]]:
    """Day, low, high and rows."""
    return [(d.day.isoformat(), d.low_c, d.high_c, d.rows) for d in found.days]
