"""Sizes as sold: outside dimensions to start from. The litres on the sticker are never used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Tank:
    """A rectangular tank as it is sold.

    Parameters
    ----------
    name
        What the trade calls it, e.g. ``40 breeder``.
    sold_us_gal
        What it is sold as [US gal]; shown, never used.
    length_in, width_in, height_in
        Outside [in].
    """

    name: str
    sold_us_gal: int
    length_in: int
    width_in: int
    height_in: int

    @property
    def usual_glass(self) -> str:
        """The glass that is usual for its size, as a quantity: common practice, never assumed."""
        return "0.25 in" if self.sold_us_gal < THICKER_US_GAL else "0.375 in"


THICKER_US_GAL = 50
"""From here on 3/8 in glass is usual, 1/4 in below [US gal]: common practice."""

TANKS: Mapping[str, Tank] = MappingProxyType(
    {
        tank.name: tank
        for tank in (
            Tank("10", 10, 20, 10, 12),
            Tank("20 long", 20, 30, 12, 12),
            Tank("20 high", 20, 24, 12, 16),
            Tank("29", 29, 30, 12, 18),
            Tank("40 breeder", 40, 36, 18, 16),
            Tank("55", 55, 48, 13, 21),
            Tank("75", 75, 48, 18, 21),
            Tank("90", 90, 48, 18, 24),
            Tank("120", 120, 48, 24, 24),
        )
    }
)
"""Tanks by name, with their outside sizes.

Source: aquarium dimension tables of several retailers, which agree on these sizes.
"""


@dataclass(frozen=True, slots=True)
class Published:
    """What is printed for a round vessel, to set beside the cylinder up to its brim.

    Parameters
    ----------
    diameter_ft, height_in
        As sold [ft, in].
    us_gal
        What is printed, lowest and highest [US gal].
    """

    diameter_ft: int
    height_in: int
    us_gal: tuple[int, int]


STOCK_TANKS = (
    Published(4, 24, (170, 180)),
    Published(6, 24, (395, 404)),
    Published(8, 24, (718, 718)),
    Published(10, 24, (1000, 1122)),
)
"""Round stock tanks: what is printed is 4 to 10 % under the cylinder to the brim.

Source: an engineering explainer of stock tank sizes.
"""

RING_POOLS = (
    Published(8, 30, (640, 640)),
    Published(10, 30, (1000, 1000)),
    Published(12, 30, (1500, 1500)),
    Published(12, 36, (1800, 1800)),
    Published(15, 36, (2800, 2800)),
    Published(15, 42, (3300, 3300)),
    Published(15, 48, (3750, 3750)),
    Published(18, 48, (5500, 5500)),
)
"""Soft-sided ring pools: what goes in is 0.68 to 0.72 of the cylinder, since the walls lean in.

Source: pool volume tables of retailers.
"""


def brim_us_gal(sold: Published) -> float:
    """The cylinder up to the brim [US gal], which no such vessel holds.

    Notes
    -----
    A US gallon is 231 cubic inches.

    Example
    -------
    >>> round(brim_us_gal(Published(4, 24, (170, 180))))
    188
    """
    return pi / 4 * (12 * sold.diameter_ft) ** 2 * sold.height_in / 231
