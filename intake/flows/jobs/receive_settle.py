"""The end of receiving: the fish of a bag get names in a vessel, and its quarantine begins."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from intake.flows.desk import Book, Desk, at_work
from intake.flows.drags import drags_in
from intake.flows.facts.things import System, Vessel
from intake.flows.forms.every import FORMS
from intake.flows.jobs.receive_bag import OnHand, destination, living, on_hand
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import clock_text, day_text
from intake.flows.notes import Notes
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import checks_of
from intake.flows.record import Said, record_in
from intake.flows.views.parts import Recorded
from intake.science.counters import counters
from intake.science.problem import Problem, Unreadable

PLAN = "standard"
NOT_SAID = "variety not said"
"""Stands for the variety where names come later."""
ALIKE = ("variety", "mass", "length", "stage", "sex", "marks", "hatched")
"""What may be said of all fish of a bag at once."""


def settle(desk: Desk, box: str, bag: int, vessel: str, typed: Mapping[str, str]) -> Recorded:
    """The fish of a bag into a vessel: all of it is kept, or nothing.

    Parameters
    ----------
    typed
        ``alive`` and ``dead`` as counted at the end; ``fish`` names with commas between them,
        or ``group`` and ``count`` (a group of every living fish, called after the bag, where
        nothing is said); ``variety``, ``mass`` and what else a fish is recorded with, the same
        for all.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    with at_work(desk, write=True) as book, as_unreadable():
        it = on_hand(book, box, bag)
        if not vessel.strip():
            found = destination(book, it)
            vessel = found.name if found is not None else vessel
        given = {k: v.strip() for k, v in typed.items() if v.strip()}
        counted = _counted(book, it, given)
        if counted is not None and given.get("alive") == "0":
            return _recorded(book, [counted], "none of them lived")
        it = on_hand(book, box, bag)
        answers = [_placed(book, it, vessel, kind, one) for kind, one in _named(it, given)]
        there = book.facts.find(vessel, ("vessel",), book.now)
        assert isinstance(there, Vessel)
        system = book.facts.system_of(there)
        if system.quarantine is None:
            answers.append(_keep(book, "quarantine", {"system": system.name, "plan": PLAN}))
        said = _day_0(book, book.facts.systems[system.id])
        names = ", ".join(str(a["name"]) for a in answers if "name" in a)
        return _recorded(book, answers, f"{names} in {vessel}", said)


def _recorded(
    book: Book, answers: list[dict[str, Any]], text: str, next_text: str = ""
) -> Recorded:
    warnings = [w["text"] for a in answers for w in a["warnings"]]
    warnings += [f"{d['system']}: {_with_days(d)}" for a in answers for d in a.get("drags_in", ())]
    return Recorded(
        answers[0]["entry"] or 0,
        clock_text(book, book.now),
        text,
        next_text=next_text,
        warnings=tuple(dict.fromkeys(warnings)),
    )


def _counted(book: Book, it: OnHand, given: Mapping[str, str]) -> dict[str, Any] | None:
    """The last count, as the bag is emptied; None where nobody says."""
    counts = {k: given[k] for k in ("alive", "dead") if k in given}
    if not counts:
        return None
    if "fish" not in it.bag.content and all(n.isdecimal() for n in counts.values()):
        counts["fish"] = str(sum(int(n) for n in counts.values()))
    return _keep(book, "bag", {"box": it.box_name, "bag": str(it.bag.number), **counts})


def _named(it: OnHand, given: Mapping[str, str]) -> list[tuple[str, dict[str, str]]]:
    """One form for each fish or group that is named."""
    alike = {"variety": NOT_SAID} | {k: v for k, v in given.items() if k in ALIKE}
    names = [n.strip() for n in re.split(r"[,\n]", given.get("fish", "")) if n.strip()]
    found = [("fish", {"name": n, **alike}) for n in names]
    here = given.get("alive") or str(living(it.bag) or 0)
    left = int(here) - len(names) if here.isdecimal() else 0
    count = given.get("count") or str(max(0, left))
    if "group" in given or not names:
        name = given.get("group") or f"{it.shipment.name} bag {it.bag.number}"
        if count == "0":
            text = "how many fish are in this bag?"
            raise Unreadable(Problem("not-a-number", text, "count them, or name each", "--count"))
        found.append(("group", {"name": name, "count": count, **alike}))
    return found


def _placed(book: Book, it: OnHand, vessel: str, kind: str, one: dict[str, str]) -> dict[str, Any]:
    typed = {**one, "box": it.box_name, "bag": str(it.bag.number), "into": vessel}
    return {**_keep(book, kind, typed), "name": one["name"]}


def _keep(book: Book, kind: str, typed: dict[str, str]) -> dict[str, Any]:
    answer = record_in(book, FORMS[kind], typed, Said())
    book.take_in()
    return answer


def _day_0(book: Book, system: System) -> str:
    """``quarantine day 0 is Wed 25 Nov, earliest release Fri 25 Dec, set by ...``."""
    day_0 = counters(facts_of(book, system), book.now).day_0
    if day_0 is None:
        return ""
    found = checks_of(book, system)
    release = found.earliest_release
    text = f"{system.name}: quarantine day 0 is {day_text(day_0)}"
    if release is None:
        return text
    return f"{text}, earliest release {day_text(release)}, set by {found.decided_by}"


def dragged(book: Book, it: OnHand, vessel: Vessel) -> tuple[str, ...]:
    """What putting the fish in there drags in, both dates of it; nothing is written."""
    box = it.box.id if it.box is not None else 0
    found = drags_in(book, vessel, it.shipment.seller, Notes(), when=book.now, box=box)
    return tuple(f"{d['system']}: {_with_days(d)}. {d['because']}." for d in found)


def what_if(book: Book, it: OnHand, vessel: Vessel) -> str:
    """What putting the fish in there would do, before they are lifted in."""
    found = dragged(book, it, vessel)
    if found:
        return " ".join(found)
    system = book.facts.system_of(vessel)
    running = system.quarantine
    if running is None:
        return f"a quarantine of plan {PLAN} begins on {system.name} with them; day 0 is today."
    return f"they are part of the quarantine of {system.name}, plan {running.plan}."


def _with_days(found: Mapping[str, Any]) -> str:
    what = str(found["what"])
    for key in ("day_0_was", "day_0", "earliest_release_was", "earliest_release"):
        text = str(found.get(key, ""))
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            what = what.replace(text, day_text(date.fromisoformat(text)))
    return what
