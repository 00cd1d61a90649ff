"""How much salt a salt step takes: for a volume that is guessed, or a vessel of the room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from intake.flows.desk import Book, Desk, at_work
from intake.flows.dose_asking import Asking
from intake.flows.doses import request_for, treatment_named
from intake.flows.facts.things import KeptTool, Vessel
from intake.flows.facts.volumes import litres
from intake.flows.later_doses import book_then
from intake.flows.notes import Notes
from intake.flows.salt_courses import course_now
from intake.flows.usage import Usage
from intake.science.dosing import most_amount
from intake.science.figures import figure
from intake.science.meter import PPM, THERMOMETER_C, USUAL_ERROR, half_of, read_error, read_meter
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, read_quantity
from intake.science.spread import Size
from intake.science.volume.salt_needed import GOAL_SHARE, Meter, meter_fault, salt_needed

STEP_G = Decimal(1)
"""Step of a scale nobody named [g]; common practice for a kitchen scale."""
UNITS = {"salt": "g/L", PPM: PPM, "conductivity": "uS/cm"}


def needed_anywhere(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The answer of `intake volume salt-needed` without a room.

    Raises
    ------
    Usage, Unreadable, Refused
        Where it cannot be asked so, cannot be read, or nothing may go in.
    """
    if "about" not in typed:
        raise Usage("volume salt-needed needs --about or --vessel, and --before")
    notes = Notes()
    about = _read(typed, "about", "volume")
    low_l, high_l = float(about.low or 0), float(about.high or 0)
    meter = _meter(typed, notes)
    most_g, limit = None, None
    if "limit" in typed:
        limit = float(_read(typed, "limit", "salt").value or 0)
        notes.assume("all that the meter reads now counts as salt there already")
        most_g = max(0.0, limit - meter.there_g_l()) * low_l
    step = _step(typed, notes, None)
    answer = _answer(high_l, meter, most_g, step, notes)
    volume = {"volume_l": float(about.value or 0), "volume_l_low": low_l, "volume_l_high": high_l}
    return {**answer, "limit_g_l": limit, "most_g": most_g, **volume, **notes.as_keys()}


def needed_in_room(desk: Desk, typed: Mapping[str, Any]) -> dict[str, Any]:
    """The answer for a vessel of the room: its water, its salt, its fish and their limit.

    Raises
    ------
    Usage, Unreadable, Refused, RoomTrouble
        As `needed_anywhere`, and where a dose of salt would be refused.
    """
    with at_work(desk) as book:
        return needed_in(book.trusted(), typed)


def needed_in(book: Book, typed: Mapping[str, Any]) -> dict[str, Any]:
    """`needed_in_room` inside a unit of work that is open already."""
    vessel = book.facts.find(str(typed["vessel"]), ("vessel",), book.now)
    if isinstance(vessel, Problem):
        raise Unreadable(vessel.placed("--vessel"))
    assert isinstance(vessel, Vessel)
    system = book.facts.system_of(vessel)
    treatment = treatment_named(book.shelf, "salt")
    course = treatment.course(course_now(book, system, book.now))
    assert course is not None
    ask = Asking({"vessel": vessel.name}, book.now, book.shelf, book_then(book, book.now, None))
    request = request_for(ask, treatment, course)
    meter = _meter(typed, ask.notes)
    if request.already is not None:
        ask.notes.assume("all that the meter reads now counts as salt there already")
        met = replace(request.already, high=max(request.already.high, meter.there_g_l()))
        request = replace(request, already=met)
    most, limit, source = most_amount(request)
    volume, low, high = litres(vessel)
    step = _step(typed, ask.notes, book)
    answer = _answer(high, meter, float(most), step, ask.notes)
    already = 0.0 if request.already is None else request.already.high
    ask.notes.because.append(f"hard limit {figure(limit)} g/L: {source}")
    ends = {"volume_l": volume, "volume_l_low": low, "volume_l_high": high}
    where = {"limit_g_l": float(limit), "most_g": float(most), "already_g_l_high": already}
    return {**answer, **where, **ends, **ask.notes.as_keys()}


def _read(typed: Mapping[str, Any], name: str, kind: str) -> Quantity:
    found = read_quantity(str(typed[name]), kind)
    if isinstance(found, Problem):
        raise Unreadable(found.placed(f"--{name}"))
    return found


def _meter(typed: Mapping[str, Any], notes: Notes) -> Meter:
    if "before" not in typed:
        raise Usage("volume salt-needed needs --before: the reading now")
    before = read_meter(str(typed["before"]))
    if isinstance(before, Problem):
        raise Unreadable(before.placed("--before"))
    error = USUAL_ERROR
    if "meter" in typed:
        read = read_error(str(typed["meter"]))
        if isinstance(read, Problem):
            raise Unreadable(read.placed("--meter"))
        if read.unit not in ("", before.canonical):
            text = f"--meter is in {read.unit}, the reading in {before.canonical}"
            raise Unreadable(Problem("wrong-kind", text, "write both in one", "--meter"))
        error = read
    half, said = half_of(before, error)
    if "meter" not in typed:
        notes.assume(said or "the reading after is taken to 2 %, common practice")
    factor = _read(typed, "factor", "number") if "factor" in typed else None
    temp = _read(typed, "temp", "temperature") if "temp" in typed else None
    meter = Meter(
        {"g/L": "salt", PPM: PPM}.get(before.canonical, "conductivity"),
        Size(float(before.value or 0), half),
        error,
        None if factor is None else Size(float(factor.value or 0), float(factor.half or 0)),
        None if temp is None else Size(float(temp.value or 0), float(temp.half or THERMOMETER_C)),
    )
    wrong = meter_fault(meter)
    if wrong is not None:
        raise Unreadable(wrong.placed(wrong.path.replace("--before-temp", "--temp")))
    return meter


def _step(typed: Mapping[str, Any], notes: Notes, book: Book | None) -> Decimal:
    named = str(typed["tool"]) if "tool" in typed else None
    kept = list(book.facts.of_kind(KeptTool)) if book is not None else []
    tool = next((t.step for t in kept if t.name == named), named)
    if tool is None:
        notes.assume("weighed in whole grams")
        return STEP_G
    found = read_quantity(tool, "mass")
    if isinstance(found, Problem):
        raise Unreadable(found.placed("--tool"))
    return Decimal(found.value or 0)


def _answer(
    high_l: float, meter: Meter, most_g: float | None, step: Decimal, notes: Notes
) -> dict[str, Any]:
    found = salt_needed(high_l, meter, most_g, step)
    notes.assume("the salt curve itself adds 2 %" if meter.sort != "salt" else "salt is pure")
    grams, goal = figure(found.salt_g), f"{GOAL_SHARE * 100:.0f} %"
    reaches = f"{figure(found.reaches * 100, 3)} %"
    if not found.enough:
        notes.warn(
            "volume-doubtful", f"{goal} cannot be reached here: {grams} g reaches {reaches}"
        )
    notes.because.append(
        f"{grams} g raises {figure(high_l, 4)} L by {figure(found.rise_g_l, 3)} g/L; the volume "
        f"is then known to {reaches}"
    )
    return {
        "salt_g": float(found.salt_g),
        "rise_g_l": found.rise_g_l,
        "reaches_percent": found.reaches * 100,
        "enough": found.enough,
        "after": found.after,
        "after_unit": UNITS[meter.sort],
    }
