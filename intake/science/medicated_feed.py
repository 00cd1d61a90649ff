"""Feed with a drug in it: how much a day, how strong, and how much for the whole course."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from intake.science.dose import DoseAnswer, DoseRequest
from intake.science.figures import figure

DAY_H = Decimal(24)


@dataclass(frozen=True, slots=True)
class MedicatedFeed:
    """A day's feed [g] and what goes into it; `product` is in `unit`, g or mL.

    `days` is None where nobody said how long; then there is no total either.
    """

    feed_g_per_day: Decimal
    product: Decimal
    unit: str
    product_per_kg: Decimal
    days: int | None

    @property
    def feed_g(self) -> Decimal | None:
        """The feed of all days [g]."""
        return None if self.days is None else self.feed_g_per_day * self.days

    @property
    def product_in_all(self) -> Decimal | None:
        """The product of all days, in `unit`."""
        return None if self.days is None else self.product * self.days

    def steps(self, what: str) -> tuple[str, ...]:
        """How it is made, in words."""
        unit = self.unit
        lines = [
            f"weigh {figure(self.feed_g_per_day, 4)} g of feed a day, and mix "
            f"{figure(self.product, 4)} {unit} of {what} into it: "
            f"{figure(self.product_per_kg, 4)} {unit} in each kg of feed",
            "bind it with a little oil or gelatine, let it stand, and feed nothing else",
        ]
        if self.feed_g is not None and self.product_in_all is not None:
            lines.append(
                f"for all {self.days} days: {figure(self.product_in_all, 4)} {unit} in "
                f"{figure(self.feed_g, 4)} g of feed; kept cold and dark, in a closed box with "
                "its name and date on it"
            )
        return tuple(lines)


def medicated_feed(request: DoseRequest, answer: DoseAnswer) -> MedicatedFeed | None:
    """The feed of a feed course; None without a ration, or where no feed is given.

    Source: by arithmetic; feed a day = fish mass x ration, strength = amount / feed.
    """
    ration, mass = request.ration_percent, request.fish_mass_g
    if answer.feed_g_per_kg is None or not ration or not mass:
        return None
    feed_g = mass * ration / 100
    product = answer.amount if answer.measured is None else answer.measured
    repeat = answer.repeat
    daily = repeat is not None and repeat.every_h == DAY_H and repeat.times > 0
    days = repeat.times if repeat is not None and daily else None
    return MedicatedFeed(feed_g, product, answer.amount_unit, product * 1000 / feed_g, days)
