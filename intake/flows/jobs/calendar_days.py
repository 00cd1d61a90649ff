"""The days of one quarantine: what is marked on each, and why it is what it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from intake.flows.jobs.calendar_words import readable
from intake.flows.jobs.words import day_text
from intake.flows.views.calendar import DayMark
from intake.science.calendar import Task
from intake.science.chills import Chill
from intake.science.counters import WARM_HIGH_C, WARM_LOW_C, Counters
from intake.science.day_temperatures import DayTemperature
from intake.science.figures import figure
from intake.science.quarantine import QuarantineFacts
from intake.science.restarts import local_day

OPEN = frozenset({"due", "overdue", "upcoming"})
"""States of a task that is still to be done."""


def days_of(
    facts: QuarantineFacts,
    count: Counters,
    asked: list[Task],
    release: date | None,
    span: tuple[date, date],
    chilled: tuple[Chill, ...] = (),
) -> tuple[DayMark, ...]:
    """Every day of a span: its mark, whether it counts, and why it is what it is."""
    return tuple(_Days(facts, count, asked, release, chilled).marks(*span))


@dataclass(frozen=True, slots=True)
class _Days:
    facts: QuarantineFacts
    count: Counters
    asked: list[Task]
    release: date | None
    chilled: tuple[Chill, ...]

    def marks(self, first: date, last: date) -> Iterator[DayMark]:
        zone = self.facts.time_zone
        by_day: dict[date, list[Task]] = {}
        for task in self.asked:
            by_day.setdefault(task.day, []).append(task)
        looked = {local_day(x.at_utc, zone) for x in self.facts.looks}
        slid = {local_day(x.at_utc, zone) for x in self.facts.slides}
        means = {d.day: d for d in self.count.temperatures}
        for n in range((last - first).days + 1):
            day = first + timedelta(n)
            here = by_day.get(day, [])
            mark = mark_of(here, looked=day in looked, slid=day in slid)
            counted = not self._cold(day)
            yield DayMark(day, mark, counted, self._why(day, here, means))

    def _cold(self, day: date) -> bool:
        """Whether warm days are counted and this past one is none of them."""
        day_0 = self.count.day_0
        if day_0 is None or self.facts.plan.check("warm-days") is None:
            return False
        return day_0 <= day < self.count.today and day not in self.count.warm_dates

    def _why(self, day: date, here: list[Task], means: dict[date, DayTemperature]) -> str:
        told = [
            self._warmth(day, means) if self._cold(day) else "",
            *self._events(day),
            self._watched(day),
            self._nothing(day) if not here else "",
            self._place(day),
        ]
        return readable("; ".join(t for t in told if t), self.count.today)

    def _warmth(self, day: date, means: dict[date, DayTemperature]) -> str:
        if day not in means:
            return "not a warm day: no temperature read"
        rule = self.facts.plan.check("warm-days")
        low = rule.low_c if rule and rule.low_c is not None else WARM_LOW_C
        high = rule.high_c if rule and rule.high_c is not None else WARM_HIGH_C
        known = means[day]
        mean = f"mean {known.mean_c:.1f} C, {figure(low)} to {figure(high)} C asked"
        return f"not a warm day: {mean}"

    def _events(self, day: date) -> Iterator[str]:
        """What began the days again on this day, or would."""
        said = {"stands": "the days count from here", "kept": "the days were kept"}
        found = [r for r in self.count.restarts if r.day == day]
        for r in found[-1:]:
            more = f", and {len(found) - 1} more that day" if len(found) > 1 else ""
            what = said.get(r.state, "a restart is proposed")
            if r.state == "stands" and day != self.count.served_from:
                what = "the days counted from here, until they began again"
            yield f"{r.because}{more}: {what}"

    def _watched(self, day: date) -> str:
        """The newest chill for which the fish are watched on this day."""
        zone = self.facts.time_zone
        since = [(local_day(c.at_utc, zone), c) for c in self.chilled]
        found = [(d, c) for d, c in since if d <= day <= c.until]
        if not found:
            return ""
        began, last = found[-1]
        who = last.subject or "every fish"
        if day > began:
            told = f"{who} is watched until {day_text(last.until)}"
            return f"{told} after the chill of {day_text(began)}, entry {last.entry}"
        text = f"{last.subject} {last.text}".strip()
        return f"{text}, entry {last.entry}: watched until {day_text(last.until)}"

    def _nothing(self, day: date) -> str:
        """That nothing is asked for, and what comes next."""
        begun = local_day(self.facts.started_utc, self.facts.time_zone)
        if day < min(begun, self.count.day_0 or begun):
            return ""
        if day < self.count.today:
            return "nothing was due"
        later = [t for t in self.asked if t.day > day and t.state in OPEN]
        if not later and self.count.day_0 is None:
            return "nothing is due: the dates come with the fish"
        if not later:
            return "nothing is due: the plan asks for nothing later"
        first = min(later, key=lambda t: (t.day, t.kind == "look", t.at))
        words = (first.short or first.task)[:60]
        return f"nothing is due: next is {words[0].lower()}{words[1:]} on {day_text(first.day)}"

    def _place(self, day: date) -> str:
        """Which day of the plan it is, and what the days are counted from."""
        plan, count = self.facts.plan, self.count
        if count.day_0 is None:
            begun = local_day(self.facts.started_utc, self.facts.time_zone)
            if day < begun:
                return f"before this quarantine, begun {day_text(begun)}"
            due = self.facts.expected
            wait = f", expected on {day_text(due)}" if due else ""
            return f"no fish in yet{wait}; day 0 is the day the last one goes in"
        since = count.served_from or count.day_0
        first = min(r.day for r in count.restarts)
        if day < first:
            return f"before day 0: the first fish went in on {day_text(first)}"
        began = next((r for r in reversed(count.restarts) if r.day == since), None)
        if day < since:
            because = f" because {began.because}" if began else ""
            return f"no longer counts: the days began again on {day_text(since)}{because}"
        if self.release is not None and day > self.release:
            when = day_text(self.release)
            return f"after the earliest release, {when}; tasks go on until it is recorded"
        told = f"day {(day - since).days} of {plan.days}"
        if since > first and began is not None and day != since:
            told += f", counted again from {day_text(since)} because {began.because}"
        return told


def mark_of(here: list[Task], *, looked: bool, slid: bool) -> str:
    states = {t.state for t in here}
    if "overdue" in states:
        return "overdue"
    if any(t.kind == "slide" and t.state in ("due", "upcoming") for t in here):
        return "slide"
    if slid or any(t.kind == "slide" and t.state == "done" for t in here):
        return "slide-done"
    if states & {"due", "upcoming"}:
        return "due"
    if looked or "done" in states:
        return "done"
    return "skipped" if states else ""
