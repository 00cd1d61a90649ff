"""A preventive course the keeper chose when the quarantine began, as a step of the plan."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from intake.science.figures import figure, time_text
from intake.science.plan import Preventive, Step

if TYPE_CHECKING:
    from intake.science.schedule import Run


@dataclass(frozen=True, slots=True)
class Chosen:
    """A treatment chosen as a preventive course.

    `met_utc` are the times these fish met it, `not_before_h` the hours that have to pass after
    one [h], `repeat` its own rule for the doses after the first in words, `caution` the first
    caution of its protocol.
    """

    treatment: str
    title: str
    entry: int
    met_utc: tuple[datetime, ...] = ()
    not_before_h: Decimal | None = None
    repeat: str = ""
    caution: str = ""


def preventive_step(chosen: Chosen, offer: Preventive, run: Run) -> Step:
    """The first dose as a step of one run of the plan.

    It is asked for no sooner than the treatment may be given again after what the fish met
    before this run.
    """
    before = [at for at in chosen.met_utc if at < run.began_utc]
    first, last, waits = offer.from_day, offer.to_day, ""
    if before and chosen.not_before_h is not None:
        again = max(before) + timedelta(hours=float(chosen.not_before_h))
        later = (again.date() - run.day_0).days + 1
        if later > first:
            first, last = later, max(last, later)
            wait = time_text(chosen.not_before_h)
            waits = f"not within {wait} of the dose of {max(before):%Y-%m-%d}"
    told = [
        f"chosen with entry {chosen.entry}, against {', '.join(offer.against)}",
        waits,
        chosen.repeat,
        offer.because,
        chosen.caution,
    ]
    return Step(
        id=f"preventive-{chosen.treatment}",
        kind="treatment",
        task=f"{chosen.title}, course {offer.course}, first dose",
        from_day=first,
        to_day=last,
        source=offer.source,
        because="; ".join(t.rstrip(".") for t in told if t),
        short=f"{chosen.treatment} first dose",
        only_where=offer.only_where,
        treatment=chosen.treatment,
    )


def offer_text(offer: Preventive, title: str) -> str:
    """An offer in a line: ``Praziquantel, course long-bath, day 4 to 6, against flukes``."""
    days = figure(offer.from_day) if offer.from_day == offer.to_day else ""
    days = days or f"{figure(offer.from_day)} to {figure(offer.to_day)}"
    return f"{title}, course {offer.course}, day {days}, against {', '.join(offer.against)}"
