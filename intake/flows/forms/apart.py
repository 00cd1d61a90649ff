"""Forms for a vessel taken out of a shared water and let in again, and for waters that touch."""

from __future__ import annotations

from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.steps.apart import may_part
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import added, bare, litres, water_of
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import AThing, Choice
from intake.flows.forms.water import VESSEL
from intake.flows.later_doses import book_then
from intake.flows.residues import level_of, substances
from intake.science.figures import figure
from intake.science.ledger import Residue
from intake.science.show import show

TOUCHES = ("air", "splash", "tools")


def _then(f: Filling) -> tuple[Book, Vessel, System]:
    """The room, the vessel and its water as they were just before."""
    named = f.thing("vessel")
    book = book_then(f.book, f.when, f.entry)
    vessel = book.facts.things.get(named.id)
    if not isinstance(vessel, Vessel):
        book, vessel = f.book, f.book.facts.vessel(named.id)
    return book, vessel, book.facts.system_of(vessel)


def _isolate(f: Filling) -> None:
    book, vessel, system = _then(f)
    if f.get("rejoin"):
        _rejoin(f, book, vessel, system)
        return
    if vessel.left:
        home = book.facts.water_now(vessel.left).name
        text, hint = f"{vessel.name} is isolated from {home} already", "--rejoin lets it in again"
        f.fault("out-of-range", "VESSEL", text, hint)
    elif not may_part(system):
        text = f"{vessel.name} shares its water with nothing"
        f.fault("out-of-range", "VESSEL", text, "a vessel of a system of several")
    f.stop_if_faulty()
    rest = [book.facts.vessel(v) for v in system.vessels if v != vessel.id]
    own, left = litres(bare(vessel)), water_of(system, rest)
    f.answer |= {
        "system": vessel.name if vessel.name != system.name else f"{vessel.name} alone",
        "left": system.name,
        "volume_l": own[0], "volume_l_low": own[1], "volume_l_high": own[2],
        "rest_l": left[0], "rest_l_low": left[1], "rest_l_high": left[2],
        "residue": _levels(book, system, f),
    }  # fmt: skip
    f.notes.because.append(
        f"{vessel.name} alone is {show(own[0], 'L')}; {show(left[0], 'L')} stay in {system.name}, "
        "each with what is dissolved in it and with the clock it has"
    )
    if system.connected:
        f.notes.because.append(f"sump and pipe water stays with {system.name}")


def _levels(book: Book, system: System, f: Filling) -> list[dict[str, Any]]:
    return [
        {"treatment": s.treatment, "now": s.level.now, "low": s.level.low, "high": s.level.high,
         "unit": s.unit}
        for s in substances(book, system, f.when)
    ]  # fmt: skip


def _rejoin(f: Filling, book: Book, vessel: Vessel, apart: System) -> None:
    if not vessel.left:
        text = f"{vessel.name} is not isolated"
        f.fault("out-of-range", "VESSEL", text, "intake record isolate VESSEL takes it out first")
    f.stop_if_faulty()
    home = book.facts.systems[vessel.left]
    here = water_of(home, [book.facts.vessel(v) for v in home.vessels])
    own = litres(vessel)
    both = added((here, own))
    names = {s.treatment: s.unit for w in (home, apart) for s in substances(book, w, f.when)}
    mixed = []
    for name, unit in names.items():
        one, other = (level_of(book, w, name, f.when) for w in (home, apart))
        level = _blend(one, here[0], other, own[0])
        mixed.append({
            "treatment": name, "before": one.now, "let_in": other.now, "now": level, "unit": unit,
        })  # fmt: skip
        f.notes.because.append(
            f"{name}: {figure(one.now, 4)} {unit} in {show(here[0], 'L')} and "
            f"{figure(other.now, 4)} in {show(own[0], 'L')} make {figure(level, 4)} {unit}"
        )
    f.answer |= {
        "system": home.name,
        "volume_l": both[0], "volume_l_low": both[1], "volume_l_high": both[2],
        "residue": mixed,
        "drags_in": _drags(f, book, vessel, home, apart),
    }  # fmt: skip
    _unread(f, home, apart)


def _blend(one: Residue, one_l: float, other: Residue, other_l: float) -> float:
    both_l = one_l + other_l
    return (one.now * one_l + other.now * other_l) / both_l if both_l > 0 else 0.0


def _unread(f: Filling, home: System, apart: System) -> None:
    """Says which readings do not hold for the mixture."""
    names = {*home.readings, *apart.readings}
    lost = sorted(n for n in names if n == "ph" and home.readings.get(n) != apart.readings.get(n))
    if lost:
        f.notes.assume("the pH of the mixture is not the mean of two: it has to be read again")


def _drags(
    f: Filling, book: Book, vessel: Vessel, home: System, apart: System
) -> list[dict[str, Any]]:
    """Which clocks and fish it drags in when the waters are one again."""
    facts = book.facts
    found: list[dict[str, Any]] = []

    def tell(system: System, what: str, because: str) -> None:
        found.append({"system": system.name, "what": what, "because": because})
        f.notes.because.append(f"{system.name}: {what}: {because}")

    here = sum(a.count for a in facts.occupants(home.vessels))
    there = sum(a.count for a in facts.occupants([vessel.id]))
    came = [a for a in apart.arrivals if a.at >= apart.since]
    if home.quarantine is None and apart.quarantine is not None and here:
        what = f"{here} fish there are in quarantine again"
        tell(home, what, f"{vessel.name} is not released yet and its water comes in")
    if home.quarantine is not None and apart.quarantine is None and there:
        what = f"{there} fish of {vessel.name} are in its quarantine again"
        tell(home, what, f"{home.name} is not released yet")
    if home.quarantine is not None and came and here:
        last = max(a.at for a in came)
        what = f"day 0 becomes {facts.local(last)} for the {here} fish there"
        tell(home, what, f"fish came into {vessel.name} while it was isolated")
    return found


def _link(f: Filling) -> None:
    first, second = f.thing("a"), f.thing("b")
    facts = f.book.facts
    if first.id == second.id:
        text = f"{first.name} and {second.name} are one water"
        f.fault("out-of-range", "B", text, "a link is between two waters")
    by, ended = f.get("by"), bool(f.get("ended"))
    open_ = any(
        x.until is None and x.by == by and x.entry != f.entry
        and {facts.water_now(s).id for s in x.systems} == {first.id, second.id}
        for x in facts.links
    )  # fmt: skip
    if ended and not open_:
        text = f"{first.name} and {second.name} are not linked by {by}"
        f.fault("out-of-range", "--ended", text, "intake room show lists the links")
    if open_ and not ended:
        text = f"{first.name} and {second.name} are linked by {by} already"
        f.fault("out-of-range", "--by", text, "--ended ends it")
    f.stop_if_faulty()
    f.answer |= {"a": first.name, "b": second.name, "by": by, "ended": ended}
    if not ended:
        f.notes.because.append("a link is watched: it shares no water and restarts no clock")


FORMS = (
    Form(
        "isolate",
        "a vessel taken out of a water it shares, or let in again",
        (VESSEL, Field("rejoin", Choice(("yes",)), "its water is let in again", flag=True)),
        _isolate,
    ),
    Form(
        "link",
        "two waters that touch without sharing water",
        (
            Field("a", AThing(("system",)), "vessel or water system", True, True),
            Field("b", AThing(("system",)), "the other one", True, True),
            Field("by", Choice(TOUCHES), "what goes from one to the other", required=True),
            Field("ended", Choice(("yes",)), "they touch no longer", flag=True),
        ),
        _link,
    ),
)
