"""One cell of a temperature column: degrees, nothing measured, or what is wrong with it."""

from __future__ import annotations

import re

from intake.science.problem import Problem
from intake.science.text import quoted

LOWEST_C, HIGHEST_C = -2.0, 45.0
"""Temperatures that water with fish in it can have [C]: fresh water freezes at 0, and a
thermometer may be some way off. Common practice."""

MISSING = frozenset({
    "", "-", "--", "---", "----", ".", "?", "n/a", "na", "#n/a", "nan", "null", "none", "nil",
    "missing", "no data", "nodata", "err", "error", "fault", "open", "x",
})  # fmt: skip
"""What loggers write where nothing was measured, in small letters."""

_NUMBER = re.compile(
    r"([+\-\u2212]?\d{1,4}(?:[.,]\d{1,9})?)\s*"
    r"(?:(?:\u00b0|\u00ba|deg\.?)?\s*([cf])(?:elsius|ahrenheit)?)?",
    re.ASCII | re.IGNORECASE,
)


def read_temperature(text: str, unit: str | None) -> float | Problem | None:
    """The temperature of a cell [C], None where nothing was measured.

    Parameters
    ----------
    text
        As it stands in the file, with decimal point or comma, with or without its unit.
    unit
        ``C`` or ``F`` where the column's is known.
    """
    text = text.strip()
    if text.casefold() in MISSING:
        return None
    found = _NUMBER.fullmatch(text)
    if found is None:
        return Problem("not-a-number", f"{quoted(text)} is no temperature", "a number, or empty")
    said = found[2].upper() if found[2] else None
    if said and unit and said != unit:
        what = f"{quoted(text)} is in {said}, its column in {unit}"
        return Problem("ambiguous-unit", what, "one unit in a column")
    if (said or unit) is None:
        return Problem("unit-missing", f"{quoted(text)} has no unit", "--unit C or --unit F")
    degrees = float(found[1].replace(",", ".").replace("\u2212", "-"))
    celsius = degrees if (said or unit) == "C" else fahrenheit(degrees)
    if LOWEST_C <= celsius <= HIGHEST_C:
        return celsius
    return _impossible(text, degrees, celsius, said or unit)


def fahrenheit(degrees: float) -> float:
    """Degrees Fahrenheit as Celsius [C]."""
    return (degrees - 32) * 5 / 9


def _impossible(text: str, degrees: float, celsius: float, unit: str | None) -> Problem:
    what = f"{quoted(text)} is {celsius:.1f} C, outside {LOWEST_C:g} to {HIGHEST_C:g} C"
    other = fahrenheit(degrees)
    hint = "take the line out where the sensor was at fault"
    if unit == "C" and LOWEST_C <= other <= HIGHEST_C:
        hint = f"{degrees:g} F would be {other:.1f} C: --unit F"
    return Problem("out-of-range", what, hint)
