"""Which of several bags comes first: how bad it may be for its fish, judged where doubt harms."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.acclimation_gaps import (
    EXCRETION_MG_N_KG_H,
    FISH_MASS_G,
    HOURS_PACKED,
    LOADING_G_L,
)
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.show import show

ORDER = ("gasping", "lift", "nh3", "leaked", "waiting", "on-its-way", "across", "settled")
"""From the most urgent to what is over. Common practice: fish in trouble, then what is over a
limit, then the ammonia that grows."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """What is known of one bag.

    Parameters
    ----------
    stage
        "waiting" until a way across is chosen, then "on-its-way", "across", "settled".
    gasping, leaked
        What was seen of it.
    lift_due
        Whether its minutes are over or readings say to lift its fish.
    ends
        When they are over [s since the epoch]; None: no minutes run.
    nh3_n_mg_l
        NH3 in the shut bag, the high end of what was read [mg/L as N]; None: not read.
    tan_n_mg_l
        TAN, the high end of what was read [mg/L as N]; None: not read.
    hours_packed, fish, volume_l
        None where nobody knows.
    """

    stage: str
    gasping: bool = False
    leaked: bool = False
    lift_due: bool = False
    ends: float | None = None
    nh3_n_mg_l: float | None = None
    tan_n_mg_l: float | None = None
    hours_packed: float | None = None
    fish: int | None = None
    volume_l: float | None = None


@dataclass(frozen=True, slots=True)
class Urgency:
    """Where a bag stands: `code` of ORDER, the key it is sorted by, and why in words."""

    code: str
    key: tuple[float, ...]
    why: str


def tan_at_most_n_mg_l(bag: Waiting) -> float:
    """TAN of a bag, as read or as much as its fish may have given off [mg/L as N].

    Notes
    -----
    Hours that nobody knows count as the most, fish and water that nobody counted as the densest
    packing. Sources beside the figures in `intake.science.acclimation_gaps`.
    """
    if bag.tan_n_mg_l is not None:
        return bag.tan_n_mg_l
    hours = HOURS_PACKED.high if bag.hours_packed is None else bag.hours_packed
    loading = LOADING_G_L.high
    if bag.fish is not None and bag.volume_l:
        loading = min(loading, FISH_MASS_G.high * bag.fish / bag.volume_l)
    return EXCRETION_MG_N_KG_H.high * hours * loading / 1000.0


def urgency(bag: Waiting, limit_n_mg_l: float) -> Urgency:
    """How urgent a bag is; lower keys come first.

    Parameters
    ----------
    bag
        What is known of it.
    limit_n_mg_l
        NH3 the fish may meet at most [mg/L as N].
    """
    code = _code(bag, limit_n_mg_l)
    tan, nh3 = tan_at_most_n_mg_l(bag), bag.nh3_n_mg_l or 0.0
    hours = HOURS_PACKED.high if bag.hours_packed is None else bag.hours_packed
    ends = bag.ends or 0.0
    key = (float(ORDER.index(code)), ends, -nh3 if code == "nh3" else 0.0, -tan, -hours)
    return Urgency(code, (*key, _litres_a_fish(bag)), _why(bag, code, limit_n_mg_l))


def _code(bag: Waiting, limit_n_mg_l: float) -> str:
    if bag.stage in ("across", "settled"):
        return bag.stage
    if bag.gasping:
        return "gasping"
    if bag.lift_due:
        return "lift"
    if bag.stage == "on-its-way":
        return bag.stage
    if bag.nh3_n_mg_l is not None and not allowed(bag.nh3_n_mg_l, None, limit_n_mg_l):
        return "nh3"
    return "leaked" if bag.leaked else "waiting"


def _litres_a_fish(bag: Waiting) -> float:
    """Water for each fish [L]; 0 where nobody counted: the least there may be."""
    return bag.volume_l / bag.fish if bag.volume_l and bag.fish else 0.0


def _why(bag: Waiting, code: str, limit_n_mg_l: float) -> str:
    tan = tan_at_most_n_mg_l(bag)
    if code == "gasping":
        return "its fish gasp: lift them across now"
    if code == "lift":
        return "lift its fish across now"
    if code == "nh3" and bag.nh3_n_mg_l is not None:
        nh3 = show(bag.nh3_n_mg_l, "", digits=2)
        return f"NH3 in it up to {nh3} mg/L as N, limit {figure(limit_n_mg_l)}"
    if code in ("leaked", "waiting"):
        read = "TAN up to" if bag.tan_n_mg_l is not None else "TAN not read, up to"
        told = [f"{read} {show(tan, 'mg/L as N', digits=2)}"]
        packed = bag.hours_packed
        told.append("hours packed not known" if packed is None else f"packed {packed:.0f} h")
        return ", ".join((["it lost water"] if bag.leaked else []) + told)
    return ""
