"""Small quarantines to test with."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from intake.science.course_parts import Source
from intake.science.plan import CheckRule, Plan, RestartRule, Stage, Step
from intake.science.quarantine import (
    Arrival,
    Look,
    Marked,
    Occupant,
    QuarantineFacts,
    SignSeen,
    Temperature,
    WaterJudged,
)

OWN = Source("made for the test", "common practice")
DAY_0 = date(2026, 3, 10)
ZONE = "Europe/Lisbon"


def step(id: str, kind: str, first: int, last: int | None, **more: object) -> Step:
    return Step(id, kind, f"do {id}", first, last, OWN, **more)  # type: ignore[arg-type]


PLAN = Plan(
    id="test",
    title="A plan for tests",
    version="1",
    days=30,
    floor_days=21,
    stages=(Stage("all", "All of it", 0, None),),
    steps=(
        step("fill", "prepare", -7, -5),
        step("papers", "prepare", -2, -1),
        step("arrival", "look", 0, 0, hours=(Decimal(1), Decimal(4), Decimal(12))),
        step("looks", "look", 1, None, at=("08:00", "18:00")),
        step("water", "water-test", 1, 10, every_days=1),
        step("later", "water-test", 12, None, every_days=2),
        step("slide", "slide", 3, 4),
        step("slide-2", "slide", 14, 15),
        step("weigh", "weigh", 14, 15),
        step("after", "look", 1, 14, every_days=1, counted_from="release"),
    ),
    checks=(
        CheckRule("days-served", OWN),
        CheckRule("no-deaths", OWN, days=14),
        CheckRule("sign-free", OWN, days=14, count=7),
        CheckRule("eating", OWN, days=3, count=1),
        CheckRule("since-treatment", OWN, days=14),
        CheckRule("slides", OWN, days=7, count=2),
        CheckRule("water", OWN, days=7),
        CheckRule("warm-days", OWN, days=14, low_c=Decimal(18), high_c=Decimal(25)),
        CheckRule("no-additions", OWN),
        CheckRule("mixing-test", OWN, days=14),
    ),
    restarts=RestartRule(OWN),
    sources=(OWN,),
)


def at(day: int, clock: str = "10:00", zone: str = ZONE, day_0: date = DAY_0) -> datetime:
    """The instant of a local time on a day counted from day 0."""
    local = datetime.combine(day_0 + timedelta(day), time.fromisoformat(clock), ZoneInfo(zone))
    return local.astimezone(UTC)


def local(text: str, zone: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)


def facts(**more: object) -> QuarantineFacts:
    """Two fish, Ada and Bela, that came in on day 0 at 10:00."""
    plain = QuarantineFacts(
        system="North",
        start_entry=5,
        started_utc=at(-8),
        plan=PLAN,
        time_zone=ZONE,
        arrivals=(Arrival(at(0), 10, "Ada"), Arrival(at(0), 11, "Bela")),
        present=(Occupant("Ada"), Occupant("Bela")),
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def look(day: int, *subjects: str, entry: int = 0, clock: str = "08:00", **signs: int) -> Look:
    """A look with catching signs: `look(5, "Ada", spots=2)`."""
    seen = tuple(SignSeen(name, grade, infectious=True) for name, grade in signs.items())
    return Look(at(day, clock), entry or 100 + day, subjects or ("Ada", "Bela"), seen, "all")


def mark(number: str, day: int, state: str = "done", clock: str = "12:00") -> Marked:
    return Marked(at(day, clock), 900 + day, f"North/5/{number}", state, "")


def well(days: int) -> dict[str, object]:
    """Everything a quiet quarantine records every day, so that only what a test adds is open."""
    every = range(days + 1)
    return {
        "looks": tuple(look(d, clock="10:30") for d in every),
        "temperatures": tuple(Temperature(at(d, "11:00"), 300 + d, 21.0, 22.0) for d in every),
        "waters": tuple(WaterJudged(at(d, "11:30"), 400 + d, "ok") for d in every),
    }
