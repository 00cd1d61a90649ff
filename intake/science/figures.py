"""A number as a keeper reads it in a sentence."""

from __future__ import annotations

from decimal import ROUND_FLOOR, Context, Decimal


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
