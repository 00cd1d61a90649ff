"""What two waters make when they are mixed, between the ends their readings leave."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from intake.science.blend import aired, at_co2, blend, water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.span import Span

READ = ("ph", "kh_meq_l", "temp_c", "tan_n_mg_l", "salt_g_l", "gh_meq_l")
"""What is read of each of the two waters, in order."""

Point = tuple[float, ...]
"""The readings of the first water, of the second, and the share of the second."""
Answer = Mapping[str, float]

STEPS = 8
"""Parts a range is looked at in before the best of them is looked into; common practice."""
ZOOMS = 4
"""How often a stretch around the best is cut to a quarter."""
ROUNDS = 12
"""How often every reading is turned again at most; most ends move no more after two."""
LATTICE = 6
"""Up to so many readings with ends, the middles between them are looked at too."""


@dataclass(frozen=True, slots=True)
class Mixture:
    """Every output with its ends, and whether readings that cannot be one water were left out."""

    ends: Mapping[str, Span]
    left_out: bool


def mixed(point: Sequence[float]) -> Answer:
    """Everything said of two waters blended: closed, in balance with air, at the second's CO2.

    Raises
    ------
    NotInRange, ImpossibleWater
        For readings outside their range, or that cannot be one water.
    """
    a, b = water_from_reading(*point[:6]), water_from_reading(*point[6:12])
    closed = blend(a, b, point[12])
    open_air, own = aired(closed), at_co2(closed, b.co2_mg_l)
    return {
        "ph": closed.ph,
        "temp_c": closed.temp_c,
        "alk_meq_l": closed.alk_meq_l,
        "dic_mmol_l": closed.dic_mmol_l,
        "co2_mg_l": closed.co2_mg_l,
        "tan_n_mg_l": closed.tan_n_mg_l,
        "salt_g_l": closed.salt_g_l,
        "nh3_n_mg_l": closed.nh3_n_mg_l,
        "nh3_activity_n_mg_l": closed.nh3_activity_n_mg_l,
        "aired.ph": open_air.ph,
        "aired.co2_mg_l": open_air.co2_mg_l,
        "aired.nh3_n_mg_l": open_air.nh3_n_mg_l,
        "at_b_co2.ph": own.ph,
        "at_b_co2.nh3_n_mg_l": own.nh3_n_mg_l,
    }


class _Search:
    """Looks for the least and the most of every output, and remembers what it worked out."""

    def __init__(self, spans: Sequence[Span]) -> None:
        self.spans = spans
        self.free = [i for i, span in enumerate(spans) if not span.exact]
        self.known: dict[Point, Answer | None] = {}

    def at(self, point: Point) -> Answer | None:
        if point not in self.known:
            try:
                self.known[point] = mixed(point)
            except ImpossibleWater:
                self.known[point] = None
        return self.known[point]

    def starts(self) -> Iterator[Point]:
        middles = len(self.free) <= LATTICE
        ends = (
            (s.low, *([(s.low + s.high) / 2] if middles else []), s.high)
            if not s.exact
            else (s.low,)
            for s in self.spans
        )
        yield from product(*ends)
        yield tuple(s.nominal for s in self.spans)

    def best(self, output: str, sign: int) -> float:
        """The most (`sign` 1) or the least (-1) of one output."""
        start = max(
            (p for p in self.starts() if self.at(p) is not None),
            key=lambda p: self._value(p, output, sign),
        )
        for _ in range(ROUNDS):
            turned = start
            for i in self.free:
                turned = self._along(turned, i, output, sign)
            if turned == start:
                break
            start = turned
        return sign * self._value(start, output, sign)

    def _value(self, point: Point, output: str, sign: int) -> float:
        found = self.at(point)
        return float("-inf") if found is None else sign * found[output]

    def _along(self, point: Point, i: int, output: str, sign: int) -> Point:
        """The best point with only reading `i` turned, looked into where it is not an end."""
        low, high = self.spans[i].low, self.spans[i].high
        for _ in range(ZOOMS):
            step = (high - low) / STEPS
            row = [(*point[:i], low + step * n, *point[i + 1 :]) for n in range(STEPS)]
            row += [(*point[:i], high, *point[i + 1 :]), point]
            point = max(row, key=lambda p: self._value(p, output, sign))
            if point[i] in (self.spans[i].low, self.spans[i].high):
                return point
            low = max(self.spans[i].low, point[i] - step)
            high = min(self.spans[i].high, point[i] + step)
        return point


def mixture(a: Sequence[Span], b: Sequence[Span], share: Span) -> Mixture:
    """Every output of two waters blended with its ends.

    Parameters
    ----------
    a, b
        The readings of each water in the order of `READ`, in their units.
    share
        Share of `b` by volume, 0 to 1.

    Raises
    ------
    NotInRange, ImpossibleWater
        For readings outside their range, or where the likely ones cannot be one water.

    Notes
    -----
    Ends of readings do not always make ends of the mixture: pH can turn with a temperature or a
    salt, NH3 with the share. Every corner is worked out, and from the best of them each reading
    is turned by itself until nothing gets better.
    """
    spans = (*a, *b, share)
    nominal = mixed([s.nominal for s in spans])
    search = _Search(spans)
    if not search.free:
        return Mixture({name: Span(v, v, v) for name, v in nominal.items()}, left_out=False)
    ends = {}
    for name, value in nominal.items():
        least, most = search.best(name, -1), search.best(name, 1)
        ends[name] = Span(min(least, value), value, max(most, value))
    return Mixture(ends, left_out=None in search.known.values())
