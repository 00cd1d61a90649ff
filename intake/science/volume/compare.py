"""Two ways of finding the same water, held against each other."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf

from intake.science.figures import figure
from intake.science.problem import Warn
from intake.science.volume.answer import TrueVolume

APART_SHARE = 0.15
"""Two volumes further apart than this share of the smaller are doubtful [1]; common practice."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """How two volumes of the same water stand to each other.

    Parameters
    ----------
    gap_l
        How far apart they are [L].
    normalised
        The gap over what both doubts together allow; up to 1 they agree.
    apart_percent
        The gap in percent of the smaller volume.
    smaller
        The one an over-dose limit is tested at.
    """

    gap_l: float
    normalised: float
    apart_percent: float
    agree: bool
    smaller: TrueVolume
    warnings: tuple[Warn, ...]


def compare(first: TrueVolume, second: TrueVolume) -> Comparison:
    """How two volumes of the same water agree, and which is the careful one.

    Source: normalised error E_n, ISO 13528:2022; the two half-widths, on the sides
    that face each other, added as squares.
    """
    gap_l = abs(first.volume_l - second.volume_l)
    smaller, larger = sorted((first, second), key=lambda volume: volume.volume_l)
    allowed_l = hypot(smaller.high_l - smaller.volume_l, larger.volume_l - larger.low_l)
    normalised = gap_l / allowed_l if allowed_l else (inf if gap_l else 0.0)
    share = gap_l / smaller.volume_l
    agree = normalised <= 1
    warnings: tuple[Warn, ...] = ()
    if not agree or share > APART_SHARE:
        text = (
            f"{first.method} and {second.method} are {figure(gap_l, 3)} L apart,"
            f" {share * 100:.0f} % of the smaller: limits use the smaller"
        )
        warnings = (Warn("volume-doubtful", text),)
    return Comparison(gap_l, normalised, share * 100, agree, smaller, warnings)
