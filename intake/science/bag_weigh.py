"""How likely each course of an opened bag is, once what was read of it is looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import exp, log, sqrt
from operator import mul

from intake.science.bag_courses import Course, Courses, OpenBag, Place, course
from intake.science.span import Span

DRIP_SHARE = 0.2
"""How far a drip can be off, as a share of itself: counted in drops. Common practice."""

VOLUME_SHARE = 0.1
"""The same for the water in a bag, seen against a bottle. Common practice."""

FISH_SHARE = 0.4
"""The same for what the fish breathe and give off; from memory."""

UNIFORM = sqrt(3.0)
"""Half-width of a 95 % interval over one standard deviation, taken as if every value inside were
as likely: wider than the 1.96 of a bell curve. Source: JCGM 100:2008, 4.3.7."""

_GRID = (7, 33, 5)
_COARSE = (5, 23, 3)
_UNLIKELY = 8.0
# A place e^-8 times as likely as the likeliest counts for nothing.

Read = tuple[int, float, float]
"""A reading of pH: minute, pH, and its half-width."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A place in the grid, how likely it is, and what it says of everything else.

    `off` are the other doubts in standard deviations, `misfit` the sum of squares the readings
    are off by, each over its variance.
    """

    at: Place
    log_weight: float
    off: tuple[float, ...]
    misfit: float


class Moves:
    """How pH and ln NH3 move with one standard deviation of everything that is not in the grid."""

    def __init__(self, courses: Courses, place: Place) -> None:
        at = courses.values(place)
        self.plain = course(courses.bag, *at)
        self._sides = [course(side, *at) for side in _one_off(courses.bag)]
        self.count = len(self._sides)

    def ph(self, minute: int) -> list[float]:
        """Of pH."""
        return self._moved(minute, lambda c: c.ph)

    def log_nh3(self, minute: int) -> list[float]:
        """Of ln NH3."""
        return self._moved(minute, lambda c: c.log_nh3)

    def _moved(self, minute: int, part: Callable[[Course], tuple[float, ...]]) -> list[float]:
        plain = part(self.plain)[minute]
        return [part(side)[minute] - plain for side in self._sides]


def _one_off(bag: OpenBag) -> Iterator[OpenBag]:
    """The bag with each thing outside the grid off by one standard deviation."""
    tan, kh, ph = bag.tan_n_mg_l, bag.vessel_kh_dkh, bag.vessel_ph
    yield replace(bag, volume_l=bag.volume_l * (1.0 + VOLUME_SHARE / UNIFORM))
    yield replace(bag, fish_kg=bag.fish_kg * (1.0 + FISH_SHARE / UNIFORM))
    yield replace(bag, tau_min=_only(bag.tau_min.high))
    if tan.nominal > 0.0:
        wide = log(tan.high / max(tan.low, 0.05 * tan.nominal)) / 2.0
        yield replace(bag, tan_n_mg_l=_only(tan.nominal * exp(wide / UNIFORM)))
    if bag.drip_l_min > 0.0:
        yield replace(bag, drip_l_min=bag.drip_l_min * (1.0 + DRIP_SHARE / UNIFORM))
        yield replace(bag, vessel_kh_dkh=_only(kh.nominal + (kh.high - kh.low) / 2.0 / UNIFORM))
        yield replace(bag, vessel_ph=_only(ph.nominal + (ph.high - ph.low) / 2.0 / UNIFORM))


def _only(value: float) -> Span:
    return Span(value, value, value)


@dataclass(frozen=True, slots=True)
class Gains:
    """How far each reading moves the other doubts, and how much of them it leaves.

    Parameters
    ----------
    steps
        For each reading its variance and its gain for each doubt (Kalman 1960).
    left
        Covariance of the doubts after all readings, in standard deviations.
    """

    steps: tuple[tuple[float, tuple[float, ...]], ...]
    left: tuple[tuple[float, ...], ...]

    def variance(self, moved: Sequence[float]) -> float:
        """Variance of something that moves so with each doubt."""
        return dot(moved, [dot(row, moved) for row in self.left])


def dot(a: Sequence[float], b: Sequence[float]) -> float:
    """Sum of the products of two rows of one length."""
    total: float = sum(map(mul, a, b))
    return total


def gains(moves: Moves, read: Sequence[Read], spread: float) -> Gains:
    """The gains of these readings; `spread` widens what each can be off by (1: as it is)."""
    n = moves.count
    left = [[float(i == j) for j in range(n)] for i in range(n)]
    steps = []
    for minute, _, half in read:
        by = moves.ph(minute)
        reach = [dot(row, by) for row in left]
        own = spread * (half / UNIFORM) ** 2
        variance = own + dot(by, reach)
        gain = tuple(r / variance for r in reach)
        left = [[left[i][j] - gain[i] * reach[j] for j in range(n)] for i in range(n)]
        steps.append((variance, gain))
    return Gains(tuple(steps), tuple(tuple(row) for row in left))


def weigh(
    courses: Courses, moves: Moves, read: Sequence[Read], known: Gains, *, coarse: bool = False
) -> list[Weighed]:
    """Every place of the grid with how likely it is after these readings."""
    counts = _COARSE if coarse or not read else _GRID
    axes = [[n / (count - 1) for n in range(count)] for count in counts]
    if courses.khs == 1:
        axes[0] = [0.0]
    minutes = [minute for minute, _, _ in read]
    by = [moves.ph(minute) for minute in minutes]
    found = []
    for k, h, p in product(*axes):
        off = [0.0] * moves.count
        log_weight, misfit = -(((2.0 * p - 1.0) * UNIFORM) ** 2) / 2.0, 0.0
        foretold = courses.ph((k, h, p), minutes)
        for n, (variance, gain) in enumerate(known.steps):
            missed = read[n][1] - foretold[n] - dot(by[n], off)
            misfit += missed * missed / variance
            off = [o + g * missed for o, g in zip(off, gain, strict=True)]
        found.append(Weighed((k, h, p), log_weight - misfit / 2.0, tuple(off), misfit))
    return found


def likely(every: Sequence[Weighed]) -> list[tuple[float, Weighed]]:
    """Those that count, each after its weight."""
    best = max(one.log_weight for one in every)
    return [
        (exp(one.log_weight - best), one) for one in every if best - one.log_weight < _UNLIKELY
    ]


def quantiles(weighed: Sequence[tuple[float, float]]) -> Span:
    """The middle and the 90 % ends of values, each with its weight behind it."""
    ordered = sorted(weighed)
    total = sum(weight for _, weight in ordered)
    wanted, found, gone = [0.05, 0.5, 0.95], [], 0.0
    for value, weight in ordered:
        gone += weight
        while wanted and gone >= wanted[0] * total:
            found.append(value)
            wanted.pop(0)
    return Span(*found, *([ordered[-1][0]] * len(wanted)))
