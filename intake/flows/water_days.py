"""The temperature of a water day by day, for what follows it by day: parasites and waits."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import System
from intake.flows.temperatures import temperatures
from intake.science.day_temperatures import BRIDGE_H, day_temperatures
from intake.science.water_days import WaterDays

LOOK_BACK_D = 14
"""How long before a day a reading still tells what its water is like [d]. Common practice."""


def water_days(book: Book, system: System, since: date) -> WaterDays:
    """The lows and highs from two weeks before a day up to today.

    Days behind the last reading are taken like the last known one as long as it is no older than
    a gap that counts as known; after that they are unknown, and only those to come are assumed.
    """
    facts, now = book.facts, book.now
    first, today = since - timedelta(LOOK_BACK_D), local_date(now, facts.zone)
    begins = datetime.combine(first - timedelta(2), time(), UTC)
    read = [t for t in temperatures(system, begins) if t.at_utc <= now]
    found = day_temperatures(
        read, facts.time_zone, first, max(today, first), now, facts.night_drop_c
    )
    days = [None if d is None else (d.low_c, d.high_c) for d in found]
    newest = max((t.at_utc for t in read), default=None)
    if newest is not None and now - newest <= timedelta(hours=BRIDGE_H):
        while days and days[-1] is None:
            days.pop()
    return WaterDays(first, tuple(days))
