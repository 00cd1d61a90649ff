"""What happened to one treatment in one water system: the events its residue follows from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Residue:
    """A concentration in the ledger's unit: the likely value and its ends."""

    now: float
    low: float
    high: float


NONE_LEFT = Residue(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Filled:
    """The water at the ledger's start: volume and ends [L], and what it already holds."""

    at_utc: datetime
    volume_l: float
    low_l: float
    high_l: float
    level: Residue = NONE_LEFT


@dataclass(frozen=True, slots=True)
class Dosed:
    """An addition: `amount` and its ends in the ledger's unit times litres (g, mg or uL)."""

    at_utc: datetime
    amount: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Changed:
    """A batch change: a `share` of the water (0 to 1), or `out_l` taken out and `in_l` put in.

    With a share the volume stays as it was. `new` is what the new water holds.
    """

    at_utc: datetime
    share: float | None = None
    out_l: float = 0.0
    in_l: float = 0.0
    new: Residue = NONE_LEFT


@dataclass(frozen=True, slots=True)
class Flushed:
    """New water run through, fully mixed, the level staying: `through_l` [L] in all.

    Without `surely` it may have run off as it came: the high end then takes nothing as gone.
    """

    at_utc: datetime
    through_l: float
    new: Residue = NONE_LEFT
    surely: bool = True


@dataclass(frozen=True, slots=True)
class Evaporated:
    """Water lost to the air [L]: nothing else goes with it."""

    at_utc: datetime
    volume_l: float


@dataclass(frozen=True, slots=True)
class ToppedUp:
    """Water added without any taken out [L], holding `new`."""

    at_utc: datetime
    volume_l: float
    new: Residue = NONE_LEFT


@dataclass(frozen=True, slots=True)
class Regauged:
    """The volume found again [L] at the same content: a new tape, a level, another line."""

    at_utc: datetime
    volume_l: float
    low_l: float
    high_l: float


@dataclass(frozen=True, slots=True)
class Levelled:
    """The waterline read: the volume then, and what became of what the missing water held.

    `gone` of what fell: "none" (evaporated: all stays), "all" (leaked or taken out) or "perhaps"
    (nobody knows: only the low end takes it as gone). Water that came in holds `new`.
    """

    at_utc: datetime
    volume_l: float
    low_l: float
    high_l: float
    gone: str = "perhaps"
    new: Residue = NONE_LEFT


@dataclass(frozen=True, slots=True)
class Joined:
    """Another water let in with what it holds: a vessel rejoined."""

    at_utc: datetime
    volume_l: float
    low_l: float
    high_l: float
    level: Residue


@dataclass(frozen=True, slots=True)
class Portion:
    """One part of the water followed from now on, as strong as the whole: its volume [L]."""

    at_utc: datetime
    volume_l: float
    low_l: float
    high_l: float


@dataclass(frozen=True, slots=True)
class Removing:
    """Carbon, UV or ozone at work from now on: half-life ends [h], None: perhaps not at all.

    Both None ends the removal.
    """

    at_utc: datetime
    half_life_low_h: float | None
    half_life_high_h: float | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """A reading of the substance itself: where it is more than was dosed, it counts.

    The low end never rises by it, so that a reading that is too high does not hide a dose.
    """

    at_utc: datetime
    level: Residue


Event = (
    Found
    | Dosed
    | Changed
    | Flushed
    | Evaporated
    | ToppedUp
    | Regauged
    | Levelled
    | Joined
    | Portion
    | Removing
)


@dataclass(frozen=True, slots=True)
class Ledger:
    """One substance in one water system: the fill and every event after it, in any order.

    Events at the same instant count in the order given; events before the fill do not count.
    `unit` is the treatment's concentration unit (g/L, mg/L or uL/L). `half_life_low_h` and
    `half_life_high_h` [h] are the ends of its own decay; None at the low end: none at all,
    None at the high end: perhaps none.
    """

    unit: str
    start: Filled
    events: tuple[Event, ...] = ()
    half_life_low_h: float | None = None
    half_life_high_h: float | None = None
