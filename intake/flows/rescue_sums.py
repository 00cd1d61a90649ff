"""The sums a rescue file may name: words for people, keys for programs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from shlex import quote
from typing import Any

from intake.flows.change_words import nh3, percent
from intake.flows.chlorine_words import USUAL
from intake.flows.crash_words import instead_keys, plan_lines
from intake.flows.line_words import litres_said
from intake.flows.rescue_place import EACH_L, Place
from intake.science.dechlorination import thiosulfate_g
from intake.science.figures import figure
from intake.science.oxygen import saturation_mg_l
from intake.science.oxygen_use import Fish, used_mg_h
from intake.science.ph_crash import bicarbonate_g
from intake.science.show import show, show_range
from intake.science.span import Span, as_span

Sum = tuple[str, dict[str, Any]]
"""A sentence, and the same as keys with their units."""

USUAL_C = 20.0
"""Where no vessel is known oxygen is told for water of this temperature [C]."""

EACH_FISH_G = 100.0
"""And for one fish of this mass [g]."""


def figures_of(place: Place, *, command: bool = False) -> Mapping[str, str]:
    """What stands for each figure in braces, in a sentence or in a command."""
    third = place.volume_l.nominal * place.third_share
    most = place.volume_l.nominal * place.limits.largest_share
    a_day = bicarbonate_g(place.volume_l.low, place.limits.kh_rise_meq_l)
    if command:
        known = place.vessel and place.volume_l.nominal and place.water != "raises-ammonia"
        return {
            "vessel": quote(place.vessel) if place.vessel else "VESSEL",
            "third": quote(show(third, "L", group=False)) if known else "Q",
            "most": quote(show(most, "L", group=False)) if known else "Q",
            "kh-day": "Q",
        }
    if not place.volume_l.nominal:
        return {
            "vessel": place.vessel,
            "third": "a third",
            "most": percent(place.limits.largest_share),
            "kh-day": "as much",
        }
    each = "" if place.vessel else f" of each {show(EACH_L, 'L')}"
    return {
        "vessel": place.vessel or "the vessel",
        "third": show(third, "L") + each,
        "most": show(most, "L"),
        "kh-day": show(a_day, "g") + (f" for each {show(EACH_L, 'L')}" if each else ""),
    }


def crash_lines(place: Place) -> tuple[str, ...]:
    """The way out of a pH crash for this water, in order; never empty."""
    advice = place.advice
    if advice is not None and advice.plan is not None:
        # The rescue says the first of them itself, whatever the water.
        return tuple(_sentence(line) for line in plan_lines(advice.plan)[1:])
    if advice is not None and advice.crash:
        return (
            "How much water is in it is not known: change a tenth at a time for soft water as "
            "warm as theirs, and read TAN after each.",
        )
    if advice is not None and advice.acid_untested:
        return (
            "TAN is not read, and acid water may be full of ammonium: read it now. Until then "
            "change a tenth at a time, for rain or reverse osmosis water as warm as theirs.",
        )
    return (
        "The tap's pH is too high for the ammonia in here: change for soft water, or for water "
        "brought to the vessel's own pH by standing with CO2 or peat, not for the tap's.",
    )


def _sentence(line: str) -> str:
    return f"{line[:1].upper()}{line[1:]}."


def plan_keys(place: Place) -> dict[str, Any]:
    """The way out as keys, nothing where there is no crash."""
    plan = place.advice.plan if place.advice is not None else None
    return {} if plan is None else {"instead": instead_keys(plan)}


def sums_of(place: Place, names: tuple[str, ...]) -> Iterator[Sum]:
    """The sums of these names that can be worked out, in their order."""
    for name in names:
        found = SUMS[name](place)
        if found is not None:
            yield found


def _water(place: Place) -> Sum | None:
    volume, limits = place.volume_l, place.limits
    if not volume.nominal:
        return f"{place.vessel}: how much water is in it is not known", {}
    third, most = volume.nominal * place.third_share, volume.nominal * limits.largest_share
    if not place.vessel:
        text = (
            f"of each {show(EACH_L, 'L')} a third is {show(third, 'L')}, {show(most, 'L')} at most"
        )
        return text, {"each_l": EACH_L, "change_l": third, "change_most_l": most}
    litres = litres_said(volume.nominal, volume.low, volume.high)
    keys = {
        "volume_l": volume.nominal,
        "volume_l_low": volume.low,
        "volume_l_high": volume.high,
        "change_l": third,
        "change_most_l": most,
    }
    if place.water == "raises-ammonia":
        return f"{place.vessel}: {litres}", {**keys, "change_l": None, "change_most_l": None}
    told = f"a third is {show(third, 'L')}, {show(most, 'L')} at most"
    return f"{place.vessel}: {litres}; {told}", keys


def _chlorine(place: Place) -> Sum | None:
    if place.water == "raises-ammonia":
        return None
    if place.chlorine_mg_l is None:
        return "the tap's chlorine is not read: water conditioner by its label", {}
    unsure = "" if place.chlorine_sure else "free and combined chlorine were not both read today"
    if not place.chlorine_mg_l and unsure:
        return f"the tap: {unsure}; water conditioner by its label", {}
    if not place.chlorine_mg_l:
        return "the tap showed no chlorine when it was read", {"thiosulfate_g": 0.0}
    third = place.volume_l.nominal * place.third_share
    amount = thiosulfate_g(third, place.chlorine_mg_l, USUAL)
    text = (
        f"thiosulfate, pentahydrate: {show(amount, 'g')} for {show(third, 'L')}, the tap's "
        f"chlorine being {show(place.chlorine_mg_l, 'mg/L')}"
    )
    text += f"; more where a test for total chlorine says so: {unsure}" if unsure else ""
    return text, {"thiosulfate_g": amount}


def _oxygen(place: Place) -> Sum | None:
    found = place.oxygen
    if found is None:
        if place.vessel:
            return None
        held = show(saturation_mg_l(USUAL_C) * EACH_L, "mg")
        return f"{show(EACH_L, 'L')} at {figure(USUAL_C)} C hold {held} of oxygen when full", {}
    holds, temp = found.saturation_mg_l, found.temp_c
    oxygen, at = found.oxygen_mg_l, show_range(temp.low, temp.high, "C", digits=3)
    at += "" if found.temp_read else ", not read,"
    text = f"full of air at {at} it holds {_range(holds, 'mg/L')} of oxygen"
    text += f"; read {_range(oxygen, 'mg/L')}" if found.measured else "; not read"
    keys = {"saturation_mg_l": holds.nominal, "saturation_mg_l_low": holds.low,
            "saturation_mg_l_high": holds.high,
            "oxygen_mg_l": oxygen.nominal if found.measured else None}  # fmt: skip
    return text, keys


def _range(span: Span, unit: str) -> str:
    return show_range(span.low, span.high, unit, digits=2)


def _use(place: Place) -> Sum | None:
    found = place.oxygen
    if found is None:
        if place.vessel:
            return None
        use = used_mg_h((Fish(1, as_span(EACH_FISH_G)),), USUAL_C)
        fish, at = show(EACH_FISH_G, "g"), f"{figure(USUAL_C)} C"
        return f"a fish of {fish} uses {_range(use, 'mg')} of it an hour at {at}", {}
    use, count = found.use_mg_h, sum(f.count for f in found.fish)
    if not count:
        return "no fish written down here: what they use is not worked out", {}
    heads = "1 fish uses" if count == 1 else f"{count} fish use"
    text = f"{heads} {_range(use, 'mg')} of it an hour, at rest to active"
    return text, {"oxygen_use_mg_h": use.nominal, "oxygen_use_mg_h_low": use.low,
                  "oxygen_use_mg_h_high": use.high}  # fmt: skip


def _air_off(place: Place) -> Sum | None:
    found = place.oxygen
    if found is None or not found.fish or not place.volume_l.nominal:
        return None
    low, middle, high = found.store().hours(place.target_mg_l)
    start = "from now" if found.measured else "were it full"
    hours = "no time" if high == 0.0 else show_range(low, high, "h")
    text = f"without air, {start}, it is at {figure(place.target_mg_l)} mg/L in {hours}"
    return text, {"oxygen_hours": middle, "oxygen_hours_low": low, "oxygen_hours_high": high}


def _tap_change(place: Place) -> Sum | None:
    known, share, limit = place.known, place.limits.largest_share, place.limits.nh3_n_mg_l
    if known is None:
        return None
    if known.tap.pretended:
        return "the tap's pH and KH are not read: what its water would do is not worked out", {}
    worst = known.advice(share).worst_n_mg_l or 0.0
    keys = {
        "tap_change_percent": 100.0 * share,
        "tap_change_nh3_n_mg_l": worst,
        "limit_n_mg_l": limit,
    }
    text = f"a change of {percent(share)} for tap water makes up to {nh3(worst, limit)} of NH3"
    return f"{text} as its CO2 leaves, limit {nh3(limit)}", keys


SUMS: Mapping[str, Callable[[Place], Sum | None]] = {
    "water": _water,
    "chlorine": _chlorine,
    "oxygen": _oxygen,
    "use": _use,
    "air-off": _air_off,
    "tap-change": _tap_change,
}
