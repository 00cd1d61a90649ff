"""Every day of forty years in ten zones: no day number and no date of a task slips.

The program counts with `zoneinfo` and `datetime`. It is held against a count of days by the
Gregorian leap rule and the offsets published by IANA, read by another reader
(tests/published_offsets.py). A hundred thousand day counts by default, nine million in `full`.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache

import pytest

from intake import paths
from intake.rules.shelf import load_shelf
from intake.science.calendar import planned, tasks
from intake.science.counters import counters
from intake.science.plan import Plan, Step
from intake.science.quarantine import Arrival, Occupant, QuarantineFacts
from intake.science.restarts import local_day
from tests.published_offsets import DAY_S, Offsets, civil, day_number
from tests.science.quarantines import PLAN, step

ZONES = (
    "UTC",
    "Europe/Lisbon",
    "America/Sao_Paulo",  # no midnight on the first day of summer, until 2018
    "America/Santiago",  # the same, and it still changes
    "America/Havana",
    "Asia/Beirut",
    "Africa/Cairo",
    "Australia/Lord_Howe",  # changes by half an hour
    "Pacific/Apia",  # had no 30 December 2011
    "Pacific/Kiritimati",  # 14 hours east
)
FIRST, LAST = day_number(2000, 1, 1), day_number(2040, 12, 31)
SPAN = 60
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
DAILY = replace(
    PLAN,
    days=SPAN - 1,
    steps=(
        step("once", "weigh", 3, 3),
        step("every", "temperature", 0, None, every_days=1),
    ),
)
TIMED = replace(PLAN, steps=(step("clock", "look", 1, None, at=("02:30", "18:00")),))


def utc(second: int) -> datetime:
    return EPOCH + timedelta(seconds=second)


@cache
def dates() -> dict[int, date]:
    return {n: date(*civil(n)) for n in range(FIRST - 40, LAST + SPAN + 40)}


@cache
def offsets(zone: str) -> Offsets:
    return Offsets(zone)


@cache
def days(zone: str) -> dict[int, tuple[int, int]]:
    return offsets(zone).days()


def quarantine(zone: str, plan: Plan, began: datetime) -> QuarantineFacts:
    return QuarantineFacts(
        system="North",
        start_entry=5,
        started_utc=began,
        plan=plan,
        time_zone=zone,
        arrivals=(Arrival(began, 10, "Ada"),),
        present=(Occupant("Ada"),),
    )


def changing(zone: str) -> list[int]:
    """Days of these years that are not 24 hours long, or follow one that was left out."""
    known = days(zone)
    return [
        day
        for day in range(FIRST, LAST + 1)
        if day in known and (known[day][1] - known[day][0] + 1 != DAY_S or day - 1 not in known)
    ]


def starts(zone: str, wanted: int) -> list[int]:
    """So many first days: spread over the years, and as many within 60 days of a change."""
    chance = random.Random(zone)
    spread = chance.sample(range(FIRST, LAST + 1), wanted)
    changes = changing(zone)
    if changes:
        near = [chance.choice(changes) - chance.randrange(SPAN) for _ in range(wanted // 2)]
        spread[: len(near)] = [max(FIRST, n) for n in near]
    return [n for n in spread if n in days(zone)]


def count(zone: str, firsts: Sequence[int], whole_plan_every: int) -> int:
    """Counts the days of a quarantine from each first day; how many were looked at."""
    chance = random.Random(zone)
    known, named, counted = days(zone), dates(), 0
    for turn, first in enumerate(firsts):
        began = utc(chance.randint(*known[first]))
        day_0 = local_day(began, zone)
        assert day_0 == named[first], (zone, began)
        for n in range(SPAN):
            if first + n not in known:  # the day that was left out: nobody can ask on it
                continue
            now = utc(chance.choice((*known[first + n], chance.randint(*known[first + n]))))
            assert (local_day(now, zone) - day_0).days == n, (zone, began, now)
            counted += 1
        facts = quarantine(zone, DAILY, began)
        for n in (0, SPAN - 1, chance.randrange(SPAN)):
            if first + n not in known:
                continue
            moment = utc(max(known[first + n][chance.randrange(2)], int(began.timestamp())))
            assert counters(facts, moment).days_served == n, (zone, began, moment)
        told = tasks(facts, began, named[first + SPAN - 1])
        found = [t.day for t in told if "/every/" in t.id]
        wanted = on_the_wall(zone, range(first, first + SPAN))
        # Asked for to a day that was left out, what moved on from it is not there yet.
        assert found == [d for d in wanted if d <= named[first + SPAN - 1]], (zone, first)
        if turn % whole_plan_every == 0:
            hold_times(zone, first, replace(facts, plan=TIMED))
            hold_plan(zone, first, replace(facts, plan=standard()))
    return counted


def on_the_wall(zone: str, asked: Sequence[int]) -> list[date]:
    """The dates tasks stand on: a day that a zone left out is the next, asked for once."""
    known, named = days(zone), dates()
    return list(dict.fromkeys(named[day if day in known else day + 1] for day in asked))


def hold_times(zone: str, first: int, facts: QuarantineFacts) -> None:
    """Times of day stand as the clocks on the wall show them, on every day once."""
    clocks = {"02:30": 9000, "18:00": 64800}
    told = tasks(facts, facts.started_utc, dates()[first + SPAN - 1])
    for t in told:
        assert t.at_utc is not None
        second = int(t.at_utc.timestamp())
        day, wall = divmod(second + offsets(zone).offset(second), DAY_S)
        assert t.day == dates()[day], (zone, t)
        if day in changing_days(zone) and t.at not in clocks:
            assert wall > clocks["02:30"]  # moved on over what the clocks left out
        else:
            assert wall == clocks[t.at], (zone, t)
    left_out = any(first + n not in days(zone) for n in range(1, SPAN))
    assert len(told) == 2 * (SPAN - 1 - left_out)


@cache
def changing_days(zone: str) -> frozenset[int]:
    return frozenset(changing(zone))


@cache
def standard() -> Plan:
    return load_shelf([paths.shipped_protocols()])[0].plans["standard"]


def hold_plan(zone: str, first: int, facts: QuarantineFacts) -> None:
    """Every dated step of the shipped plan stands on its day."""
    until = first + SPAN - 1
    told = tasks(facts, facts.started_utc, dates()[until])
    for s in facts.plan.steps:
        if s.hours or s.from_day < 0 or s.counted_from != "arrival" or s.only_where:
            continue
        found = [t.day for t in told if t.id.split("/")[2] == s.id]
        wanted = [d for d in on_the_wall(zone, asked_on(s, first, until)) if d <= dates()[until]]
        assert found == [d for d in wanted for _ in s.at or "x"], (zone, s.id)


def asked_on(s: Step, first: int, until: int) -> list[int]:
    if not s.repeats:
        return [first + s.from_day]
    last = until if s.to_day is None else min(until, first + s.to_day)
    apart = s.every_days or 7 * s.every_weeks or 1
    return list(range(first + s.from_day, last + 1, apart))


@pytest.mark.slow
@pytest.mark.parametrize("zone", ZONES)
def test_ten_thousand_day_counts_of_a_zone(zone: str) -> None:
    assert count(zone, starts(zone, 168), whole_plan_every=8) >= 10_000


@pytest.mark.full
@pytest.mark.parametrize("zone", ZONES)
def test_nine_hundred_thousand_day_counts_of_a_zone(zone: str) -> None:
    every = [n for n in range(FIRST, LAST + 1) if n in days(zone)]
    counted = count(zone, every, whole_plan_every=20)
    assert counted >= 898_000


@pytest.mark.parametrize("zone", ZONES)
def test_a_day_begins_and_ends_with_its_first_and_last_second(zone: str) -> None:
    """Also where the clocks go forward over midnight, and where a day lasts 23 or 25 hours."""
    known = days(zone)
    changes = changing(zone) or [FIRST + 59]
    for day in sorted({*changes, *(d - 1 for d in changes)} & set(known)):
        if day - 3 not in known:
            continue
        facts = quarantine(zone, DAILY, utc(known[day - 3][0]))
        first, last = known[day]
        told = [(first - 1, "upcoming"), (first, "due"), (last, "due"), (last + 1, "overdue")]
        for second, state in told:
            found = [t for t in tasks(facts, utc(second)) if "/once/" in t.id]
            assert [(t.day, t.state) for t in found] == [(dates()[day], state)], (zone, second)


@pytest.mark.parametrize("zone", ZONES)
def test_a_plan_with_no_fish_yet_stands_on_the_same_days(zone: str) -> None:
    for first in starts(zone, 20):
        told = [t.day for t in planned(DAILY, dates()[first], zone) if "/every/" in t.id]
        assert told == on_the_wall(zone, range(first, first + SPAN)), (zone, first)


def test_the_other_reader_knows_published_changes() -> None:
    """IANA tz database, files southamerica, asia, africa and australasia."""
    lisbon = offsets("Europe/Lisbon")
    spring = day_number(2026, 3, 29) * DAY_S + 3600
    assert (lisbon.offset(spring - 1), lisbon.offset(spring)) == (0, 3600)
    gone = day_number(2011, 12, 30)
    assert gone not in days("Pacific/Apia")
    assert changing("Pacific/Apia").count(gone + 1) == 1
    assert days("America/Sao_Paulo")[day_number(2018, 11, 4)][0] % DAY_S == 3 * 3600
    assert offsets("Australia/Lord_Howe").offset(day_number(2040, 1, 1) * DAY_S) == 11 * 3600
    assert civil(day_number(2000, 2, 29)) == (2000, 2, 29)
    assert len(changing("UTC")) == 0
