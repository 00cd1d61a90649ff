"""`dose` as a job: in a room, or from what was typed alone."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any

from intake.clock import Clock
from intake.flows.bottles import product_keys
from intake.flows.desk import Book, Desk, at_work, load_protocols
from intake.flows.directions import direction_keys, typed_by_drug
from intake.flows.dose_asking import Asking
from intake.flows.dose_recipes import feed_keys, stock_keys
from intake.flows.doses import course_meant, request_for, treatment_named, with_tool
from intake.flows.heating import raise_keys
from intake.flows.typed_volume import held_to_recorded
from intake.science.dose import DoseAnswer


def dose_in_room(desk: Desk, typed: Mapping[str, Any]) -> dict[str, Any]:
    """The dose for a vessel of the room, with everything the room knows of it.

    Raises
    ------
    Usage, Unreadable, Refused, RoomTrouble
        Where it cannot be worked out or must not be dosed.
    """
    with at_work(desk) as book:
        return _answered(typed, book=book.trusted(), shelf=book.shelf, now=book.now)


def dose_anywhere(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The dose for a volume or a mass of fish; no room is opened.

    Raises
    ------
    Usage, Unreadable, Refused
        As `dose_in_room`.
    """
    now = Clock().now()
    return _answered(typed, book=None, shelf=load_protocols(), now=now)


def _answered(
    typed: Mapping[str, Any], *, book: Book | None, shelf: Any, now: datetime
) -> dict[str, Any]:
    """The answer of `intake dose`: with a vessel from the room, else from what was typed alone."""
    ask = Asking(typed_by_drug(typed, book), now, shelf, book)
    treatment = treatment_named(shelf, str(ask.typed["treatment"]))
    course = course_meant(ask, treatment)
    if course.rate is not None:
        return raise_keys(request_for(ask, treatment, course), ask.notes)
    request = request_for(ask, treatment, course)
    answer = with_tool(ask, request)
    held_to_recorded(ask, request, answer)
    ask.notes.assumptions += [a for a in answer.assumptions if a not in ask.notes.assumptions]
    ask.notes.warnings += answer.warnings
    ask.notes.because += answer.because
    return {
        "title": answer.title,
        **dose_keys(answer),
        "feed": feed_keys(request, answer),
        "product": product_keys(ask.bottle),
        "direction": direction_keys(request.direction),
        **ask.notes.as_keys(),
    }


def dose_keys(a: DoseAnswer) -> dict[str, Any]:
    """The keys of the answer of `intake dose`."""

    def number(x: Decimal | None) -> float | None:
        return None if x is None else float(x)

    repeat: dict[str, Any] | None = None
    if a.repeat is not None:
        every = float(a.repeat.every_h)
        in_days = every >= 48 and every % 24 == 0
        repeat = {"every_d": every / 24} if in_days else {"every_h": every}
        repeat["times"] = a.repeat.times
        repeat["depends_on"] = list(a.repeat.depends_on)
    return {
        "treatment": a.treatment,
        "course": a.course,
        "target": number(a.target),
        "target_unit": a.target_unit,
        "basis": a.basis,
        "volume_l": number(a.volume_l),
        "volume_l_low": number(a.volume_l_low),
        "volume_l_high": number(a.volume_l_high),
        "already": a.already.now,
        "amount": number(a.amount),
        "amount_unit": a.amount_unit,
        "measured": number(a.measured),
        "steps": a.steps,
        "rounding_percent": number(a.rounding_percent),
        "result": number(a.result),
        "result_high": number(a.result_high),
        "low": number(a.low),
        "usual": number(a.usual),
        "high": number(a.high),
        "hard_limit": number(a.hard_limit),
        "hard_limit_source": a.hard_limit_source,
        "reaches": list(a.reaches),
        "repeat": repeat,
        "doses": [
            {"target": float(d.target), "at": d.at_utc.isoformat(), "amount": float(d.amount)}
            for d in a.doses
        ],
        "against": list(a.against),
        "cautions": list(a.cautions),
        "handling": list(a.handling),
        "before": list(a.before),
        "during": list(a.during),
        "after": list(a.after),
        "stop_signs": list(a.stop_signs),
        "stock": stock_keys(a.stock, a.title),
        "feed_g_per_kg": number(a.feed_g_per_kg),
        "protocol": {
            "path": a.protocol_path,
            "version": a.protocol_version,
            "sha256": a.protocol_sha256,
        },
    }
