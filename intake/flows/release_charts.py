"""The readings of a quarantine over its days, each beside what it should be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta

from intake.flows.desk import Book
from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import System
from intake.flows.judged_water import ends_of, nh3_ends, nitrite_ends, tests_of
from intake.flows.own_clock import spans
from intake.report.day_svg import DayChart, Point
from intake.science.band import Ends
from intake.science.day_temperatures import day_temperatures
from intake.science.figures import figure
from intake.science.quarantine import QuarantineFacts

BEFORE_DAYS = 7
"""Days before day 0 that are drawn where something was read on them [d]."""

Named = tuple[str, str, str]
"""The quantity of a target, what a chart calls it, and its unit."""
QUANTITIES: tuple[Named, ...] = (
    ("nh3_n", "NH3", "mg/L as N"),
    ("no2", "nitrite", "mg/L as NO2"),
    ("ph", "pH", ""),
)


def charts(
    book: Book, system: System, running: Quarantine, facts: QuarantineFacts, day_0: date
) -> tuple[DayChart, ...]:
    """Temperature, then every quantity that was read, from day 0 to now or to the release."""
    last = min(book.now, facts.released_utc or book.now)
    water = [_water(book, system, running, named, day_0, last) for named in QUANTITIES]
    return (_warmth(book, facts, day_0, last), *(c for c in water if c.points))


def _warmth(book: Book, facts: QuarantineFacts, day_0: date, last: datetime) -> DayChart:
    """The low, mean and high of every day that is known, and the plan's warm window."""
    zone = book.facts.zone
    end = last.astimezone(zone).date()
    read = [t for t in facts.temperatures if t.at_utc <= last]
    days = [t.at_utc.astimezone(zone).date() for t in read]
    first = max(min([day_0, *days]), day_0 - timedelta(BEFORE_DAYS))
    found = day_temperatures(read, facts.time_zone, first, end, last, facts.night_drop_c)
    points = tuple(
        Point((d.day - day_0).days + 0.5, d.low_c, d.mean_c, d.high_c) for d in found if d
    )
    rule = facts.plan.check("warm-days")
    low = None if rule is None or rule.low_c is None else float(rule.low_c)
    high = None if rule is None or rule.high_c is None else float(rule.high_c)
    target = "" if low is None or high is None else f"warm window {figure(low)} to {figure(high)}"
    ends = float((first - day_0).days), float((end - day_0).days + 1)
    name = "Temperature of each day"
    return DayChart(name, "C", day_0, *ends, points, low, high, target, joined_days=1)


def _water(
    book: Book,
    system: System,
    running: Quarantine,
    named: Named,
    day_0: date,
    last: datetime,
) -> DayChart:
    quantity, name, unit = named
    points = sorted(_points(book, system, running, quantity, day_0, last), key=lambda p: p.day)
    low, high = _target(book, system, quantity)
    told = "" if low is None else f"at least {figure(low)}"
    told += " and " if told and high is not None else ""
    told += "" if high is None else f"at most {figure(high)}"
    end = (last.astimezone(book.facts.zone).date() - day_0).days + 1
    first = min([0.0, *(float(p.day // 1) for p in points)])
    return DayChart(
        name, unit, day_0, first, float(end), tuple(points), low, high,
        f"target {told}" if told else "",
    )  # fmt: skip


def _points(
    book: Book,
    system: System,
    running: Quarantine,
    quantity: str,
    day_0: date,
    last: datetime,
) -> Iterator[Point]:
    midnight = datetime.combine(day_0, datetime.min.time(), book.facts.zone)
    for part in spans(book, system, running):
        for entry, at, read in tests_of(part.system, part.since):
            ends = {"nh3_n": nh3_ends, "no2": nitrite_ends}.get(
                quantity, lambda r: ends_of(r.get("ph"))
            )(read)
            own = [r for r in read.values() if r.entry == entry]
            if ends is None or not part.over(at, entry) or at > last:
                continue
            if quantity != "nh3_n" and not any(r.quantity == quantity for r in own):
                continue
            day = (at - midnight) / timedelta(1)
            if day >= -BEFORE_DAYS:
                yield _point(day, ends)


def _point(day: float, ends: Ends) -> Point:
    low = ends.value if ends.low is None else ends.low
    return Point(day, low, ends.value, ends.high)


def _target(book: Book, system: System, quantity: str) -> tuple[float | None, float | None]:
    """The strictest ends for what lives in the water."""
    stages: Iterable[str] = {a.stage for a in book.facts.occupants(system.vessels)} or {"adult"}
    limits = [x for s in stages if (x := book.shelf.water.limit(s, quantity)) is not None]
    lows = [float(x.low) for x in limits if x.low is not None]
    highs = [float(x.high) for x in limits if x.high is not None]
    return max(lows, default=None), min(highs, default=None)
