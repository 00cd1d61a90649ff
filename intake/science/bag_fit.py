"""What readings on the way tell of an opened bag, and how it goes on from there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import exp, log, sqrt

from intake.science.bag_courses import Band, Courses, OpenBag, Place
from intake.science.bag_weigh import (
    UNIFORM,
    Gains,
    Moves,
    Weighed,
    dot,
    gains,
    likely,
    quantiles,
    weigh,
)
from intake.science.show import show, show_range
from intake.science.span import Span

EVERY_MIN = 2
"""How far apart the minutes foretold are [min]."""

MISFIT = 4.0
"""Sum of squares over its variance, for each reading, over which no course explains what was
read: two standard deviations. Common practice."""

SLOWEST_TAU_MIN = 1200.0
"""No bag is believed to follow the water round it slower than this [min]. Common practice."""

_TAILS = ((-UNIFORM, 1.0 / 6.0), (0.0, 2.0 / 3.0), (UNIFORM, 1.0 / 6.0))
# Three points with the mean, the spread and the tails of a bell curve (Gauss-Hermite).


@dataclass(frozen=True, slots=True)
class Point:
    """A reading on the way: minutes since the bag was opened, pH and temperature [C], each with
    its 95 % half-width; None where it was not read.
    """

    minute: float
    ph: float | None = None
    ph_half: float = 0.1
    temp_c: float | None = None
    temp_half_c: float = 0.3


@dataclass(frozen=True, slots=True)
class Fitted:
    """What was learned of a bag. Ends are 90 %.

    Parameters
    ----------
    half_time_min, kh_dkh, first_ph
        Half-time of CO2 [min], KH of the bag [dKH], its pH when it was opened.
    tau_min
        Time in which it closes 63 % of its temperature gap [min].
    minutes
        The whole way, what is before the last reading too.
    peak_left_n_mg_l
        The most NH3 from the last reading on [mg/L as N].
    explained
        Whether any course goes through the readings; where none does the ends are wider.
    learned
        In words, what moved from what was thought, and by what.
    """

    half_time_min: Span
    kh_dkh: Span
    first_ph: Span
    tau_min: float
    minutes: tuple[Band, ...]
    peak_left_n_mg_l: Span
    explained: bool
    learned: tuple[str, ...]


def fitted(bag: OpenBag, points: Sequence[Point] = ()) -> Fitted:
    """The bag after these readings; without any, as it is foretold when it is opened.

    Parameters
    ----------
    bag
        What was known when it was opened.
    points
        Readings since, in any order; one after its minutes counts as at the end.

    Notes
    -----
    Every course of a grid of KH, half-time of CO2 and first pH is weighed by how well it goes
    through the readings (JCGM 101:2008, as a sum over a grid). What else can be off - TAN, drip,
    volume, the vessel's pH and KH, the fish, the warming - moves pH and ln NH3 in proportion and
    is updated reading by reading (Kalman 1960), so that its doubt is in the ends. Held against
    simulated bags only: no goldfish bag was ever measured against it.
    """
    points = sorted(points, key=lambda p: p.minute)
    there = replace(bag, tau_min=warming_min(bag, points))
    courses = Courses(there)
    read = [
        (min(max(round(p.minute), 0), bag.minutes), p.ph, p.ph_half)
        for p in points
        if p.ph is not None
    ]
    moves = Moves(courses, (0.5, 0.5, 0.5))
    if read:
        first = weigh(courses, moves, read, gains(moves, read, 1.0), coarse=True)
        moves = Moves(courses, max(first, key=lambda one: one.log_weight).at)
    known = gains(moves, read, 1.0)
    every = weigh(courses, moves, read, known)
    misfit = min(one.misfit for one in every) / max(len(read), 1)
    if misfit > MISFIT:
        known = gains(moves, read, misfit)
        every = weigh(courses, moves, read, known)
    answer = _Answer(courses, moves, known, likely(every))
    found = Fitted(
        half_time_min=answer.span(lambda at: courses.values(at)[2]),
        kh_dkh=answer.span(lambda at: courses.values(at)[1]),
        first_ph=answer.span(lambda at: courses.values(at)[0]),
        tau_min=there.tau_min.nominal,
        minutes=answer.bands(),
        peak_left_n_mg_l=answer.peak(max((minute for minute, _, _ in read), default=0)),
        explained=misfit <= MISFIT,
        learned=(),
    )
    return replace(found, learned=tuple(_learned(bag, found, points)))


def warming_min(bag: OpenBag, points: Iterable[Point]) -> Span:
    """Time in which the bag closes 63 % of its temperature gap [min], by what was read of it.

    Its ends are one standard deviation each way.

    Notes
    -----
    Dripped into, the gap falls as V0/V(t) exp(-t/tau): what is left of it beside the mixing
    tells 1/tau. The usual rate and each reading's are weighed by 1/variance (JCGM 100:2008).
    """
    gap = bag.temp_c - bag.vessel_temp_c
    usual = 1.0 / bag.tau_min.nominal
    weight = (1.0 / bag.tau_min.low - usual) ** -2
    total = weight * usual
    for p in points:
        if p.temp_c is None or p.minute <= 0.0 or abs(gap) <= p.temp_half_c:
            continue
        mixed = 1.0 + bag.drip_l_min * p.minute / bag.volume_l
        left = max((p.temp_c - bag.vessel_temp_c) / gap, p.temp_half_c / abs(gap))
        off = p.temp_half_c / UNIFORM / abs(gap) * sqrt(1.0 / left**2 + 1.0) / p.minute
        weight += 1.0 / off**2
        total -= log(min(left * mixed, 1.0)) / p.minute / off**2
    rate, off = max(total / weight, 1.0 / SLOWEST_TAU_MIN), weight**-0.5
    return Span(1.0 / (rate + off), 1.0 / rate, 1.0 / max(rate - off, 1.0 / SLOWEST_TAU_MIN))


class _Answer:
    """What the places that count say, put together."""

    def __init__(
        self, courses: Courses, moves: Moves, known: Gains, found: list[tuple[float, Weighed]]
    ) -> None:
        self.moves, self.known, self.found = moves, known, found
        end = courses.bag.minutes
        self.minutes = sorted({*range(0, end + 1, EVERY_MIN), end})
        self.temp_c = [moves.plain.temp_c[minute] for minute in self.minutes]
        self.ph = [courses.ph(one.at, self.minutes) for _, one in found]
        self.log_nh3 = [courses.log_nh3(one.at, self.minutes) for _, one in found]

    def span(self, of: Callable[[Place], float]) -> Span:
        """The likely values of one of the three that are fitted."""
        return quantiles([(of(one.at), weight) for weight, one in self.found])

    def _likely(
        self, values: Sequence[float], moved: Sequence[Sequence[float]]
    ) -> Iterator[tuple[float, float]]:
        """A value of every place, each with the spread of what is outside the grid."""
        spread = [sqrt(max(self.known.variance(by), 0.0)) for by in moved]
        for n, (weight, one) in enumerate(self.found):
            by = moved[n % len(moved)]
            middle, wide = values[n] + dot(by, one.off), spread[n % len(moved)]
            for away, share in _TAILS:
                yield middle + away * wide, weight * share

    def bands(self) -> tuple[Band, ...]:
        """Every minute with its ends."""
        found = []
        for n, minute in enumerate(self.minutes):
            ph = self._likely([way[n] for way in self.ph], [self.moves.ph(minute)])
            nh3 = self._likely([way[n] for way in self.log_nh3], [self.moves.log_nh3(minute)])
            ends = quantiles(list(nh3)).map(exp)
            found.append(Band(minute, self.temp_c[n], quantiles(list(ph)), ends))
        return tuple(found)

    def peak(self, since: int) -> Span:
        """The most NH3 from a minute on, each place at the minute it has it."""
        first = next(n for n, minute in enumerate(self.minutes) if minute >= since)
        moved = {n: self.moves.log_nh3(self.minutes[n]) for n in range(first, len(self.minutes))}
        highest, by = [], []
        for (_, one), way in zip(self.found, self.log_nh3, strict=True):
            most = max(moved, key=lambda n: way[n] + dot(moved[n], one.off))
            highest.append(way[most])
            by.append(moved[most])
        return quantiles(list(self._likely(highest, by))).map(exp)


def _learned(bag: OpenBag, found: Fitted, points: Sequence[Point]) -> Iterator[str]:
    """What moved, in words; nothing where nothing was read."""
    if not found.explained:
        yield (
            "no course of this bag goes through these readings: read pH again; the ends are wider"
        )
    if any(p.ph is not None for p in points):
        thought, half = bag.half_time_min, found.half_time_min
        if not half.low <= thought.nominal <= half.high:
            word = "faster" if half.nominal < thought.nominal else "slower"
            yield (
                f"CO2 leaves {word} than thought: half of it in {_whole(half.nominal)} min"
                f" ({_whole(half.low)} to {_whole(half.high)}), not {_whole(thought.nominal)}"
            )
        kh = found.kh_dkh
        if not kh.low <= bag.kh_dkh.nominal <= kh.high:
            yield (
                f"KH of the bag is nearer {show(kh.nominal, 'dKH', step=0.1)}"
                f" ({show_range(kh.low, kh.high, '')}), not"
                f" {show(bag.kh_dkh.nominal, '', step=0.1)}"
            )
        ph = found.first_ph
        if not ph.low <= bag.ph.nominal <= ph.high:
            yield (
                f"pH when it was opened was nearer {ph.nominal:.2f} ({ph.low:.2f} to"
                f" {ph.high:.2f}), not {bag.ph.nominal:.2f}"
            )
    usual, tau = bag.tau_min, found.tau_min
    if not usual.low <= tau <= usual.high:
        word = "faster" if tau < usual.nominal else "slower"
        yield (
            f"it follows the temperature {word} than thought: half of the gap in"
            f" {_whole(tau * log(2.0))} min, not {_whole(usual.nominal * log(2.0))}"
        )


def _whole(value: float) -> str:
    return show(value, "", step=1)
