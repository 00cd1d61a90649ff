"""A wait in hours over which the clocks change: the hours count, and both times are told."""

from __future__ import annotations

from datetime import datetime

from intake.clock import utc_offset
from intake.flows.desk import Book
from intake.science.figures import figure


def over_change(book: Book, since: datetime, until: datetime) -> str:
    """Words that tell both times, for instance of 24 h from Sat 10:00 to Sun 09:00; "" else."""
    facts = book.facts
    if utc_offset(since, facts.zone) == utc_offset(until, facts.zone):
        return ""
    hours = (until - since).total_seconds() / 3600
    return (
        f"; {figure(hours)} h from {facts.local(since)} is {facts.local(until)}: the clocks "
        "change between"
    )
