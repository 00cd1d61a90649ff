"""What Receive shows: from the unopened bag to fish in a vessel."""

from __future__ import annotations

from dataclasses import dataclass

from intake.drawing.run_chart import Panel
from intake.flows.views.parts import Bar, Shown

STEPS = ("open", "read", "choose", "run", "settle")


@dataclass(frozen=True, slots=True)
class BagLine:
    """One bag in the list of bags waiting."""

    box: str
    bag: int
    fish: str
    step: str  # one of STEPS, "settled"
    said: str
    why: str = ""  # what puts it where it stands: "NH3 in it up to 0.08 mg/L as N, limit 0.05"


@dataclass(frozen=True, slots=True)
class ReceiveList:
    """Shipments on hand. Empty: one sentence and the key that begins one."""

    shipments: tuple[tuple[str, str], ...]  # (name, "from A. Breeder, delivered 17:40")
    bags: tuple[BagLine, ...]  # the most urgent first
    claims: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BagQuestion:
    """One question of open and read. `assumed` is what stands in for "?" (not read)."""

    field: str  # "hours", "fish", "temp", "ph", "tan", "kh", "volume"
    ask: str  # "temperature of the bag"
    kind: str  # kind of science/quantity: "temperature", "ph", "tan", "count" ...
    basis: str = ""  # kit basis for "tan": "N", "NH3", "NH4" or ""
    text: str = ""  # as typed before
    shown: Shown | None = None
    assumed: str = ""  # "0.5 to 6 mg/L, from 24 h packed and 3 fish of 90 g"
    hint: str = ""  # "keep it shut; take 20 mL through the neck"
    kit: str = ""  # "drop kit", the room's only one for it
    steps: tuple[str, ...] = ()  # its colours, to pick one


@dataclass(frozen=True, slots=True)
class Compared:
    """One row of the two waters side by side."""

    label: str
    bag: Shown
    vessel: Shown
    said: str  # "tub 4.6 C warmer"
    roomy: bool = False  # only in the roomy layout


@dataclass(frozen=True, slots=True)
class Cell:
    """One figure of a method. `mark`: "" | "care" | "stop"."""

    text: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Method:
    """One way across; `letter` A to D; `name` as in the command line's options."""

    letter: str
    name: str
    title: str  # "float, lift"
    best: bool
    peak: Cell
    exposure: Cell
    warming: Cell
    ph: Cell
    minutes: Cell
    breaks: tuple[str, ...]
    steps: tuple[str, ...]
    assumes: tuple[str, ...]
    because: str
    curve: tuple[tuple[float, float], ...] = ()  # (minutes, NH3) for the roomy chart


@dataclass(frozen=True, slots=True)
class Doubt:
    """One doubt (key x): what was assumed and what measuring it would change."""

    what: str
    assumed: str
    would_change: str
    measures: str  # field of BagQuestion, "" if it cannot be measured


@dataclass(frozen=True, slots=True)
class RunStep:
    """One step of a run. `state`: done | now | later."""

    number: int
    text: str
    state: str
    at: str = ""  # "18:24"
    ends: str = ""  # "19:09"
    fraction: float | None = None  # 0..1 of the run-bar for the step under way


@dataclass(frozen=True, slots=True)
class Run:
    """A live run. `minutes` are those of the block digits, low and high its range."""

    minutes: int
    minutes_low: int
    minutes_high: int
    to_what: str  # "to the lift"
    ends: str  # "19:09"
    lines: tuple[str, ...]  # "bag 17.2 C, tub 19.4 C, aim within 1 C"
    steps: tuple[RunStep, ...]
    checks: tuple[tuple[str, str, str, str], ...]  # (at, foretold, measured, said)
    panels: tuple[Panel, ...]  # temperature, pH, NH3 over the minutes
    holding: bool
    next_reading: str  # "next reading in 4 min: bag temperature"
    asks: BagQuestion | None
    because: str
    shut: bool = True  # the bag stays shut until the lift
    moved: tuple[str, ...] = ()  # what the newest reading moved, then what readings taught
    lift_now: bool = False  # readings say that NH3 passes its limit


@dataclass(frozen=True, slots=True)
class ReceiveView:
    """One bag. `step` tells which of the five faces is shown."""

    shipment: str
    box: str
    bag: int
    bags: int
    fish: str  # "3 fish"
    packed: str  # "24 h"
    vessel: str
    step: str
    questions: tuple[BagQuestion, ...]
    compared: tuple[Compared, ...]
    nh3_unit: str
    nh3_limit: float | None
    levels: tuple[Bar, ...]
    methods: tuple[Method, ...]
    doubts: tuple[Doubt, ...]
    reasons: tuple[tuple[str, str], ...]  # for taking another than the best
    run: Run | None
    because: str
    vessels: tuple[tuple[str, str], ...] = ()  # choices of where they go (name, detail)
