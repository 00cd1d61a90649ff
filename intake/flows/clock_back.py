"""A machine whose clock is behind the record: set back, or begun anew by an empty battery."""

from __future__ import annotations

from datetime import timedelta

from intake.clock import shown
from intake.flows.desk import Book
from intake.flows.notes import Notes

SLACK = timedelta(minutes=2)
"""Two machines on one room may differ by this much. Common practice."""


def behind(book: Book) -> str:
    """What is wrong with the clock, "" where the newest entry is not later than now."""
    last = book.facts.last
    if last is None or book.now >= last[0] - SLACK:
        return ""
    newest = shown(last[0], book.facts.zone)
    return f"the newest entry is of {newest}, later than the clock now"


def warn_if_behind(book: Book, notes: Notes) -> Notes:
    """Adds `clock-back` where the clock is behind the newest entry."""
    if said := behind(book):
        notes.warn("clock-back", said)
    return notes
