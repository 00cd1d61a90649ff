"""What is wrong with the readings of a salt step before anything is worked out."""

from __future__ import annotations

from intake.science.ammonia import require_range
from intake.science.figures import figure
from intake.science.meter import FACTOR_RANGE, FACTORS
from intake.science.problem import Problem, Refused
from intake.science.salt import TEMP_RANGE_C
from intake.science.volume.asked import Asked, Values, wrong
from intake.science.volume.gauging import MOST_US_CM, at_25c

USUAL = ", ".join(figure(factor) for factor in FACTORS)
NO_FACTOR = (
    "ppm without the meter's factor: it reads conductivity and multiplies it by a factor of its "
    f"own, {USUAL} as they are sold; the wrong one puts the volume up to 40 % off"
)


def by_salt(asked: Asked) -> Problem | None:
    """The first thing wrong with the readings, None where they can be worked with.

    Raises
    ------
    Refused
        ``not-in-range``: a temperature or a reading beyond the published curves.
    """
    v = {name: size.value for name, size in asked.flat().items()}
    return meter_problem(asked, v) or _rise(asked, v)


def meter_problem(asked: Asked, v: Values) -> Problem | None:
    """What is wrong with how the meter is told: its factor, its temperatures."""
    warm = [name for name in ("before_temp", "after_temp") if name in v]
    if warm and asked.salt_readings == "salt":
        text = "g/L with a temperature: such a meter has counted the warmth already"
        return wrong(warm[0], text, "leave it out, or read uS/cm", "wrong-kind")
    if len(warm) == 1:
        missing = "after_temp" if warm == ["before_temp"] else "before_temp"
        text = "one reading with the water's temperature, one without"
        return wrong(missing, text, "give both, or neither if the meter compensates", "wrong-kind")
    for name in warm:
        require_range("temperature", v[name], TEMP_RANGE_C, "C")
    if asked.salt_readings == "ppm":
        return _factor(v)
    if "factor" in v:
        text = "a factor is for a meter that reads ppm"
        return wrong("factor", text, "leave it out, or write ppm after the readings", "wrong-kind")
    return None


def _factor(v: Values) -> Problem | None:
    if "factor" not in v:
        hint = f"--factor {figure(FACTORS[0])}, as the manual says; or switch it to uS/cm"
        return wrong("factor", NO_FACTOR, hint, "unit-missing")
    low, high = FACTOR_RANGE
    if not low <= v["factor"] <= high:
        text = f"factor {figure(v['factor'])}: no meter has it"
        return wrong("factor", text, f"{USUAL}, as the meter's manual says")
    return None


def _rise(asked: Asked, v: Values) -> Problem | None:
    before, after = v["before"], v["after"]
    if asked.salt_readings != "salt":
        before, after = at_25c(v, "before"), at_25c(v, "after")
    if after <= before:
        text = f"after {figure(v['after'])} is not above before {figure(v['before'])}"
        if "before_temp" in v:
            text += ", both brought to 25 C"
        return wrong("after", text, "the reading rises once the salt is mixed in")
    if asked.salt_readings != "salt" and after > MOST_US_CM:
        raise Refused(
            "not-in-range",
            f"{figure(after, 6)} uS/cm at 25 C is beyond the published salt curve",
            limit=MOST_US_CM,
            value=after,
            unit="uS/cm",
            source="textbook conductivities of NaCl at 25 C, 0.001 to 0.1 mol/L",
            way_out="read both as g/L, or use less salt",
        )
    return None
