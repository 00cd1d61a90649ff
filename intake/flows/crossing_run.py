"""A way across under way: which step it is at and when it ends, from what the journal says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from math import exp
from typing import Any

from intake.flows.crossing_state import Check, Crossing
from intake.flows.desk import Book
from intake.flows.facts.things import Bag
from intake.science.floating import USUAL_TAU_MIN, fitted_tau_min, minutes_left
from intake.science.span import Span

Measured = tuple[datetime, Mapping[str, Any]]
"""A checkpoint: when, and the readings as they are kept."""

AS_FORETOLD_C = 0.5
"""A measured temperature within this of the foretold one is called as foretold [C]. Common
practice: twice what two thermometers differ by."""
AS_FORETOLD_MIN = 3
"""An end that moves by less is not spoken of [min]. Common practice."""
NOT_COMPARED = (
    "Bring the fish across by the way that was chosen.",
    "Bag water to foul waste, never into a vessel; wash bowl and hands.",
)
"""The steps where the ways could not be compared when one was chosen."""


def crossing(
    book: Book,
    bag: Bag,
    *,
    also: Measured | None = None,
    pressed: tuple[datetime, str] | None = None,
) -> Crossing | None:
    """The way across of a bag as the journal has it, None where none is chosen.

    `also` and `pressed` are a checkpoint and a step on top, as if they were recorded already.
    """
    if not bag.chosen or bag.chosen_at is None:
        return None
    chosen = (bag.chosen_at, bag.chosen_entry)
    steps = [(at, what) for n, at, what in bag.steps if (at, n) > chosen]
    read: list[Measured] = [(at, r) for n, at, r in bag.checkpoints if (at, n) > chosen]
    if pressed is not None:
        steps.append(pressed)
    if also is not None:
        read.append(also)
    steps.sort(key=lambda x: x[0])
    read.sort(key=lambda x: x[0])
    return _Run(book, bag, bag.chosen_at, steps, read).crossing()


class _Run:
    """One run being worked out."""

    def __init__(
        self,
        book: Book,
        bag: Bag,
        chosen_at: datetime,
        steps: Sequence[tuple[datetime, str]],
        read: Sequence[Measured],
    ) -> None:
        self.run = bag.run
        self.way = bag.chosen
        self.read = read
        self.steps = steps
        nexts = [at for at, what in steps if what == "next"]
        self.began = (chosen_at, *nexts)
        self.now = len(nexts)
        self.timed: int | None = self.run.get("timed")
        on_time = self.timed is not None and self.now >= self.timed
        self.start = self.began[self.timed or 0] if on_time else chosen_at
        self.clock = book.now
        self.zone = book.facts.zone
        self.replans = self.way == "float-and-lift" and bool(self.run)
        self.there_c: float | None = self.run.get("there_c")
        if self.replans:
            newest = book.facts.vessel(bag.vessel).readings.get("temp")
            if newest is not None and newest.at > chosen_at and newest.value is not None:
                self.there_c = newest.value
        self.bag_c: float | None = self.run.get("bag_c")
        early = [r["temp"]["value"] for at, r in read if at <= self.start and "temp" in r]
        if early:
            self.bag_c = early[-1]

    def crossing(self) -> Crossing:
        last = self.run.get("last", len(NOT_COMPARED) - 1)
        points = self.points(self.read)
        ends, earliest, latest = self.ends(points)
        return Crossing(
            way=self.way,
            steps=tuple(self.run.get("steps", NOT_COMPARED)),
            now=min(self.now, last + 1),
            timed=self.timed,
            last=last,
            began=self.began[: last + 2],
            start=self.start,
            ends=ends,
            earliest=earliest,
            latest=latest,
            bag_c=self.bag_c,
            there_c=self.there_c,
            aim_c=self.run.get("aim_c"),
            tau_min=self.tau(points),
            replans=self.replans,
            checks=tuple(self.checks()),
            foretold=tuple(self.line()),
            holding=self.holding(),
            peak_nh3_n_mg_l=self.run.get("peak_nh3_n_mg_l"),
        )

    def minutes_at(self, moment: datetime) -> float:
        """Minutes of the run at a moment."""
        return (moment - self.start).total_seconds() / 60

    def points(self, read: Sequence[Measured]) -> list[tuple[float, float]]:
        """Minutes of the run and temperatures measured then."""
        return [
            (self.minutes_at(at), float(r["temp"]["value"]))
            for at, r in read
            if "temp" in r and at > self.start
        ]

    def holding(self) -> bool:
        """Whether it is held: a next step goes on too."""
        return bool(self.steps) and self.steps[-1][1] == "hold"

    def held_min(self) -> float:
        """Minutes it was held since the start; a drip stands still in them."""
        held, since = 0.0, None
        for at, what in self.steps:
            if what == "hold":
                since = max(at, self.start)
            elif since is not None:
                held += max(0.0, (at - since).total_seconds() / 60)
                since = None
        if since is not None:
            held += max(0.0, (self.clock - since).total_seconds() / 60)
        return held

    def tau(self, points: Sequence[tuple[float, float]]) -> Span:
        """How fast this bag follows the water [min]."""
        if not self.replans or self.bag_c is None or self.there_c is None:
            return USUAL_TAU_MIN
        there = self.there_c
        return fitted_tau_min(self.bag_c - there, [(t, c - there) for t, c in points])

    def ends(self, points: Sequence[tuple[float, float]]) -> tuple[datetime, datetime, datetime]:
        """When the minutes are over: likely, at the earliest, at the latest."""
        low, likely, high = self._minutes(points)
        return tuple(  # type: ignore[return-value]
            self.start + timedelta(seconds=round(m * 60)) for m in (likely, low, high)
        )

    def _minutes(self, points: Sequence[tuple[float, float]]) -> tuple[float, float, float]:
        planned = float(self.run.get("minutes", 0))
        begun = points or ([(0.0, self.bag_c)] if self.bag_c is not None else [])
        if not self.replans or self.there_c is None or not begun:
            planned += self.held_min() if self.way.startswith("drip") else 0.0
            return planned, planned, planned
        tau, aim = self.tau(points), float(self.run["aim_c"])
        since, first = (0.0, self.bag_c) if self.bag_c is not None else begun[-1]
        gap = abs(first - self.there_c)
        low, likely, high = (
            since + minutes_left(gap, aim, rate) for rate in (tau.low, tau.nominal, tau.high)
        )
        if not points:
            likely = planned
        elif abs(points[-1][1] - self.there_c) <= aim:
            likely = min(likely, points[-1][0])
        least, longest = float(self.run["least_min"]), float(self.run["longest_min"])
        low, likely, high = (min(max(m, least), longest) for m in (low, likely, high))
        return min(low, likely), likely, max(likely, high)

    def foretold_c(self, minutes: float, tau_min: float) -> float | None:
        """The bag's temperature [C] so many minutes into the run."""
        if self.replans and self.bag_c is not None and self.there_c is not None:
            return self.there_c + (self.bag_c - self.there_c) * exp(-max(minutes, 0.0) / tau_min)
        return self._kept(minutes, 1)

    def _kept(self, minutes: float, column: int) -> float | None:
        """A figure of the curve kept with the choice, between its two nearest minutes."""
        curve = self.run.get("foretold", [])
        if not curve or minutes < 0:
            return None
        before = next((row for row in reversed(curve) if row[0] <= minutes), curve[0])
        after = next((row for row in curve if row[0] >= minutes), curve[-1])
        if after[0] == before[0]:
            return float(before[column])
        share = (minutes - before[0]) / (after[0] - before[0])
        return float(before[column] + (after[column] - before[column]) * share)

    def checks(self) -> Iterator[Check]:
        """Every checkpoint against what was foretold before it."""
        for n, (at, read) in enumerate(self.read):
            known = self.points(self.read[:n])
            minutes = self.minutes_at(at)
            measured = _value(read, "temp")
            foretold = self.foretold_c(minutes, self.tau(known).nominal)
            shut = self.replans or self.way == "match-water"
            ph = None if shut else self._kept(minutes, 2)
            said = self._said(n, foretold, measured) if measured is not None else ""
            yield Check(at, foretold, measured, ph, _value(read, "ph"), said or _ph_said(shut))

    def _said(self, n: int, foretold: float | None, measured: float) -> str:
        if foretold is None or self.there_c is None or self.read[n][0] <= self.start:
            return "counted from here"
        was, now = (self.ends(self.points(self.read[:upto]))[0] for upto in (n, n + 1))
        moved = abs((now - was).total_seconds()) / 60
        if abs(measured - foretold) <= AS_FORETOLD_C and moved < AS_FORETOLD_MIN:
            return "as foretold"
        left, thought = abs(measured - self.there_c), abs(foretold - self.there_c)
        word = "slower" if left > thought else "faster"
        if moved < 1:
            return word
        ends = [f"{moment.astimezone(self.zone):%H:%M}" for moment in (was, now)]
        return f"{word}: end moved {ends[0]} to {ends[1]}"

    def line(self) -> Iterator[tuple[float, float]]:
        """The temperature as it was foretold when the run began."""
        planned = int(self.run.get("minutes", 0))
        for minute in sorted({*range(0, planned, 5), planned}):
            found = self.foretold_c(float(minute), USUAL_TAU_MIN.nominal)
            if found is not None:
                yield float(minute), found


def _value(read: Mapping[str, Any], name: str) -> float | None:
    kept = read.get(name)
    return None if kept is None or kept["value"] is None else float(kept["value"])


def _ph_said(shut: bool) -> str:
    return "pH is not foretold while the bag is shut" if shut else ""
