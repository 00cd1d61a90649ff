"""What the water must be for a course, judged from dated readings at their harmful end."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from intake.science.course_parts import Source
from intake.science.figures import beyond, figure, time_text
from intake.science.limits import allowed
from intake.science.problem import Refused, Warn
from intake.science.treatment import Condition

_SECOND = timedelta(seconds=1)

_COUNTS_AS = {
    "measured": ("measured",),
    "estimated": ("measured", "estimated"),
    "witnessed": ("measured", "witnessed"),
}


@dataclass(frozen=True, slots=True)
class Reading:
    """One dated reading with its ends, in the quantity's own unit; None: that end is open."""

    value: Decimal | None
    low: Decimal | None
    high: Decimal | None
    at_utc: datetime
    evidence: str = "measured"  # "measured" | "estimated" | "witnessed"


def age_h(reading: Reading, now_utc: datetime) -> Decimal:
    """Hours since `reading` was taken, to the second."""
    return Decimal((now_utc - reading.at_utc) // _SECOND) / 3600


def judge_conditions(
    conditions: tuple[Condition, ...], readings: Mapping[str, Reading], now_utc: datetime
) -> tuple[Warn, ...]:
    """The warnings of the soft conditions, once every hard one is met.

    A reading with a band is judged at its harmful end: both ends have to lie inside. A soft
    condition warns when its reading is missing, stale or outside.

    Raises
    ------
    Refused
        The first hard condition broken: all ``reading-missing`` before any ``reading-stale``,
        those before any ``out-of-condition``.
    """
    for judge in (_known, _fresh, _inside):
        for condition in conditions:
            if condition.hard:
                judge(condition, readings, now_utc)
    return tuple(
        warning
        for condition in conditions
        if not condition.hard and (warning := _soft(condition, readings, now_utc)) is not None
    )


def broken_conditions(
    conditions: tuple[Condition, ...], readings: Mapping[str, Reading], now_utc: datetime
) -> tuple[Refused, ...]:
    """Every hard condition that does not hold, at most one refusal each."""
    broken = (_first_broken(c, readings, now_utc) for c in conditions if c.hard)
    return tuple(refusal for refusal in broken if refusal is not None)


def _first_broken(
    condition: Condition, readings: Mapping[str, Reading], now_utc: datetime
) -> Refused | None:
    try:
        for judge in (_known, _fresh, _inside):
            judge(condition, readings, now_utc)
    except Refused as refusal:
        return refusal
    return None


def _soft(condition: Condition, readings: Mapping[str, Reading], now_utc: datetime) -> Warn | None:
    broken = _first_broken(condition, readings, now_utc)
    if broken is None:
        return None
    text = condition.text or str(broken)
    return Warn(
        condition.warning or broken.code, text if text == str(broken) else f"{text}: {broken}"
    )


def _known(condition: Condition, readings: Mapping[str, Reading], _now: datetime) -> None:
    reading = readings.get(condition.quantity)
    if reading is None or reading.evidence not in _COUNTS_AS[condition.evidence]:
        raise Refused(
            "reading-missing",
            f"{condition.quantity} has to be {condition.evidence} before this course",
            unit=condition.unit,
            source=condition.source.text,
            way_out=f"read {condition.quantity}, at most {figure(condition.max_age_h)} h before",
        )


def _fresh(condition: Condition, readings: Mapping[str, Reading], now_utc: datetime) -> None:
    name = condition.quantity
    refuse_stale(name, readings[name], condition.max_age_h, condition.source, now_utc)


def refuse_stale(
    name: str, reading: Reading, max_age_h: Decimal, source: Source, now_utc: datetime
) -> None:
    """Nothing, where the reading is young enough [h].

    Raises
    ------
    Refused
        ``reading-stale``.
    """
    age = age_h(reading, now_utc)
    if not allowed(age, None, max_age_h):
        raise Refused(
            "reading-stale",
            f"{name} was read {time_text(age)} ago",
            limit=float(max_age_h),
            value=float(age),
            unit="h",
            source=source.text,
            way_out=f"read {name} again",
        )


def _inside(condition: Condition, readings: Mapping[str, Reading], _now: datetime) -> None:
    reading = readings[condition.quantity]
    for end, low, high in (
        (reading.low, condition.low, None),
        (reading.high, None, condition.high),
    ):
        limit = low if low is not None else high
        if limit is None or (end is not None and allowed(end, low, high)):
            continue
        side = "at least" if low is not None else "at most"
        read = "is not known on that side" if end is None else f"may be {beyond(end, limit, 6)}"
        other = reading.high if low is not None else reading.low
        sure = other is not None and not allowed(other, low, high)
        raise Refused(
            "out-of-condition",
            f"{condition.quantity} has to be {side} {figure(limit)} {condition.unit}".rstrip()
            + f" and {read}"
            + ("" if sure else "; the kit cannot decide, a finer reading would"),
            limit=float(limit),
            value=None if end is None else float(end),
            unit=condition.unit,
            source=condition.source.text,
            way_out=condition.text or f"bring {condition.quantity} inside first, or wait",
        )
