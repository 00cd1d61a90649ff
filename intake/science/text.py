"""Names and notes that people type, and text made harmless for a terminal or a page."""

from __future__ import annotations

import unicodedata

from intake.science.problem import Problem

NAME_LENGTH = 40
NOTE_LENGTH = 2000
MARKS_IN_A_ROW = 3
"""Combining marks; more of them pile up over the lines above and below."""

_NOT_IN_NAMES = "/,:#"
_UNSHOWABLE = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})
# Letters and marks that are drawn as nothing although Unicode does not class them as format.
_INVISIBLE = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")

_LOOKALIKES = str.maketrans(
    # Cyrillic, then Greek: folded to small letters, judged by the capital where the two differ
    "авсԁеѕіјкӏмнорԛтухһԝзь" + "αβεζηικμνορτυχω",
    "abcdesijklmhopqtyxhw3b" + "abezhikmnoptyxw",
)


def _not_a_character(char: str) -> bool:
    code = ord(char)
    return code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF


def inert(text: str) -> str:
    """The text with everything that could act made visible.

    Control characters become control pictures; format, private, surrogate and separator
    characters become U+FFFD.
    """
    return "".join(_inert(char) for char in text)


def _inert(char: str) -> str:
    code = ord(char)
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "\u2421"
    if unicodedata.category(char) in _UNSHOWABLE or _not_a_character(char):
        return "\ufffd"
    return char


def quoted(text: str, longest: int = NAME_LENGTH) -> str:
    """The text between quotes for a message, inert, its beginning only where it is long."""
    shown = inert(text[:longest])
    return f"'{shown}'" if len(text) <= longest else f"'{shown}...'"


def character_name(char: str) -> str:
    """What to call one character in a message: ``U+202E right-to-left override``."""
    known = unicodedata.name(char, "").lower()
    if not known and unicodedata.category(char) == "Cc":
        known = "control character"
    return f"U+{ord(char):04X} {known}".strip()


def first_unshowable(text: str) -> int | None:
    """Index of the first character that cannot be shown as itself, or None."""
    for at, char in enumerate(text):
        if (
            unicodedata.category(char) in _UNSHOWABLE
            or char in _INVISIBLE
            or _not_a_character(char)
        ):
            return at
    return None


def _first_pile(text: str) -> int | None:
    row = 0
    for at, char in enumerate(text):
        row = row + 1 if unicodedata.category(char) in ("Mn", "Me", "Mc") else 0
        if row > MARKS_IN_A_ROW:
            return at
    return None


def _refuse(text: str, why: str, hint: str, at: int = 0) -> Problem:
    return Problem("out-of-range", f"{quoted(text)} {why}", hint, column=at + 1)


def _unfit(text: str) -> Problem | None:
    at = first_unshowable(text)
    if at is not None:
        what = character_name(text[at])
        return _refuse(text, f"holds {what} at character {at + 1}", "plain letters only", at)
    at = _first_pile(text)
    if at is not None:
        why = f"piles more than {MARKS_IN_A_ROW} marks on one letter at character {at + 1}"
        return _refuse(text, why, f"at most {MARKS_IN_A_ROW} marks on a letter", at)
    return None


def read_name(text: str) -> str | Problem:
    """A name fit to be stored, in NFC with outer blanks off, or why not.

    At most 40 characters, no ``/ , : #``, no dash in front, nothing that cannot be seen.
    """
    unfit = _unfit(text)
    if unfit is not None:
        return unfit
    name = unicodedata.normalize("NFC", text).strip()
    if not name:
        return Problem("out-of-range", "a name is needed", "write a name")
    if len(name) > NAME_LENGTH:
        why = f"has {len(name):,} characters"
        return _refuse(name, why, f"a name has at most {NAME_LENGTH}", NAME_LENGTH)
    if name.startswith("-"):
        return _refuse(name, "begins with a dash", "begin with a letter or figure")
    at = next((i for i, char in enumerate(text) if char in _NOT_IN_NAMES), None)
    if at is not None:
        why = f"holds {text[at]!r} at character {at + 1}"
        return _refuse(text, why, "names do not hold / , : #", at)
    if not any(unicodedata.category(char)[0] in "LNS" for char in name):
        return _refuse(name, "has no letter or figure in it", "use a letter or a figure")
    return name


def read_note(text: str) -> str | Problem:
    """A note in NFC with outer blanks off, or why not; at most 2,000 characters, one paragraph."""
    if len(text) > NOTE_LENGTH:
        return Problem(
            "out-of-range",
            f"the note has {len(text):,} characters",
            f"a note has at most {NOTE_LENGTH:,}; nothing was cut",
            column=NOTE_LENGTH + 1,
        )
    unfit = _unfit(text)
    if unfit is not None:
        return unfit
    return unicodedata.normalize("NFC", text).strip()


def twin_key(name: str) -> str:
    """The same for names too alike to tell apart on a tub.

    Case, compatibility forms, blanks, and Cyrillic or Greek letters drawn like Latin ones do
    not count.
    """
    key = name
    for _ in range(2):
        key = unicodedata.normalize("NFKC", key).casefold()
    key = key.translate(_LOOKALIKES)
    key = "".join(c for c in key if unicodedata.category(c) not in _UNSHOWABLE)
    return unicodedata.normalize("NFC", " ".join(key.split()))
