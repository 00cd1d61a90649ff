"""What is known of one quarantine: journal entries are folded into these facts.

Every instant is an aware datetime in UTC; every `entry` is the number of the original entry.
Entries that were voided are left out, corrected ones carry their newest content.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from intake.science.plan import Plan
from intake.science.preventive import Chosen
from intake.science.readiness import Ready

SPAN_H = 24
"""Time before it was read that a min/max thermometer speaks for [h]. Common practice: it is read
and set back once a day."""


@dataclass(frozen=True, slots=True)
class Arrival:
    """Fish that went into this water system.

    `mixing_test` says they are residents moved in on purpose, `along` that they followed fish of
    their own water here: neither restarts the days.
    """

    at_utc: datetime
    entry: int
    subject: str
    count: int = 1
    source: str = ""
    mixing_test: bool = False
    along: bool = False


@dataclass(frozen=True, slots=True)
class Carried:
    """The days fish brought along that were moved in, not released: `days` [d] of their own plan
    counted from `from_day`; release waits for them too.
    """

    at_utc: datetime
    entry: int
    subject: str
    from_day: date
    days: int
    plan: str


@dataclass(frozen=True, slots=True)
class Contact:
    """Foreign wet contact: water, net, hose, sponge, hands, back-siphon from another system."""

    at_utc: datetime
    entry: int
    how: str
    source: str


@dataclass(frozen=True, slots=True)
class SignSeen:
    """One sign in one look: `affected` fish of the subject show it at `grade` 0-3.

    `group` is one of behaviour, skin, fins, gills, eyes, abdomen, droppings, appetite.
    `nervous` is true for signs such as spinning or convulsing. `grave` marks signs that make any
    death a call to the vet: patchy gills, ulcer, raised scales.
    """

    sign: str
    grade: int
    infectious: bool = False
    affected: int = 1
    group: str = ""
    nervous: bool = False
    grave: bool = False


@dataclass(frozen=True, slots=True)
class Look:
    """One look at some subjects. Appetite is "all", "some", "none" or "" (not looked for).

    A look at a vessel names every fish and group in it. `count` is how many fish were looked at.
    """

    at_utc: datetime
    entry: int
    subjects: tuple[str, ...]
    signs: tuple[SignSeen, ...] = ()
    appetite: str = ""
    count: int = 1


@dataclass(frozen=True, slots=True)
class Death:
    """`count` fish of a subject died; `count_before` fish lived in the system until then.

    `came_in_utc` is when they came into the system; `explained` is true where the entry or a
    slide says what they died of and that it was not catching (jumped out, killed humanely for an
    injury). `stage` is eggs, hatchlings, fry, juvenile or adult. `on_arrival` means dead in the
    bag. `grave` is true where the subject last showed patchy gills, an ulcer or raised scales.
    """

    at_utc: datetime
    entry: int
    subject: str
    count: int = 1
    count_before: int = 0
    explained: bool = False
    came_in_utc: datetime | None = None
    stage: str = "adult"
    on_arrival: bool = False
    grave: bool = False


@dataclass(frozen=True, slots=True)
class Slide:
    """One microscope slide: (parasite, count) pairs found; `masked_by` treatments in the water
    that hide parasites, so that a clean slide does not count as clean. `fish` is how many
    different fish of the subject it is of, `site` where it was taken: skin-scrape, gill-clip,
    fin-clip or droppings.
    """

    at_utc: datetime
    entry: int
    subject: str
    found: tuple[tuple[str, int], ...] = ()
    fish: int = 1
    masked_by: tuple[str, ...] = ()
    site: str = ""

    @property
    def clean(self) -> bool:
        """True where nothing was found and nothing in the water could hide it."""
        return not self.masked_by and not any(n > 0 for _, n in self.found)


@dataclass(frozen=True, slots=True)
class DoseGiven:
    """A dose or a thing given. `counts` is "treatment" or "support".

    `ended_utc` is when it was stopped or washed out, or when its course's longest duration had
    passed; None means still in the water. `wait_days` [d] is a wait after it longer than the
    plan's, for instance one and a half generations of the parasite it was given against.
    """

    at_utc: datetime
    entry: int
    treatment: str
    counts: str = "treatment"
    ended_utc: datetime | None = None
    wait_days: int = 0


@dataclass(frozen=True, slots=True)
class Fall:
    """How far a logger's temperature fell within 24 h [C], in how many hours, up to when."""

    fall_c: float
    hours: float
    at_utc: datetime


@dataclass(frozen=True, slots=True)
class Temperature:
    """The lowest and highest water temperature known from one reading [C].

    A `spot` is the temperature of one moment. What is none speaks for the time since `since_utc`:
    a logger's own first moment, or without one the `SPAN_H` before a min/max thermometer was read.
    Only a logger knows its `fall`, the furthest that ended in that time. `vessel` tells
    readings of several vessels apart, 0 for the whole water.
    """

    at_utc: datetime
    entry: int
    low_c: float
    high_c: float
    spot: bool = False
    since_utc: datetime | None = None
    fall: Fall | None = None
    vessel: int = 0

    @property
    def begins_utc(self) -> datetime:
        """The first moment it speaks for."""
        if self.spot:
            return self.at_utc
        return self.since_utc or self.at_utc - timedelta(hours=SPAN_H)


@dataclass(frozen=True, slots=True)
class Placed:
    """Fish that went out of their bag into this water [C]; None: not read.

    `bag_c` is the bag as it came, `last_c` as it was last read before.
    """

    at_utc: datetime
    entry: int
    subject: str
    bag_c: float | None
    last_c: float | None
    water_c: float | None


@dataclass(frozen=True, slots=True)
class WaterJudged:
    """A water test against the plan's targets, and what was off.

    `judged` is "ok", "not", "undecided" (a band across a limit, or a kit not to be trusted) or
    "unknown" (something was not read).
    """

    at_utc: datetime
    entry: int
    judged: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class MixingTest:
    """Residents moved in to see whether the new fish carry something; None: still in."""

    at_utc: datetime
    entry: int
    subject: str
    count: int = 1
    ended_utc: datetime | None = None


@dataclass(frozen=True, slots=True)
class Recorded:
    """Another record that answers a task of its kind: feed, weigh, photo, change or clean."""

    at_utc: datetime
    entry: int
    kind: str


@dataclass(frozen=True, slots=True)
class Settled:
    """The keeper's word on a proposed restart: `choice` is "keep" or "restart"."""

    at_utc: datetime
    entry: int
    restart: int
    choice: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Marked:
    """A task the keeper marked: `state` is "done" or "skipped"."""

    at_utc: datetime
    entry: int
    task: str
    state: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class Passed:
    """A release check passed by reason."""

    at_utc: datetime
    entry: int
    check: str
    reason: str


@dataclass(frozen=True, slots=True)
class Occupant:
    """A fish or group present now. `stage` as in `Death`."""

    subject: str
    count: int = 1
    stage: str = "adult"


@dataclass(frozen=True, slots=True)
class Met:
    """A condition of steps that the record meets now, one of `plan.ONLY_WHERE`, and by what."""

    condition: str
    text: str


@dataclass(frozen=True, slots=True)
class QuarantineFacts:
    """Everything the counters, the calendar and the checks need to know of one quarantine.

    `started_utc` and `start_entry` are of the entry that began it, `plan` is the text it began
    with. `expected` is the day the fish are expected, while none is in. `quiet` are the local
    hours in which nothing is asked for. `night_drop_c` is how far the room's water cools by night
    [C]. Fish are chilled by more than `step_c` between bag and water, or `drop_c` in a day [C].
    `released_utc` is when the fish were released. `ready` is what the record says of each
    preparation, `met` the conditions it meets now, `preventive` the course the keeper chose.
    Sequences may come in any order.
    """

    system: str
    start_entry: int
    started_utc: datetime
    plan: Plan
    time_zone: str
    expected: date | None = None
    quiet: tuple[time, time] | None = None
    night_drop_c: float = 0.0
    step_c: float = 2.0
    drop_c: float = 3.0
    arrivals: tuple[Arrival, ...] = ()
    carried: tuple[Carried, ...] = ()
    contacts: tuple[Contact, ...] = ()
    looks: tuple[Look, ...] = ()
    deaths: tuple[Death, ...] = ()
    slides: tuple[Slide, ...] = ()
    doses: tuple[DoseGiven, ...] = ()
    temperatures: tuple[Temperature, ...] = ()
    placed: tuple[Placed, ...] = ()
    waters: tuple[WaterJudged, ...] = ()
    mixing_tests: tuple[MixingTest, ...] = ()
    recorded: tuple[Recorded, ...] = ()
    settled: tuple[Settled, ...] = ()
    marked: tuple[Marked, ...] = ()
    passed: tuple[Passed, ...] = ()
    present: tuple[Occupant, ...] = ()
    released_utc: datetime | None = None
    ready: tuple[Ready, ...] = ()
    met: tuple[Met, ...] = ()
    preventive: Chosen | None = None
