"""The shipped parasites, and waters of chosen days for them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.parasite import Parasite
from intake.science.parasite_windows import ANY_PACE, Pace, repeats
from intake.science.water_days import Ends, WaterDays, steady

SHIPPED: dict[str, Parasite] = dict(load_shelf([shipped_protocols()])[0].parasites)
DAY_0 = date(2026, 3, 1)


def day(n: int) -> date:
    return DAY_0 + timedelta(n)


def water(*days: Ends | float | None) -> WaterDays:
    """A water from day 0 on; one figure is low and high of a day."""
    ends = tuple((d, d) if isinstance(d, int | float) else d for d in days)
    return WaterDays(DAY_0, ends)


def windows(
    parasite: str,
    known: WaterDays,
    given: Sequence[int] = (0,),
    pace: Pace = ANY_PACE,
    today: int = 0,
) -> list[tuple[int, int]]:
    """From and to of each dose to come, in days after day 0."""
    found = repeats(SHIPPED[parasite], [day(n) for n in given], known, pace, day(today))
    return [((w.from_day - DAY_0).days, (w.to_day - DAY_0).days) for w in found.windows]


def at(parasite: str, low_c: float, high_c: float | None = None) -> list[tuple[int, int]]:
    """The windows after one dose in water that stays so."""
    return windows(parasite, steady(DAY_0, low_c, low_c if high_c is None else high_c))
