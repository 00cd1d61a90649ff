"""Bytes from a file: only a regular file, small enough, unchanged while it was read."""

from __future__ import annotations

import hashlib
import os
import stat
from dataclasses import dataclass
from pathlib import Path

from intake.science.problem import Problem

SIZE_MAX_BYTES = 256 * 1024
"""Largest protocol file [bytes]; the longest shipped one is a tenth of it (common practice)."""


@dataclass(frozen=True, slots=True)
class FileBytes:
    """What a file held, and the SHA-256 of exactly that."""

    path: str
    content: bytes
    sha256: str


def read_file(path: Path, shown: str | None = None) -> FileBytes | Problem:
    """The bytes of one protocol file, or why it is not read.

    A symbolic link, a folder, a pipe or a device is refused before anything is read; a file that
    changes while it is read is tried once more and then refused.
    """
    name = shown if shown is not None else str(path)
    for _ in range(2):
        try:
            read = _read_once(path, name)
        except OSError as error:
            return Problem("not-a-file", f"cannot be read: {error.strerror or error}", path=name)
        except ValueError:
            return Problem("not-a-file", "this is not a file name", path=name)
        if read is not None:
            return read
    return Problem(
        "not-a-file", "the file changed while it was read", "save it and try again", name
    )


def _read_once(path: Path, name: str) -> FileBytes | Problem | None:
    before = os.lstat(path)
    if not stat.S_ISREG(before.st_mode):
        return Problem(
            "not-a-file",
            f"this is {_kind_of(before.st_mode)}",
            "a protocol is a plain text file",
            name,
        )
    if before.st_size > SIZE_MAX_BYTES:
        return Problem(
            "too-big",
            f"the file has {before.st_size} bytes",
            f"at most {SIZE_MAX_BYTES} bytes are read",
            name,
        )
    flags = os.O_RDONLY
    for flag in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_BINARY"):
        flags |= getattr(os, flag, 0)
    handle = os.open(path, flags)
    try:
        opened = os.fstat(handle)
        content = _read_all(handle)
        closed = os.fstat(handle)
    finally:
        os.close(handle)
    after = os.lstat(path)
    if not _same(before, opened, closed, after) or len(content) != before.st_size:
        return None
    return FileBytes(name, content, hashlib.sha256(content).hexdigest())


def _read_all(handle: int) -> bytes:
    parts = bytearray()
    while len(parts) <= SIZE_MAX_BYTES:
        part = os.read(handle, SIZE_MAX_BYTES + 1 - len(parts))
        if not part:
            break
        parts += part
    return bytes(parts)


def _same(*seen: os.stat_result) -> bool:
    return len({(s.st_ino, s.st_dev, s.st_size, s.st_mtime_ns, s.st_mode) for s in seen}) == 1


def _kind_of(mode: int) -> str:
    if stat.S_ISLNK(mode):
        return "a link to another file"
    if stat.S_ISDIR(mode):
        return "a folder"
    if stat.S_ISFIFO(mode):
        return "a pipe"
    return "a device, not a file"
