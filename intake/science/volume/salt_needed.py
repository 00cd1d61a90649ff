"""How much salt tells a volume well enough, with this meter and what lives there."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from intake.science.meter import MeterError
from intake.science.problem import Problem, Refused
from intake.science.salt import (
    CONDUCTIVITY_SALT_RANGE_G_L,
    conductivity_us_cm_25c,
    salt_g_l_from_conductivity,
)
from intake.science.spread import Size
from intake.science.volume.answer import NOTHING
from intake.science.volume.asked import Asked
from intake.science.volume.catalogue import SHAPES
from intake.science.volume.gauging import SLOPE_PER_C, at_25c
from intake.science.volume.measure import true_volume
from intake.science.volume.salt_checks import meter_problem

GOAL_SHARE = 0.05
"""A volume known to this half-width is good enough to dose by [1]; common practice."""
TRIED = 200
"""Amounts looked at between none and the most, before the best is halved down to."""
HALVINGS = 40


@dataclass(frozen=True, slots=True)
class SaltNeeded:
    """The salt to weigh in [g], the rise it makes [g/L] and how well the volume is known then.

    `after` is what the meter will read, in its own unit; `reaches` the 95 % half-width in parts
    of the volume [1]; `enough` whether that is the goal.
    """

    salt_g: Decimal
    rise_g_l: float
    after: float
    reaches: float
    enough: bool


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter as it reads this water now.

    `sort` is as `salt_readings` of a volume, `before` its reading, `error` how far it can be
    off. `factor` is of one that reads ppm, `temp_c` [C] the water where it does not compensate.
    """

    sort: str
    before: Size
    error: MeterError
    factor: Size | None = None
    temp_c: Size | None = None

    def sizes(self) -> dict[str, Size]:
        """What the meter tells of the first reading, as the sizes of a gauging by salt."""
        found = {"before": self.before}
        if self.factor is not None:
            found["factor"] = self.factor
        if self.temp_c is not None:
            found |= {"before_temp": self.temp_c, "after_temp": self.temp_c}
        return found

    def after(self, rise_g_l: float) -> float:
        """What it reads once so much salt [g/L] is mixed in; beyond the curve, its end.

        Raises
        ------
        Refused
            ``not-in-range``: it reads more than the curve knows already.
        """
        if self.sort == "salt":
            return self.before.value + rise_g_l
        values = _values(self)
        there_g_l = salt_g_l_from_conductivity(at_25c(values, "before"))
        per_25c = at_25c({**values, "before": 1.0}, "before")
        most_g_l = CONDUCTIVITY_SALT_RANGE_G_L[1]
        return conductivity_us_cm_25c(min(there_g_l + rise_g_l, most_g_l)) / per_25c

    def room_g_l(self) -> float:
        """How much salt its curve still tells over what it reads now [g/L]."""
        if self.sort == "salt":
            return CONDUCTIVITY_SALT_RANGE_G_L[1]
        there = salt_g_l_from_conductivity(at_25c(_values(self), "before"))
        return CONDUCTIVITY_SALT_RANGE_G_L[1] - there

    def there_g_l(self) -> float:
        """The most salt that what it reads now can be [g/L]: a conductivity, all of it."""
        high = self.before.value + self.before.half
        if self.sort == "salt":
            return high
        return salt_g_l_from_conductivity(at_25c({**_values(self), "before": high}, "before"))


def _values(meter: Meter) -> Mapping[str, float]:
    found = {name: size.value for name, size in meter.sizes().items()}
    return found | {"salt.slope": SLOPE_PER_C.value}


def salt_needed(
    volume_l: float, meter: Meter, most_g: float | None, step_g: Decimal
) -> SaltNeeded:
    """The least salt after which a gauging by salt is known to 5 %, in whole steps of a scale.

    Parameters
    ----------
    volume_l
        The largest that the volume may be by what is known so far [L]: the rise is least in it.
    meter
        The meter and its reading now.
    most_g
        What may go in at most [g], None where nothing limits it. It is never passed: the salt
        is then rounded down to a step, and what that reaches is answered.
    step_g
        The step of the scale [g].

    Raises
    ------
    Refused
        ``not-in-range``: the water reads beyond the meter's curve already. ``over-hard-limit``:
        not one step of salt may go in.

    Notes
    -----
    The half-width is that of `true_volume` itself: both readings, the slope of a meter that
    does not compensate, and the 2 % of the salt curve. A meter off by a share of its reading
    has a best amount, more salt than that tells no more.
    """
    top_g = meter.room_g_l() * volume_l * (1 - 1e-9)
    if most_g is not None:
        top_g = min(top_g, most_g)
    if top_g < step_g:
        raise _nothing(top_g, step_g)
    reached = _smallest(lambda grams: half_share(grams, volume_l, meter), top_g)
    grams = _whole(Decimal(repr(reached)), Decimal(repr(top_g)), step_g)
    share = half_share(float(grams), volume_l, meter)
    rise = float(grams) / volume_l
    return SaltNeeded(grams, rise, meter.after(rise), share, share <= GOAL_SHARE)


def _whole(grams: Decimal, top_g: Decimal, step_g: Decimal) -> Decimal:
    steps = (grams / step_g).to_integral_value(ROUND_CEILING)
    if steps * step_g > top_g:
        steps = (top_g / step_g).to_integral_value(ROUND_FLOOR)
    return steps * step_g


def _nothing(top_g: float, step_g: Decimal) -> Refused:
    return Refused(
        "over-hard-limit",
        f"not one step of {step_g} g may go in",
        limit=max(top_g, 0.0),
        value=float(step_g),
        unit="g",
        source="the salt limit of what lives there, and the end of the salt curve",
        way_out="change water first, or gauge it by the bucket",
    )


def half_share(salt_g: float, volume_l: float, meter: Meter) -> float:
    """The 95 % half-width of the volume that so much salt tells, in parts of it [1]."""
    after = meter.after(salt_g / volume_l)
    sizes = meter.sizes() | {
        "salt": Size(salt_g),
        "after": Size(after, meter.error.half(after)),
    }
    try:
        found = true_volume("by-salt", sizes, salt_readings=meter.sort)
    except Refused:
        return float("inf")
    if isinstance(found, Problem):
        return float("inf")
    return max(found.high_l - found.volume_l, found.volume_l - found.low_l) / found.volume_l


def _smallest(share: Callable[[float], float], top_g: float) -> float:
    """The least amount up to `top_g` that meets the goal, else the one that comes nearest."""
    grid = [top_g * n / TRIED for n in range(1, TRIED + 1)]
    shares = [share(grams) for grams in grid]
    first = next((n for n, found in enumerate(shares) if found <= GOAL_SHARE), None)
    if first is None:
        return grid[min(range(TRIED), key=shares.__getitem__)]
    low, high = (grid[first - 1] if first else 0.0), grid[first]
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if share(middle) <= GOAL_SHARE else (middle, high)
    return high


def meter_fault(meter: Meter) -> Problem | None:
    """What is wrong with how the meter is told, None where it can be read with."""
    sizes = meter.sizes() | {"salt": Size(1.0), "after": meter.before}
    asked = Asked(SHAPES["by-salt"], sizes, NOTHING, salt_readings=meter.sort)
    return meter_problem(asked, {name: size.value for name, size in asked.flat().items()})
