"""What Calendar shows: each quarantine as a strip of days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class DayMark:
    """One day of one strip.

    `mark`: "" | done | due | overdue | slide | slide-done | skipped. `counted` False draws the
    day as not counted. `why` says what the day is, also where nothing is due on it.
    """

    day: date
    mark: str
    counted: bool = True
    why: str = ""


@dataclass(frozen=True, slots=True)
class DayTask:
    """One task of the day under the cursor."""

    id: str
    day: date
    text: str
    kind: str  # as RoundTask.kind
    state: str
    was: date | None = None  # the date it had before it moved
    because: str = ""
    why: tuple[str, ...] = ()  # the chain of causes, newest first (key w)
    short: str = ""  # for a column of a week: "07:30 look"


@dataclass(frozen=True, slots=True)
class Proposal:
    """A restart that is proposed and stands by itself once its hours are over.

    `keep` and `restart` are what either answer would make of the days and of the release.
    """

    system: str
    entry: int
    text: str  # "white-grains in 2 fish, entry 41"
    stands: str  # "Sat 28 Nov 18:05"
    hours_left: int
    keep: str = ""
    restart: str = ""


@dataclass(frozen=True, slots=True)
class SystemStrip:
    """One water system in quarantine."""

    system: str
    occupants: str
    started: date
    days: tuple[DayMark, ...]
    said: str  # "day 11 of at least 30"
    earliest_release: date | None
    decided_by: str
    release_why: tuple[str, ...]
    tasks: tuple[DayTask, ...]
    checks: tuple[tuple[str, str, str], ...]  # (check, open|met|passed-by-reason, evidence)
    proposals: tuple[Proposal, ...] = ()
    counted_from: date | None = None  # the day the days served count from, where fish are in

    def number(self, day: date) -> int | None:
        """Which day served it is; None before they count."""
        since = self.counted_from or self.started
        return (day - since).days if day >= since else None


@dataclass(frozen=True, slots=True)
class CalendarView:
    """All quarantines that run."""

    today: date
    first: date
    last: date
    systems: tuple[SystemStrip, ...]
    headline: str  # "earliest release North tub, Mon 14 Dec"
    because: str
    skip_reasons: tuple[str, ...] = ()

    @property
    def proposals(self) -> tuple[Proposal, ...]:
        """All restarts that wait for a word, the one with least time first."""
        found = [p for strip in self.systems for p in strip.proposals]
        return tuple(sorted(found, key=lambda p: p.hours_left))


@dataclass(frozen=True, slots=True)
class PlanChoice:
    """A plan a quarantine can begin by; `courses` are the preventive ones it offers."""

    id: str
    title: str
    days: int
    used_for: str
    courses: tuple[tuple[str, str], ...] = ()  # (treatment, what it is for)


@dataclass(frozen=True, slots=True)
class QuarantineChoices:
    """What a quarantine, a wet contact and a slide can be about."""

    idle: tuple[tuple[str, str], ...]  # (water without a quarantine, who lives there)
    running: tuple[tuple[str, str], ...]  # (water in quarantine, who lives there)
    waters: tuple[tuple[str, str], ...]  # every water
    plans: tuple[PlanChoice, ...]
    ways: tuple[str, ...]  # of a wet contact
    fish: tuple[tuple[str, str, str], ...]  # (fish or group, detail, its water)
    samples: tuple[str, ...]  # what a slide is made from
    parasites: tuple[str, ...]
    asks: tuple[str, ...] = ()  # what the form of a quarantine takes
