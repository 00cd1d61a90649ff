"""Water read off a table of depths and litres."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from itertools import pairwise


def marks(values: Mapping[str, float]) -> tuple[list[float], list[float]]:
    """Depths [cm] and litres [L] of the table, with 0 L at 0 cm put below the first mark."""
    depths_cm: list[float] = []
    litres: list[float] = []
    while f"table.{len(depths_cm) + 1}.depth" in values:
        place = f"table.{len(depths_cm) + 1}."
        depths_cm.append(values[place + "depth"])
        litres.append(values[place + "volume"])
    if depths_cm[0] > 0:
        return [0.0, *depths_cm], [0.0, *litres]
    return depths_cm, litres


def table_l(values: Mapping[str, float]) -> float:
    """Water at ``depth.today``, else at ``depth`` [L], by monotone cubic interpolation.

    Notes
    -----
    Between two marks the curve never leaves their litres. No keeper's depth is above the last
    mark; where the spread asks there, the curve goes on straight.

    Source: Fritsch & Carlson 1980, SIAM J Numer Anal 17:238-246; slopes by the weighted harmonic
    mean of Fritsch & Butland 1984, SIAM J Sci Stat Comput 5:300-304.
    """
    depths_cm, litres = _rising(*marks(values))
    depth_cm = values.get("depth.today", values["depth"])
    place = min(max(bisect_left(depths_cm, depth_cm), 1), len(depths_cm) - 1)
    if len(depths_cm) < 2:
        return litres[0]
    steps = [b - a for a, b in pairwise(depths_cm)]
    rises = [(b - a) / step for (a, b), step in zip(pairwise(litres), steps, strict=True)]
    if depth_cm > depths_cm[-1]:
        return litres[-1] + _slope(steps, rises, len(steps)) * (depth_cm - depths_cm[-1])
    step_cm = steps[place - 1]
    share = (depth_cm - depths_cm[place - 1]) / step_cm
    left = _slope(steps, rises, place - 1) * step_cm
    right = _slope(steps, rises, place) * step_cm
    rest = 1 - share
    return (
        litres[place - 1] * rest * rest * (1 + 2 * share)
        + litres[place] * share * share * (1 + 2 * rest)
        + left * share * rest * rest
        - right * share * share * rest
    )


def _rising(
    depths_cm: Sequence[float], litres: Sequence[float]
) -> tuple[list[float], list[float]]:
    """The marks that stand above the one before: the spread may ask with two of them swapped."""
    deep, full = [depths_cm[0]], [litres[0]]
    for depth_cm, volume_l in zip(depths_cm[1:], litres[1:], strict=True):
        if depth_cm > deep[-1]:
            deep.append(depth_cm)
            full.append(max(volume_l, full[-1]))
    return deep, full


def _slope(steps: Sequence[float], rises: Sequence[float], place: int) -> float:
    if len(rises) == 1:
        return rises[0]
    if place == 0:
        return _end_slope(steps[0], steps[1], rises[0], rises[1])
    if place == len(steps):
        return _end_slope(steps[-1], steps[-2], rises[-1], rises[-2])
    before, after = rises[place - 1], rises[place]
    if before <= 0 or after <= 0:
        return 0.0
    weight_before = 2 * steps[place] + steps[place - 1]
    weight_after = steps[place] + 2 * steps[place - 1]
    return (weight_before + weight_after) / (weight_before / before + weight_after / after)


def _end_slope(step: float, next_step: float, rise: float, next_rise: float) -> float:
    slope = ((2 * step + next_step) * rise - step * next_rise) / (step + next_step)
    return max(slope, 0.0)
