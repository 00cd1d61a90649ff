"""The frozen shapes of a quarantine plan; plan files are read into them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from intake.science.course_parts import Source

CHECKS = (
    "days-served",
    "no-deaths",
    "sign-free",
    "eating",
    "since-treatment",
    "slides",
    "water",
    "warm-days",
    "no-additions",
    "mixing-test",
)
"""Every release check a plan may ask for, in the order they are shown."""

KINDS = (
    "prepare",
    "look",
    "water-test",
    "temperature",
    "feed",
    "slide",
    "weigh",
    "photo",
    "change",
    "mixing-test",
    "treatment",
    "clean",
    "review",
)
"""What a step asks for. A recorded look, water test or slide answers a step of its kind."""

EVIDENCE = (
    "volume",
    "load",
    "sponge",
    "kits",
    "water",
    "bag-temperature",
    "vet",
    "seller",
)
"""What the record can say of a preparation: a step with evidence is answered by it."""

ONLY_WHERE = {
    "salt-in-water": "salt is in the water",
    "eggs-in-water": "eggs are in the water",
    "fry-in-water": "fry are in the water",
}
"""Conditions of a step, in words: it is asked for only where the record meets its own.

salt-in-water: salt above a trace is in the water and no course of it that treats still runs.
eggs-in-water: eggs are in. fry-in-water: hatchlings or fry are in.
"""


@dataclass(frozen=True, slots=True)
class Stage:
    """A named stretch of days, `from_day` to `to_day` inclusive (None: until release)."""

    id: str
    title: str
    from_day: int
    to_day: int | None


@dataclass(frozen=True, slots=True)
class Step:
    """One thing a plan asks for, once or again and again.

    Parameters
    ----------
    id
        Short name, unique in the plan; part of every task's id.
    kind
        One of `KINDS`.
    task
        What to do, in the words the keeper reads.
    from_day, to_day
        Days counted from day 0 [d], both included; negative before the fish come. `to_day` None:
        until release. A step without `every_days`, `at` and `hours` is one task that may be done
        on any of these days.
    source
        Where the step comes from.
    every_days
        Days between two times [d]; 0 means once, or daily when `at` is given.
    at
        Local times of day, "HH:MM", each giving a task of its own on every day of the step.
    hours
        Hours after the fish went in [h]; only asked for when fish came in, not after any other
        restart.
    because
        Why, beyond the source.
    counted_from
        "arrival" (day 0) or "release" (the day the fish were released).
    short
        `task` in a few words, for lists; empty where `task` is short itself.
    every_weeks
        Weeks between two times [weeks], in place of `every_days`.
    evidence
        Some of `EVIDENCE`: the step is done once the record holds all of it.
    only_where
        One of `ONLY_WHERE`, or "" for always.
    treatment
        The treatment whose dose answers a step of that kind; "" for any.
    """

    id: str
    kind: str
    task: str
    from_day: int
    to_day: int | None
    source: Source
    every_days: int = 0
    at: tuple[str, ...] = ()
    hours: tuple[Decimal, ...] = ()
    because: str = ""
    counted_from: str = "arrival"
    short: str = ""
    every_weeks: int = 0
    evidence: tuple[str, ...] = ()
    only_where: str = ""
    treatment: str = ""

    @property
    def repeats(self) -> bool:
        """True where the step gives more than one task."""
        return bool(self.every_days or self.every_weeks or self.at or self.hours)


@dataclass(frozen=True, slots=True)
class Preventive:
    """A course a plan offers, never given unless the keeper chose it.

    Its first dose may be given from `from_day` to `to_day` [d], counted from day 0; the next ones
    follow by the treatment's own repeat. `against` says what it is for.
    """

    treatment: str
    course: str
    against: tuple[str, ...]
    from_day: int
    to_day: int
    source: Source
    because: str = ""
    only_where: str = ""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A release check that a plan does not ask for, and why not."""

    check: str
    because: str
    source: Source


@dataclass(frozen=True, slots=True)
class Hatching:
    """Warmth eggs need: `least` to `most` degree-days [C d] above `above_c` [C].

    Known for water of `low_c` to `high_c` [C] only.
    """

    above_c: Decimal
    least: Decimal
    most: Decimal
    low_c: Decimal
    high_c: Decimal
    source: Source


@dataclass(frozen=True, slots=True)
class CheckRule:
    """One release check and its numbers; what a number means depends on the check.

    ================ =================================================================
    days-served      nothing of its own: the plan's days
    no-deaths        `days` [d] since the last death
    sign-free        `days` [d] since a sign of `grade` or more, looked at on `count` of them
    eating           `days` [d] back, no look in them off food and at least `count` with appetite
    since-treatment  `days` [d] since the last treatment ended
    slides           `count` clean sessions, the newest two at least `days` [d] apart
    water            `days` [d] inside the targets
    warm-days        `days` [d] with a daily mean from `low_c` to `high_c` [C]
    no-additions     nothing of its own: the plan's days since anything was added
    mixing-test      `days` [d] with resident fish moved in
    ================ =================================================================
    """

    check: str
    source: Source
    days: int = 0
    count: int = 0
    grade: int = 1
    low_c: Decimal | None = None
    high_c: Decimal | None = None


@dataclass(frozen=True, slots=True)
class RestartRule:
    """When the days served begin again.

    `same_sign_fish` fish with the same infectious sign of `sign_grade` or more inside
    `sign_days` [d], or an unexplained death after day `death_after_day`, propose a restart; it
    stands `stands_after_h` [h] later unless the keeper settles it. New fish, foreign wet contact
    and a parasite on a slide restart at once.
    """

    source: Source
    sign_grade: int = 1
    same_sign_fish: int = 2
    sign_days: int = 14
    death_after_day: int = 3
    stands_after_h: int = 72


@dataclass(frozen=True, slots=True)
class Plan:
    """A quarantine plan: `days` [d] to serve, never under `floor_days` [d].

    `used_for` says when it is the right one. `life_stages` are those it is made for, empty for
    fish of any age. `preventive` are courses on offer, `left_out` the release checks it does
    not ask for, `hatching` the warmth its eggs need.
    """

    id: str
    title: str
    version: str
    days: int
    floor_days: int
    stages: tuple[Stage, ...]
    steps: tuple[Step, ...]
    checks: tuple[CheckRule, ...]
    restarts: RestartRule
    sources: tuple[Source, ...]
    text: str = ""
    path: str = ""
    sha256: str = ""
    used_for: str = ""
    life_stages: tuple[str, ...] = ()
    preventive: tuple[Preventive, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    hatching: Hatching | None = None

    def step(self, id: str) -> Step | None:
        """The step of that id, or None."""
        return next((s for s in self.steps if s.id == id), None)

    def check(self, name: str) -> CheckRule | None:
        """The rule of that release check, or None where the plan does not ask for it."""
        return next((c for c in self.checks if c.check == name), None)

    def offer(self, treatment: str) -> Preventive | None:
        """The course it offers of that treatment, or None."""
        return next((p for p in self.preventive if p.treatment == treatment), None)
