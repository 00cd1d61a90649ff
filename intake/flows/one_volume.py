"""Working out the true water of one vessel. No room is needed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from intake.flows.notes import Notes
from intake.flows.sizes import read_sizes
from intake.science.problem import Problem, Unreadable
from intake.science.volume import Shape, true_volume


def volume(shape: Shape, typed: Mapping[str, Any]) -> dict[str, Any]:
    """The answer of `intake volume`.

    Raises
    ------
    Usage, Unreadable, Refused
        Where sizes are missing, cannot be read or do not fit.
    """
    sizes = read_sizes(shape, typed)
    lists = sizes.lists
    found = true_volume(shape.name, sizes.sizes, sizes.within(), **lists)
    if isinstance(found, Problem):
        raise Unreadable(found if found.path else found.placed("SHAPE"))
    notes = Notes([*sizes.assumptions, *found.assumptions], list(found.warnings))
    return {
        "volume_l": found.volume_l,
        "volume_l_low": found.low_l,
        "volume_l_high": found.high_l,
        "gross_l": found.gross_l,
        "displaced_l": found.displaced_l,
        "connected_l": found.connected_l,
        "method": found.method,
        "doubt_from": found.doubt_from,
        **notes.as_keys(),
    }
