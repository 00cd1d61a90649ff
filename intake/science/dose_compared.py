"""What was measured or typed held against what it should be: slips of the scale and of gallons."""

from __future__ import annotations

from decimal import Decimal

from intake.science.dose import WaterVolume
from intake.science.dose_setting import STEP_REACHED, Setting, exact_amount, next_step
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.problem import Warn

AMOUNT_OFF_SHARE = Decimal("0.1")
"""How far a measured amount may be from the one worked out for its target before it is asked
about. Common practice: coarse tools stay inside, a wrong gallon (20 %) does not."""
VOLUME_OFF_SHARE = Decimal("0.1")
"""How far a typed volume may be from the recorded water before it is asked about. Common practice:
the same slips."""

US_GALLON_L, IMPERIAL_GALLON_L = Decimal("3.785411784"), Decimal("4.54609")
"""Litres in a gallon, exact by definition (NIST SP 811, appendix B.8)."""
_NEAR = Decimal("0.03")
_SLIPS = (
    ("US gallons taken for litres, or the other way round", US_GALLON_L),
    ("imperial gallons taken for litres, or the other way round", IMPERIAL_GALLON_L),
    ("one gallon taken for the other", IMPERIAL_GALLON_L / US_GALLON_L),
    ("a point one place off", Decimal(10)),
)


def beside_worked_out(setting: Setting, amount: Decimal) -> tuple[Warn, ...]:
    """A warning where `amount` [g or mL] is not what its target, or the next step, asks for.

    Nothing without a target, but in a stepped course, where the step is known; what puts water
    back after a change is no step.
    """
    request, course = setting.request, setting.course
    off = AMOUNT_OFF_SHARE
    if request.target is None:
        if not course.steps or request.replaces:
            return ()
        off = STEP_REACHED
    target, _ = next_step(setting, course.high if request.target is None else request.target)
    worked, _ = exact_amount(setting, target)
    if allowed(amount, worked * (1 - off), worked * (1 + off)):
        return ()
    unit = setting.product.unit
    over = allowed(amount, worked, None)
    text = (
        f"{figure(amount, 4)} {unit} is {'over' if over else 'under'} the {figure(worked, 4)} "
        f"{unit} that {figure(target)} {course.unit} asks for here: read it again"
    )
    return (Warn("over-usual" if over else "under-usual", text),)


def beside_recorded(typed: WaterVolume, recorded: WaterVolume) -> tuple[Warn, ...]:
    """A warning where a typed volume is not the recorded water's, with the slip it looks like."""
    ratio = typed.volume_l / recorded.volume_l
    if allowed(ratio, 1 - VOLUME_OFF_SHARE, 1 + VOLUME_OFF_SHARE):
        return ()
    likely = next((f", {said}" for said, times in _SLIPS if _is(ratio, times)), "")
    text = (
        f"{figure(typed.volume_l, 4)} L was typed, the recorded water holds "
        f"{figure(recorded.volume_l, 4)} L{likely}: read today's line"
    )
    return (Warn("volume-doubtful", text),)


def _is(ratio: Decimal, times: Decimal) -> bool:
    return any(
        allowed(each, times * (1 - _NEAR), times * (1 + _NEAR)) for each in (ratio, 1 / ratio)
    )
