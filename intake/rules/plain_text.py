"""Bytes -> text: UTF-8 only, without characters that cannot be seen."""

from __future__ import annotations

import codecs
import re

from intake.science.problem import Problem

_HIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff]"
)
_LEADING_TAB = re.compile(r"^[ \t]*\t", re.MULTILINE)

_NAMES = {
    "\x00": "a zero character (is this UTF-16?)",
    "\x1b": "an escape character",
    "\ufeff": "a byte-order mark in the middle of the text",
}


def decode(content: bytes, path: str) -> str | Problem:
    """The text of UTF-8 bytes with plain line ends; a byte-order mark in front is dropped."""
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return Problem("not-text", "the file is UTF-16", "save it as UTF-8", path)
    body = content.removeprefix(codecs.BOM_UTF8)
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        before = body[: error.start]
        line = before.count(b"\n") + 1
        shown = before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")
        what = f"a byte that is not UTF-8 (0x{body[error.start]:02x})"
        return Problem("not-text", what, "save it as UTF-8", path, line, len(shown) + 1)
    return text.replace("\r\n", "\n").replace("\r", "\n")


def find_forbidden(text: str, path: str) -> list[Problem]:
    """Hidden characters and tabs used to indent: the first of each on a line, at most twenty."""
    found: list[Problem] = []
    for match in _HIDDEN.finditer(text):
        char = match.group()
        what = _NAMES.get(char, f"a hidden character, code {ord(char)},")
        found.append(_at(text, match.start(), f"{what} is not read", "delete it", path))
        if char == "\x00":
            return found
        if len(found) == 20:
            break
    for match in _LEADING_TAB.finditer(text):
        what, hint = "a tab was used to indent", "use spaces"
        found.append(_at(text, match.end() - 1, what, hint, path))
        if len(found) >= 40:
            break
    return sorted(found, key=lambda p: (p.line, p.column))


def _at(text: str, offset: int, what: str, hint: str, path: str) -> Problem:
    line = text.count("\n", 0, offset) + 1
    column = offset - (text.rfind("\n", 0, offset) + 1) + 1
    return Problem("not-text", what, hint, path, line, column)
