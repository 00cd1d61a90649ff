"""What correcting shows: the entries of a subject, and what one of them says field by field."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One entry that may be corrected, the newest first."""

    entry: int
    when: str  # "08:10 today", "Mon 23 Nov 18:40"
    text: str  # "reading: temp 20.4 C, pH 8.7"
    void: bool = False


@dataclass(frozen=True, slots=True)
class EntryField:
    """One thing an entry says: its option, what it is called, the text it would be typed as."""

    name: str
    ask: str
    text: str


@dataclass(frozen=True, slots=True)
class EntryView:
    """One entry opened for a correction."""

    entry: int
    title: str
    fields: tuple[EntryField, ...]
