"""A medicine that has to keep its strength through changes of water to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import exp, log

from intake.science.ledger import NONE_LEFT, Changed, Ledger, Residue
from intake.science.limits import allowed
from intake.science.residue import ahead, residue

REPLACE = "replace"
LEFT_OUT = "left-out"


@dataclass(frozen=True, slots=True)
class Medicine:
    """One medicine whose course runs in the water.

    Parameters
    ----------
    name
        Its treatment.
    ledger
        What happened to it up to now.
    low, limit
        The low end of its course and the hard limit, in the ledger's unit.
    after_change
        "replace": the new water is dosed before it goes in. Anything else: it is not.
    new
        What the new water that goes in holds: dosed where it is replaced.
    undosed
        What new water holds by itself.
    until_utc
        When its course is over and it need not be kept up any more; None: while it is planned.
    """

    name: str
    ledger: Ledger
    low: float
    limit: float
    after_change: str
    new: Residue
    undosed: Residue = NONE_LEFT
    until_utc: datetime | None = None

    @property
    def replaced(self) -> bool:
        """Whether new water is dosed."""
        return self.after_change == REPLACE

    def left_out(self) -> Medicine:
        """The same with new water that is not dosed."""
        return replace(self, after_change=LEFT_OUT, new=self.undosed)


@dataclass(frozen=True, slots=True)
class Change:
    """Litres of water changed at a moment."""

    at_utc: datetime
    litres: float


@dataclass(frozen=True, slots=True)
class Levels:
    """The range of a medicine just before and just after each change, and at the end."""

    before: tuple[Residue, ...]
    after: tuple[Residue, ...]
    end: Residue

    @property
    def every(self) -> tuple[Residue, ...]:
        """All of them."""
        return (*self.before, *self.after, self.end)


def changed_ledger(medicine: Medicine, changes: Sequence[Change]) -> Ledger:
    """Its ledger with the changes in it."""
    events = [Changed(c.at_utc, out_l=c.litres, in_l=c.litres, new=medicine.new) for c in changes]
    return replace(medicine.ledger, events=(*medicine.ledger.events, *events))


def levels(medicine: Medicine, changes: Sequence[Change], end_utc: datetime) -> Levels:
    """What it holds through the changes, by its ledger."""
    before = [
        residue(changed_ledger(medicine, changes[:n]), c.at_utc) for n, c in enumerate(changes)
    ]
    times = [*(c.at_utc for c in changes), end_utc]
    *after, end = ahead(changed_ledger(medicine, changes), times)
    return Levels(tuple(before), tuple(after), end)


@dataclass(frozen=True, slots=True)
class Floor:
    """How much of the old water has to be left so that what is not replaced stays strong enough.

    `ends` are (until so many hours, share): until then no less than that share of the water may
    be the old one.
    """

    ends: tuple[tuple[float, float], ...]

    def share_at(self, hours: float) -> float:
        """The share of old water (0 to 1) that has to be left after so many hours."""
        return max((share for until_h, share in self.ends if hours < until_h), default=0.0)


def floor_of(medicine: Medicine, now_utc: datetime, end_h: float) -> Floor:
    """What changes have to leave of a medicine that is not replaced.

    Notes
    -----
    An end of its range that falls under the low end of the course by itself is not held against
    the changes from then on; up to then it has to stay over it with them. It fades by one rate,
    since nothing else happens to it, so the last moment decides. A medicine that is replaced
    needs nothing: between what is there and new water of its strength lies no weaker mix.
    """
    if medicine.replaced or medicine.low <= 0.0:
        return Floor(())
    window_h = end_h
    if medicine.until_utc is not None:
        window_h = min(end_h, (medicine.until_utc - now_utc).total_seconds() / 3600)
    now, later = ahead(medicine.ledger, (now_utc, now_utc + timedelta(hours=1)))
    found = []
    for level, after_an_hour in ((now.low, later.low), (now.now, later.now)):
        if window_h <= 0.0 or not allowed(level, medicine.low, None):
            continue
        rate = log(level / after_an_hour) if after_an_hour > 0.0 else 0.0
        falls_h = log(level / medicine.low) / rate if rate > 0.0 else window_h
        last_h = min(window_h, falls_h)
        found.append((last_h, min(1.0, medicine.low / (level * exp(-rate * last_h)))))
    return Floor(tuple(found))


def thinned(
    medicine: Medicine, changes: Sequence[Change], through: Levels, end_utc: datetime
) -> bool:
    """Whether the changes take it under its low end where it would not fall by itself."""
    times = [*(c.at_utc for c in changes for _ in ("before", "after")), end_utc]
    found = [x for pair in zip(through.before, through.after, strict=True) for x in pair]
    by_itself = ahead(medicine.ledger, times)
    for at_utc, left, with_them in zip(times, by_itself, [*found, through.end], strict=True):
        if medicine.until_utc is not None and at_utc >= medicine.until_utc:
            continue
        ends = ((left.low, with_them.low), (left.now, with_them.now))
        if any(
            allowed(a, medicine.low, None) and not allowed(b, medicine.low, None) for a, b in ends
        ):
            return True
    return False
