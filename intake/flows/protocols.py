"""Protocol files as a job: read them and say what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from intake import paths
from intake.science.problem import Problem

if TYPE_CHECKING:
    from intake.rules.whence import CitedFigure


def problems_in(named: Sequence[str]) -> list[Problem]:
    """Every problem of these files or folders; none named: the shipped and the keeper's own."""
    from intake.rules.shelf import check

    return check(_places(named))


def from_memory_in(named: Sequence[str]) -> list[CitedFigure]:
    """Every figure of these files or folders that is from memory, whole or in part."""
    from intake.rules.whence import figures_in

    return [figure for figure in figures_in(_places(named)) if figure.from_memory]


def _places(named: Sequence[str]) -> list[Path]:
    if named:
        return [Path(n) for n in named]
    folders = (paths.shipped_protocols(), paths.own_protocols())
    return [f for f in folders if f.is_dir()]
