"""Schedules of water changes tried one after another: which keeps ammonia under its limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import islice, pairwise

from intake.science.change_tracks import Tracks, changed, later, most_nh3_n_mg_l
from intake.science.kept_medicine import Floor
from intake.science.limits import allowed
from intake.science.span import Span


@dataclass(frozen=True, slots=True)
class Search:
    """What the schedules are tried on.

    Parameters
    ----------
    tracks
        The waters that are followed, as they are now.
    floors
        How much old water has to be left for medicines that are not replaced.
    volume_l
        Water in the system [L].
    made_n_mg_d
        Ammonia made [mg of N a day].
    limit_n_mg_l
        NH3 allowed [mg/L as N].
    slots_h, end_h
        When a change may be made, the first one now, and how far it looks, in hours from now.
    percents
        The sizes a change may have, the smallest first [%].
    """

    tracks: Tracks
    floors: tuple[Floor, ...]
    volume_l: Span
    made_n_mg_d: float
    limit_n_mg_l: float
    slots_h: tuple[float, ...]
    end_h: float
    percents: tuple[int, ...]

    def keeps(self, nh3_n_mg_l: float) -> bool:
        """Whether so much NH3 is at or under the limit."""
        return allowed(nh3_n_mg_l, None, self.limit_n_mg_l)

    def litres(self, percent: int) -> float:
        """So much of the likely volume [L]."""
        return self.volume_l.nominal * percent / 100.0

    @property
    def waits_h(self) -> tuple[float, ...]:
        """From each slot to the next, and from the last one to the end [h]."""
        return tuple(b - a for a, b in pairwise((*self.slots_h, self.end_h)))


@dataclass(frozen=True, slots=True)
class Step:
    """One slot: percent changed (0: none), NH3 before and after it [mg/L as N]."""

    percent: int
    before_n_mg_l: float
    after_n_mg_l: float


@dataclass(frozen=True, slots=True)
class Run:
    """One schedule: a step for each slot, and NH3 at the end [mg/L as N]."""

    steps: tuple[Step, ...]
    end_n_mg_l: float

    @property
    def size(self) -> tuple[int, int]:
        """How many changes, and all their percents together: the smaller the better."""
        percents = [s.percent for s in self.steps if s.percent]
        return len(percents), sum(percents)

    @property
    def most_n_mg_l(self) -> float:
        """The most NH3 from the first slot on: what is there before it is nobody's choice."""
        first, *others = self.steps
        rest = [n for s in others for n in (s.before_n_mg_l, s.after_n_mg_l)]
        return max(first.after_n_mg_l, *rest, self.end_n_mg_l)


@dataclass(frozen=True, slots=True)
class Here:
    """Where a run has come to: the slot, the waters in it, the share of old water left at most."""

    slot: int
    tracks: Tracks
    left: float = 1.0

    @property
    def nh3_n_mg_l(self) -> float:
        """NH3 before this slot's change [mg/L as N]."""
        return most_nh3_n_mg_l(self.tracks)


def stepped(search: Search, here: Here, percent: int) -> tuple[Step, Here]:
    """What a change at this slot does, and where the next slot finds the water."""
    tracks, after = here.tracks, here.nh3_n_mg_l
    before = after
    if percent:
        tracks, after = changed(tracks, search.litres(percent))
    tracks = later(tracks, search.waits_h[here.slot], search.made_n_mg_d)
    there = Here(here.slot + 1, tracks, _left(search, here, percent))
    return Step(percent, before, after), there


def _left(search: Search, here: Here, percent: int) -> float:
    """The share of old water after it, in the smallest volume."""
    return here.left * max(0.0, 1.0 - search.litres(percent) / search.volume_l.low)


Tried = tuple[Step, Here] | None
Choose = Callable[[Search, Here], Tried]
"""Which change to make at a slot; None where none will do."""


def lasts(search: Search, here: Here, percent: int) -> Tried:
    """The step, where it keeps every limit up to the next slot."""
    if percent:
        need = max((f.share_at(search.slots_h[here.slot]) for f in search.floors), default=0.0)
        if not allowed(_left(search, here, percent), need, None):
            return None
    # The water that is worst now fails first, and most of what is tried fails.
    worst = max(here.tracks, key=lambda track: track.nh3_n_mg_l)
    for tracks in ((worst,), here.tracks):
        step, there = stepped(search, replace(here, tracks=tracks), percent)
        if not (search.keeps(step.after_n_mg_l) and search.keeps(there.nh3_n_mg_l)):
            return None
    return step, there


def when_needed(*percents: int) -> Choose:
    """No change where the next slot is soon enough, else the first of these that lasts."""

    def choose(search: Search, here: Here) -> Tried:
        return next((t for p in (0, *percents) if (t := lasts(search, here, p))), None)

    return choose


def at_every_slot(percent: int, first: int = 0) -> Choose:
    """The same change at every slot, from the `first` on."""

    def choose(search: Search, here: Here) -> Tried:
        return lasts(search, here, percent if here.slot >= first else 0)

    return choose


def followed(search: Search, choose: Choose) -> Run | None:
    """The run of a rule; None where it does not keep every limit."""
    here, steps = Here(0, search.tracks), []
    for _ in search.slots_h:
        tried = choose(search, here)
        if tried is None:
            return None
        steps.append(tried[0])
        here = tried[1]
    return Run(tuple(steps), here.nh3_n_mg_l)


def best(search: Search) -> Run | None:
    """The run with fewest, then smallest changes; None where none keeps every limit."""
    found = list(_of_one_size(search))
    if not found:
        run = followed(search, when_needed(*search.percents))
        found = [run] if run else list(islice(_steady(search), 1))
    return min(found, key=lambda run: run.size, default=None)


def _of_one_size(search: Search) -> Iterator[Run]:
    """Runs of one size made when needed, from the largest down as long as they need no more."""
    fewest = len(search.slots_h)
    for percent in reversed(search.percents):
        run = followed(search, when_needed(percent))
        if run is None:
            continue
        if run.size[0] > fewest:
            return
        fewest = run.size[0]
        yield run


def _steady(search: Search) -> Iterator[Run]:
    """Runs of one size at every slot: before they are needed, so that there is less to take."""
    rules = [at_every_slot(search.percents[-1], n) for n in reversed(range(len(search.slots_h)))]
    rules += [at_every_slot(percent) for percent in search.percents]
    return (run for rule in rules if (run := followed(search, rule)))


def _forced(percent: int) -> Choose:
    return lambda search, here: stepped(search, here, percent)


def nearest(search: Search) -> Run:
    """The largest change at every slot until a smaller one lasts, whatever that keeps."""
    needed, forced = when_needed(*search.percents), _forced(search.percents[-1])
    run = followed(search, lambda s, here: needed(s, here) or forced(s, here))
    assert run is not None
    return run


def unchanged(search: Search) -> Run:
    """No change at all, whatever that keeps."""
    run = followed(search, _forced(0))
    assert run is not None
    return run


def harms(search: Search) -> bool:
    """Whether changing cannot help: the new water by itself is over the limit, or every change
    leaves more NH3 than there was when one is needed.

    Judged once the vessel's own CO2 is back: what a moment of stirring in adds goes by itself.
    """
    if not search.keeps(max(t.changed(t.large_l)[0].nh3_n_mg_l for t in search.tracks)):
        return True
    here = Here(0, search.tracks)
    while here.slot < len(search.slots_h) - 1 and (tried := lasts(search, here, 0)):
        here = tried[1]
    left = (changed(here.tracks, search.litres(p))[0] for p in search.percents)
    return all(most_nh3_n_mg_l(tracks) >= here.nh3_n_mg_l for tracks in left)
