"""What Dose shows: what, where and how strong, then one amount to read back."""

from __future__ import annotations

from dataclasses import dataclass

from intake.flows.views.parts import Bar, Care, LineAsked, Need, Shown, Stop


@dataclass(frozen=True, slots=True)
class DoseDue:
    """A dose the calendar asks for, offered first."""

    task: str
    treatment: str
    title: str
    course: str
    vessel: str
    when: str  # "due 19:00", "2 h overdue"


@dataclass(frozen=True, slots=True)
class TreatmentChoice:
    """One line of *what*: `status` is label, common practice, vet only or not advised."""

    treatment: str
    title: str
    status: str
    courses: tuple[tuple[str, str], ...]  # (name, "0.3 % for days, 2 to 3 g/L")
    note: str = ""
    kind: str = "treatment"  # "support" | "treatment" | "vet" | "cleaning"
    against: str = ""  # "white spot, costia"


@dataclass(frozen=True, slots=True)
class VesselChoice:
    """One line of *where*: the vessel, its true water and its doubt, who lives there."""

    vessel: str
    volume: Shown
    occupants: str
    zone: str


@dataclass(frozen=True, slots=True)
class DoseChoices:
    """All there is to choose from before an amount exists."""

    due: tuple[DoseDue, ...]
    treatments: tuple[TreatmentChoice, ...]
    vessels: tuple[VesselChoice, ...]
    tools: tuple[tuple[str, str], ...]  # (name, "0.01 g steps")


@dataclass(frozen=True, slots=True)
class DoseAsk:
    """What the keeper asked for, as typed; empty text means the protocol's usual."""

    treatment: str = ""
    course: str = ""
    vessel: str = ""
    target: str = ""
    strength: str = ""
    tool: str = ""
    reason: str = ""  # --reason: sign or finding
    soft: tuple[tuple[str, str], ...] = ()  # (warning code, reason picked)
    task: str = ""
    product: str = ""  # the bottle it is taken from, NAME#ENTRY


@dataclass(frozen=True, slots=True)
class ConditionShown:
    """One word of the conditions row: "temperature read 07:10" or NEED. met None: unknown."""

    quantity: str
    text: str
    met: bool | None


@dataclass(frozen=True, slots=True)
class DoseView:
    """One dose worked out, or why not. The big number exists only when `ready`.

    `amount` is the amount counted in whole steps of the tool: its text is exactly the digits to
    weigh or draw ("0.75"), its unit "g", "mg" or "mL". `spoken` is the same amount in words.
    `asks_strength` is True where the protocol wants it typed from the packet; `strength_unit`
    labels the field ("strength on packet, %"). `strength_matches` None: not typed yet.
    """

    title: str  # "Praziquantel powder"
    treatment: str
    course: str
    vessel: str
    volume: Shown
    occupants: str
    reaches: tuple[str, ...]  # all vessels that share the water
    target: Shown
    target_range: str  # "2 to 5 mg/L, usual 2"
    level: Bar
    amount: Shown | None
    spoken: str
    tool: str  # "the 0.01 g scale"
    tool_verb: str  # "weigh on" | "draw up with"
    step_error: str  # "0.2 % under", "" when none
    product: str  # "batch P-2281, good to May 2027"
    asks_strength: bool
    strength_unit: str
    strength_matches: bool | None
    conditions: tuple[ConditionShown, ...]
    cares: tuple[Care, ...]  # worst first
    stops: tuple[Stop, ...]
    needs: tuple[Need, ...]
    before: tuple[str, ...]
    during: tuple[str, ...]
    after: tuple[str, ...]
    handling: tuple[str, ...]
    stock: str  # "dissolve 1.00 g in 100 mL, draw 7.5 mL", "" when not needed
    because: str
    how: tuple[str, ...]  # key h: the working, line by line, with sources
    so_far: tuple[tuple[str, str], ...] = ()  # roomy: the course so far (when, what)
    lines: tuple[LineAsked, ...] = ()  # read too long ago: keys a and l answer the first
    directed: str = ""  # "Dr Vaz, Thu 5 Nov 08:00: 4 g/L for five days"
    curve: tuple[tuple[float, float], ...] = ()  # roomy: days from now, level at the high end

    @property
    def ready(self) -> bool:
        """Nothing bars the way and the amount is known."""
        return self.amount is not None and not self.stops and not self.needs
