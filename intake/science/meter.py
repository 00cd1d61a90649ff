"""What a meter of salt reads, and how far its reading can be off."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from intake.science.problem import Problem
from intake.science.quantity import Quantity, read_quantity

PPM = "ppm"
"""The scale of a meter that turns conductivity into parts per million by a factor of its own."""
FACTORS = (0.5, 0.64, 0.7)
"""The factors ppm meters are usually sold with [ppm per uS/cm].

Source: 0.5 (as sodium chloride), 0.64 and 0.7 (as natural water); which one a meter has stands in
its manual.
"""
FACTOR_RANGE = (0.4, 1.0)
"""No meter multiplies by less or by more [ppm per uS/cm]; common practice."""
METER_SHARE = 0.02
"""How far a reading without +/- can be off, of itself [1].

Common practice: what pocket meters of conductivity and salt are sold with.
"""
THERMOMETER_C = 0.5
"""How far a water temperature without +/- can be off [C]; common practice."""


@dataclass(frozen=True, slots=True)
class MeterError:
    """How far a meter can be off: so much in its own `unit`, and a share of the reading [1].

    95 % half-widths, added to each other as makers state them: 1 % and 5 uS/cm.
    """

    absolute: float = 0.0
    unit: str = ""
    share: float = 0.0

    def half(self, value: float) -> float:
        """The half-width of a reading, in its unit."""
        return self.absolute + self.share * abs(value)


USUAL_ERROR = MeterError(share=METER_SHARE)
"""What is taken where neither the reading nor its meter says how far it can be off."""

_PPM = re.compile(r"ppm(?![\w/])", re.IGNORECASE)


def read_meter(text: str, *, comma: bool = False) -> Quantity | Problem:
    """A reading in g/L, in uS/cm, or in the ppm of a meter (then `canonical` is ``ppm``).

    A hydrometer is no meter: it cannot see what is asked of one here.
    """
    found = read_quantity(_PPM.sub("uS/cm", text), "saltiness", comma=comma)
    if isinstance(found, Problem):
        return found
    if found.canonical == "SG":
        return Problem("wrong-kind", "a hydrometer cannot see this step", "read uS/cm or g/L")
    if found.value is None or found.low is None or found.high is None:
        return Problem("wrong-kind", f"'{text.strip()}' is no reading of a meter", "read it again")
    if found.band and (found.low == found.value or found.high == found.value):
        return Problem("wrong-kind", f"'{text.strip()}' has one end only", "read it again")
    if _PPM.search(text):
        return replace(found, text=text.strip(), unit=PPM, canonical=PPM)
    return found


ERROR_UNITS = ("pH", "C", "dKH", "dGH")
"""Units an error may be stated in beside those of salt."""


def _part(text: str, *, comma: bool) -> tuple[Quantity, str] | Problem:
    """One part of a stated error and its unit, a degree of hardness as typed."""
    for unit in ERROR_UNITS:
        number = text.strip().removesuffix(unit).strip()
        if number and number != text.strip():
            read = read_quantity(number, "number", comma=comma)
            return read if isinstance(read, Problem) else (read, unit)
    found = read_meter(text, comma=comma)
    return found if isinstance(found, Problem) else (found, found.canonical)


def read_error(text: str, *, comma: bool = False) -> MeterError | Problem:
    """What a maker states: ``2 %``, ``5 uS/cm``, ``0.1 pH``, ``0.2 C`` or two with a plus,
    ``1 % + 5 uS/cm``.
    """
    absolute, unit, share = 0.0, "", 0.0
    for part in re.split(r"\s\+\s", text.strip()):
        if part.rstrip().endswith("%"):
            percent = read_quantity(part, "percent", comma=comma)
            if isinstance(percent, Problem):
                return percent
            share += float(percent.value or 0) / 100
            continue
        found = _part(part, comma=comma)
        if isinstance(found, Problem):
            return found
        read, told = found
        if unit and unit != told:
            return Problem("wrong-kind", f"{unit} and {told}", "write it in one unit")
        absolute, unit = absolute + float(read.value or 0), told
    return MeterError(absolute, unit, share)


def half_of(reading: Quantity, error: MeterError | None) -> tuple[float, str]:
    """The half-width of a reading [its unit], and what is assumed for it, "" where it is stated.

    An error in another unit than the reading says nothing of it.
    """
    value = float(reading.value or 0)
    if reading.half is not None:
        return float(reading.half), ""
    if reading.band:
        return float(reading.high or 0) - value, ""
    if error is not None and error.unit in ("", reading.canonical):
        return error.half(value), "readings without +/- are taken to what the meter is good for"
    percent = f"{METER_SHARE * 100:.0f} %"
    said = f"readings without +/- are taken to {percent}, common practice for a pocket meter"
    return USUAL_ERROR.half(value), said
