"""A number as a keeper reads it in a sentence."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal

from intake.science.limits import DIGITS, twelve


def at_most(value: Decimal, digits: int = 4) -> str:
    """`value` as `figure` writes it, never rounded up: what may go in at most."""
    room = max(digits, value.adjusted() + 1)
    return figure(Context(prec=room, rounding=ROUND_FLOOR).plus(value), digits)


def figure(value: Decimal | float, digits: int = 6) -> str:
    """`value` at `digits` significant digits: no exponent, no trailing zeros, 1,000 separated.

    Whole digits before the point are never rounded away.

    Example
    -------
    >>> figure(Decimal("1250.50")), figure(Decimal("2.0571"), 2), figure(Decimal("1E+3"))
    ('1,250.5', '2.1', '1,000')
    """
    exact = Decimal(value)
    room = max(digits, exact.adjusted() + 1)
    rounded = Context(prec=room).plus(exact)
    text = f"{rounded:,f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def beyond(value: Decimal | float, limit: Decimal | float, digits: int = 3) -> str:
    """`value` as `figure` writes it, with as many digits as it takes to differ from `limit`.

    Example
    -------
    >>> beyond(Decimal("9.5589"), Decimal(5)), beyond(Decimal("5.0000001"), Decimal(5))
    ('9.56', '5.0000001')
    """
    edge = figure(limit, DIGITS)
    told = (figure(value, n) for n in range(digits, DIGITS))
    return next((text for text in told if text != edge), figure(value, DIGITS))


def time_text(hours: Decimal | float, *, up: bool = False) -> str:
    """How long something lasts as people say it, rounded down, or up.

    In minutes under an hour, in hours and minutes under 48 h, else in days and hours.

    Example
    -------
    >>> time_text(Decimal("0.17")), time_text(Decimal("23.999")), time_text(75)
    ('10 min', '23 h 59 min', '3 days 3 h')
    """
    rule = ROUND_CEILING if up else ROUND_FLOOR
    minutes = _whole(Decimal(hours) * 60, rule)
    if minutes < 1:
        return "less than a minute"
    if minutes < _IN_DAYS_FROM_MIN:
        parts = ((minutes // 60, "h"), (minutes % 60, "min"))
    else:
        hours = _whole(Decimal(hours), rule)
        parts = ((hours // 24, "days"), (hours % 24, "h"))
    return " ".join(f"{count} {unit}" for count, unit in parts if count)


_IN_DAYS_FROM_MIN = 48 * 60


def _whole(value: Decimal, rule: str) -> int:
    return int(twelve(value).to_integral_value(rounding=rule))
