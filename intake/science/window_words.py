"""Why a window of doses is where it is, and why a treatment cannot serve it, in words."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from intake.science.figures import figure, time_text
from intake.science.parasite import Parasite
from intake.science.water_days import WaterDays

if TYPE_CHECKING:
    from intake.science.parasite_windows import Pace


def between(values: list[float]) -> str:
    """Temperatures as one figure, or from the lowest to the highest [C].

    >>> between([20.0, 18.5, 20.0]), between([20.0])
    ('18.5 to 20 C', '20 C')
    """
    low, high = figure(round(min(values), 1)), figure(round(max(values), 1))
    return f"{low} C" if low == high else f"{low} to {high} C"


def lows(first: date, last: date, water: WaterDays) -> str:
    """The lows of the known days from the first to the last."""
    return between([e[0] for e in _ends(first, last, water)])


def highs(first: date, last: date, water: WaterDays) -> str:
    """The highs of the known days from the first to the last."""
    return between([e[1] for e in _ends(first, last, water)])


def _ends(first: date, last: date, water: WaterDays) -> list[tuple[float, float]]:
    days = [first + timedelta(n) for n in range((last - first).days + 1)]
    found = [e for e in map(water.on, days) if e is not None]
    return found or [e for e in (water.ahead,) if e is not None]


def hatched(
    parasite: Parasite, start: date, last: date, hatch: date, close: date, water: WaterDays
) -> str:
    """Why a window against eggs opens and closes when it does."""
    title = parasite.title
    layer = (close - last).days + 1
    after = "" if last == start and hatch <= close else f" after the dose of {last.isoformat()}"
    lays = f"the first new one may lay from day {layer}{after}, at {highs(last, close, water)}"
    if hatch > close:
        return (
            f"{title}: the last egg hatches {hatch.isoformat()} only, at "
            f"{lows(start, hatch, water)}, and {lays}: one dose more between them"
        )
    if last >= hatch:
        return f"{title}: the eggs of the start have hatched; once more, before {lays}"
    days = (hatch - start).days
    return (
        f"{title}: the last egg has hatched by day {days} after the dose of {start.isoformat()}, "
        f"at {lows(start, hatch, water)}; {lays}"
    )


def covered(
    parasite: Parasite, start: date, reach: int, until: date | None, water: WaterDays
) -> str:
    """Why a dose without a gap is due, and how long it goes on."""
    every = "every day" if reach == 1 else f"every {reach} days"
    if until is None:
        here = water.ahead
        at = "" if here is None else f" at {between([here[0]])}"
        return f"{parasite.title}: {every}; it is not known to go through its cycle{at}: no end"
    cycles = figure(parasite.cycles)
    many = "a cycle is" if parasite.cycles == 1 else f"{cycles} cycles are"
    days = (until - start).days
    return (
        f"{parasite.title}: {every} without a gap, since only what swims free is reached; {many} "
        f"over in {days} days, {until.isoformat()}, at {lows(start, until, water)}"
    )


def cannot(parasite: Parasite, pace: Pace, last: date, close: date, water: WaterDays) -> str:
    """Why a treatment cannot give the dose that has to be in by `close`; "" where it can."""
    days = (close - last).days
    if pace.least_d <= days:
        return ""
    at = highs(last, close, water)
    needed = f"against {parasite.title.lower()} the next dose is due within {_days(days)} there"
    rule = f"it is not given again within {time_text(pace.least_d * 24)}"
    return f"{pace.title} cannot cover {at}: {needed}, and {rule}"


def held_back(pace: Pace, wanted: date, again: date) -> str:
    """What the treatment's own shortest time between two doses puts off; "" where nothing."""
    if again <= wanted:
        return ""
    least = time_text(pace.least_d * 24)
    return f"; not before {again.isoformat()}: {pace.title} is not given again within {least}"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def counted(start: date, water: WaterDays) -> tuple[str, ...]:
    """What was taken for days nobody read, past and to come."""
    said = []
    days = [start + timedelta(n) for n in range((water.last - start).days + 1)]
    unread = [d for d in days if water.on(d) is None]
    if unread and water.warmest_c is not None:
        many = "1 day was" if len(unread) == 1 else f"{len(unread)} days were"
        said.append(
            f"{many} not read, the first {unread[0].isoformat()}: eggs and cold stages are given "
            f"nothing for it, what grows up the warmest known day, {figure(water.warmest_c)} C"
        )
    if water.ahead is not None:
        low, high = water.ahead
        said.append(
            f"days from {(water.last + timedelta(1)).isoformat()} on are taken like the last "
            f"known one, {between([low, high])}"
        )
    return tuple(said)
