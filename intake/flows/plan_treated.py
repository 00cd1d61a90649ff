"""The doses of a treatment beside a plan: by the life of a parasite, or by the protocol alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from intake.flows.notes import Notes
from intake.science.course_parts import Source
from intake.science.development import wait_to
from intake.science.figures import figure, time_text
from intake.science.pace import against, course_against, pace_of
from intake.science.parasite import Parasite
from intake.science.parasite_windows import ANY_PACE, Repeats, repeats
from intake.science.plan import Plan
from intake.science.treatment import Course, Treatment
from intake.science.water_days import Ends, WaterDays, steady
from intake.science.window_words import between

FIRST_DAY = 3
"""Day of a first treatment where the plan asks for no slide: the fish have settled by then
(common practice)."""


@dataclass(frozen=True, slots=True)
class Treated:
    """The tasks of a treatment, the day its wait is over, and what is known of the parasite."""

    tasks: tuple[dict[str, Any], ...]
    release: date
    life_cycle: tuple[dict[str, Any], ...] = ()


def treated(
    notes: Notes,
    plan: Plan,
    day_0: date,
    parasite: Parasite | None,
    treatment: Treatment | None,
    ends: Ends,
) -> Treated:
    """A treatment begun after the plan's first slides, in water of these ends [C].

    Raises
    ------
    Refused
        not-in-range, where nothing is known of the parasite at these temperatures.
    """
    first = min((s.from_day for s in plan.steps if s.kind == "slide"), default=FIRST_DAY)
    notes.assumptions.append(f"the first treatment is on day {first}, after the first slides")
    start = day_0 + timedelta(first)
    wait = next((c.days for c in plan.checks if c.check == "since-treatment"), 0)
    if parasite is None:
        assert treatment is not None
        return _by_protocol(notes, start, wait, treatment)
    return _by_parasite(notes, start, wait, parasite, treatment, steady(start, *ends))


def _by_parasite(
    notes: Notes,
    start: date,
    wait: int,
    parasite: Parasite,
    treatment: Treatment | None,
    water: WaterDays,
) -> Treated:
    course = course_against(treatment, parasite) if treatment else None
    pace = pace_of(treatment, course) if treatment and course else ANY_PACE
    found = repeats(parasite, [start], water, pace)
    by = f" with {treatment.title}, course {course.name}" if treatment and course else ""
    what, source = f"Treat against {parasite.id}{by}", cited(parasite.sources())
    tasks = [task(start, start, start, f"{what}, the first time", source)]
    tasks += [
        task(w.day, w.from_day, w.to_day, f"{what}, time {w.number}", f"{w.because}; {source}")
        for w in found.windows
    ]
    if found.until is not None and pace.stands_d:
        kept = f"Keep {pace.title.lower()} at its strength to here, without a gap"
        text = f"{kept}, against {parasite.id}"
        tasks.append(task(found.until, found.until, found.until, text, source))
    if found.look_day is not None:
        day = found.look_day
        text = f"Skin scrape and gill clip: {parasite.id}?"
        tasks.append(task(day, day, day, text, f"after the last treatment; {source}"))
    _warn(notes, parasite, treatment, course, found, start)
    notes.because += [*found.because, *parasite.notes]
    last = found.needed_to
    ready = max(last + timedelta(wait), wait_to(parasite, last, water))
    low = between([water.ahead[0]]) if water.ahead else ""
    notes.because.append(
        f"{(ready - last).days} days are waited after the last treatment on {last}: the plan's "
        f"{wait} days, or a generation and a half at {low} where that is longer"
    )
    life = tuple(life_cycle(parasite, *(water.ahead or (0.0, 0.0))))
    return Treated(tuple(tasks), ready, life)


def _warn(
    notes: Notes,
    parasite: Parasite,
    treatment: Treatment | None,
    course: Course | None,
    found: Repeats,
    start: date,
) -> None:
    """Says where the treatment does not serve the windows, or is not meant for it."""
    if treatment is None or course is None:
        return
    if not against(course, parasite):
        text = f"{treatment.title}: its file does not name {parasite.title.lower()} in what it is"
        notes.warn("not-named", f"{text} given against")
    if found.cannot:
        notes.warn("cannot-cover", found.cannot)
        notes.because.append(
            f"no dates are given for what {treatment.title} cannot cover; take a treatment that "
            "may be given as often, and ask a vet"
        )
    usual = course.interval.usual_every_h if course.interval else None
    days = [start, *(w.day for w in found.windows)]
    gaps = [(b - a).days for a, b in pairwise(days)]
    sooner = usual is not None and any(gap * 24 < usual for gap in gaps)
    if usual is not None and (found.cannot or sooner):
        text = f"{treatment.title} is usually given every {time_text(usual)}"
        notes.warn("early", f"{text}; here it is needed sooner")


def life_cycle(parasite: Parasite, low_c: float, high_c: float) -> list[dict[str, Any]]:
    """Each part of its life that is known: slowest at the low, fastest at the high [d]."""
    rows = []
    for name, fits in parasite.times.items():
        slow, fast = parasite.slow_d(name, low_c), parasite.fast_d(name, high_c)
        if slow is None and fast is None:
            continue
        sources = tuple(dict.fromkeys(f.source for f in fits))
        rows.append(
            {
                "part": name,
                "longest_days": None if slow is None else round(slow, 2),
                "shortest_days": None if fast is None else round(fast, 2),
                "source": cited(sources),
                "mark": weakest(sources),
            }
        )
    return rows


def weakest(sources: Sequence[Source]) -> str:
    """The mark of the least trusted source."""
    marks = {s.mark for s in sources}
    order = ("from memory", "common practice", "published")
    return next(m for m in order if m in marks)


def cited(sources: Sequence[Source]) -> str:
    """Sources in one line, each with its mark where its words do not say it."""
    told = [s.text if s.mark in s.text else f"{s.text} ({s.mark})" for s in sources]
    return "; ".join(dict.fromkeys(told))


def task(day: date, first: date, last: date, text: str, because: str) -> dict[str, Any]:
    """One dated task as an answer has it."""
    return {
        "date": day.isoformat(),
        "from": first.isoformat(),
        "to": last.isoformat(),
        "task": text,
        "because": because,
    }


def _by_protocol(notes: Notes, start: date, wait: int, treatment: Treatment) -> Treated:
    """The repeats a course asks for itself, whatever it is given against."""
    course = treatment.course(None)
    if course is None:
        return Treated((), start + timedelta(wait))
    days, because = [0], cited(course.sources)
    if course.repeat is not None:
        repeat = course.repeat
        days += [round(float(repeat.every_h) * n / 24) for n in range(1, max(repeat.times, 1))]
        because = f"{repeat.text or f'every {figure(repeat.every_h)} h'}; {repeat.source.text}"
    what = f"Treat with {treatment.title}, course {course.name}"
    tasks = []
    for n, each in enumerate(days, 1):
        day = start + timedelta(each)
        which = "the first time" if n == 1 else f"time {n}"
        tasks.append(task(day, day, day, f"{what}, {which}", because))
    last = start + timedelta(days[-1])
    notes.because.append(f"{wait} days are waited after the last treatment on {last}")
    return Treated(tuple(tasks), last + timedelta(wait))
