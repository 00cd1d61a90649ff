"""A dose written down late, or again: what was there then, and what came after it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from intake.flows.desk import Book
from intake.flows.facts.things import System
from intake.flows.residues import ledger_of
from intake.science.dose import DoseRequest, JudgedDose
from intake.science.figures import beyond, figure
from intake.science.ledger import Dosed
from intake.science.limits import DIGITS, allowed
from intake.science.mixing import Recent
from intake.science.problem import Refused
from intake.science.residue import ahead


def book_then(book: Book, when: datetime, entry: int | None) -> Book:
    """The room as it was at that time, without the entry that is corrected."""
    last = book.facts.last
    if entry is None and (last is None or last[0] <= when):
        return book
    return book.as_of(when, entry)


def beside_later(system: System, request: DoseRequest) -> DoseRequest:
    """The request with the doses that came after it.

    It is as far from them as they are from it, so they count as if they lay as long before.
    """
    now, own = request.now_utc, request.treatment.id
    later = [(d.treatment, now - (d.at - now)) for d in system.doses if d.at > now]
    times = [at for name, at in later if name == own]
    if request.last_dose_utc is not None:
        times.append(request.last_dose_utc)
    others = tuple(Recent(name, at, system.name) for name, at in later if name != own)
    last = max(times, default=None)
    return replace(request, last_dose_utc=last, recent=request.recent + others)


def refuse_later(
    book: Book, system: System, request: DoseRequest, judged: JudgedDose, added: float
) -> None:
    """Nothing, where the water stays inside the hard limit from then until now.

    Parameters
    ----------
    added
        What the dose brings, in the course's unit times litres.

    Raises
    ------
    Refused
        over-hard-limit, with what went in after it.
    """
    when = request.now_utc
    times = {w.event.at_utc for w in system.water} | {d.at for d in system.doses} | {book.now}
    later = sorted(at for at in times if at > when)
    if not later:
        return
    unit = judged.target_unit
    ledger = ledger_of(book, system, request.treatment.id, unit=unit, read=True)
    with_it = replace(ledger, events=(*ledger.events, Dosed(when, added, added, added)))
    worst = max(level.high for level in ahead(with_it, later))
    if allowed(worst, None, judged.hard_limit):
        return
    raise Refused(
        "over-hard-limit",
        f"with what went in after it, it comes to {beyond(worst, judged.hard_limit)} {unit}; "
        f"the hard limit is {figure(judged.hard_limit, DIGITS)} {unit}",
        limit=float(judged.hard_limit),
        value=worst,
        unit=unit,
        source=f"protocol {request.treatment.id} {request.treatment.version}",
        way_out="change water now; what did go in is written down with: intake record given",
    )
