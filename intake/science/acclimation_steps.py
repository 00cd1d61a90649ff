"""What the keeper does, in order, for each way across."""

from __future__ import annotations

from dataclasses import replace

from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_options import Option, binder_possible, prepared
from intake.science.acclimation_readings import Known
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.figures import figure
from intake.science.show import show

_BEFORE = (
    "Vessel air on, lights low; no airstone in the bag, ever.",
    "Photograph dead fish in the closed bag before it is opened.",
)
_WASTE = "Bag water to foul waste, never into a vessel; wash bowl and hands."
_LIFT = "Open the bag and lift the fish across at once, by wet hand or bowl."
_FLOAT = "Float the bag closed for"
_DRIP = "Drip vessel water at"
_COLD = "Chilling raises CyHV-2 in carriers: never cool new fish abruptly."


def _tenth(value: float, unit: str) -> str:
    return show(value, unit, step=0.1)


def _whole(value: float, unit: str) -> str:
    return show(value, unit, step=1)


def _float_text(option: Option, known: Known, limits: AcclimationLimits) -> tuple[str, ...]:
    pair = known.nominal
    gap_c = pair.vessel.temp_c - pair.bag.temp_c
    steps = [
        f"{_FLOAT} {option.minutes} min, in a tub of the vessel's water where the"
        " vessel has fish in it: the outside of a bag is dirty."
    ]
    if abs(option.temp_step_c) > limits.temp_step_c:
        verb = "Cool" if gap_c > 0.0 else "Warm"
        steps.append(
            f"That leaves {abs(option.temp_step_c):.1f} C. {verb} the vessel"
            f" to within {figure(limits.temp_step_c)} C of the bag instead of floating longer."
        )
    if -gap_c > limits.temp_drop_c:
        steps.append(
            f"The vessel is {-gap_c:.1f} C colder than the bag; warm it meanwhile. {_COLD}"
        )
    return tuple(steps)


def _match_text(option: Option, known: Known, limits: AcclimationLimits) -> tuple[str, ...]:
    bag, vessel = known.nominal.bag, known.nominal.vessel
    ready = prepared(known.nominal, limits)
    steps = []
    if ready.temp_c != vessel.temp_c:
        verb = "Warm" if ready.temp_c > vessel.temp_c else "Cool"
        steps.append(
            f"{verb} the vessel, or a tub of its water with no fish in it, from"
            f" {vessel.temp_c:.1f} to {ready.temp_c:.1f} C while the bag stays closed."
        )
    if ready.salt_g_l > vessel.salt_g_l:
        litres = known.vessel_volume_l
        rise = ready.salt_g_l - vessel.salt_g_l
        amount = f", {_whole(rise * litres, 'g')} in {_whole(litres, 'L')}" if litres else ""
        steps.append(f"Dissolve salt in it up to {_tenth(ready.salt_g_l, 'g/L')}{amount}.")
    elif ready.salt_g_l < vessel.salt_g_l:
        steps.append(f"Thin its salt with fresh water to {_tenth(ready.salt_g_l, 'g/L')}.")
    if vessel.nh3_n_mg_l > limits.nh3_low_n_mg_l:
        steps.append(
            f"Change its water, or take another vessel, until NH3 is under"
            f" {figure(limits.nh3_low_n_mg_l)} mg/L as N."
        )
    steps.append(f"{_FLOAT} {option.minutes} min.")
    steps.append(_LIFT)
    steps.append(_WASTE)
    if ready.temp_c != vessel.temp_c:
        steps.append(
            f"Bring the water back from {ready.temp_c:.1f} to {vessel.temp_c:.1f} C over a day"
            f" or more. {_COLD}"
        )
    if bag.ph < vessel.ph:
        steps.append("Leave pH alone: water soured by CO2 cannot be matched by blending.")
    return tuple(steps)


def _drip_text(option: Option, known: Known, drip_ml_min: float) -> tuple[str, ...]:
    return (
        "Open the bag into a bowl; begin to drip at once.",
        f"{_DRIP} {_whole(drip_ml_min, 'mL/min')} for {option.minutes} min,"
        f" from {figure(known.volume_l, 2)} L up.",
        "Read temperature and pH at about 15, 30 and 45 min; lift across at once if pH runs away.",
        "Lift the fish across by wet hand or bowl.",
        _WASTE,
    )


def worded(option: Option, known: Known, limits: AcclimationLimits, drip_ml_min: float) -> Option:
    """The option with its steps and with what it assumes, in words."""
    assumes: tuple[str, ...]
    if option.name == "float-and-lift":
        assumes = ("a floating bag closes 63 % of a gap in 37 min (33 to 43)",)
        steps = (*_BEFORE, *_float_text(option, known, limits), _LIFT, _WASTE)
    elif option.name == "match-water":
        assumes = ("the time to prepare the vessel is not counted",)
        steps = (*_BEFORE, *_match_text(option, known, limits))
    else:
        assumes = ("CO2 leaves as fast as it may from an opened bag; no rate was ever measured",)
        steps = (*_BEFORE, *_drip_text(option, known, drip_ml_min))
    return replace(option, assumes=assumes, steps=steps)


def with_binder(option: Option, plain: Option, known: Known, limits: AcclimationLimits) -> Option:
    """The binder option: judged as if the binder did nothing, refused where KH is too low.

    Notes
    -----
    The benefit is unproven: one author found none in a simple test, no rate was found.
    """
    if not binder_possible(known, limits):
        bag = known.nominal.bag
        needed = limits.binder_kh_per_tan_dkh * bag.tan_n_mg_l + limits.binder_kh_spare_dkh
        steps: tuple[str, ...] = (
            f"Not with this bag: a binder needs a KH over {_tenth(needed, 'dKH')} here, and it may"
            f" hold {_tenth(bag.alk_meq_l / MEQ_L_PER_DKH, 'dKH')}; pH could crash.",
        )
        possible = False
    else:
        steps = (
            *option.steps[: len(_BEFORE)],
            "Open the bag into a bowl and stir in an ammonia binder by its label, first of all.",
            *option.steps[len(_BEFORE) + 1 :],
            "Ask the kit's leaflet whether it still reads bound ammonia.",
        )
        possible = True
    more = tuple(code for code in option.breaks if code not in plain.breaks)
    return replace(
        option,
        peak_nh3_n_mg_l_high=max(option.peak_nh3_n_mg_l_high, plain.peak_nh3_n_mg_l_high),
        exposure_mg_h_l_high=max(option.exposure_mg_h_l_high, plain.exposure_mg_h_l_high),
        breaks=(*plain.breaks, *more),
        possible=possible,
        assumes=(*option.assumes, "the binder's benefit is unproven; the high end is without it"),
        steps=steps,
    )


def timed_step(steps: tuple[str, ...]) -> int | None:
    """Which of the steps, counted from 0, takes the option's minutes; None where none does."""
    return next((n for n, step in enumerate(steps) if step.startswith((_FLOAT, _DRIP))), None)


def last_step(steps: tuple[str, ...]) -> int:
    """The step after which the fish are across, counted from 0; those behind it are advice."""
    return next((n for n, step in enumerate(steps) if step == _WASTE), len(steps) - 1)
