"""What Vessels shows: the drawing, the true water and how it is known."""

from __future__ import annotations

from dataclasses import dataclass

from intake.flows.views.parts import Shown


@dataclass(frozen=True, slots=True)
class VesselLine:
    """One vessel of the list."""

    vessel: str
    system: str
    shape: str
    volume: Shown
    zone: str
    occupants: str


@dataclass(frozen=True, slots=True)
class Profile:
    """The cross-section along the length: half-widths by height [cm], floor first.

    `outline` has (height, width) pairs from floor to rim, straight between them; a bowl or a
    drum gives enough points to look round. `depth_cm` is the water at today's line.
    """

    outline: tuple[tuple[float, float], ...]
    depth_cm: float
    rim_cm: float
    gravel_cm: float
    length_waterline_cm: float
    length_floor_cm: float


@dataclass(frozen=True, slots=True)
class PlanView:
    """Seen from above: corner points [cm] of the waterline and of the floor."""

    waterline: tuple[tuple[float, float], ...]
    floor: tuple[tuple[float, float], ...]
    said: str  # "152 x 76 cm"


@dataclass(frozen=True, slots=True)
class Gauged:
    """One way the volume was found."""

    method: str  # "tape", "fill", "salt", "flow"
    volume: Shown
    said: str  # "38 buckets of 10.03 L on 14 Nov, same line"


@dataclass(frozen=True, slots=True)
class VesselView:
    """One vessel. `digits` is the volume for the block digits ("372")."""

    vessel: str
    system: str
    shape: str  # "racetrack, tapered, gravel"
    digits: str
    half_text: str  # "± 11 L"
    range_text: str  # "361 to 383 L"
    limits_use: str  # "361 L"
    profile: Profile | None
    plan: PlanView | None
    gauged: tuple[Gauged, ...]
    agreement: str  # "they agree" | "they differ" | ""
    agreement_said: str
    taken_off: tuple[tuple[str, str], ...]  # roomy sum: ("full at the line", "391 L") ...
    per_cm: str  # "each cm of line is 10.3 L"
    because: str
    depth_text: str  # "46 cm"
    doubts: tuple[tuple[str, str], ...] = ()  # while measuring: ("floor-width", "± 0.5 cm  31 %")
    doubt_from: str = ""  # the size that adds most
    guessed: tuple[str, ...] = ()  # sizes that only the drawing needs, in proportion
    marks: tuple[str, ...] = ()  # a level table as rows, top first
    line_text: str = "true water at today's line"
    has_depth: bool = True  # a tape can tell its line
    shared: Gauged | None = None  # the water it shares, and with what


@dataclass(frozen=True, slots=True)
class VesselsView:
    """All vessels, in round order."""

    vessels: tuple[VesselLine, ...]
    because: str
    paused: tuple[tuple[str, str], ...] = ()  # fillings under way: the name, what is in


@dataclass(frozen=True, slots=True)
class SizeQuestion:
    """One size asked while a vessel is measured, at the arrow where the tape goes."""

    field: str  # option name without dashes: "length", "floor-width", "depth" ...
    ask: str  # "length at the waterline"
    kind: str
    arrow: str  # "top" | "floor" | "side" | "across" | "middle"
    text: str = ""
    needed: bool = True
    unit: str = ""  # the room's unit; "" where the kind has one of its own
    how: str = ""  # one sentence, for the because line
    longer: str = ""  # where to hold the tape, and what misleads it
    fold: str = ""  # asked only where the walls do that: "walls lean" ...
