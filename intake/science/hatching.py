"""When eggs hatch: the warmth they gathered, as degree-days above a threshold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil, floor
from zoneinfo import ZoneInfo

from intake.science.day_temperatures import day_temperatures
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.plan import Hatching, Step
from intake.science.quarantine import QuarantineFacts

WATCHED_DAYS = (2, 14)
"""From and to which day eggs are watched where no window can be worked out [d]: 46 to 54 h at
28.9 C, 14 days at the most. Battle 1940, Ohio J Sci 40:82."""
LONGEST_DAYS = 60
"""How far ahead a window is looked for [d]; at the coldest it is known for it takes a fifth."""


@dataclass(frozen=True, slots=True)
class HatchWindow:
    """Days after laying between which eggs hatch [d], and the warmth gathered so far [C d].

    `first` is the earliest, by the highest of each day, `last` the latest, by the lowest.
    `unknown` counts past days of which nothing is known, taken as the last known before them.
    """

    first: float
    last: float
    gathered: float = 0.0
    unknown: int = 0


def hatch_days(rule: Hatching, cold_c: float, warm_c: float) -> HatchWindow | None:
    """The window in water between two temperatures [C], the same every day.

    None outside the water the rule is known for: no number is better than a wrong one.
    """
    if not all(allowed(t, rule.low_c, rule.high_c) for t in (cold_c, warm_c)):
        return None
    above = float(rule.above_c)
    return HatchWindow(float(rule.least) / (warm_c - above), float(rule.most) / (cold_c - above))


def hatch_window(rule: Hatching, days: Sequence[tuple[float, float] | None]) -> HatchWindow | None:
    """The window from the lowest and highest [C] of each day since laying, today last.

    A day nothing is known of is taken as the one before it, those to come as the last known.
    None where nothing is known at all or the water left what the rule is known for.
    """
    known = [d for d in days if d is not None]
    if not known:
        return None
    here, above = known[0], float(rule.above_c)
    slow = fast = gathered = 0.0
    first: float | None = None
    for n in range(LONGEST_DAYS):
        here = (days[n] if n < len(days) else None) or here
        if not all(allowed(t, rule.low_c, rule.high_c) for t in here):
            return None
        low, high = here[0] - above, here[1] - above
        if first is None and not allowed(fast + high, None, rule.least):
            first = n + (float(rule.least) - fast) / high
        if not allowed(slow + low, None, rule.most):
            last = n + (float(rule.most) - slow) / low
            return HatchWindow(first or last, last, gathered, days.count(None))
        slow, fast = slow + low, fast + high
        gathered += (low + high) / 2 if n < len(days) else 0.0
    return None


def hatching_step(facts: QuarantineFacts, day_0: date, now_utc: datetime) -> Step | None:
    """Watching for the first to hatch, as a step of the plan; None where it has no eggs' rule."""
    rule = facts.plan.hatching
    if rule is None:
        return None
    today = max(day_0, now_utc.astimezone(ZoneInfo(facts.time_zone)).date())
    last = min(today, day_0 + timedelta(LONGEST_DAYS))
    read = day_temperatures(
        facts.temperatures, facts.time_zone, day_0, last, now_utc, facts.night_drop_c
    )
    found = hatch_window(rule, [None if d is None else (d.low_c, d.high_c) for d in read])
    return watch_step(rule, found)


def watch_step(rule: Hatching, found: HatchWindow | None) -> Step:
    """The step for a window, or for the days eggs are watched where there is none."""
    warmth = f"{figure(rule.least)} to {figure(rule.most)} degree-days"
    if found is None:
        first, last = WATCHED_DAYS
        told = (
            f"no day is worked out: the water is not known or left {figure(rule.low_c)} to "
            f"{figure(rule.high_c)} C; incubate in 20 to 24 C"
        )
    else:
        # Sums of days are off by the last bit: a whole day stays one.
        first, last = floor(round(found.first, 6)), ceil(round(found.last, 6))
        told = f"{warmth} above {figure(rule.above_c)} C"
        told += f", {figure(found.gathered, 3)} gathered" if found.gathered else ""
        told += f"; {found.unknown} days not read, taken as before" if found.unknown else ""
    return Step(
        id="hatching",
        kind="review",
        task="Watch for the first to hatch; count the hatchlings, take out shells and dead eggs; "
        "then record measure NAME --stage hatchlings",
        from_day=first,
        to_day=last,
        source=rule.source,
        because=f"{told}; counted from day 0, eggs laid before it hatch sooner",
        short="watch for hatching",
        only_where="eggs-in-water",
    )
