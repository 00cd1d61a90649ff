"""When eggs hatch: the warmth they gathered, as degree-days above a threshold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from intake.science.limits import allowed
from intake.science.plan import Hatching


@dataclass(frozen=True, slots=True)
class HatchDays:
    """Days from laying to the first and the last that hatch [d]."""

    first: float
    last: float


def hatch_days(rule: Hatching, cold_c: float, warm_c: float) -> HatchDays | None:
    """Days until hatching in water between two temperatures [C]: the earliest at the warm one.

    Returns
    -------
    HatchDays or None
        None outside the water the rule is known for: no number is better than a wrong one.
    """
    if not all(allowed(t, rule.low_c, rule.high_c) for t in (cold_c, warm_c)):
        return None
    above = float(rule.above_c)
    return HatchDays(float(rule.least) / (warm_c - above), float(rule.most) / (cold_c - above))


@dataclass(frozen=True, slots=True)
class HatchWindow:
    """The days on which eggs laid on a day hatch by the water they were in, and what is unknown.

    `unknown` counts days with no reading, taken at the last one known; `outside` says that the
    water left what the rule is known for, so that no day is told.
    """

    first: date | None
    last: date | None
    gathered: float
    unknown: int = 0
    outside: bool = False


def hatch_window(
    rule: Hatching, laid: date, means_c: Mapping[date, float], today: date, assumed_c: float | None
) -> HatchWindow:
    """The window from daily means [C] by local date; days without one are at the last known.

    `assumed_c` [C] is the water before the first reading, None where nothing is known of it.
    """
    warmth, unknown, here = 0.0, 0, assumed_c
    first: date | None = None
    day = laid
    for n in range(WATCHED_DAYS):
        day = laid + timedelta(n)
        if day in means_c:
            here = means_c[day]
        elif day <= today:
            unknown += 1
        if here is None or not allowed(here, rule.low_c, rule.high_c):
            return HatchWindow(None, None, warmth, unknown, outside=here is not None)
        warmth += here - float(rule.above_c)
        if first is None and not allowed(warmth, None, rule.least):
            first = day
        if not allowed(warmth, None, rule.most):
            break
    gathered = sum(means_c[d] - float(rule.above_c) for d in means_c if laid <= d <= today)
    return HatchWindow(first, day, gathered, unknown)


WATCHED_DAYS = 60
"""Days a window is looked for [d]; at the coldest the rule is known for it takes a fifth."""
