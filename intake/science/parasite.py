"""What is known of a parasite's life: how long each part takes at a temperature, and how far."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from intake.science.course_parts import Source

EGGS, COVER, ONCE = "eggs", "cover", "once"
"""How it is fought: between its last egg and its next layer, without a break, or once."""

DEGREE_DAYS, PERCENT, STEPS = "degree-days", "percent", "steps"
"""How a table is read between its rows: the pace on a straight line, the days by an even share
for each degree, or each row up to the next one."""


@dataclass(frozen=True, slots=True)
class Fit:
    """Days that something takes at temperatures from `low_c` to `high_c` [C].

    `rows` are pairs of temperature [C] and days, colder first. Read by degree-days, two rows are
    the line D = K / (T - T0) that runs through both.
    """

    rows: tuple[tuple[float, float], ...]
    between: str
    low_c: float
    high_c: float
    source: Source

    def days(self, temp_c: float) -> float:
        """Days at `temp_c` [C]; inside the range, but outside the rows, on the outer line.

        >>> from intake.science.course_parts import Source
        >>> said = Source("Zhang et al. 2015", "published")
        >>> Fit(((10, 19), (20, 3)), DEGREE_DAYS, 10, 20, said).days(20)
        3.0
        """
        if not self.low_c <= temp_c <= self.high_c:
            raise ValueError(f"{temp_c} C is outside {self.low_c} to {self.high_c} C")
        if self.between == STEPS or len(self.rows) == 1:
            return next((d for at, d in reversed(self.rows) if at <= temp_c), self.rows[0][1])
        (cold, long), (warm, short) = self._rows_about(temp_c)
        share = (temp_c - cold) / (warm - cold)
        if self.between == PERCENT:
            return float(long * (short / long) ** share)
        return 1 / (1 / long + share * (1 / short - 1 / long))

    def _rows_about(self, temp_c: float) -> tuple[tuple[float, float], tuple[float, float]]:
        steps = list(pairwise(self.rows))
        return next((step for step in steps if temp_c <= step[1][0]), steps[-1])


@dataclass(frozen=True, slots=True)
class Parasite:
    """One parasite of a protocol file.

    `times` are the fits for each part of its life by name; where there are several for one, the
    longest counts for what has to be waited for and the shortest for what must not be missed.
    Nothing is dated outside `low_c` to `high_c` [C]; `below` and `above` say what holds there.
    `doses` is how many are given at least, `every` pairs of temperature [C] and days between
    doses, from that warmth on, `slack_d` how many days later still counts [d], `cycles` for how
    many cycles it is kept up, `look_d` when to look for it after the last dose, where no time of
    its life says so [d].
    """

    id: str
    title: str
    rule: str
    low_c: float
    high_c: float
    range_source: Source
    below: str
    above: str
    rule_source: Source
    times: Mapping[str, tuple[Fit, ...]] = field(default_factory=dict)
    names: tuple[str, ...] = ()
    doses: int = 1
    every: tuple[tuple[float, float], ...] = ()
    every_sources: tuple[Source, ...] = ()
    cycles: float = 1.0
    slack_d: int = 0
    look_d: int = 0
    notes: tuple[str, ...] = ()

    def slow_d(self, time: str, temp_c: float) -> float | None:
        """The longest a part of its life takes at `temp_c` [d]; None outside what is known."""
        found = self._days(time, temp_c)
        return max(found, default=None)

    def fast_d(self, time: str, temp_c: float) -> float | None:
        """The shortest a part of its life takes at `temp_c` [d]; None outside what is known."""
        return min(self._days(time, temp_c), default=None)

    def _days(self, time: str, temp_c: float) -> list[float]:
        fits = self.times[time]
        return [f.days(temp_c) for f in fits if f.low_c <= temp_c <= f.high_c]

    def every_d(self, warmest_c: float) -> int:
        """Days from one dose to the next where the water gets as warm as `warmest_c` [C]."""
        found = (d for at, d in reversed(self.every) if at <= warmest_c)
        return max(1, int(next(found, self.every[0][1])))

    def sources(self) -> tuple[Source, ...]:
        """The sources its repeats rest on, each once."""
        used = {EGGS: ("last-hatch", "first-layer"), COVER: ("generation",), ONCE: ()}[self.rule]
        fits = [f.source for name in used for f in self.times[name]]
        return tuple(dict.fromkeys([*fits, *self.every_sources, self.rule_source]))

    def named_in(self, text: str) -> int:
        """How many letters of a text name it by its id or one of its names; 0 where none do.

        >>> said = Source("common practice", "common practice")
        >>> one = Parasite("gill-flukes", "", ONCE, 1, 2, said, "", "", said, names=("fluke",))
        >>> one.named_in("gill flukes on a slide"), one.named_in("Flukes?"), one.named_in("ich")
        (11, 5, 0)
        """
        plain = text.lower().replace("-", " ")
        names = (n.lower().replace("-", " ") for n in (self.id, *self.names))
        found = (n for n in names if re.search(rf"\b{re.escape(n)}", plain))
        return max(map(len, found), default=0)
