"""The things a room has, as the fold leaves them. A thing's `id` is the entry that made it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from intake.flows.facts.happened import (
    ArrivalFact,
    ContactFact,
    DeathFact,
    DoseFact,
    FeedFact,
    LookFact,
    SlideFact,
    SpongeFact,
    Stopped,
    WaterEvent,
)
from intake.flows.facts.noted import Noted
from intake.flows.facts.quarantining import Quarantine
from intake.science.ledger import Filled
from intake.science.spread import Size
from intake.science.volume import Inside, Lists


@dataclass(slots=True)
class Thing:
    """Something with a name that entries speak of, from `since` until it leaves."""

    id: int
    name: str
    kind: str
    since: datetime
    until: datetime | None = None

    @property
    def present(self) -> bool:
        """Whether it is still here."""
        return self.until is None


@dataclass(slots=True)
class Person(Thing):
    """A vet, lab, seller, helper or authority."""

    role: str = ""
    phone: str = ""


@dataclass(slots=True)
class KeptTool(Thing):
    """A scale or syringe: its smallest step in g or mL, as text of an exact decimal."""

    step: str = ""
    unit: str = ""


@dataclass(slots=True)
class Kit(Thing):
    """A test kit: what it tests, what it reports, its colour steps, when it expires."""

    tests: str = ""
    reports: str = ""
    steps: str = ""
    expires: str = ""
    fooled_by: str = ""
    error: str = ""


@dataclass(slots=True)
class Product(Thing):
    """A bottle or packet on the shelf."""

    treatment: str = ""
    strength: str = ""
    batch: str = ""
    expires: str = ""
    opened: str = ""
    keeps_opened: str = ""


@dataclass(frozen=True, slots=True)
class ReadingFact:
    """One value of a water test, its ends None where the band is open.

    `since` is from when on it speaks and `fall` how far it fell [C], from when, up to when, where
    a logger told so. `vessel` is the one it was read in, 0 for the whole water.
    """

    quantity: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    at: datetime
    entry: int
    kit: int = 0  # the kit it was read with
    since: datetime | None = None
    fall: tuple[float, datetime, datetime] | None = None
    vessel: int = 0


@dataclass(frozen=True, slots=True)
class Gauging:
    """Another way the water was found: its volume and ends [L] at the depth of that day [cm]."""

    entry: int
    at: datetime
    way: str
    sizes: dict[str, Size]
    volume_l: float
    low_l: float
    high_l: float
    depth: Size | None = None
    off_l: float = 0.0  # the vessel's own, as it was then
    connected_l: Size | None = None  # sump and pipe water that is in it


@dataclass(frozen=True, slots=True)
class SaltStep:
    """Salt weighed in to gauge a vessel: what was typed, and the entry that read it again."""

    entry: int
    at: datetime
    typed: dict[str, str]
    kit: str | None = None
    read_by: int = 0


@dataclass(frozen=True, slots=True)
class Settled:
    """The way that is the vessel's volume from now on, and why."""

    entry: int
    at: datetime
    way: str
    why: str
    keeper: str


@dataclass(slots=True)
class Vessel(Thing):
    """Anything that holds water: its sizes as measured, and today's waterline."""

    system: int = 0
    zone: str = ""
    shape: str = ""
    sizes: dict[str, Size] = field(default_factory=dict)
    lists: Lists = field(default_factory=lambda: Lists())
    inside: Inside = field(default_factory=Inside)
    height: Size | None = None
    mark: Size | None = None  # the depth it was recorded with [cm]
    depth: Size | None = None  # today's depth [cm]
    depth_at: datetime | None = None
    off_l: float = 0.0  # put in (or taken out) since, where no depth tells it
    equipment: dict[str, str] = field(default_factory=dict)
    sponge: SpongeFact | None = None  # as it was put in; squeezing it changes nothing of that
    squeezed_at: datetime | None = None
    feeds: tuple[FeedFact, ...] = ()  # of the last days
    readings: dict[str, ReadingFact] = field(default_factory=dict)
    gauged: tuple[Gauging, ...] = ()
    settled: Settled | None = None
    salt_steps: tuple[SaltStep, ...] = ()
    salt_counted: tuple[int, ...] = ()  # entries whose salt a gauging was worked out from
    left: int = 0  # the system it was isolated from
    stopped: Size | None = None  # its depth when the pump stands still [cm]
    content: dict[str, Any] = field(default_factory=dict)


@dataclass(slots=True)
class System(Thing):
    """Vessels that share water, and everything that happened to that water."""

    start: Filled | None = None
    vessels: list[int] = field(default_factory=list)
    connected: dict[int, Size] = field(default_factory=dict)
    """Sump and pipe water [L], by the vessel it was named with; it stays when that leaves."""
    into: int = 0  # the system it was rejoined to
    came_with: set[int] = field(default_factory=set)
    """Doses of a rejoined vessel: met by this water, and held by what came in with it."""
    water: list[WaterEvent] = field(default_factory=list)
    doses: list[DoseFact] = field(default_factory=list)
    readings: dict[str, ReadingFact] = field(default_factory=dict)
    history: list[ReadingFact] = field(default_factory=list)
    arrivals: list[ArrivalFact] = field(default_factory=list)
    looks: list[LookFact] = field(default_factory=list)
    deaths: list[DeathFact] = field(default_factory=list)
    slides: list[SlideFact] = field(default_factory=list)
    contacts: list[ContactFact] = field(default_factory=list)
    stops: list[Stopped] = field(default_factory=list)
    settled: list[tuple[int, datetime, int, str, str]] = field(default_factory=list)
    recorded: list[tuple[int, datetime, str]] = field(default_factory=list)  # kinds of plan steps
    quarantines: list[Quarantine] = field(default_factory=list)

    @property
    def sump(self) -> Size | None:
        """Its sump and pipe water [L]: named with several vessels, the largest counts once."""
        return max(self.connected.values(), key=lambda size: size.value, default=None)

    @property
    def quarantine(self) -> Quarantine | None:
        """The quarantine that runs now."""
        if self.quarantines and self.quarantines[-1].released is None:
            return self.quarantines[-1]
        return None


@dataclass(frozen=True, slots=True)
class Stay:
    """Where an animal was, from `since` until `until`."""

    vessel: int
    system: int
    since: datetime
    until: datetime | None
    entry: int


@dataclass(slots=True)
class Animal(Thing):
    """One fish or a group of several counted together."""

    count: int = 1
    stays: list[Stay] = field(default_factory=list)
    variety: str = ""
    stage: str = "adult"
    mass_g: float | None = None
    length_cm: float | None = None
    measured_at: datetime | None = None
    sex: str = ""
    marks: str = ""
    box: int = 0
    bag: int = 0
    source: str = ""
    came_of: int = 0  # the group it was taken out of
    releases: tuple[tuple[int, datetime, int], ...] = ()  # entry, when, of which quarantine
    free_until: datetime | None = None  # released by itself, it leaves the others' water by then
    last_look: LookFact | None = None
    photos: list[tuple[int, datetime, str]] = field(default_factory=list)

    @property
    def vessel(self) -> int:
        """The vessel it is in, 0 when it has left."""
        return self.stays[-1].vessel if self.stays and self.stays[-1].until is None else 0


@dataclass(slots=True)
class Bag:
    """One bag: counts, readings as kept, the method chosen and its checkpoints."""

    number: int
    since: datetime
    entries: list[int] = field(default_factory=list)
    content: dict[str, Any] = field(default_factory=dict)
    opened: datetime | None = None
    gasping_at: datetime | None = None
    photo: str = ""
    chosen: str = ""
    chosen_at: datetime | None = None
    chosen_entry: int = 0
    vessel: int = 0
    run: dict[str, Any] = field(default_factory=dict)  # the way as foretold when it was chosen
    checkpoints: list[Noted] = field(default_factory=list)
    steps: list[Noted] = field(default_factory=list)  # what: next, hold, go-on
    packed: datetime | None = None  # where the bag's own hours are known
    goes_to: int = 0  # the vessel meant before a way is chosen
    not_read: set[str] = field(default_factory=set)
    settled: list[int] = field(default_factory=list)  # animals that came out of it


@dataclass(slots=True)
class Box(Thing):
    """One box of a shipment."""

    shipment: int = 0
    bags: dict[int, Bag] = field(default_factory=dict)


@dataclass(slots=True)
class Shipment(Thing):
    """Boxes from one seller, delivered at the carrier's stamp."""

    seller: str = ""
    delivered: datetime | None = None
    packed: datetime | None = None
    claim_window_min: float | None = None
    boxes: list[int] = field(default_factory=list)
    claims: list[tuple[int, datetime, str]] = field(default_factory=list)
