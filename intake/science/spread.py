"""How far a worked-out value can be off, from how far each size that went in can be off."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite, sqrt

STEP = 6e-6
"""Relative step of the central difference [1]: the cube root of a double's precision."""


@dataclass(frozen=True, slots=True)
class Size:
    """A measured size and its 95 % half-width, both in the same unit."""

    value: float
    half: float = 0.0

    @property
    def readable(self) -> bool:
        """Both numbers are finite and the half-width is not below 0."""
        return isfinite(self.value) and isfinite(self.half) and self.half >= 0


@dataclass(frozen=True, slots=True)
class Spread:
    """A value with its 95 % half-width and what each size adds to it.

    `low` and `high` are `value` minus and plus `half`. `shares` add up to 1, or are all 0
    where nothing is in doubt.
    """

    value: float
    half: float
    low: float
    high: float
    shares: Mapping[str, float]

    def largest(self, group: Callable[[str], str] = str) -> str:
        """The name that adds most doubt, "" where nothing does; `group` joins several names."""
        sums: dict[str, float] = {}
        for name, share in self.shares.items():
            sums[group(name)] = sums.get(group(name), 0.0) + share
        best = max(sums, key=lambda name: sums[name], default="")
        return best if best and sums[best] > 0 else ""


def propagate(f: Callable[[Mapping[str, float]], float], sizes: Mapping[str, Size]) -> Spread:
    """The value of `f` at the sizes and its first-order spread; the value is never moved.

    Parameters
    ----------
    f
        Works out the value from the plain numbers. It is also asked a hair (6e-6) beside them.
    sizes
        Each size with its 95 % half-width. They are taken as independent of each other.

    Raises
    ------
    ValueError
        A size is not a finite number or its half-width is below 0.

    Notes
    -----
    First order holds where the half-widths are small beside the values. A quantity driven by
    pH needs the ends of its interval instead.

    Source: JCGM 100:2008, Guide to the expression of uncertainty in measurement, 5.1.2 eq. 10,
    partial derivatives by central differences (note 2 to 5.1.3).

    Example
    -------
    >>> p = propagate(lambda s: s["length"] * s["width"], {
    ...     "length": Size(60, 1), "width": Size(45, 1)})
    >>> round(p.value), round(p.half), p.largest()
    (2700, 75, 'width')
    """
    for name, size in sizes.items():
        if not size.readable:
            raise ValueError(f"{name} is {size.value} +/- {size.half}")
    nominal = {name: size.value for name, size in sizes.items()}
    value = f(nominal)
    squares = {
        name: (_slope(f, nominal, name, size) * size.half) ** 2 if size.half else 0.0
        for name, size in sizes.items()
    }
    total = sum(squares.values())
    half = sqrt(total)
    shares = {name: square / total if total else 0.0 for name, square in squares.items()}
    return Spread(value, half, value - half, value + half, shares)


def _slope(
    f: Callable[[Mapping[str, float]], float], nominal: Mapping[str, float], name: str, size: Size
) -> float:
    step = STEP * max(abs(size.value), size.half)
    above = size.value + step
    below = size.value - step
    rise = f({**nominal, name: above}) - f({**nominal, name: below})
    return rise / (above - below)
