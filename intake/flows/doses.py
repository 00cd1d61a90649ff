"""Working out a dose: what was typed, what the room knows, and the science between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book
from intake.flows.dosed_water import room_request
from intake.flows.facts.things import KeptTool, System, Vessel
from intake.flows.later_doses import book_then
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.flows.strengths import stated, strength_of
from intake.flows.usage import Usage
from intake.science.conditions import Reading
from intake.science.dose import DoseAnswer, DoseRequest, WaterVolume
from intake.science.dosing import plan_dose
from intake.science.ledger import Residue
from intake.science.mixing import Present
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, in_unit, read_quantity
from intake.science.targets import STAGES
from intake.science.tools import Tool
from intake.science.treatment import Course, Treatment

STEP_SHARE = Decimal("0.01")
"""A tool is fine enough when one step is at most this share of the amount (common practice)."""
READINGS = {
    "temp": "temperature",
    "ph": "ph",
    "kh": "alkalinity",
    "gh": "hardness",
    "oxygen": "oxygen",
    "tan": "tan",
    "no2": "no2",
    "salt": "salt",
}


TYPED_OVER = ("volume", "fish_mass", "already", "strength", "stage")
"""What wins over the room where it is typed beside a vessel, and is named then."""


@dataclass(slots=True)
class Asking:
    """One dose being asked for: what was typed and what came of it."""

    typed: Mapping[str, Any]
    now: datetime
    shelf: Any
    book: Book | None = None
    notes: Notes = field(default_factory=Notes)
    problems: list[Problem] = field(default_factory=list)
    tool: Tool | None = None  # what the amount is measured with in the end

    def text(self, name: str) -> str | None:
        """What was typed for an option."""
        found = self.typed.get(name)
        return None if found is None else str(found)

    def quantity(self, name: str, kind: str, **how: Any) -> Quantity | None:
        """The quantity typed for an option; a problem is kept and None answered."""
        text = self.text(name)
        if text is None:
            return None
        comma = self.book.facts.comma if self.book else False
        found = read_quantity(text, kind, comma=comma, **how)
        if isinstance(found, Problem):
            self.problems.append(found.placed("--" + name.replace("_", "-")))
            return None
        return found

    def stop_if_faulty(self) -> None:
        """Raises Unreadable where problems were found."""
        if self.problems:
            raise Unreadable(*self.problems)


def treatment_named(shelf: Any, text: str) -> Treatment:
    """The treatment of that name.

    Raises
    ------
    Unreadable
        With the nearest names where there is none.
    """
    if text in shelf.treatments:
        found: Treatment = shelf.treatments[text]
        return found
    raise Unreadable(unknown(text, shelf.treatments, "a treatment").placed("TREATMENT"))


def course_named(treatment: Treatment, text: str | None) -> Course:
    """The course of that name, the first for None.

    Raises
    ------
    Unreadable
        With the names there are where there is none.
    """
    course = treatment.course(text)
    if course is None:
        names = [c.name for c in treatment.courses]
        raise Unreadable(unknown(text or "", names, "a course of it").placed("--course"))
    return course


def request_for(ask: Asking, treatment: Treatment, course: Course) -> DoseRequest:
    """The whole request, from what was typed and, with a vessel, from the room.

    Raises
    ------
    Usage, Unreadable
        Where nothing says what is dosed, or what was typed cannot be read.
    """
    base = DoseRequest(treatment, ask.now, course.name, never_mix=ask.shelf.never_mix)
    if ask.text("vessel") is not None:
        base = _from_room(ask, base, course)
    elif ask.text("volume") is None and ask.text("fish_mass") is None:
        raise Usage("give --vessel, --volume or --fish-mass")
    typed = _typed(ask, treatment, course)
    ask.stop_if_faulty()
    if ask.text("vessel") is not None:
        beside = [n for n in (*TYPED_OVER, *READINGS) if ask.text(n) is not None]
        for name in beside:
            option = name.replace("_", "-")
            ask.notes.assumptions.append(f"--{option} as typed, not what the room knows")
    if "readings" in typed:
        typed["readings"] = {**base.readings, **typed["readings"]}
    if "present" in typed:
        typed["present"] = base.present + typed["present"]
    return replace(base, **typed)


def _typed(ask: Asking, treatment: Treatment, course: Course) -> dict[str, Any]:
    found: dict[str, Any] = {}
    volume = ask.quantity("volume", "volume")
    if volume is not None:
        v, low, high = (
            Decimal(0) if end is None else end for end in (volume.value, volume.low, volume.high)
        )
        found["volume"] = WaterVolume(v, low, high)
        if volume.half is None:
            ask.notes.assumptions.append(f"volume {volume.text} taken as exact, as typed")
    mass = ask.quantity("fish_mass", "mass")
    if mass is not None:
        found["fish_mass_g"] = mass.value
    ration = ask.quantity("ration", "percent")
    if ration is not None:
        found["ration_percent"] = ration.value
    target = _concentration(ask, "target", course)
    if target is not None:
        found["target"] = target[0]
    already = _concentration(ask, "already", course, zero_ok=True)
    if already is not None:
        found["already"] = Residue(*map(float, already))
    if ask.text("strength") is not None:
        strength = strength_of(treatment, ask.text("strength") or "")
        if isinstance(strength, Problem):
            ask.problems.append(strength)
        else:
            found["strength"] = stated(strength)
    readings = {n: q for n, k in READINGS.items() if (q := ask.quantity(n, k)) is not None}
    if readings:
        found["readings"] = {
            n: Reading(q.value, q.low, q.high, ask.now) for n, q in readings.items()
        }
    stage = ask.text("stage")
    if stage is not None and stage not in STAGES:
        ask.problems.append(unknown(stage, STAGES, "a life stage").placed("--stage"))
    elif stage is not None:
        found["stages"] = (stage,)
    present = [p for text in ask.typed.get("with") or [] if (p := _with(ask, text)) is not None]
    if present:
        found["present"] = tuple(present)
    tool = tool_named(ask)
    if tool is not None:
        found["tool"] = tool
    return found


def _concentration(
    ask: Asking, name: str, course: Course, **how: Any
) -> tuple[Decimal, Decimal, Decimal] | None:
    """What was typed, with its low and high ends, in the course's unit."""
    if ask.text(name) is None:
        return None
    form = "w/v" if course.unit == "g/L" else None
    found = ask.quantity(name, "concentration", form=form, **how)
    if found is None:
        return None
    ends = (found.value, found.low, found.high)
    read = [in_unit(found if e is None else replace(found, value=e), course.unit) for e in ends]
    told = [end for end in read if not isinstance(end, Problem)]
    if len(told) < len(ends):
        ask.problems += [p.placed(f"--{name}") for p in read[:1] if isinstance(p, Problem)]
        return None
    return told[0], told[1], told[2]


def _with(ask: Asking, text: str) -> Present | None:
    name, colon, amount = text.partition(":")
    known = set(ask.shelf.treatments)
    for pair in ask.shelf.never_mix:
        known |= {pair.first, pair.second}
    wrong: Problem | None = None
    if name.strip() not in known:
        # A slip of the hand here would leave a pair unchecked that must never meet.
        wrong = unknown(name.strip(), known, "a treatment or a substance known here")
    elif not colon:
        hint = f"{name}:2 mg/L"
        wrong = Problem("unit-missing", f"'{text[:40]}' does not say how much", hint)
        wrong = wrong.placed("", column=len(text) + 1)
    if wrong is not None:
        ask.problems.append(wrong.placed("--with"))
        return None
    found = read_quantity(amount, "concentration", form="w/v")
    if isinstance(found, Problem):
        ask.problems.append(found.placed("--with", column=len(name) + 1 + found.column))
        return None
    return Present(name.strip(), Decimal(found.value or 0), found.canonical, planned=True)


def tool_named(ask: Asking) -> Tool | None:
    """The tool typed as a step ("0.1 g") or by its name in the room."""
    text = ask.text("tool")
    if text is None:
        return None
    if ask.book is not None:
        for kept in ask.book.facts.of_kind(KeptTool):
            if kept.name == text:
                return tool_of(kept)
    found = ask.quantity("tool", "amount")
    if found is None and ask.book is not None and text[:1].isalpha():
        ask.problems.pop()
        names = [t.name for t in ask.book.facts.of_kind(KeptTool)]
        ask.problems.append(unknown(text, names, "a tool").placed("--tool"))
    return None if found is None else Tool(text, Decimal(found.value or 0), found.canonical)


def tool_of(kept: KeptTool) -> Tool:
    """A recorded tool in the science's own shape."""
    found = read_quantity(kept.step, "amount")
    assert isinstance(found, Quantity)
    return Tool(kept.name, Decimal(found.value or 0), found.canonical)


def system_named(book: Book, text: str, option: str = "--vessel") -> System:
    """The water system a vessel or system of that name means.

    Raises
    ------
    Unreadable
        With the nearest names where there is none.
    """
    found = book.facts.find(text, ("vessel", "system"), book.now)
    if isinstance(found, Problem):
        raise Unreadable(found.placed(option))
    return (
        book.facts.system_of(found) if isinstance(found, Vessel) else book.facts.systems[found.id]
    )


def _from_room(ask: Asking, base: DoseRequest, course: Course) -> DoseRequest:
    book = ask.book
    assert book is not None
    system = system_named(book, ask.text("vessel") or "")
    then = book_then(book, base.now_utc, None)
    return room_request(then, then.facts.systems[system.id], base, course, ask.notes)


def with_tool(ask: Asking, request: DoseRequest) -> DoseAnswer:
    """The dose worked out, measured with the tool asked for or the one that fits best.

    Raises
    ------
    Refused
        As `plan_dose`.
    """
    ask.tool = request.tool
    if request.tool is not None or ask.book is None or ask.text("vessel") is None:
        return plan_dose(request)
    exact = plan_dose(request)
    tools = [tool_of(t) for t in ask.book.facts.of_kind(KeptTool)]
    fitting = sorted(
        (t for t in tools if t.unit == exact.amount_unit), key=lambda t: t.step, reverse=True
    )
    if not fitting or not exact.amount:
        return exact
    fine = [t for t in fitting if t.step <= exact.amount * STEP_SHARE]
    chosen = fine[0] if fine else fitting[-1]
    ask.tool = chosen
    ask.notes.assumptions.append(f"measured with {chosen.name}")
    return plan_dose(replace(request, tool=chosen))
