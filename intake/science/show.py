"""The one way numbers are shown: no exponent, no trailing zeros, a blank before the unit."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Context, Decimal

from intake.science.quantity import Quantity
from intake.science.units import plain_spelling

Number = Decimal | float | int

_WIDE = Context(prec=60, Emax=999, Emin=-999)
_SPREAD_DIGITS = 2
"""A spread is shown to two figures at most (GUM 7.2.6)."""

_ONES = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
)  # fmt: skip
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_UNITS = {
    "mcg": "microgram",
    "mg": "milligram",
    "g": "gram",
    "kg": "kilogram",
    "uL": "microlitre",
    "mL": "millilitre",
    "L": "litre",
    "US gal": "US gallon",
    "imp gal": "imperial gallon",
}


def show(
    value: Number,
    unit: str,
    *,
    step: Number | None = None,
    half: Number | None = None,
    digits: int = 3,
    group: bool = True,
    comma: bool = False,
) -> str:
    """The number and unit as text, e.g. ``1,250 L``, ``0.75 g``, ``372 ± 11 L``.

    Parameters
    ----------
    value, unit
        Finite; unit "" for a pure number.
    step
        The tool's step: the number is shown to its place.
    half
        A 95 % half-width: shown too, and the number to its place.
    digits
        Figures where neither is given; figures before the point are never dropped.
    group
        Whether thousands are set apart; without, the text reads back as a quantity.
    comma
        The keeper chose the decimal comma.

    Raises
    ------
    ValueError
        For a value that is not finite: nothing that is not a number is ever shown as one.
    """
    number = _exact(value)
    place = _place(number, digits)
    if half is not None and _exact(half) > 0:
        place = _place(_exact(half), _SPREAD_DIGITS)
    if step is not None:
        place = _step_place(_exact(step))
    text = _plain(_rounded(number, place, digits), group, comma)
    if half is not None and _exact(half) > 0:
        spread = _rounded(_exact(half), place, _SPREAD_DIGITS)
        text = f"{text} ± {_plain(spread, group, comma)}"
    return _with_unit(text, unit)


def show_range(
    low: Number | None,
    high: Number | None,
    unit: str,
    *,
    digits: int = 2,
    group: bool = True,
    comma: bool = False,
) -> str:
    """Two ends as text: ``0.004 to 0.006 mg/L``, ``over 8 mg/L``, ``under 0.25 mg/L``.

    The ends are rounded outwards, so that what is shown holds what is known; None is an open
    end, both None is ``unknown``.
    """
    if low is None and high is None:
        return "unknown"
    if low is None or high is None:
        end = high if low is None else low
        word = "under" if low is None else "over"
        return f"{word} {show(end or 0, unit, digits=digits, group=group, comma=comma)}"
    first, last = _exact(low), _exact(high)
    if first == last:
        return show(first, unit, digits=digits, group=group, comma=comma)
    place = max(_place(last - first, 1), min(_place(first or last, digits), _place(last, digits)))
    ends = (
        _plain(_rounded(number, place, digits, rounding), group, comma)
        for number, rounding in ((first, ROUND_FLOOR), (last, ROUND_CEILING))
    )
    return _with_unit(" to ".join(ends), unit)


def show_quantity(quantity: Quantity, *, digits: int = 3, comma: bool = False) -> str:
    """A quantity in its canonical unit, with its spread or band."""
    unit = quantity.canonical
    if quantity.value is None:
        return "unreadable"
    if not quantity.band:
        return show(quantity.value, unit, half=quantity.half, digits=digits, comma=comma)
    low = None if quantity.low == 0 and quantity.value == quantity.high else quantity.low
    return show_range(low, quantity.high, unit, digits=digits, comma=comma)


def _exact(value: Number) -> Decimal:
    number = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    if not number.is_finite():
        raise ValueError(f"{value} cannot be shown as a number")
    return number


def _place(number: Decimal, digits: int) -> int:
    """Decimal places for so many figures; negative where a spread reaches before the point."""
    return 0 if number == 0 else digits - 1 - number.adjusted()


def _step_place(step: Decimal) -> int:
    exponent = step.normalize(_WIDE).as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _rounded(number: Decimal, place: int, digits: int, rounding: str = ROUND_HALF_UP) -> Decimal:
    """To the place, but a number that is not 0 never becomes 0."""
    rounded = number.quantize(Decimal(1).scaleb(-max(0, place)), rounding, _WIDE)
    if rounded == 0 and number != 0:
        own = max(0, _place(number, digits))
        rounded = number.quantize(Decimal(1).scaleb(-own), rounding, _WIDE)
    return rounded


def _plain(number: Decimal, group: bool, comma: bool) -> str:
    text = f"{number:,f}" if group else f"{number:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text == "-0":
        text = "0"
    return text.replace(",", "\u00a0").replace(".", ",") if comma else text


def _with_unit(text: str, unit: str) -> str:
    spelled = plain_spelling(unit)
    spelled = "mc" + spelled[1:] if spelled.startswith("ug") else spelled
    return f"{text} {spelled}".rstrip()


def in_words(number: Decimal, unit: str) -> str:
    """The number in words, to be read aloud: ``zero point seven five grams``.

    Parameters
    ----------
    number
        Finite, under a thousand million; trailing zeros are not said.
    unit
        Said in full where it is one of those a dose is given in, else as it is written.

    Raises
    ------
    ValueError
        For a number that is not finite or too long to say.
    """
    if not number.is_finite() or abs(number) >= 10**9:
        raise ValueError(f"{number} is not said in words")
    text = f"{abs(number):f}"
    whole, _, part = text.partition(".")
    part = part.rstrip("0")
    words = _whole(int(whole))
    if part:
        words = f"{words} point {' '.join(_ONES[int(figure)] for figure in part)}"
    if number < 0:
        words = f"minus {words}"
    name = _UNITS.get(unit)
    if name is None:
        return f"{words} {unit}".rstrip()
    return f"{words} {name}" if number == 1 else f"{words} {name}s"


def _whole(number: int) -> str:
    if number < 1000:
        return _below_thousand(number)
    parts = [
        f"{_below_thousand(number // size % 1000)} {name}"
        for size, name in ((10**6, "million"), (1000, "thousand"))
        if number // size % 1000
    ]
    rest = number % 1000
    if rest:
        parts.append(f"and {_below_thousand(rest)}" if rest < 100 else _below_thousand(rest))
    return " ".join(parts)


def _below_thousand(number: int) -> str:
    if number < 20:
        return _ONES[number]
    if number < 100:
        tens = _TENS[number // 10 - 2]
        return f"{tens}-{_ONES[number % 10]}" if number % 10 else tens
    hundreds = f"{_ONES[number // 100]} hundred"
    return f"{hundreds} and {_below_thousand(number % 100)}" if number % 100 else hundreds
