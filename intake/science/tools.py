"""Amounts in whole steps of the keeper's scale or syringe."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_DOWN, Decimal

from intake.science.figures import figure
from intake.science.limits import allowed, twelve
from intake.science.problem import Refused
from intake.science.recipes import WHOLE_ML, Recipe, Stock, recipe_of, stock_of

ROUNDING_WARN_PERCENT = Decimal(5)
"""A rounding error over this is told [%]: of 2,031 doses 27 were off by over 10 % once rounded.

Source: Johnson et al. 2011, Pediatrics, automated dose-rounding; the two figures themselves are
common practice.
"""
ROUNDING_REFUSE_PERCENT = Decimal(10)
"""A rounding error over this is refused [%]. Common practice."""
SMALLEST_AMOUNT = Decimal("0.0001")
"""The least that any tool of a fish room weighs or draws [g or mL]. Common practice."""
LARGEST_AMOUNT = Decimal(1_000_000)
"""The most that is believed to be meant [g or mL]: a tonne. Common practice."""
_IN_BASE = {"g": ("g", Decimal(1)), "mg": ("g", Decimal("0.001")), "mL": ("mL", Decimal(1))}


@dataclass(frozen=True, slots=True)
class Tool:
    """A scale or syringe and its smallest step, in `unit` (g, mg or mL)."""

    name: str
    step: Decimal
    unit: str

    @property
    def base_unit(self) -> str:
        """What it reads amounts in: g or mL."""
        return _IN_BASE[self.unit][0]

    @property
    def base_step(self) -> Decimal:
        """Its step in g or mL."""
        return self.step * _IN_BASE[self.unit][1]


@dataclass(frozen=True, slots=True)
class Measured:
    """An amount in whole steps; `rounding_percent` is negative where it is less than asked."""

    amount: Decimal
    steps: int
    rounding_percent: Decimal


class CannotMeasure(Refused):
    """Refused `cannot-measure`; `stock` is the recipe that makes it measurable, if any."""

    def __init__(
        self,
        text: str,
        *,
        way_out: str,
        stock: Recipe | None = None,
        percent: Decimal | None = None,
    ) -> None:
        super().__init__(
            "cannot-measure",
            text,
            limit=None if percent is None else float(ROUNDING_REFUSE_PERCENT),
            value=None if percent is None else float(abs(percent)),
            unit="" if percent is None else "%",
            source="common practice",
            way_out=way_out,
        )
        self.stock = stock


def whole_steps(
    amount: Decimal, step: Decimal, *, margin: str, most: Decimal | None = None
) -> Measured:
    """`amount` in whole steps: down for a narrow margin, else to the nearest (a half goes down).

    Parameters
    ----------
    amount
        The exact amount, over 0, in the unit of `step`.
    step
        The tool's step, over 0.
    margin
        "narrow" or "wide".
    most
        What no rounding may pass; None where nothing limits it. Under `amount` it is the amount
        that is meant to stay under a limit, and the rounding goes down to it.

    Notes
    -----
    Counted in Decimal: in binary floats floor(0.7 / 0.1) is 6.
    """
    rule = ROUND_FLOOR if margin == "narrow" else ROUND_HALF_DOWN
    ratio = twelve(amount / step)
    steps = int(ratio.to_integral_value(rounding=rule))
    if most is not None and not allowed(steps * step, None, most):
        steps = int(twelve(most / step).to_integral_value(rounding=ROUND_FLOOR))
    measured = steps * step
    return Measured(measured, steps, (measured - amount) / amount * 100)


def measure(
    amount: Decimal,
    unit: str,
    tool: Tool,
    *,
    margin: str,
    most: Decimal | None = None,
    solubility_g_l: Decimal | None = None,
    syringe_ml: Decimal | None = None,
) -> Measured:
    """`amount` [`unit`: g or mL] as whole steps of `tool`, within 10 %.

    Raises
    ------
    CannotMeasure
        The tool reads another kind of amount, or rounding would be off by over 10 % (to nothing
        included); the way out is a stock or a finer step.
    """
    if tool.base_unit != unit:
        raise CannotMeasure(
            f"{tool.name} measures in {tool.unit}, this amount is in {unit}",
            way_out=f"measure it with a tool in {unit}",
        )
    measured = whole_steps(amount, tool.base_step, margin=margin, most=most)
    off = measured.rounding_percent
    if allowed(off, -ROUNDING_REFUSE_PERCENT, ROUNDING_REFUSE_PERCENT):
        return measured
    recipe = recipe_of(amount, unit, tool.base_step, solubility_g_l, syringe_ml)
    raise CannotMeasure(
        f"{figure(amount, 4)} {unit} cannot be measured on {tool.name} within "
        f"{ROUNDING_REFUSE_PERCENT} %",
        way_out=_way_out(amount, unit, recipe),
        stock=recipe,
        percent=off,
    )


def _way_out(amount: Decimal, unit: str, recipe: Recipe | None) -> str:
    finer = f"use a tool with a step of {figure(finer_step(amount))} {unit} or finer"
    if recipe is None:
        return finer
    made = "make a stock" if unit == "g" else "thin it first"
    return f"{made}: {recipe}; or {finer}"


def finer_step(amount: Decimal) -> Decimal:
    """The largest step of 1, 2 or 5 and zeros that is at most a twentieth of `amount`."""
    goal = amount / 20
    power = Decimal(1).scaleb(goal.adjusted())
    return max(digit * power for digit in (1, 2, 5) if digit * power <= goal)


def stock(
    amount_g: Decimal,
    tool: Tool,
    solubility_g_l: Decimal | None,
    syringe_ml: Decimal = WHOLE_ML,
) -> Stock | None:
    """The smallest stock of `amount_g` [g] weighed on `tool`; None on what does not weigh."""
    if tool.base_unit != "g":
        return None
    return stock_of(amount_g, tool.base_step, solubility_g_l, syringe_ml)
