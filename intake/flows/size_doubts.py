"""How far off a size counts that came without +/-, and what is said of it."""

from __future__ import annotations

from intake.science.figures import figure
from intake.science.meter import THERMOMETER_C
from intake.science.volume import VOID, SizeSpec

TAPE_CM = 1.0
"""Step of a tape where the room states none [cm]; half of it is the doubt of a length."""
WALL_HALF_CM = 0.1
"""Doubt of a wall's thickness without +/- [cm]: read to a millimetre or two, common practice."""
SHARES = {"bucket": 0.02, "rate": 0.02, "connected": 0.02, "table": 0.02}
"""Relative doubt of a filled volume without +/- [1]: common practice for counted buckets."""
DISPLACED = ("gravel", "rock_mass", "displaced")
DISPLACED_SHARE = 0.20
"""Relative doubt of a listed displacement without +/- [1]: common practice."""


def doubt_of(spec: SizeSpec, kind: str, value: float, tape_cm: float) -> tuple[float, str]:
    """The 95 % half-width in the unit of the value, and the assumption, "" where none is told."""
    if spec.name == "wall":
        return WALL_HALF_CM, f"the wall is taken to {figure(WALL_HALF_CM)} cm"
    if kind == "length":
        half = tape_cm / 2
        return half, half_a_step(half)
    if spec.name in SHARES:
        share = SHARES[spec.name]
        return value * share, f"{spec.option} is taken to {figure(share * 100)} %"
    if spec.name in DISPLACED:
        half = value * DISPLACED_SHARE
        return half, f"{spec.option} is taken to {figure(DISPLACED_SHARE * 100)} %"
    if kind == "temperature":
        warmth = f"water temperatures without +/- are taken to {figure(THERMOMETER_C)} C"
        return THERMOMETER_C, warmth
    if spec.name == "void":
        return VOID.half, ""
    return 0.0, ""


def half_a_step(half_cm: float) -> str:
    """What is said where a length came without +/-."""
    return f"lengths without +/- are taken to {figure(half_cm)} cm, half a step of the tape"
