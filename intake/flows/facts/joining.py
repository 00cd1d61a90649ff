"""What is known of a water that two waters were let together into."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from intake.flows.facts.things import ReadingFact

BY_SHARE = frozenset({"kh", "gh", "tan", "no2", "no3", "salt", "chlorine"})
"""Readings of what is conserved where waters mix: the mixture holds each by its share. A pH is
not: it has to be read again."""


def blended(
    first: Mapping[str, ReadingFact], first_l: float, second: Mapping[str, ReadingFact],
    second_l: float,
) -> dict[str, ReadingFact]:  # fmt: skip
    """The dissolved readings of a mixture: by share where both are known, else not known.

    A reading that both waters have from before they were parted stays as it is.
    """
    found: dict[str, ReadingFact] = {}
    share = second_l / (first_l + second_l) if first_l + second_l > 0 else 0.0
    for name in [*first, *(n for n in second if n not in first)]:
        one, other = first.get(name), second.get(name)
        if one is not None and one == other:
            found[name] = one
        elif one is not None and other is not None and _mix(one, other):
            found[name] = _mixed(one, other, share)
    return found


def _mix(one: ReadingFact, other: ReadingFact) -> bool:
    """Whether two readings can be taken by share: nitrite as N and as NO2 cannot."""
    ions = one.quantity in ("no2", "no3")
    return one.quantity in BY_SHARE and not (ions and one.unit != other.unit)


def _mixed(one: ReadingFact, other: ReadingFact, share: float) -> ReadingFact:
    def mean(a: float | None, b: float | None) -> float | None:
        return None if a is None or b is None else a * (1 - share) + b * share

    older = min(one, other, key=lambda r: r.at)
    return replace(
        older,
        value=mean(one.value, other.value),
        low=mean(one.low, other.low),
        high=mean(one.high, other.high),
    )
