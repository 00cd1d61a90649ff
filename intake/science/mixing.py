"""Treatments that never meet in the same water, nor on the same fish within days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from intake.science.figures import figure, time_text
from intake.science.limits import allowed
from intake.science.problem import Refused, Warn
from intake.science.treatment import NeverMix

TRACE = {"mg/L": Decimal("0.005"), "uL/L": Decimal("0.1"), "g/L": Decimal("0.1")}
"""Up to this much of the other treatment counts as gone. Common practice: under a twentieth of
the weakest dose in each unit; tap water itself holds up to 0.1 g/L of salts."""
SECONDS_A_DAY = 86_400


@dataclass(frozen=True, slots=True)
class Present:
    """Another treatment in this water: the high end of what is left, in `unit`.

    `planned` is true where it is not there yet but is to go in together with the dose.
    """

    treatment: str
    high: Decimal
    unit: str
    planned: bool = False


@dataclass(frozen=True, slots=True)
class Recent:
    """Another treatment this water, or fish now in it, met; `where` names the water."""

    treatment: str
    at_utc: datetime
    where: str = ""


@dataclass(frozen=True, slots=True)
class Clash:
    """A pair that meets, and how it does."""

    pair: NeverMix
    other: str
    text: str
    value: Decimal
    unit: str


def clashes(
    treatment: str,
    pairs: tuple[NeverMix, ...],
    present: tuple[Present, ...],
    recent: tuple[Recent, ...],
    now_utc: datetime,
) -> tuple[Clash, ...]:
    """Every pair of which `treatment` is one and the other is here, planned, or within its days.

    A pair's `first` or `second` may be ``any``: every other treatment.
    """
    found: list[Clash] = []
    for there in present:
        for pair in _pairs(treatment, there.treatment, pairs):
            if there.planned:
                text = f"{there.treatment} is to go in with it"
            elif not allowed(there.high, None, TRACE.get(there.unit, Decimal(0))):
                text = f"up to {figure(there.high)} {there.unit} of {there.treatment} is left here"
            else:
                continue
            found.append(Clash(pair, there.treatment, text, there.high, there.unit))
    for met in recent:
        days = Decimal(int((now_utc - met.at_utc).total_seconds())) / SECONDS_A_DAY
        for pair in _pairs(treatment, met.treatment, pairs):
            if pair.days > 0 and not allowed(days, pair.days, None):
                place = f" in {met.where}" if met.where else ""
                text = f"{met.treatment} was given{place} {time_text(days * 24)} ago"
                found.append(Clash(pair, met.treatment, text, days, "d"))
    return tuple(found)


def refusal(clash: Clash) -> Refused:
    """The hard clash as a refusal."""
    wait = f"wait until {figure(clash.pair.days)} days have passed" if clash.pair.days else "wait"
    return Refused(
        "never-mix",
        f"{clash.text}: {clash.pair.why}",
        limit=float(clash.pair.days) if clash.unit == "d" else None,
        value=float(clash.value),
        unit=clash.unit,
        source=clash.pair.source.text,
        way_out=f"{wait}, or change the water until none of it is left",
    )


def judge_mixing(found: tuple[Clash, ...]) -> tuple[Warn, ...]:
    """The soft clashes as warnings ``sources-disagree``.

    Raises
    ------
    Refused
        ``never-mix`` for the first hard one.
    """
    for clash in found:
        if clash.pair.hard:
            raise refusal(clash)
    return tuple(
        Warn("sources-disagree", f"{clash.text}: {clash.pair.why} ({clash.pair.source.text})")
        for clash in found
    )


def _pairs(treatment: str, other: str, pairs: tuple[NeverMix, ...]) -> list[NeverMix]:
    if treatment == other:
        return []
    return [
        pair
        for pair in pairs
        if _is(pair.first, treatment, pair.second, other)
        or _is(pair.second, treatment, pair.first, other)
    ]


def _is(mine: str, treatment: str, theirs: str, other: str) -> bool:
    return mine in (treatment, "any") and theirs in (other, "any")
