"""Stocks of powders and dilutions of liquids, to draw an amount from that is too small to measure.

What is drawn holds the amount within 1 % and never more than it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from intake.science.figures import figure
from intake.science.limits import twelve

STOCK_WATERS_ML = tuple(Decimal(ml) for ml in (100, 250, 500, 1000, 2000))
"""Stocks are made up to one of these [mL], at most what a keeper shakes in a bottle. Common
practice."""
SUSPENSION_MOST_G_ML = Decimal("0.1")
"""What does not all dissolve is at most 1 part in 10 of its stock [g/mL]: thicker than that no
two draws hold the same. Common practice."""
STOCK_STEPS = range(20, 61)
"""Steps of the scale that a stock's solute takes: at 20 half a step is 2.5 %. Common practice."""
STOCK_DRAW_STEPS = 20
"""The least drawn from a stock, in steps of the syringe: half a step is 2.5 %. Common practice."""
WHOLE_ML = Decimal(1)
"""The step a stock is drawn in where no syringe is known [mL]. Common practice."""
DILUTED_TO = tuple(Decimal(n) for n in (2, 5, 10, 20, 50, 100, 200, 500, 1000))
"""One part in so many. Common practice."""
PART_STEPS = 10
"""The least of a liquid taken for a dilution, in steps of the tool: half a step is 5 %. Common
practice."""


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

    def steps(self, what: str) -> tuple[str, ...]:
        """How it is made, in words, step by step."""
        holds = figure(self.solute_g * self.draw_ml / self.water_ml, 4)
        clear = "shake until it is clear"
        drawn = "draw"
        if self.suspension:
            clear = "it does not all dissolve, shake until there are no lumps"
            drawn = "shake again and draw at once"
        return (
            f"weigh {figure(self.solute_g)} g of {what}",
            f"put it into a clean bottle and fill up to {figure(self.water_ml)} mL with water; "
            f"{clear}",
            f"{drawn} {figure(self.draw_ml)} mL: it holds {holds} g, the dose",
            LABELLED,
        )


@dataclass(frozen=True, slots=True)
class Dilution:
    """A liquid thinned first: `part_ml` [mL] of it made up to `whole_ml` [mL] with water.

    `draw_ml` [mL] of that hold the amount.
    """

    part_ml: Decimal
    whole_ml: Decimal
    draw_ml: Decimal

    def __str__(self) -> str:
        return (
            f"{figure(self.part_ml)} mL made up to {figure(self.whole_ml)} mL with water, "
            f"of which {figure(self.draw_ml)} mL go in"
        )

    def steps(self, what: str) -> tuple[str, ...]:
        """How it is made, in words, step by step: the liquid goes into the water."""
        ratio = figure(self.whole_ml / self.part_ml)
        holds = figure(self.part_ml * self.draw_ml / self.whole_ml, 4)
        return (
            f"put {figure(self.whole_ml - self.part_ml)} mL of water into a clean bottle",
            f"put {figure(self.part_ml)} mL of {what} into it, 1 part in {ratio}; close and turn "
            "it over a few times",
            f"draw {figure(self.draw_ml)} mL: it holds {holds} mL, the dose",
            LABELLED,
        )


Recipe = Stock | Dilution
LABELLED = (
    "write what it is, how strong and today's date on the bottle; make it fresh each time, and "
    "pour the rest away as local law says"
)


def recipe_of(
    amount: Decimal,
    unit: str,
    step: Decimal,
    solubility_g_l: Decimal | None,
    syringe_ml: Decimal | None = None,
) -> Recipe | None:
    """How an amount [`unit`: g or mL] too small for a tool of this step is measured after all."""
    if unit == "mL":
        return dilution(amount, step)
    return stock_of(amount, step, solubility_g_l, syringe_ml or WHOLE_ML)


def stock_of(
    amount_g: Decimal, step_g: Decimal, solubility_g_l: Decimal | None, syringe_ml: Decimal
) -> Stock | None:
    """The smallest stock that holds `amount_g` [g] in whole steps of the syringe [mL].

    The solute is 20 to 60 steps of the scale, and at least 20 steps of the syringe are drawn.
    Over `solubility_g_l` [g/L] it stays a suspension, at most 1 part in 10, and is passed over
    while a larger stock dissolves. None where nothing is known of the solubility, or no such
    stock can be made with these tools.
    """
    if solubility_g_l is None:
        return None
    found = [
        Stock(solute, water, draw, suspension=solute * 1000 > solubility_g_l * water)
        for water in STOCK_WATERS_ML
        for solute in (steps * step_g for steps in STOCK_STEPS)
        if solute <= max(SUSPENSION_MOST_G_ML, solubility_g_l / 1000) * water
        if (draw := _draw(amount_g * water / solute, syringe_ml, STOCK_DRAW_STEPS)) is not None
        and draw <= water
    ]
    clear = [recipe for recipe in found if not recipe.suspension]
    return next(iter(clear or found), None)


def dilution(amount_ml: Decimal, step_ml: Decimal) -> Dilution | None:
    """The strongest dilution from which `amount_ml` [mL] can be drawn in steps of one tool.

    None where it would take more water than a bottle holds.
    """
    for ratio in DILUTED_TO:
        draw = _draw(amount_ml * ratio, step_ml, PART_STEPS)
        if draw is None:
            continue
        steps = max(
            Decimal(PART_STEPS),
            (draw / ratio / step_ml).to_integral_value(rounding=ROUND_CEILING),
        )
        whole = steps * step_ml * ratio
        if whole <= STOCK_WATERS_ML[-1]:
            return Dilution(steps * step_ml, whole, draw)
    return None


def _draw(exact_ml: Decimal, step_ml: Decimal, least_steps: int) -> Decimal | None:
    """What is drawn in whole steps, within 1 % and never more; None where that cannot be."""
    exact = twelve(exact_ml)
    steps = twelve(exact / step_ml).to_integral_value(rounding=ROUND_FLOOR)
    draw = steps * step_ml
    near = (exact - draw) * 100 <= exact
    return draw if near and steps >= least_steps else None
