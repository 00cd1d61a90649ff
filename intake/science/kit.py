"""What a kit leaves open of a reading: its colour steps, its error, its date, what fools it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise

from intake.science.figures import figure
from intake.science.limits import compare
from intake.science.meter import METER_SHARE, THERMOMETER_C, MeterError
from intake.science.problem import Problem
from intake.science.quantity import Quantity, read_quantity
from intake.science.text import quoted
from intake.science.units import WIDE

TESTS: Mapping[str, tuple[str, str]] = {
    "tan": ("tan", "mg/L"),
    "ph": ("ph", ""),
    "kh": ("alkalinity", "dKH"),
    "gh": ("hardness", "dGH"),
    "no2": ("no2", "mg/L"),
    "no3": ("no3", "mg/L"),
    "oxygen": ("oxygen", "mg/L"),
    "salt": ("salt", "g/L"),
    "chlorine": ("chlorine", "mg/L"),
    "temp": ("temperature", "C"),
}
"""What a kit may test: the kind of quantity it is, and the unit its colour steps are in."""

METER_PH = 0.1
"""How far a pH meter without a stated error can be off; common practice."""
COLOUR_PH = 0.2
"""How far a pH read off colours can be off where the steps are not recorded: the usual distance
between two of them; common practice."""
DROP_DEGREE = "0.5"
"""How far a drop kit of one degree to the drop can be off [dKH, dGH]; common practice."""

FOOLED_DAYS = 7
"""How many days after a treatment it may still fool a kit [d]; common practice."""

ALSO = {
    "formaldehyde": ("formalin",),
    "dechlorinator": ("ammonia-binder", "sulfite-conditioner", "thiosulfate"),
    "conditioner": ("ammonia-binder", "sulfite-conditioner"),
    "sulphite": ("sulfite-conditioner",),
}
"""Words a leaflet uses, and the treatments here that they mean beside those of that name."""

Steps = Mapping[str, tuple[Decimal, ...]]
"""Colour steps by what they test; "" where that was not said."""


def read_steps(text: str, *, comma: bool = False) -> Steps | Problem:
    """Colour steps as typed: ``0 0.25 0.5 1``, or ``tan: 0 0.25; ph: 6 6.4`` for several tests."""
    found: dict[str, tuple[Decimal, ...]] = {}
    for part in text.split(";"):
        name, mark, numbers = part.rpartition(":")
        name = name.strip() if mark else ""
        if mark and name not in TESTS:
            known = ", ".join(TESTS)
            return Problem("no-such-name", f"{quoted(name)} is nothing a kit tests", known)
        values: list[Decimal] = []
        for number in numbers.split():
            read = read_quantity(number, "number", comma=comma, zero_ok=True)
            if isinstance(read, Problem):
                return read.placed("", column=text.index(number) + read.column)
            values.append(read.value or Decimal(0))
        if len(values) < 2 or any(a >= b for a, b in pairwise(values)):
            hint = '"0 0.25 0.5 1 2 4 8"'
            return Problem("out-of-range", f"{quoted(part.strip())} does not rise", hint)
        if name in found:
            return Problem("out-of-range", f"two rows of steps for {name}", "write it once")
        found[name] = tuple(values)
    return found


def steps_for(test: str, tests: Sequence[str], steps: Steps) -> tuple[Decimal, ...]:
    """The steps one test is read with, none where it has none.

    Steps without a name are of ammonia where the kit tests it, else of the first thing it tests.
    """
    if test in steps:
        return steps[test]
    unnamed = "tan" if "tan" in tests or not tests else tests[0]
    return steps.get("", ()) if test == unnamed else ()


def in_reading(steps: Sequence[Decimal], test: str, basis: str | None) -> tuple[Decimal, ...]:
    """Steps in the canonical unit of a reading of `test` counted as `basis`."""
    kind, unit = TESTS[test]
    read = (read_quantity(f"{s:f} {unit}".strip(), kind, basis=basis, zero_ok=True) for s in steps)
    return tuple(q.value for q in read if isinstance(q, Quantity) and q.value is not None)


def by_steps(reading: Quantity, steps: Sequence[Decimal]) -> Quantity | Problem:
    """A reading taken off colour steps, with what the colours leave open of it.

    Parameters
    ----------
    reading
        As typed. With a band or a +/- of its own, or unreadable, it stays as it is.
    steps
        The kit's colour steps in the reading's canonical unit, rising.

    Returns
    -------
    Quantity
        The same value between two ends. A colour that matches a step is told from the step before
        and the step after, and from nothing else: it is between those two. A value between two
        steps is between them. What is under the first colour, 0 too, is under the first step that
        has colour. The top step has no upper end.
    Problem
        out-of-range for a value over the top step: no kit shows it.

    Notes
    -----
    Half-way to each neighbour is the other rule in use; it takes for granted that an eye halves
    the distance of two colours. The wider one stands here, because an end that harms is judged.
    Source: common practice.

    Examples
    --------
    >>> tan = read_quantity("1 mg/L as N", "tan")
    >>> found = by_steps(tan, [Decimal(n) for n in ("0", "0.5", "1", "2")])
    >>> found.low, found.high
    (Decimal('0.5'), Decimal('2'))
    """
    value = reading.value
    if value is None or reading.band or reading.half is not None:
        return reading
    if compare(value, steps[-1]) > 0:
        text = f"{quoted(reading.text)} is over the top colour of the kit"
        return Problem("out-of-range", text, "write > and the top step, or dilute and read again")
    under = [s for s in steps if compare(s, value) < 0]
    over = [s for s in steps if compare(s, value) > 0]
    floor = None if reading.kind in ("ph", "temperature") else Decimal(0)
    low = under[-1] if under else floor
    return replace(reading, low=low, high=over[0] if over else None, band=True)


def by_error(reading: Quantity, half: Decimal) -> Quantity:
    """A reading with a half-width [its canonical unit], unless it has ends of its own."""
    value = reading.value
    if value is None or reading.band or reading.half is not None:
        return reading
    low = WIDE.subtract(value, half)
    if reading.kind not in ("ph", "temperature"):
        low = max(low, Decimal(0))
    return replace(reading, low=low, high=WIDE.add(value, half), half=half)


def meter_half(
    reading: Quantity, test: str, error: MeterError | None, *, colours: bool
) -> tuple[Decimal, str] | None:
    """The half-width of a reading without colour steps [its unit], and where it is from.

    `colours`: the kit has colour steps for something else. None: nothing is known of it.
    """
    stated = _stated_half(reading, test, error)
    if stated is not None:
        return stated, "as its maker states it"
    usual = {
        "ph": (str(COLOUR_PH if colours else METER_PH), ""),
        "temp": (str(THERMOMETER_C), "C"),
        "kh": (DROP_DEGREE, "dKH"),
        "gh": (DROP_DEGREE, "dGH"),
    }.get(test)
    if test == "salt" and reading.value is not None:
        half = WIDE.multiply(Decimal(repr(METER_SHARE)), reading.value)
        return half, f"to {METER_SHARE * 100:.0f} %, common practice"
    if usual is None:
        return None
    number, unit = usual
    return _canonical(number, test), f"to {number} {unit}".rstrip() + ", common practice"


def _canonical(number: str, test: str) -> Decimal:
    """A half-width as stated, in the canonical unit of a reading; degrees of hardness differ."""
    return (
        in_reading([Decimal(number)], test, None)[0] if test in ("kh", "gh") else Decimal(number)
    )


def _stated_half(reading: Quantity, test: str, error: MeterError | None) -> Decimal | None:
    if error is None or reading.value is None:
        return None
    own, told = TESTS[test][1] or "pH", error.unit
    absolute = Decimal(repr(error.absolute))
    if told == "g/L" and own == "mg/L":
        absolute, told = absolute * 1000, own
    if told not in (("", own) if own not in ("pH", "C") else (own,)):
        return None
    share = WIDE.multiply(Decimal(repr(error.share)), abs(reading.value))
    return WIDE.add(_canonical(f"{absolute:f}", test), share)


def expired(expires: date | None, day: date) -> bool:
    """Whether a kit was past its date on that day; the printed day itself still counts."""
    return expires is not None and day > expires


def fools(word: str, treatment: str) -> bool:
    """Whether a word of a kit's leaflet speaks of a treatment: ``binder``, ``copper``.

    Examples
    --------
    >>> fools("binder", "ammonia-binder"), fools("formalin", "formalin-malachite")
    (True, True)
    >>> fools("salt", "praziquantel")
    False
    """
    parts = set(word.strip().lower().replace(" ", "-").split("-")) - {""}
    if not parts:
        return False
    if parts <= set(treatment.split("-")):
        return True
    return any(treatment in ALSO.get(part, ()) for part in parts)


def dilution_text(parts: int, what: str = "the water") -> str:
    """How a sample is thinned so that the kit can show it."""
    return (
        f"mix 1 part of {what} with {figure(parts - 1)} parts of water that reads 0 (distilled or"
        f" bottled, never the tub's), read the mixture, and say --diluted {parts}"
    )


DILUTE = 4
"""How far a sample off the chart is thinned first [1 part in]; common practice."""
PIPETTE_SHARE = 0.05
"""How far a dilution made with a syringe or pipette can be off [1]; common practice."""
