"""What Calendar says of a quarantine: why a day is what it is, and how each day counts."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date

from intake.flows.jobs.words import day_text
from intake.science.calendar import Task
from intake.science.check_state import CheckState
from intake.science.checks import Checks
from intake.science.counters import Counters
from intake.science.course_parts import Source
from intake.science.quarantine import QuarantineFacts
from intake.science.restarts import local_day

SHORT_WORDS = {"water-test": "water test", "temperature": "low and high temperature"}
_ISO = re.compile(
    r"\b(on|from|to|since|was|is|stays|death|addition|ended|food|test|treatment|of|hatches|first)"
    r" (\d{4})-(\d\d)-(\d\d)\b"
)


def readable(text: str, today: date) -> str:
    """The dates of a reason as people read them; the year only where it is not this one."""

    def written(match: re.Match[str]) -> str:
        day = date(int(match[2]), int(match[3]), int(match[4]))
        year = "" if day.year == today.year else f" {day.year}"
        return f"{match[1]} {day_text(day)}{year}"

    return _ISO.sub(written, text)


def started(facts: QuarantineFacts, count: Counters) -> date:
    """Day 0; before any fish is in, the day they are expected or the day it was begun."""
    if count.day_0 is not None:
        return count.day_0
    return facts.expected or local_day(facts.started_utc, facts.time_zone)


def said(facts: QuarantineFacts, count: Counters, found: Checks) -> str:
    if count.day_0 is None:
        when = f", expected {day_text(facts.expected)}" if facts.expected else ""
        return f"waiting for its fish{when}"
    told = [f"day {count.days_served} of at least {facts.plan.days}"]
    if count.proposed:
        told.append("a restart is proposed, settle it")
    elif count.served_from is not None and count.served_from > count.day_0:
        told.append(f"counted again from {day_text(count.served_from)}")
    rule = facts.plan.check("warm-days")
    if rule is not None and "warm-days" in {c.check for c in found.open}:
        told.append(f"warm days {count.warm_days} of {rule.days}")
    return " · ".join(told)


def why_of(facts: QuarantineFacts, count: Counters, task: Task) -> tuple[str, ...]:
    """What set the date, newest first: what restarted the days, then the plan itself."""
    told = [f"was {day_text(task.was)} before that"] if task.was else []
    if task.late is not None:
        told.append(f"late: {readable(task.late.said, count.today)}")
    told = [*_restarts(count, task.day), *told]
    step = facts.plan.step(task.id.split("/")[-2])
    if step is not None:
        days = f"day {step.from_day}"
        if step.to_day is None and step.repeats:
            days += " until release"
        elif step.to_day is not None and step.to_day != step.from_day:
            days += f" to {step.to_day}"
        counted = "the release" if step.counted_from == "release" else "day 0"
        told.append(f"plan {facts.plan.id}: {step.task}, {days} from {counted}")
        told.append(_sourced(step.source))
    else:
        told.append(readable(task.because, count.today))
    return tuple(told)


def task_words(task: Task, fish: str) -> str:
    """A task in a few words; `fish` is who is looked at."""
    return f"look at {fish}" if task.kind == "look" else SHORT_WORDS.get(task.kind, task.task)


def short_words(task: Task) -> str:
    """A task in as few words as a column of a week holds."""
    return {"temperature": "min max", "look": "look"}.get(task.kind, task.short or task.task)


def _sourced(source: Source) -> str:
    if source.mark in source.text:
        return source.text
    return f"{source.text} ({source.mark})"


def _restarts(count: Counters, until: date) -> list[str]:
    """What began the days again up to a day, newest first; the fish of one day told together."""
    told: list[str] = []
    states = {"stands": "counts from here", "proposed": "proposed", "kept": "the days are kept"}
    known = [r for r in reversed(count.restarts) if r.day <= until]
    same = Counter((r.day, r.kind) for r in known)
    for r in known:
        others = same.pop((r.day, r.kind), 0) - 1
        if others > 0 and r.kind == "fish-in":
            more = f", and {others} before it that day"
        elif others < 0 and r.kind == "fish-in":
            continue
        else:
            more = ""
        told.append(f"{day_text(r.day)}: {r.because}{more}; {states[r.state]}")
    return told


def shown_evidence(state: CheckState, today: date) -> str:
    """What the record shows of a check, and what an open one asks for next."""
    told = readable(state.evidence, today)
    return f"{told}; next: {readable(state.to_do, today)}" if state.to_do else told


def release_why(facts: QuarantineFacts, count: Counters, found: Checks) -> tuple[str, ...]:
    """The check that sets the date, the other dated ones, then what restarted the days."""
    dated = [c for c in found.checks if c.earliest is not None and c.state == "open"]
    dated.sort(key=lambda c: (c.check != found.decided_by, -(c.earliest or date.min).toordinal()))
    told = [
        f"{c.check}: not before {day_text(c.earliest)}; {readable(c.evidence, count.today)}"
        for c in dated
        if c.earliest is not None
    ]
    told += [
        f"{c.check}: {readable(c.evidence, count.today)}"
        for c in found.checks
        if c.earliest is None and c.state == "open" and count.day_0 is not None
    ]
    if count.day_0 is None:
        told.append("day 0 is the day the last fish goes in; none is in yet")
    told += _restarts(count, count.today)
    told.append(f"plan {facts.plan.id}, {facts.plan.days} days: {facts.plan.sources[0].text}")
    return tuple(told)
