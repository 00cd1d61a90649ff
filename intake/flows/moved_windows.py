"""What the temperatures measured since a dose did to the window of the next one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from intake.science.figures import figure
from intake.science.parasite import COVER, Parasite
from intake.science.parasite_windows import DoseWindow, Pace, repeats
from intake.science.problem import Refused
from intake.science.water_days import WaterDays


def moved(
    parasite: Parasite, given: Sequence[date], water: WaterDays, pace: Pace, window: DoseWindow
) -> tuple[date | None, str]:
    """The day a dose had by what was known of the water when the last one was given, and why.

    None and "" where it did not move, or where nothing was known then.
    """
    last = given[-1]
    then = water.known_by(last)
    try:
        before = repeats(parasite, given, then, pace)
    except Refused:
        return None, ""
    same = next((w for w in before.windows if w.number == window.number), None)
    taken = then.ahead
    if same is None or taken is None or same.from_day == window.from_day:
        return None, ""
    now, was = (window.from_day - last).days, (same.from_day - last).days
    what = f"{parasite.title}: dose {window.number} opens {_days(now)} after the last one, not "
    return same.day, f"{what}{was}: {_because(parasite, last, water, taken)}"


def _because(parasite: Parasite, last: date, water: WaterDays, taken: tuple[float, float]) -> str:
    """Which measured days differed from what was taken for them when the dose was given."""
    days = [last + timedelta(n) for n in range(1, (water.last - last).days + 1)]
    known = [e for e in map(water.on, days) if e is not None]
    unread = len(days) - len(known)
    low, high = taken
    told = []
    if colder := [e[0] for e in known if e[0] < low]:
        told.append(_count(len(colder), "night", "colder", low, f"down to {_c(min(colder))}"))
    if warmer := [e[0] for e in known if e[0] > low]:
        told.append(_count(len(warmer), "night", "warmer", low, f"up to {_c(max(warmer))}"))
    hotter = [e[1] for e in known if e[1] > high]
    if hotter and (parasite.rule == COVER or not told):
        told.append(_count(len(hotter), "day", "warmer", high, f"up to {_c(max(hotter))}"))
    if unread:
        told.append(f"{unread} {'day was' if unread == 1 else 'days were'} not read")
    return ", ".join(told) or "the water to come is taken like its newest day"


def _count(count: int, what: str, than: str, taken_c: float, most: str) -> str:
    many = f"1 {what} was" if count == 1 else f"{count} {what}s were"
    return f"{many} {than} than the {_c(taken_c)} then, {most}"


def _c(temp_c: float) -> str:
    return f"{figure(round(temp_c, 1))} C"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"
