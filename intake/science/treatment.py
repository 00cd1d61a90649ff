"""The frozen shapes a treatment is computed with; protocol files are read into them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from intake.science.course_parts import AskedAs, PerReading, Rate, Source


@dataclass(frozen=True, slots=True)
class Bound:
    """A limit on a concentration or size, in the course's target unit unless `unit` says else.

    `hard` bounds refuse, the others warn with `code`. `above`, `below` say at which values of the
    reading `quantity` (in its own unit, temperature in C) it applies; both None: always. An
    `untried` one holds until one fish of the group was treated and lived through the next day.
    """

    value: Decimal
    unit: str
    source: Source
    hard: bool = True
    above: Decimal | None = None
    below: Decimal | None = None
    code: str = ""
    quantity: str = "temp"
    untried: bool = False


@dataclass(frozen=True, slots=True)
class Condition:
    """What the water must be for a course, and how that has to be known.

    `quantity` is a reading name (temp, ph, kh, gh, oxygen, tan, no2, salt). `evidence` is
    measured, estimated or witnessed; a reading older than `max_age_h` [h] does not count.
    A hard condition refuses, a soft one warns with `warning`.
    """

    quantity: str
    low: Decimal | None
    high: Decimal | None
    unit: str
    evidence: str
    max_age_h: Decimal
    source: Source
    hard: bool = True
    warning: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Strength:
    """One form the trade sells: `value` in `unit` ("% w/w", "% w/v", "mg/mL").

    `counts_as` is the share of the product that counts as the dosed thing: 1 where the product
    itself is what the target counts (formalin, salt), 0.98 for a 98 % powder dosed as active,
    0.2545 for copper sulfate dosed as copper. For liquids stated per volume ("% w/v", "mg/mL")
    it is grams counted per mL of product. A liquid in "% w/w" that is dosed by what is in it
    needs its `density_g_ml` [g/mL].
    """

    form: str
    value: Decimal
    unit: str
    counts_as: Decimal
    state: str  # "powder" | "liquid" | "tablet"
    usual: bool = False
    source: Source | None = None
    density_g_ml: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Repeat:
    """How often a course is dosed: every so many hours, so many times (0: until stopped).

    `depends_on` names what moves it: "life-cycle", "temperature", "readings". `by_temperature`
    are pairs of water temperature [C] and hours between doses [h], colder first.
    """

    every_h: Decimal
    times: int
    source: Source
    text: str = ""
    depends_on: tuple[str, ...] = ()
    by_temperature: tuple[tuple[Decimal, Decimal], ...] = ()


@dataclass(frozen=True, slots=True)
class Interval:
    """Time since the last dose of the same treatment [h]: under `not_before_h` is refused
    `too-soon`, under `usual_every_h` is warned `early`.
    """

    not_before_h: Decimal | None
    usual_every_h: Decimal | None
    source: Source


@dataclass(frozen=True, slots=True)
class DoseStep:
    """One step of a stepped course: raise to `target` (course unit), `after_h` from the first."""

    target: Decimal
    after_h: Decimal


@dataclass(frozen=True, slots=True)
class Course:
    """One way a treatment is given: route, target range, limits, conditions, timing.

    A course that `adds` counts its target from nothing: each dose adds so much, and the limit
    holds what is there as well. The figures of one `by_vet` are zero until a vet's recorded
    direction gives them.
    """

    name: str
    route: str  # "prolonged" | "bath" | "dip" | "feed" | "eggs" | "clean" | "heat"
    unit: str  # target unit: "g/L", "mg/L", "uL/L", "mg/kg/d", "C" of heat
    low: Decimal
    usual: Decimal
    high: Decimal
    sources: tuple[Source, ...]
    bounds: tuple[Bound, ...]
    conditions: tuple[Condition, ...] = ()
    duration_min_h: Decimal | None = None
    duration_max_h: Decimal | None = None
    repeat: Repeat | None = None
    interval: Interval | None = None
    steps: tuple[DoseStep, ...] = ()
    stages: tuple[str, ...] = ("juvenile", "adult")
    stage_source: Source | None = None
    before: tuple[str, ...] = ()
    during: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    stop_signs: tuple[str, ...] = ()
    note: str = ""
    duration_source: Source | None = None
    steps_source: Source | None = None
    counts: str = ""  # "treatment" | "support" where this course differs from its treatment
    against: tuple[str, ...] = ()
    adds: bool = False
    by_vet: bool = False
    per: PerReading | None = None
    asked_as: AskedAs | None = None
    rate: Rate | None = None


@dataclass(frozen=True, slots=True)
class Handling:
    """People's safety for one form sold: hazard statements, what to wear, storage."""

    form: str
    signal: str
    statements: tuple[str, ...]
    wear: tuple[str, ...]
    storage: str
    source: Source


@dataclass(frozen=True, slots=True)
class OxygenTaken:
    """Oxygen [mg/L] that each so much of a treatment takes out of the water, at most."""

    each: Decimal
    unit: str
    takes_mg_l: Decimal
    source: Source


@dataclass(frozen=True, slots=True)
class Sensitive:
    """Kinds of animals, by words in their variety, that do not stand it; `hard` refuses."""

    kinds: tuple[str, ...]
    hard: bool
    text: str
    source: Source


@dataclass(frozen=True, slots=True)
class AmmoniaTests:
    """Ammonia is tested every day from a dose of a course on, until so long after the last [h]."""

    from_dose: int
    until_after_h: Decimal
    source: Source


@dataclass(frozen=True, slots=True)
class Treatment:
    """Everything a protocol file says of one treatment.

    `basis` is product-volume, product-mass, active, ion, available-iodine or
    available-chlorine. `after_change` is replace, next-dose-only, by-colour or ask.
    `residue_end` says which end of the residue range counts for the amount ("low" or "high");
    the high end always counts against limits. `margin` narrow rounds an amount down.
    """

    id: str
    title: str
    version: str
    status: str  # "label" | "common practice" | "vet only" | "not advised"
    counts: str  # "treatment" | "support"
    basis: str
    strengths: tuple[Strength, ...]
    from_label: bool
    after_change: str
    residue_end: str
    margin: str
    courses: tuple[Course, ...]
    cautions: tuple[str, ...]
    handling: tuple[Handling, ...]
    masks: tuple[str, ...] = ()
    always_warn: tuple[tuple[str, str], ...] = ()  # (warning code, text)
    half_life_low_h: Decimal | None = None
    half_life_high_h: Decimal | None = None
    half_life_source: Source | None = None
    removed_by: tuple[str, ...] = ()  # "carbon" | "uv" | "ozone" | "zeolite"
    solubility_g_l: Decimal | None = None
    biofilter: str = ""
    light: str = ""
    oxygen: str = ""
    wash_out: str = ""
    neutraliser: str = ""
    legal: str = ""
    disagree: tuple[str, ...] = ()
    crowded_over_g_l: Decimal | None = None
    path: str = ""
    sha256: str = ""
    solubility_source: Source | None = None
    crowded_source: Source | None = None
    oxygen_taken: OxygenTaken | None = None
    sensitive: tuple[Sensitive, ...] = ()
    ammonia_tests: AmmoniaTests | None = None

    def counts_as(self, course: Course) -> str:
        """Whether this course counts as "treatment" or "support"."""
        return course.counts or self.counts

    def course(self, name: str | None) -> Course | None:
        """The named course, the first one for None, or None where there is no such course."""
        if name is None:
            return self.courses[0] if self.courses else None
        return next((c for c in self.courses if c.name == name), None)

    @property
    def usual_strength(self) -> Strength:
        """The strength assumed where none is typed."""
        return next((s for s in self.strengths if s.usual), self.strengths[0])


@dataclass(frozen=True, slots=True)
class NeverMix:
    """Two treatments that are never in the same water, and for how many days after [d]."""

    first: str
    second: str
    why: str
    source: Source
    days: Decimal
    hard: bool


"""A hard pair is refused `never-mix`; a soft one (sources disagree) warns `sources-disagree`."""
