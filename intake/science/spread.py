"""How far a worked-out value can be off, from how far each size that went in can be off."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import hypot, isfinite, sqrt

STEP = 6e-6
"""Relative step of the central difference [1]: the cube root of a double's precision."""

TURNS = 3
"""How often the worst direction is looked for; a straight function needs one."""

BESIDE = 0.1
"""How far beside a worst point the next direction is felt for [half-widths]."""

Values = Mapping[str, float]
Worked = Callable[[Values], float]


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
    """A value with its 95 % ends and what each size adds to its doubt.

    `half` is the half-width of the first order. `low` and `high` follow the bend of the value and
    need not lie alike on both sides. `shares` add up to 1, or are all 0 where nothing is in doubt.
    """

    value: float
    half: float
    low: float
    high: float
    shares: Mapping[str, float]

    def grouped(self, group: Callable[[str], str] = str) -> dict[str, float]:
        """What each name adds to the doubt; `group` joins several names."""
        sums: dict[str, float] = {}
        for name, share in self.shares.items():
            sums[group(name)] = sums.get(group(name), 0.0) + share
        return sums

    def largest(self, group: Callable[[str], str] = str) -> str:
        """The name that adds most doubt, "" where nothing does; `group` joins several names."""
        sums = self.grouped(group)
        best = max(sums, key=lambda name: sums[name], default="")
        return best if best and sums[best] > 0 else ""


def propagate(
    f: Worked, sizes: Mapping[str, Size], together: Callable[[str], str] = str
) -> Spread:
    """The value of `f` at the sizes and its 95 % ends; the value is never moved.

    Parameters
    ----------
    f
        Works out the value from the plain numbers. It is also asked beside them, up to a
        half-width away; where it has no value there it answers infinity.
    sizes
        Each size with its 95 % half-width.
    together
        Sizes with the same word here are off together, by one error: all high or all low, each
        by its own half-width. By default each is off by itself.

    Raises
    ------
    ValueError
        A size is not a finite number or its half-width is below 0.

    Notes
    -----
    In half-widths, the sizes that are together 95 % likely on one side of a straight function
    end on a sphere of radius 1 around the measured ones. The high end is the largest value on
    that sphere, the low end the smallest: for a straight function the first order itself, for one
    that only rises with a sum of the sizes exact, however bent it is. What bends across the
    sphere is left out; draws of every shape stay within 94.3 and 98 %.

    Source: JCGM 100:2008, Guide to the expression of uncertainty in measurement, 5.1.2 eq. 10,
    partial derivatives by central differences (note 2 to 5.1.3), for `half` and `shares`. The
    ends: Der Kiureghian, Zhang & Li 1994, Inverse reliability problem, J Eng Mech 120:1154-1159,
    from memory.

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
    errors = _errors(sizes, together)
    nominal = {name: size.value for name, size in sizes.items()}
    value = f(nominal)
    rises = {word: _rise(f, nominal, moves) for word, moves in errors.items()}
    half = hypot(*rises.values())
    shares = {word: (rise / half) ** 2 if half else 0.0 for word, rise in rises.items()}
    at_work = {word: errors[word] for word, rise in rises.items() if rise}
    low = _end(f, nominal, at_work, rises, -1)
    high = _end(f, nominal, at_work, rises, +1)
    return Spread(value, half, min(low, value), max(high, value), shares)


def _errors(
    sizes: Mapping[str, Size], together: Callable[[str], str]
) -> dict[str, dict[str, float]]:
    """The half-widths of each error by the names of the sizes it moves."""
    errors: dict[str, dict[str, float]] = {}
    for name, size in sizes.items():
        errors.setdefault(together(name), {})[name] = size.half
    return errors


def _moved(at: Values, moves: Mapping[str, float], by: float) -> dict[str, float]:
    return {**at, **{name: at[name] + by * half for name, half in moves.items()}}


def _rise(f: Worked, nominal: Values, moves: Mapping[str, float]) -> float:
    """What one error adds to the value in the first order, over its half-width."""
    widest = max(moves, key=lambda name: moves[name])
    half = moves[widest]
    if not half:
        return 0.0
    each = {name: own / half for name, own in moves.items()}
    step = STEP * max(abs(nominal[widest]), half)
    above, below = nominal[widest] + step, nominal[widest] - step
    if above == below:
        return 0.0
    rise = f(_moved(nominal, each, step)) - f(_moved(nominal, each, -step))
    return rise / (above - below) * half


def _end(
    f: Worked,
    nominal: Values,
    errors: Mapping[str, Mapping[str, float]],
    rises: Mapping[str, float],
    sign: int,
) -> float:
    """The largest (`sign` 1) or smallest (-1) value on the sphere, f of nominal without doubt."""
    slopes = {word: rises[word] for word in errors}
    found: list[float] = []
    for _ in range(TURNS):
        steep = sqrt(sum(slope * slope for slope in slopes.values()))
        if not steep or not isfinite(steep):
            break
        at = dict(nominal)
        for word, slope in slopes.items():
            at = _moved(at, errors[word], sign * slope / steep)
        found.append(f(at))
        slopes = {
            word: f(_moved(at, moves, BESIDE)) - f(_moved(at, moves, -BESIDE))
            for word, moves in errors.items()
        }
    return sign * max((sign * value for value in found), default=sign * f(nominal))
