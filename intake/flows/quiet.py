"""The hours of the night in which nobody is up in the room."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

from intake.flows.desk import Book
from intake.flows.notes import Notes
from intake.science.dose import DoseRequest
from intake.science.dose_time import lasts_h
from intake.science.treatment import Course

USUAL = "23-06"
"""Taken where none were set: common practice."""


def quiet_hours(text: str) -> tuple[time, time] | None:
    """Two hours as ``room set --quiet`` takes them; None for none."""
    if not text:
        return None
    first, _, last = text.partition("-")
    return time(int(first) % 24), time(int(last) % 24)


def attended(book: Book, request: DoseRequest, course: Course, notes: Notes) -> DoseRequest:
    """The request with the quiet hours, where it has to be ended at its hour."""
    if lasts_h(request, course) is None:
        return request
    text = book.facts.settings.get("quiet", "")
    if not text:
        notes.assume(f"quiet hours {USUAL}, none are set: intake room set --quiet 23-06")
    return replace(request, quiet=quiet_hours(text or USUAL), zone=book.facts.zone)
