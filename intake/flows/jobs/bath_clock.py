"""The clocks of the baths that run, as every screen shows them."""

from __future__ import annotations

from intake.flows.baths import running
from intake.flows.desk import Book
from intake.flows.views.parts import Timer


def bath_timers(book: Book) -> tuple[Timer, ...]:
    """Every bath that runs, for the banner of every screen."""
    return tuple(
        Timer("LIFT", f"{b.who}, {b.name}", b.ends.timestamp(), bath=b.id) for b in running(book)
    )
