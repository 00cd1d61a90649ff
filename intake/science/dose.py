"""The frozen shapes of one dose: what is asked, what is answered, what was broken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, time
from decimal import Decimal
from zoneinfo import ZoneInfo

from intake.science.amount import StatedStrength
from intake.science.conditions import Reading
from intake.science.ledger import Residue
from intake.science.mixing import Present, Recent
from intake.science.problem import Warn
from intake.science.recipes import Recipe
from intake.science.tools import Tool
from intake.science.treatment import NeverMix, Repeat, Treatment


@dataclass(frozen=True, slots=True)
class WaterVolume:
    """True water at today's line [L] with its 95 % ends; an exact one has three equal numbers."""

    volume_l: Decimal
    low_l: Decimal
    high_l: Decimal


@dataclass(frozen=True, slots=True)
class Direction:
    """A vet's recorded direction for one treatment: `target` in the course's unit.

    It lifts the statuses "vet only" and "not advised" and the protocol's hard limit up to its
    target, for its treatment and course only, never a ceiling.

    Parameters
    ----------
    course
        The course it is for; None: every one.
    drug
        What the vet named, where that has no protocol of its own.
    said_on
        When, as people read it.
    every_h
        Between two doses [h]; None: the vet did not say.
    lasts_h
        How long the direction holds [h].
    entry
        The number of its entry.
    """

    vet: str
    words: str
    treatment: str
    target: Decimal | None = None
    course: str | None = None
    drug: str = ""
    said_on: str = ""
    every_h: Decimal | None = None
    lasts_h: Decimal | None = None
    entry: int = 0


@dataclass(frozen=True, slots=True)
class DoseRequest:
    """One dose asked for, with everything known about the water and the fish it reaches.

    Parameters
    ----------
    treatment
        The protocol.
    now_utc
        The program's clock; readings and intervals are aged against it.
    course
        The course's name, None for the first.
    volume
        The water dosed; not used by feed courses.
    fish_mass_g
        All fish reached [g]: the basis of a feed course, and of crowding in a bath.
    ration_percent
        Feed per day [% of fish mass], for the strength of the medicated feed.
    target
        In the course's unit; None: the next step, the vet's target, or the course's usual.
    already
        What is there before the dose, in the course's unit; None: none.
    strength
        Typed from the label; None: that of `bottle`, else the protocol's usual one.
    bottle, bottle_entry
        The strength recorded for the product on the shelf, and the number of its entry.
    tool
        What it will be weighed or drawn with; None: the exact amount only.
    syringe_ml
        The finest step a stock is drawn in [mL]; None: whole millilitres.
    readings
        By quantity name: temp [C], ph, kh and gh [meq/L], oxygen [mg/L], tan and no2 [mg/L],
        salt [g/L].
    stages
        Of everything alive in the water the dose reaches; empty: taken as adult.
    kinds
        The varieties of everything alive in that water, as they were recorded.
    present
        Other treatments in this water (`with` ones included), against `never_mix`.
    recent
        Other treatments this water or these fish met, against `never_mix`.
    last_dose_utc
        The last dose of this same treatment that this water or these fish met.
    first_dose_utc, doses_given
        Of the running course: dates the steps, counts the repeats.
    undirected
        Why a direction that was recorded does not hold here, for the refusal.
    replaces
        The dose only puts back what a change took out; the interval does not apply to it where
        the protocol says ``after_change: replace``.
    reaches
        Names of the vessels that share the water.
    tried
        Whether one of these fish met the treatment before and lived through the next day; None
        where that is not known.
    lasts_h
        How long the fish are in a bath [h]; None: as long as the course says.
    quiet, zone
        The hours of the night in which nobody ends it, in the room's zone; None: not judged.
    """

    treatment: Treatment
    now_utc: datetime
    course: str | None = None
    volume: WaterVolume | None = None
    fish_mass_g: Decimal | None = None
    ration_percent: Decimal | None = None
    target: Decimal | None = None
    already: Residue | None = None
    strength: StatedStrength | None = None
    bottle: StatedStrength | None = None
    bottle_entry: int = 0
    tool: Tool | None = None
    syringe_ml: Decimal | None = None
    readings: Mapping[str, Reading] = field(default_factory=dict)
    stages: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    never_mix: tuple[NeverMix, ...] = ()
    present: tuple[Present, ...] = ()
    recent: tuple[Recent, ...] = ()
    last_dose_utc: datetime | None = None
    first_dose_utc: datetime | None = None
    doses_given: int = 0
    replaces: bool = False
    direction: Direction | None = None
    undirected: str = ""
    reaches: tuple[str, ...] = ()
    tried: bool | None = None
    lasts_h: Decimal | None = None
    quiet: tuple[time, time] | None = None
    zone: ZoneInfo | None = None


@dataclass(frozen=True, slots=True)
class PlannedDose:
    """One dose of a course: raise to `target` at `at_utc`, with `amount` if nothing is lost."""

    target: Decimal
    at_utc: datetime
    amount: Decimal


@dataclass(frozen=True, slots=True)
class DoseAnswer:
    """A dose worked out: concentrations in `target_unit`, amounts in `amount_unit` (g or mL).

    `amount` is exact; `measured` is a whole number of `steps` of the tool (None without one).
    `result` is what the water then holds at its nominal volume, `result_high` at its smallest
    likely volume with the high end of what was there. A feed course's amount is for one day,
    `feed_g_per_kg` the strength of the feed when a ration is given.
    """

    treatment: str
    title: str
    course: str
    route: str
    target: Decimal
    target_unit: str
    basis: str
    volume_l: Decimal | None
    volume_l_low: Decimal | None
    volume_l_high: Decimal | None
    already: Residue
    amount: Decimal
    amount_unit: str
    measured: Decimal | None
    steps: int | None
    rounding_percent: Decimal | None
    result: Decimal
    result_high: Decimal
    low: Decimal
    usual: Decimal
    high: Decimal
    hard_limit: Decimal
    hard_limit_source: str
    reaches: tuple[str, ...]
    repeat: Repeat | None
    doses: tuple[PlannedDose, ...]
    against: tuple[str, ...]
    cautions: tuple[str, ...]
    handling: tuple[str, ...]
    before: tuple[str, ...]
    during: tuple[str, ...]
    after: tuple[str, ...]
    stop_signs: tuple[str, ...]
    stock: Recipe | None
    feed_g_per_kg: Decimal | None
    protocol_path: str
    protocol_version: str
    protocol_sha256: str
    assumptions: tuple[str, ...]
    warnings: tuple[Warn, ...]
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JudgedDose:
    """An amount the keeper measured, found inside every hard limit.

    `result`, `result_high` as in `DoseAnswer`.
    """

    course: str
    target_unit: str
    amount: Decimal
    amount_unit: str
    result: Decimal
    result_high: Decimal
    hard_limit: Decimal
    warnings: tuple[Warn, ...]
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Broken:
    """A limit that something already given broke; stored with it, never a refusal."""

    code: str
    text: str
    limit: Decimal | None
    value: Decimal | None
    unit: str
    source: str
