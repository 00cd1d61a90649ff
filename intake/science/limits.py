"""The one place where a number meets a limit."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal

DIGITS = 12
"""Significant digits two numbers are compared at. Common practice: far finer than any scale,
coarse enough that a concentration worked back from its own amount meets its limit again."""

_TWELVE = Context(prec=DIGITS, rounding=ROUND_HALF_EVEN, traps=[])

Number = Decimal | int | float


def twelve(value: Number) -> Decimal:
    """`value` as a Decimal of 12 significant digits; infinities and not-a-number stay."""
    return _TWELVE.plus(Decimal(value))


def compare(first: Number, second: Number) -> int:
    """-1, 0 or 1 as `first` is under, at or over `second`, at 12 significant digits.

    Raises
    ------
    ValueError
        One of them is not a finite number: it has no place in any order.
    """
    left, right = twelve(first), twelve(second)
    if not (left.is_finite() and right.is_finite()):
        raise ValueError("only finite numbers can be compared")
    return int(left.compare(right))


def allowed(value: Number, low: Number | None, high: Number | None) -> bool:
    """Whether `value` is finite and low <= value <= high at 12 significant digits.

    Parameters
    ----------
    value
        The number judged, in the unit of the limits.
    low, high
        The ends, both allowed themselves; None leaves that side open. An end that is not
        finite allows nothing.
    """
    judged = twelve(value)
    if not judged.is_finite():
        return False
    ends = [twelve(end) for end in (low, high) if end is not None]
    if not all(end.is_finite() for end in ends):
        return False
    return (low is None or twelve(low) <= judged) and (high is None or judged <= twelve(high))
