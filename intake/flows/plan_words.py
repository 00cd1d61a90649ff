"""A plan of water changes in words: what it does, or why there is none and what to do then."""

from __future__ import annotations

from intake.flows.change_plan import Planned
from intake.flows.change_words import nh3
from intake.flows.kept_medicines import Kept
from intake.science.change_planner import (
    CAP_TOO_SMALL,
    MEDICINE_TOO_THIN,
    OVER_LIMIT,
    TAP_TOO_HIGH,
    Ahead,
    ChangePlan,
)
from intake.science.figures import beyond, figure
from intake.science.kept_medicine import Medicine
from intake.science.ledger import Residue
from intake.science.limits import allowed


def told(found: Planned) -> str:
    """The answer in one sentence."""
    if found.plan is None or found.ahead is None:
        return f"not worked out: {found.why}"
    if not found.plan.possible:
        return f"not possible, because {_because(found.ahead, found.plan, found)}"
    limit = nh3(found.ahead.limits.nh3_n_mg_l)
    days = f"{found.days} day" + ("s" if found.days != 1 else "")
    count = len(found.plan.changes)
    if not count:
        return f"no change is needed for {days}: NH3 stays at or under {limit}"
    sizes = sorted({c.percent for c in found.plan.changes})
    size = f"{sizes[0]} %" if len(sizes) == 1 else f"{sizes[0]} to {sizes[-1]} %"
    many = "1 change" if count == 1 else f"{count} changes"
    keep = "keeps" if count == 1 else "keep"
    beside = "".join(_beside(found.plan, k) for k in found.kept)
    return f"{many} of {size} {keep} NH3 at or under {limit} for {days}{beside}"


def through(plan: ChangePlan, name: str) -> list[Residue]:
    """The range of a medicine before and after every change, and at the end."""
    found = [r for c in plan.changes for n, *both in c.levels if n == name for r in both]
    return found + [r for n, r in plan.ends if n == name]


def _beside(plan: ChangePlan, kept: Kept) -> str:
    """What becomes of a medicine, where it is in its range and where it was not before."""
    medicine, levels = kept.medicine, through(plan, kept.medicine.name)
    if all(allowed(r.now, medicine.low, medicine.limit) for r in levels):
        return f", {medicine.name} in range"
    least = min(levels, key=lambda r: r.now)
    level = f"{figure(least.now, 2)} {kept.unit}"
    return f"; {medicine.name} is down to {level}, its low is {figure(medicine.low)}"


def way_out(found: Planned) -> str:
    """What to do where there is no plan; "" where there is one."""
    if found.plan is None or found.ahead is None:
        return found.steps[0] if found.steps else ""
    name, limit = found.plan.medicine, figure(_limit(found))
    return {
        "": "",
        TAP_TOO_HIGH: "use other water, test the tap again after a day in open air, and feed less",
        CAP_TOO_SMALL: "feed less and change as much and as often as the table says; ask again "
        f"with --changes-per-day {found.changes_a_day + 1}, or give the fish more water",
        MEDICINE_TOO_THIN: "ammonia comes first: make these changes, then ask for the next dose "
        f"of {name} or end its course",
        OVER_LIMIT: f"put no {name} into new water until all of it is under {limit}; know the "
        "volume better",
    }[found.plan.failure]


def dosed(found: Planned, kept: Kept) -> bool:
    """Whether new water is dosed with it: not with what is over its limit already."""
    plan = found.plan
    over = plan is not None and (plan.failure, plan.medicine) == (OVER_LIMIT, kept.medicine.name)
    return kept.medicine.replaced and not over


def kept_of(found: Planned, name: str) -> Kept | None:
    """A medicine that is kept, by its name."""
    return next((k for k in found.kept if k.medicine.name == name), None)


def _limit(found: Planned) -> float:
    kept = kept_of(found, found.plan.medicine if found.plan else "")
    return kept.medicine.limit if kept else 0.0


def _because(ahead: Ahead, plan: ChangePlan, found: Planned) -> str:
    limit = ahead.limits.nh3_n_mg_l
    most = f"NH3 comes to {nh3(plan.nh3_most_n_mg_l, limit)}, limit {nh3(limit)}"
    if plan.failure == TAP_TOO_HIGH:
        return f"this new water makes every change worse: without any, {most}"
    if plan.failure == CAP_TOO_SMALL:
        each = figure(ahead.limits.largest_percent)
        times = f"{found.changes_a_day} times a day" if found.changes_a_day > 1 else "a day"
        return f"{each} % {times} is not enough: {most}"
    kept = kept_of(found, plan.medicine)
    return _of_medicine(plan, kept.medicine, kept.unit) if kept else plan.failure


def _of_medicine(plan: ChangePlan, medicine: Medicine, unit: str) -> str:
    name = medicine.name
    levels = through(plan, name)
    if plan.failure == OVER_LIMIT:
        most = max([medicine.new.high, *(r.high for r in levels)])
        return (
            f"{name} kept up comes to {beyond(most, medicine.limit)} {unit} at the high end, hard "
            f"limit {figure(medicine.limit)}"
        )
    least = min([r.low for r in levels], default=0.0)
    return (
        f"{name} is not replaced ({medicine.after_change}), and the changes that ammonia needs "
        f"take it to {beyond(least, medicine.low)} {unit}, under its low {figure(medicine.low)}"
    )
