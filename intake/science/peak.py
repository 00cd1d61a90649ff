"""The highest point of a curve that may rise and fall more than once."""

from __future__ import annotations

from collections.abc import Callable, Sequence

_GOLDEN = (5.0**0.5 - 1.0) / 2.0


def highest(
    of: Callable[[float], float], at: Sequence[float], within: float = 1e-4
) -> tuple[float, float]:
    """Where a curve is highest between the first and last of `at`, and how high.

    Parameters
    ----------
    of
        The curve.
    at
        Rising points it is looked at first, close enough that it has no two peaks between three
        of them.
    within
        How closely the place is found.

    Notes
    -----
    Golden section search (common practice) around every point of `at` that
    neither neighbour is above. Never below any of `at`.

    Examples
    --------
    >>> round(highest(lambda x: x * (1.0 - x), (0.0, 0.4, 1.0))[0], 3)
    0.5
    """
    seen = [of(x) for x in at]
    best = max(zip(seen, at, strict=True))
    last = len(at) - 1
    for n, value in enumerate(seen):
        before, after = max(n - 1, 0), min(n + 1, last)
        if seen[before] <= value >= seen[after]:
            best = max(best, _golden(of, at[before], at[after], within))
    value, place = best
    return place, value


def _golden(
    of: Callable[[float], float], low: float, high: float, within: float
) -> tuple[float, float]:
    """Height and place of the peak between two places."""
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = of(left), of(right)
    while high - low > within:
        if at_left < at_right:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = of(right)
        else:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = of(left)
    return max((at_left, left), (at_right, right))
