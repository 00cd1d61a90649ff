"""What a day's feed is, from what was written down of the last days."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.flows.facts import Facts
from intake.flows.facts.happened import FeedFact
from intake.flows.facts.things import Vessel
from intake.science.figures import figure

DAYS = 7
"""Whole days before today that a day's feed is worked out from. Common practice: a week of
feeding has its fasting days in it."""

PROTEIN_SHARE = 0.45
"""Protein in feed nobody read the label of: the high end of feeds, common practice."""


@dataclass(frozen=True, slots=True)
class Feeding:
    """What goes in a day [g] and its protein (0 to 1), with what was assumed of it."""

    grams_a_day: float
    protein_share: float
    assumed: tuple[str, ...] = ()


def feeding(facts: Facts, vessels: Iterable[Vessel], now: datetime) -> Feeding | None:
    """A day's feed of these vessels together; None where none was written down this week.

    The mean of the whole days since the first feed, or what went in today where that is more
    already. What was not eaten rots in the water and counts alike.
    """
    today = now.astimezone(facts.zone).date()
    since = today - timedelta(days=DAYS)
    days: dict[date, float] = {}
    given: list[FeedFact] = []
    for feed in (f for v in vessels for f in v.feeds if f.at <= now):
        day = feed.at.astimezone(facts.zone).date()
        if day >= since:
            days[day] = days.get(day, 0.0) + feed.amount_g
            given.append(feed)
    if not given:
        return None
    so_far = days.pop(today, 0.0)
    mean = sum(days.values()) / (today - min(days)).days if days else 0.0
    protein, said = _protein(given)
    how = f"feed: {figure(max(mean, so_far), 3)} g a day, by what was written down"
    return Feeding(max(mean, so_far), protein, (how, *said))


def _protein(given: list[FeedFact]) -> tuple[float, tuple[str, ...]]:
    """The protein of all of it by weight; the high end of feeds where nobody read a label."""
    said: tuple[str, ...] = ()
    if any(f.protein_share is None for f in given):
        said = (
            f"protein not written down: {figure(PROTEIN_SHARE * 100)} %, the high end of feeds",
        )
    grams = sum(f.amount_g for f in given)
    shares = sum(
        f.amount_g * (PROTEIN_SHARE if f.protein_share is None else f.protein_share) for f in given
    )
    return (shares / grams if grams else PROTEIN_SHARE), said
