"""Sample quarantines: three water systems in three states."""

from __future__ import annotations

from datetime import date, timedelta

from intake.flows.views.calendar import CalendarView, DayMark, DayTask, SystemStrip

TODAY = date(2026, 11, 25)


def _days(
    start: date, skip: tuple[int, ...] = (), slides: tuple[int, ...] = ()
) -> tuple[DayMark, ...]:
    marks = []
    for n in range(31):
        day = start + timedelta(days=n)
        if n in skip:
            marks.append(DayMark(day, "", counted=False))
        elif n in slides:
            marks.append(DayMark(day, "slide-done" if day < TODAY else "slide"))
        elif n < 21 or n % 2:
            marks.append(DayMark(day, "done" if day < TODAY else "due"))
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
    first=date(2026, 11, 1),
    last=date(2026, 12, 31),
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
)
