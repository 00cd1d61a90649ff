"""How a treatment that is stopped leaves the water: what is there, and the changes it takes."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.things import System
from intake.flows.notes import Notes
from intake.flows.residues import substances
from intake.science.figures import figure
from intake.science.mixing import TRACE
from intake.science.problem import Unreadable

HALF = 0.5
"""The share of the water one change of a wash-out takes [0 to 1]: common practice, and the most
that is changed at once."""


def half_changes(high: float, unit: str) -> int:
    """How many changes of half the water bring `high` [`unit`] under what counts as gone.

    Two leave 25 %, as of any batch change.
    """
    trace = float(TRACE.get(unit, Decimal(0)))
    if not trace or high <= trace:
        return 0
    return math.ceil(math.log(high / trace) / -math.log(HALF))


def wash_out(book: Book, system: System, treatment: str | None, notes: Notes) -> list[Any]:
    """What of a treatment (None: of each) is in the water, and how it is taken out.

    Notes tell it. A protocol that cannot be read holds nothing back: then nothing is told.
    """
    try:
        return _told(book, system, treatment, notes)
    except Unreadable:
        notes.because.append("a protocol cannot be read: change half the water until it is gone")
        return []


def _told(book: Book, system: System, treatment: str | None, notes: Notes) -> list[Any]:
    found = []
    for s in substances(book, system, book.now):
        if treatment not in (None, s.treatment):
            continue
        changes = half_changes(s.level.high, s.unit)
        protocol = book.shelf.treatments.get(s.treatment)
        says = [protocol.wash_out, protocol.neutraliser] if protocol is not None else []
        found.append(
            {
                "treatment": s.treatment,
                "now": s.level.now,
                "low": s.level.low,
                "high": s.level.high,
                "unit": s.unit,
                "half_changes": changes,
            }
        )
        notes.because.append(
            f"up to {figure(s.level.high, 3)} {s.unit} of {s.treatment} is there: {changes} "
            f"changes of half the water leave a trace at most"
        )
        notes.because += [text for text in says if text]
    return found
