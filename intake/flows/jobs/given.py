"""What went in already, whatever the limits say, and a treatment that is stopped."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.desk import Desk, at_work
from intake.flows.doses import system_named
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded
from intake.flows.record import Said, record
from intake.flows.residues import substances
from intake.flows.views.dose import DoseAsk
from intake.flows.views.parts import Recorded
from intake.science.show import show


def given(desk: Desk, ask: DoseAsk, typed: Mapping[str, str]) -> Recorded:
    """Writes down what went in; it is never refused by a limit, the ones it broke are answered.

    Parameters
    ----------
    ask
        Which treatment and course, and into which vessel.
    typed
        ``amount`` and ``why``; ``strength``, where the label is at hand.

    Raises
    ------
    Unreadable, RoomTrouble
        And then nothing is written.
    """
    form = {
        "system": ask.vessel,
        "treatment": ask.treatment,
        "course": ask.course or None,
        "amount": typed.get("amount"),
        "strength": typed.get("strength") or None,
    }
    with as_unreadable():
        answer = record(desk, "given", form, Said(why=typed.get("why")))
    text = f"{typed['amount']} of {ask.treatment} in {ask.vessel}, written down as given"
    first = "; ".join(answer["because"])
    return recorded(desk, answer, text, next_text=first)


def under_way(desk: Desk, vessel: str) -> tuple[tuple[str, str], ...]:
    """The treatments of a vessel's water: those of which something is left first."""
    with at_work(desk) as book:
        system = system_named(book, vessel)
        titles = {t.id: t.title for t in book.shelf.treatments.values()}
        left = {s.treatment: show(s.level.now, s.unit) for s in substances(book, system, book.now)}
        dosed = [d.treatment for d in reversed(system.doses)]
        names = dict.fromkeys([*left, *dosed])
        return tuple((n, f"{titles.get(n, n)}, {left.get(n, 'nothing left')}") for n in names)


def stop(desk: Desk, vessel: str, treatment: str, wash_out: bool) -> Recorded:
    """A treatment stopped; that is never held back.

    Raises
    ------
    Unreadable, RoomTrouble
        And then nothing is written.
    """
    typed = {"system": vessel, "treatment": treatment or None, "wash_out": wash_out or None}
    with as_unreadable():
        answer = record(desk, "stop", typed)
    washed = ", being washed out" if wash_out else ""
    text = f"{vessel}: {treatment or 'every treatment'} stopped{washed}"
    return recorded(desk, answer, text, next_text="; ".join(answer["because"]))
