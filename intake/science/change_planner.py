"""Which changes of water keep ammonia and the medicines in it where they have to be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from intake.science.change_advice import ReadWater
from intake.science.change_limits import ChangeLimits
from intake.science.change_search import (
    Run,
    Search,
    best,
    harms,
    nearest,
    unchanged,
)
from intake.science.change_tracks import tracks_of
from intake.science.kept_medicine import Change, Levels, Medicine, floor_of, levels, thinned
from intake.science.ledger import Residue
from intake.science.limits import allowed
from intake.science.span import Span

STEP_PERCENT = 5
"""Changes are planned in steps of so much of the water [%]: what a keeper can measure. Common
practice."""

TAP_TOO_HIGH = "tap-too-high"
"""The new water by itself holds more NH3 than the limit, or every change makes it more."""
CAP_TOO_SMALL = "cap-too-small"
"""Changes as large and as often as they may be are not enough."""
MEDICINE_TOO_THIN = "medicine-too-thin"
"""The changes that ammonia needs take a medicine that is not replaced under its low end."""
OVER_LIMIT = "over-limit"
"""Keeping a medicine up would pass its hard limit somewhere in what volume and half-life leave
open."""
FAILURES = (TAP_TOO_HIGH, CAP_TOO_SMALL, MEDICINE_TOO_THIN, OVER_LIMIT)


@dataclass(frozen=True, slots=True)
class Ahead:
    """What the planner is asked.

    Parameters
    ----------
    now_utc
        When it is asked.
    water, tap
        As read. The new water with the salt it is given, where salt is replaced.
    volume_l
        Water in the system [L].
    made_n_mg_d
        Ammonia made by feed or fish [mg of N a day], with no filter.
    limits
        What the water is judged with; the largest share of one change.
    slots_h
        When a change may be made, in hours from now, in order.
    end_h
        How far it looks [h].
    medicines
        What has to keep its strength.
    """

    now_utc: datetime
    water: ReadWater
    tap: ReadWater
    volume_l: Span
    made_n_mg_d: float
    limits: ChangeLimits
    slots_h: tuple[float, ...]
    end_h: float
    medicines: tuple[Medicine, ...] = ()

    def litres(self, percent: int) -> float:
        """So much of the likely volume [L]."""
        return self.volume_l.nominal * percent / 100.0

    def change(self, hours: float, percent: int) -> Change:
        """A change of so much of the water, so many hours from now."""
        return Change(self.now_utc + timedelta(hours=hours), self.litres(percent))

    @property
    def end_utc(self) -> datetime:
        """How far it looks."""
        return self.now_utc + timedelta(hours=self.end_h)


@dataclass(frozen=True, slots=True)
class PlannedChange:
    """One change of the plan.

    Parameters
    ----------
    at_utc, percent, litres
        When, and how much goes out and comes in.
    nh3_before_n_mg_l, nh3_after_n_mg_l
        NH3 at the end that harms [mg/L as N], the moment of stirring in being part of after.
    levels
        Of each medicine, its range before and after.
    """

    at_utc: datetime
    percent: int
    litres: float
    nh3_before_n_mg_l: float
    nh3_after_n_mg_l: float
    levels: tuple[tuple[str, Residue, Residue], ...] = ()


@dataclass(frozen=True, slots=True)
class ChangePlan:
    """The answer: a schedule that keeps every limit, or why there is none.

    Parameters
    ----------
    failure
        "" or one of `FAILURES`.
    medicine
        Which medicine the failure speaks of.
    changes
        The schedule. With a failure what comes nearest, which nobody is kept from making: the
        largest changes as often as they may be made until smaller ones do, or those that ammonia
        needs whatever they do to a medicine, with one that is over its limit left out of the new
        water; none where changing harms.
    nh3_now_n_mg_l
        NH3 as it stands [mg/L as N].
    nh3_most_n_mg_l
        The most NH3 after the first change, or from now on where none is needed [mg/L as N].
    nh3_end_n_mg_l
        NH3 at the end [mg/L as N].
    ends
        Of each medicine, its range at the end.
    """

    failure: str
    medicine: str
    changes: tuple[PlannedChange, ...]
    nh3_now_n_mg_l: float
    nh3_most_n_mg_l: float
    nh3_end_n_mg_l: float
    ends: tuple[tuple[str, Residue], ...] = ()

    @property
    def possible(self) -> bool:
        """Whether the schedule keeps every limit."""
        return not self.failure


def plan_changes(ahead: Ahead) -> ChangePlan:
    """The fewest and then the smallest changes that keep every limit, or why there are none.

    Parameters
    ----------
    ahead
        The water, the new water, what makes ammonia, when changes may be made, the medicines.

    Raises
    ------
    NotInRange, ImpossibleWater
        For readings that are no water.

    Notes
    -----
    NH3 is followed with the pH solved again after each change, at the vessel's own CO2 and at
    the moment of stirring in, at the ends of the readings and of the volume that harm. It rises
    between changes, so each change and the end decide. Tried are changes of one size made when
    the next slot would be too late, of the smallest size that lasts to the next slot, and of
    one size at every slot: the first need fewest, the second dilute least, the third keep
    ammonia lowest. With no filter, and no more than the largest share at once.
    """
    search = _search(ahead)
    run = best(search)
    if run is not None:
        return _plan(ahead, run)
    free = best(replace(search, floors=()))
    if free is not None:
        return _plan(ahead, free, MEDICINE_TOO_THIN, _thin(ahead, search))
    if harms(search):
        return _plan(ahead, unchanged(search), TAP_TOO_HIGH)
    return _plan(ahead, nearest(replace(search, floors=())), CAP_TOO_SMALL)


def _search(ahead: Ahead) -> Search:
    return Search(
        tracks_of(ahead.water, ahead.tap, ahead.volume_l),
        tuple(floor_of(m, ahead.now_utc, ahead.end_h) for m in ahead.medicines),
        ahead.volume_l,
        ahead.made_n_mg_d,
        ahead.limits.nh3_n_mg_l,
        ahead.slots_h,
        ahead.end_h,
        tuple(range(STEP_PERCENT, int(ahead.limits.largest_percent) + 1, STEP_PERCENT)),
    )


def _thin(ahead: Ahead, search: Search) -> str:
    """The first medicine that alone keeps the changes from being made."""
    pairs = zip(ahead.medicines, search.floors, strict=True)
    alone = (m.name for m, f in pairs if best(replace(search, floors=(f,))) is None)
    return next(alone, ahead.medicines[0].name)


def _plan(ahead: Ahead, run: Run, failure: str = "", medicine: str = "") -> ChangePlan:
    """A run as a plan, with the levels of the medicines through it and what they break."""
    slots = zip(ahead.slots_h, run.steps, strict=True)
    hours = [(h, step) for h, step in slots if step.percent]
    made = [ahead.change(h, step.percent) for h, step in hours]
    through = {m.name: levels(m, made, ahead.end_utc) for m in ahead.medicines}
    if made and not failure:
        failure, medicine = _broken(ahead, made, through)
        if failure == OVER_LIMIT:
            return _plan(_without(ahead, medicine), run, failure, medicine)
    changes = tuple(
        PlannedChange(
            change.at_utc,
            step.percent,
            change.litres,
            step.before_n_mg_l,
            step.after_n_mg_l,
            tuple((name, of.before[n], of.after[n]) for name, of in through.items()),
        )
        for n, (change, (_, step)) in enumerate(zip(made, hours, strict=True))
    )
    ends = tuple((name, of.end) for name, of in through.items())
    now = run.steps[0].before_n_mg_l
    return ChangePlan(failure, medicine, changes, now, run.most_n_mg_l, run.end_n_mg_l, ends)


def _without(ahead: Ahead, name: str) -> Ahead:
    """The same with one medicine left out of the new water."""
    kept = (m.left_out() if m.name == name else m for m in ahead.medicines)
    return replace(ahead, medicines=tuple(kept))


def _broken(ahead: Ahead, changes: list[Change], through: dict[str, Levels]) -> tuple[str, str]:
    """The failure that a medicine's own ledger shows, and which medicine it is."""
    for medicine in ahead.medicines:
        of = through[medicine.name]
        ends = [medicine.new.high, *(level.high for level in of.every)]
        if medicine.replaced and not all(allowed(e, None, medicine.limit) for e in ends):
            return OVER_LIMIT, medicine.name
        if thinned(medicine, changes, of, ahead.end_utc):
            return MEDICINE_TOO_THIN, medicine.name
    return "", ""
