"""How a dose is made, as an answer names it: a stock, a dilution, the feed of a day."""

from __future__ import annotations

from typing import Any

from intake.science.dose import DoseAnswer, DoseRequest
from intake.science.medicated_feed import medicated_feed
from intake.science.recipes import Recipe, Stock


def stock_keys(recipe: Recipe | None, what: str) -> dict[str, Any] | None:
    """A stock or dilution with its steps in words; null where the tool is fine enough."""
    if recipe is None:
        return None
    if isinstance(recipe, Stock):
        solid, liquid, whole = float(recipe.solute_g), None, recipe.water_ml
    else:
        solid, liquid, whole = None, float(recipe.part_ml), recipe.whole_ml
    return {
        "solute_g": solid,
        "solute_ml": liquid,
        "water_ml": float(whole),
        "draw_ml": float(recipe.draw_ml),
        "suspension": isinstance(recipe, Stock) and recipe.suspension,
        "how": list(recipe.steps(what)),
    }


def feed_keys(request: DoseRequest, answer: DoseAnswer) -> dict[str, Any] | None:
    """The medicated feed of a day and of the course; null where none is given or known."""
    feed = medicated_feed(request, answer)
    if feed is None:
        return None
    in_all = feed.product_in_all
    return {
        "feed_g_per_day": float(feed.feed_g_per_day),
        "product": float(feed.product),
        "product_per_kg": float(feed.product_per_kg),
        "unit": feed.unit,
        "days": feed.days,
        "feed_g": None if feed.feed_g is None else float(feed.feed_g),
        "product_in_all": None if in_all is None else float(in_all),
        "how": list(feed.steps(answer.title)),
    }
