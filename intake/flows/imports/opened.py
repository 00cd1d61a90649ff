"""The lines of a file of any size up to a limit: never more of it in memory than one line."""

from __future__ import annotations

import hashlib
import os
import stat
from codecs import (
    BOM_UTF8,
    BOM_UTF16_BE,
    BOM_UTF16_LE,
    IncrementalDecoder,
    getincrementaldecoder,
)
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import BufferedReader, RawIOBase, TextIOWrapper
from pathlib import Path
from typing import IO, TYPE_CHECKING

from intake.science.problem import Problem, Unreadable

if TYPE_CHECKING:
    from _typeshed import WriteableBuffer

MOST_BYTES = 64 * 1024 * 1024
"""Largest file read [bytes]: two million rows of a logger. Common practice."""

LONGEST_LINE = 10_000
"""Characters in one line of it; more is no table. Common practice."""

_PIECE = 256 * 1024

Progress = Callable[[float], None]
"""Is told the share of the file read so far (0 to 1)."""


@dataclass(frozen=True, slots=True)
class Source:
    """A file as it was when it was looked through: its bytes' SHA-256 and how they are letters."""

    path: str
    bytes: int
    sha256: str
    encoding: str

    @property
    def name(self) -> str:
        """The last part of its path."""
        return Path(self.path).name


def look_through(path: str) -> Source:
    """Reads a file once, to know it again and to tell how its letters are written.

    Raises
    ------
    Unreadable
        not-a-file, where it cannot be opened or is a link, a folder, a pipe or a device; too-big;
        not-text, where it holds what no text does.
    """
    try:
        with os.fdopen(_open(path), "rb") as file:
            size, digest, first = 0, hashlib.sha256(), b""
            utf8, valid = getincrementaldecoder("utf-8")(), True
            while piece := file.read(_PIECE):
                first = first or piece[:4]
                size += len(piece)
                if size > MOST_BYTES:
                    raise _too_big(path, size)
                digest.update(piece)
                valid = valid and _decodes(utf8, piece)
    except (OSError, ValueError) as error:
        raise _not_read(path, error) from error
    return Source(path, size, digest.hexdigest(), _encoding(first, valid=valid))


def lines_of(source: Source, progress: Progress | None = None) -> Iterator[str]:
    """Its lines without their ends.

    Raises
    ------
    Unreadable
        Where a line is too long or holds what no text does, or the file is no longer the one
        that was looked through.
    """
    try:
        handle = _open(source.path)
    except (OSError, ValueError) as error:
        raise _not_read(source.path, error) from error
    with os.fdopen(handle, "rb") as raw:
        told = _Told(raw, source.bytes, progress)
        text = TextIOWrapper(BufferedReader(told, _PIECE), source.encoding, errors="replace")
        number = 0
        while line := text.readline(LONGEST_LINE + 1):
            number += 1
            if len(line) > LONGEST_LINE:
                what = f"the line has more than {LONGEST_LINE} characters"
                raise Unreadable(Problem("not-text", what, "a table", source.path, number))
            if "\0" in line:
                what = "the line holds a character of value 0: this is no text file"
                raise Unreadable(Problem("not-text", what, "save it as CSV", source.path, number))
            yield line.rstrip("\r\n")
        if told.digest.hexdigest() != source.sha256:
            what = "the file changed while it was read"
            raise Unreadable(Problem("not-a-file", what, "try again", source.path))


class _Told(RawIOBase):
    """A file whose bytes are hashed as they are read."""

    def __init__(self, raw: IO[bytes], size: int, progress: Progress | None) -> None:
        self._raw, self._size, self._progress = raw, max(size, 1), progress
        self._done = 0
        self.digest = hashlib.sha256()

    def readable(self) -> bool:
        return True

    def readinto(self, into: WriteableBuffer) -> int:
        piece = self._raw.read(len(memoryview(into)))
        self.digest.update(piece)
        memoryview(into)[: len(piece)] = piece
        self._done += len(piece)
        if self._progress is not None:
            self._progress(min(1.0, self._done / self._size))
        return len(piece)


def _open(path: str) -> int:
    before = os.lstat(path)
    if not stat.S_ISREG(before.st_mode):
        raise Unreadable(
            Problem("not-a-file", "this is no plain file", "name the file itself", path)
        )
    if before.st_size > MOST_BYTES:
        raise _too_big(path, before.st_size)
    flags = os.O_RDONLY
    for flag in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_BINARY"):
        flags |= getattr(os, flag, 0)
    return os.open(path, flags)


def _not_read(path: str, error: Exception) -> Unreadable:
    why = getattr(error, "strerror", None) or "this is not a file name"
    return Unreadable(Problem("not-a-file", f"cannot be read: {why}", path=path))


def _too_big(path: str, size: int) -> Unreadable:
    most = f"at most {MOST_BYTES // 1024**2} MB are read: cut it by months"
    return Unreadable(Problem("too-big", f"the file has {size // 1024**2} MB", most, path))


def _decodes(utf8: IncrementalDecoder, piece: bytes) -> bool:
    try:
        utf8.decode(piece)
    except UnicodeDecodeError:
        return False
    return True


def _encoding(first: bytes, *, valid: bool) -> str:
    """How the bytes are letters: by their mark, else UTF-8, else as Western loggers write."""
    if first.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return "utf-16"
    if first.startswith(BOM_UTF8):
        return "utf-8-sig"
    return "utf-8" if valid else "cp1252"
