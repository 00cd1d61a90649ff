"""Sample quarantines: three water systems in three states."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import cast

from intake.flows.views.calendar import (
    CalendarView,
    DayMark,
    DayTask,
    PlanChoice,
    Proposal,
    QuarantineChoices,
    SystemStrip,
)
from intake.science.problem import Refused

TODAY = date(2026, 11, 25)


FIRST, LAST = date(2026, 11, 1), date(2026, 12, 31)
COLD = "not a warm day: mean 16.2 C, 18 to 25 C asked"


def _days(
    start: date, skip: tuple[int, ...] = (), slides: tuple[int, ...] = ()
) -> tuple[DayMark, ...]:
    marks = []
    for at in range((LAST - FIRST).days + 1):
        day = FIRST + timedelta(days=at)
        n = (day - start).days
        why = f"day {n} of 30, counted again from {start:%a} {start.day} Nov because Coal went in"
        mark = ""
        if n < 0:
            why = f"before day 0: the first fish went in on {start:%a} {start.day} Nov"
        elif n in skip:
            why = f"{COLD}; {why}"
        elif n in slides:
            mark = "slide-done" if day < TODAY else "slide"
        elif n <= 30 and (n < 21 or n % 2):
            mark = "done" if day < TODAY else "due"
        elif day > TODAY:
            why = f"nothing is due: next is skin slide on Thu 3 Dec; {why}"
        marks.append(DayMark(day, mark, n not in skip, why))
    return tuple(marks)


def _tasks(start: date) -> tuple[DayTask, ...]:
    tasks = []
    for n in range(31):
        day = start + timedelta(days=n)
        state = "done" if day < TODAY else "due"
        tasks.append(
            DayTask(
                f"{start}/{n}/look",
                day,
                "look at 3 fish",
                "look",
                state,
                because="the plan looks daily until day 28.",
                short="look",
            )
        )
        if n == 14:
            tasks.append(
                DayTask(
                    f"{start}/{n}/slide",
                    day,
                    "skin slide, all 3 fish",
                    "slide",
                    state,
                    was=date(2026, 11, 30),
                    because="at 19.4 C the fluke cycle needs 5 days, not 7: two mornings were "
                    "warmer than planned.",
                    why=(
                        "Tue 24: 19.8 C at 07:10, warmer than planned",
                        "Sun 22: 19.6 C at 07:05, warmer than planned",
                        "Sat 14: the plan set the slide 7 days after the second look",
                    ),
                    short="second slides",
                )
            )
            tasks.append(DayTask(f"{start}/{n}/test", day, "water test", "reading", state))
    return tuple(tasks)


def strip(name: str, fish: str, start: date, said: str, release: date | None) -> SystemStrip:
    return SystemStrip(
        name,
        fish,
        start,
        _days(start, (6, 7) if name == "Racetrack" else (), (14, 21)),
        said,
        release,
        "days served",
        ("Sat 14: the last fish went in, day 0", "30 days end on Mon 14 Dec"),
        _tasks(start),
        (
            ("days-served", "open", "11 of 30"),
            ("no-deaths", "met", "none since day 0"),
            ("slides", "open", "1 of 2 clean"),
            ("warm-days", "open", "9 of 14"),
        ),
    )


CALENDAR = CalendarView(
    today=TODAY,
    first=FIRST,
    last=LAST,
    systems=(
        strip(
            "North tub", "3 fish", date(2026, 11, 14), "day 11 of at least 30", date(2026, 12, 14)
        ),
        strip("Racetrack", "9 fish", date(2026, 11, 14), "day 11 · warm days 9 of 14", None),
        strip(
            "Blue pool", "5 fish", date(2026, 11, 22), "day 3, its own water, its own clock", None
        ),
    ),
    headline="earliest release North tub, Mon 14 Dec",
    because="three counters run apart: days served, sign-free days, warm days.",
    skip_reasons=("no time today", "fish resting"),
)

PROPOSAL = Proposal(
    "Racetrack",
    41,
    "white-grains in 2 fish, entry 41",
    "Sat 28 Nov 08:05",
    61,
    "day 11 of 30, counted from Sat 14 Nov; earliest release Mon 14 Dec",
    "day 0 of 30, counted from Wed 25 Nov; earliest release Fri 25 Dec",
)
STANDARD = "fish of a seller you know, in a room of 20 to 24 C"
CHOICES = QuarantineChoices(
    idle=(("Window tank", "6 fish"), ("Spare tub", "no fish")),
    running=(("North tub", "3 fish"), ("Racetrack", "9 fish"), ("Blue pool", "5 fish")),
    waters=(
        ("Window tank", "6 fish"),
        ("Spare tub", "no fish"),
        ("North tub", "3 fish"),
        ("Racetrack", "9 fish"),
        ("Blue pool", "5 fish"),
    ),
    plans=(
        PlanChoice("standard", "Standard quarantine", 30, STANDARD),
        PlanChoice(
            "long",
            "Long quarantine",
            42,
            "fish of unknown origin or cold water, where a cycle of flukes takes weeks",
            (("praziquantel", "Praziquantel, against gill flukes and skin flukes"),),
        ),
    ),
    ways=("water", "net", "hose", "sponge", "hands", "back-siphon"),
    fish=(
        ("Ash", "red and white", "North tub"),
        ("Brick", "red cap", "North tub"),
        ("Coal", "black moor", "North tub"),
        ("Fry 1", "40 common", "Blue pool"),
    ),
    samples=("skin-scrape", "gill-clip", "fin-clip", "droppings"),
    parasites=("white-spot", "gill-flukes", "costia", "other"),
    asks=("system", "plan", "expected", "preventive"),
)


def follows(kind: str, typed: Mapping[str, object]) -> tuple[str, ...]:
    """What the sample room says an entry would move; a release only with every check passed."""
    if kind == "release":
        if len(cast(list[str], typed.get("pass", []))) < 3:
            raise Refused(
                "checks-open",
                "North tub is not released: days-served, slides, warm-days still open",
                way_out="wait for the evidence, or --pass CHECK:REASON for each",
            )
        return ("North tub: the quarantine ends; 40 tasks fall away", "released: Ash, Brick, Coal")
    return (
        "North tub: the days begin again on Wed 25 Nov, 11 served become 0, for 3 fish in it",
        "North tub: earliest release moves from Mon 14 Dec to Fri 25 Dec",
    )
