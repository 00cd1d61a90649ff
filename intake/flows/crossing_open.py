"""An opened bag on its way: how it was when the way was chosen, and what readings tell since."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from intake.science.acclimation import Acclimation
from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_options import fast_half_time_min
from intake.science.bag_courses import Band, OpenBag, open_bag
from intake.science.bag_fit import Fitted, Point, fitted
from intake.science.bag_replan import Lift, lift_by, nh3_read_n_mg_l
from intake.science.span import Span

if TYPE_CHECKING:
    from intake.flows.crossing_state import Crossing

AIR = "still"
"""No airstone is ever put into an opened bag."""


def is_open(way: str) -> bool:
    """Whether the bag stands open on this way across."""
    return way.startswith("drip")


def kept_open(a: Acclimation, chosen: str, limits: AcclimationLimits) -> dict[str, Any] | None:
    """The bag as it is opened, to be kept with the choice; None where it stays shut.

    A binder is counted as if it did nothing: its benefit is unproven.
    """
    if not is_open(chosen):
        return None
    way = a.option(chosen)
    stages, _ = way.plan(a.known.nominal, fast_half_time_min(limits, AIR))
    bag = open_bag(a.known, minutes=way.minutes, drip_l_min=stages[0].drip_l_min, air=AIR)
    return asdict(bag)


def opened(run: Mapping[str, Any], held_min: float) -> OpenBag | None:
    """The bag as it was kept, standing open for as long as it was held too.

    What drips in all is the same; it is spread over the longer time.
    """
    kept = run.get("open")
    if kept is None:
        return None
    values: dict[str, Any] = {k: Span(**v) if isinstance(v, dict) else v for k, v in kept.items()}
    bag = OpenBag(**values)
    minutes = bag.minutes + round(held_min)
    return replace(bag, minutes=minutes, drip_l_min=bag.drip_l_min * bag.minutes / minutes)


def point(minute: float, read: Mapping[str, Any]) -> Point:
    """A checkpoint as the fit takes it; where no +/- was typed, what meters are usually off by."""
    usual = Point(minute)
    ph, temp = read.get("ph"), read.get("temp")
    return Point(
        round(minute, 1),
        _value(ph),
        max(usual.ph_half, _half(ph)),
        _value(temp),
        max(usual.temp_half_c, _half(temp)),
    )


def _value(kept: Mapping[str, Any] | None) -> float | None:
    return None if kept is None or kept["value"] is None else float(kept["value"])


def _half(kept: Mapping[str, Any] | None) -> float:
    value = _value(kept)
    if kept is None or value is None:
        return 0.0
    ends = [float(kept[end]) for end in ("low", "high") if kept[end] is not None]
    return max((abs(end - value) for end in ends), default=0.0)


@lru_cache(maxsize=64)
def fit_of(bag: OpenBag, points: tuple[Point, ...]) -> Fitted:
    """What these readings tell; worked out once, since it takes a good part of a second."""
    return fitted(bag, points)


def lift(bag: OpenBag, points: Sequence[Point], limit_n_mg_l: float) -> Lift:
    """When its fish are lifted across: as planned, or before NH3 passes its limit by readings."""
    planned = float(bag.minutes)
    if not points:
        return Lift(planned, planned, None)
    since = min(points[-1].minute, planned)
    read = nh3_read_n_mg_l(bag, points[-1])
    return lift_by(fit_of(bag, tuple(points)), since, planned, limit_n_mg_l, read)


def band_at(minutes: Sequence[Band], minute: float) -> Band:
    """The band nearest to a minute."""
    return min(minutes, key=lambda b: abs(b.minute - minute))


def peak_left(run: Crossing) -> Span | None:
    """The most NH3 still to come by readings on the way [mg/L as N]; None where there are none."""
    if run.opened is None or not run.points:
        return None
    return fit_of(run.opened, run.points).peak_left_n_mg_l


def told_keys(run: Crossing) -> dict[str, Any]:
    """What readings on the way have told, as keys of an answer; null where the bag is shut."""
    found = fit_of(run.opened, run.points) if run.opened is not None and run.points else None
    keys: dict[str, Any] = {}
    for name in ("half_time_min", "kh_dkh", "first_ph", "peak_left_n_mg_l"):
        told: Span | None = getattr(found, name, None)
        keys[name] = None if told is None else told.nominal
        keys[f"{name}_low"] = None if told is None else told.low
        keys[f"{name}_high"] = None if told is None else told.high
    return keys | {"learned": list(run.learned), "replanned": list(run.replanned)}
