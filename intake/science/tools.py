"""Amounts in whole steps of the keeper's scale or syringe, and stocks for what is too small."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_DOWN, Decimal

from intake.science.figures import figure
from intake.science.limits import allowed, twelve
from intake.science.problem import Refused

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
STOCK_WATERS_ML = tuple(Decimal(ml) for ml in (100, 250, 500, 1000, 2000))
"""Stocks are made up to one of these [mL], at most what a keeper shakes in a bottle. Common
practice."""
SUSPENSION_MOST_G_ML = Decimal("0.1")
"""What does not all dissolve is at most 1 part in 10 of its stock [g/mL]: thicker than that no
two draws hold the same. Common practice."""
STOCK_STEPS = range(20, 61)
"""Steps of the scale that a stock's solute takes: at 20 half a step is 2.5 %. Common practice."""
STOCK_DRAW_ML = Decimal(20)
"""The least drawn from a stock [mL], in whole mL. Common practice."""

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
class Stock:
    """A stock to draw a small amount from: `solute_g` [g] made up to `water_ml` [mL].

    `draw_ml` [mL] of it hold the amount. `suspension`: it does not all dissolve; shake.
    """

    solute_g: Decimal
    water_ml: Decimal
    draw_ml: Decimal
    suspension: bool = False

    def __str__(self) -> str:
        shake = ", shaken (it does not all dissolve)" if self.suspension else ""
        return (
            f"{figure(self.solute_g)} g made up to {figure(self.water_ml)} mL{shake}, "
            f"of which {figure(self.draw_ml)} mL go in"
        )


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
        stock: Stock | None = None,
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
    recipe = stock(amount, tool, solubility_g_l) if unit == "g" else None
    raise CannotMeasure(
        f"{figure(amount, 4)} {unit} cannot be measured on {tool.name} within "
        f"{ROUNDING_REFUSE_PERCENT} %",
        way_out=_way_out(amount, unit, tool, recipe),
        stock=recipe,
        percent=off,
    )


def _way_out(amount: Decimal, unit: str, tool: Tool, recipe: Stock | None) -> str:
    finer = f"use a tool with a step of {figure(finer_step(amount))} {unit} or finer"
    if recipe is not None:
        return f"make a stock: {recipe}; or {finer}"
    if unit == "mL":
        part = tool.base_step * 10
        whole = (part * part / amount).to_integral_value(rounding=ROUND_CEILING)
        if whole > STOCK_WATERS_ML[-1]:
            return finer
        use = (amount * whole / part).quantize(tool.base_step, ROUND_FLOOR)
        return (
            f"make {figure(part)} mL up to {figure(whole)} mL with water and use "
            f"{figure(use)} mL; or {finer}"
        )
    return finer


def finer_step(amount: Decimal) -> Decimal:
    """The largest step of 1, 2 or 5 and zeros that is at most a twentieth of `amount`."""
    goal = amount / 20
    power = Decimal(1).scaleb(goal.adjusted())
    return max(digit * power for digit in (1, 2, 5) if digit * power <= goal)


def stock(amount_g: Decimal, tool: Tool, solubility_g_l: Decimal | None) -> Stock | None:
    """The smallest stock that holds `amount_g` [g] in whole mL, weighed on `tool`.

    The solute is 20 to 60 steps of the scale and the draw, a whole number of mL, gives the
    amount within 1 % and never more than it. Over `solubility_g_l` [g/L] it stays a suspension,
    at most 1 part in 10, and is passed over while a larger stock dissolves. None where nothing
    is known of the solubility, or no such stock can be made with this scale.
    """
    if solubility_g_l is None or tool.base_unit != "g":
        return None
    found = [
        Stock(solute, water, draw, suspension=solute * 1000 > solubility_g_l * water)
        for water in STOCK_WATERS_ML
        for solute in (steps * tool.base_step for steps in STOCK_STEPS)
        if solute <= max(SUSPENSION_MOST_G_ML, solubility_g_l / 1000) * water
        if (draw := _draw(amount_g, solute, water)) is not None
    ]
    clear = [recipe for recipe in found if not recipe.suspension]
    return next(iter(clear or found), None)


def _draw(amount_g: Decimal, solute_g: Decimal, water_ml: Decimal) -> Decimal | None:
    exact = twelve(amount_g * water_ml / solute_g)
    draw = exact.to_integral_value(rounding=ROUND_FLOOR)
    near = (exact - draw) * 100 <= exact
    return draw if near and STOCK_DRAW_ML <= draw <= water_ml else None
