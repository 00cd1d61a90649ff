"""A way across under way: which step it is at and when it ends, from what the journal says.

Steps count in the order in which they were written, so that a clock that goes back loses none.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from math import exp
from typing import Any

from intake.flows.crossing_open import lift, opened, point
from intake.flows.crossing_said import checks_of, learned_of, replanned_of, untold_of
from intake.flows.crossing_state import Crossing, kept_at
from intake.flows.desk import Book
from intake.flows.facts.noted import Noted
from intake.flows.facts.things import Bag
from intake.science.bag_fit import Point
from intake.science.bag_replan import Lift
from intake.science.floating import USUAL_TAU_MIN, fitted_tau_min, minutes_left
from intake.science.span import Span

Measured = tuple[datetime, Mapping[str, Any]]
"""A checkpoint: when, and the readings as they are kept."""

NOT_COMPARED = (
    "Bring the fish across by the way that was chosen.",
    "Bag water to foul waste, never into a vessel; wash bowl and hands.",
)
"""The steps where the ways could not be compared when one was chosen."""
CLOCK_BACK_MIN = 1.0
"""A clock behind the newest entry by more went back [min]. Common practice."""
LAST = 10**12
"""The number of an entry that is not written yet."""


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
    steps = [step for step in bag.steps if step.entry > bag.chosen_entry]
    read = [
        c
        for c in bag.checkpoints
        if (c.at, c.entry) > (bag.chosen_at, bag.chosen_entry)
        or (c.entry > bag.chosen_entry and c.at == c.entered)
    ]
    if pressed is not None:
        steps.append(Noted(LAST, pressed[0], book.now, {"what": pressed[1]}))
    if also is not None:
        read.append(Noted(LAST, also[0], book.now, dict(also[1])))
    steps.sort(key=lambda s: s.entry)
    read.sort(key=lambda c: (c.at, c.entry))
    return Run(book, bag, bag.chosen_at, steps, read).crossing()


class Run:
    """One run being worked out."""

    def __init__(
        self,
        book: Book,
        bag: Bag,
        chosen_at: datetime,
        steps: Sequence[Noted],
        noted: Sequence[Noted],
    ) -> None:
        self.run = bag.run
        self.way = bag.chosen
        self.steps = steps
        nexts = [step for step in steps if step.what["what"] == "next"]
        self.began = (chosen_at, *(step.at for step in nexts))
        self.now = len(nexts)
        self.timed: int | None = self.run.get("timed")
        on_time = self.timed is not None and self.now >= self.timed
        at = (self.timed or 0) if on_time else 0
        self.start = self.began[at]
        first = nexts[at - 1].entry if at else bag.chosen_entry
        self.clock = book.now
        self.zone = book.facts.zone
        self.limit_n_mg_l = book.shelf.water.acclimation().nh3_peak_n_mg_l
        self.untold = [c for c in noted if c.at < self.start and c.entry > first < c.entry
                       and c.at == c.entered]  # fmt: skip
        self.read: list[Measured] = [(c.at, c.what) for c in noted if c not in self.untold]
        self.replans = self.way == "float-and-lift" and bool(self.run)
        self.there_c: float | None = self.run.get("there_c")
        if self.replans:
            newest = book.facts.vessel(bag.vessel).readings.get("temp")
            if newest is not None and newest.at > chosen_at and newest.value is not None:
                self.there_c = newest.value
        self.bag_c: float | None = self.run.get("bag_c")
        early = [r["temp"]["value"] for at, r in self.read if at <= self.start and "temp" in r]
        if early:
            self.bag_c = early[-1]
        newest_at = max([*self.began, *(s.at for s in steps), *(c.at for c in noted)])
        behind = (newest_at - self.clock).total_seconds() / 60
        self.behind_min = behind if behind > CLOCK_BACK_MIN else 0.0
        self.gasp_at = None if bag.gasping_at is None else max(bag.gasping_at, chosen_at)
        self.opened = opened(self.run, self.held_min())

    def crossing(self) -> Crossing:
        last = self.run.get("last", len(NOT_COMPARED) - 1)
        ends, earliest, latest = self.ends(self.read)
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
            tau_min=self.tau(self.temps(self.read)),
            replans=self.replans,
            checks=(*checks_of(self), *untold_of(self.untold)),
            kept=tuple(tuple(row) for row in self.run.get("foretold", ())),
            holding=self.holding(),
            peak_nh3_n_mg_l=self.run.get("peak_nh3_n_mg_l"),
            limit_n_mg_l=self.limit_n_mg_l,
            opened=self.opened,
            points=self.points(self.read),
            learned=learned_of(self),
            replanned=replanned_of(self),
            over_at=self.lift(self.read).over,
            behind_min=self.behind_min,
            gasping=self.gasp_at is not None,
        )

    def minutes_at(self, moment: datetime) -> float:
        """Minutes of the run at a moment."""
        return (moment - self.start).total_seconds() / 60

    def temps(self, read: Sequence[Measured]) -> list[tuple[float, float]]:
        """Minutes of the run and temperatures measured then."""
        return [
            (self.minutes_at(at), float(r["temp"]["value"]))
            for at, r in read
            if "temp" in r and at > self.start
        ]

    def points(self, read: Sequence[Measured]) -> tuple[Point, ...]:
        """What was read since the bag was opened, as the fit takes it."""
        if self.opened is None:
            return ()
        return tuple(point(self.minutes_at(at), r) for at, r in read if at > self.start and r)

    def holding(self) -> bool:
        """Whether it is held: a next step goes on too."""
        return bool(self.steps) and self.steps[-1].what["what"] == "hold"

    def held_min(self) -> float:
        """Minutes it was held since the start; a drip stands still in them."""
        held, since = 0.0, None
        for step in self.steps:
            if step.what["what"] == "hold":
                since = max(step.at, self.start)
            elif since is not None:
                held += max(0.0, (step.at - since).total_seconds() / 60)
                since = None
        if since is not None:
            held += max(0.0, (self.clock - since).total_seconds() / 60)
        return held

    def tau(self, temps: Sequence[tuple[float, float]]) -> Span:
        """How fast this bag follows the water [min]."""
        if not self.replans or self.bag_c is None or self.there_c is None:
            return USUAL_TAU_MIN
        there = self.there_c
        return fitted_tau_min(self.bag_c - there, [(t, c - there) for t, c in temps])

    def lift(self, read: Sequence[Measured]) -> Lift:
        """When an opened bag is lifted across, by these readings."""
        planned = float(self.run.get("minutes", 0))
        if self.opened is None:
            planned += self.held_min() if self.way.startswith("drip") else 0.0
            return Lift(planned, planned, None)
        found = lift(self.opened, self.points(read), self.limit_n_mg_l)
        return found if found.over else Lift(*(planned + self.held_min(),) * 2, None)

    def ends(self, read: Sequence[Measured]) -> tuple[datetime, datetime, datetime]:
        """When the minutes are over: likely, at the earliest, at the latest."""
        if self.gasp_at is not None:
            return self.gasp_at, self.gasp_at, self.gasp_at
        low, likely, high = self._minutes(read)
        return tuple(  # type: ignore[return-value]
            self.start + timedelta(seconds=round(m * 60)) for m in (likely, low, high)
        )

    def _minutes(self, read: Sequence[Measured]) -> tuple[float, float, float]:
        temps = self.temps(read)
        begun = temps or ([(0.0, self.bag_c)] if self.bag_c is not None else [])
        if not self.replans or self.there_c is None or not begun:
            across = self.lift(read)
            return across.minute, across.minute, across.latest
        tau, aim = self.tau(temps), float(self.run["aim_c"])
        since, first = (0.0, self.bag_c) if self.bag_c is not None else begun[-1]
        gap = abs(first - self.there_c)
        low, likely, high = (
            since + minutes_left(gap, aim, rate) for rate in (tau.low, tau.nominal, tau.high)
        )
        if not temps:
            likely = float(self.run.get("minutes", 0))
        elif abs(temps[-1][1] - self.there_c) <= aim:
            likely = min(likely, temps[-1][0])
        least, longest = float(self.run["least_min"]), float(self.run["longest_min"])
        low, likely, high = (min(max(m, least), longest) for m in (low, likely, high))
        return min(low, likely), likely, max(likely, high)

    def foretold_c(self, minutes: float, tau_min: float) -> float | None:
        """The bag's temperature [C] so many minutes into the run."""
        if self.replans and self.bag_c is not None and self.there_c is not None:
            return self.there_c + (self.bag_c - self.there_c) * exp(-max(minutes, 0.0) / tau_min)
        return self.kept(minutes, 1)

    def kept(self, minutes: float, column: int) -> float | None:
        """A figure of the curve kept with the choice, between its two nearest minutes."""
        return kept_at(self.run.get("foretold", []), minutes, column)
