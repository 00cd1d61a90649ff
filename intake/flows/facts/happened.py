"""What happened in a water, as the fold leaves it; `entry` is the one that tells it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from intake.science.ledger import Event


@dataclass(frozen=True, slots=True)
class WaterEvent:
    """Something that happened to a system's water; `salt_g_l` is what the new water held.

    `removers` are the devices at work from then on (carbon, uv), where equipment was changed.
    Without `tap` the new water is rain: it never brings what the tap's water holds. `joined` is
    the system whose water came in, where an isolated vessel was rejoined.
    """

    entry: int
    event: Event
    salt_g_l: float = 0.0
    removers: frozenset[str] = frozenset()
    tap: bool = True
    joined: int = 0


@dataclass(frozen=True, slots=True)
class DoseFact:
    """A dose or a thing given: its amount in g or mL, and the ends its strength leaves open.

    `added`, `added_low`, `added_high` are in the course's concentration unit times litres. `drug`
    is what a vet named, where the treatment is none by itself.
    """

    entry: int
    at: datetime
    kind: str  # "dose" | "given"
    treatment: str
    course: str
    amount: float
    unit: str
    added: float
    added_low: float
    added_high: float
    target: float | None
    target_unit: str
    broke: tuple[dict[str, Any], ...] = ()
    drug: str = ""
    direction: int = 0  # the entry of the vet's direction it rests on
    reason: str = ""  # the sign or finding it was given for


@dataclass(frozen=True, slots=True)
class DirectionFact:
    """What a vet directed, in force from `at` until `until`.

    `treatment` is the protocol it is dosed through, `drug` what the vet named, `target` in
    `unit` as an exact decimal. `subject` is the thing it is for, 0 for every water of the room.
    """

    entry: int
    at: datetime
    until: datetime
    vet: str
    words: str
    treatment: str
    drug: str
    course: str
    target: str
    unit: str
    every_h: float | None
    subject: int
    subject_kind: str
    subject_name: str


@dataclass(frozen=True, slots=True)
class ArrivalFact:
    """Fish that went into a system: from where, and whether on purpose as a mixing test.

    `unreleased` is the system whose quarantine they were still in; with `along` they follow fish
    of that same water and are nothing new here.
    """

    entry: int
    at: datetime
    animal: int
    count: int
    source: str
    vessel: int
    mixing_test: bool = False
    unreleased: int = 0
    along: bool = False


@dataclass(frozen=True, slots=True)
class LookFact:
    """One look; `animals` are all it covers."""

    entry: int
    at: datetime
    animals: tuple[int, ...]
    signs: tuple[tuple[str, int], ...]
    affected: int
    appetite: str
    count: int
    note: str
    keeper: str
    on_vessel: bool


@dataclass(frozen=True, slots=True)
class DeathFact:
    """Fish found dead or killed humanely; `stage` is what they were then."""

    entry: int
    at: datetime
    animal: int
    count: int
    count_before: int
    how: str
    stage: str = "adult"


@dataclass(frozen=True, slots=True)
class SlideFact:
    """One slide: what was found on it, where it was taken, of how many fish of a group."""

    entry: int
    at: datetime
    animal: int
    found: tuple[tuple[str, int], ...]
    site: str = ""
    fish: int = 1


@dataclass(frozen=True, slots=True)
class FeedFact:
    """Food given [g], its protein (0 to 1, None where nobody read it), and what became of it."""

    entry: int
    at: datetime
    amount_g: float
    protein_share: float | None
    eaten: str = ""


@dataclass(frozen=True, slots=True)
class ContactFact:
    """Foreign wet contact; `unreleased` is the system it came from, if in quarantine then."""

    entry: int
    at: datetime
    how: str
    source: str
    unreleased: int = 0


@dataclass(frozen=True, slots=True)
class LinkFact:
    """Two waters that touch by air, splash or tools: watched, sharing no clock."""

    entry: int
    at: datetime
    by: str
    systems: tuple[int, int]  # as they were named
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Stopped:
    """A treatment stopped in a system; None for the treatment: all of them."""

    entry: int
    at: datetime
    treatment: str | None
    washed_out: bool


@dataclass(frozen=True, slots=True)
class SpongeFact:
    """A filter sponge put in: new, seeded or cycled; `origin` is where it ran, 0 where unsaid."""

    entry: int
    at: datetime
    state: str
    origin: int = 0
