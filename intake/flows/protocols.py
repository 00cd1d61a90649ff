"""Protocol files as a job: read them and say what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from intake import paths
from intake.science.problem import Problem


def problems_in(named: Sequence[str]) -> list[Problem]:
    """Every problem of these files or folders; none named: the shipped and the keeper's own."""
    from intake.rules.shelf import check

    if named:
        return check([Path(n) for n in named])
    folders = (paths.shipped_protocols(), paths.own_protocols())
    return check([f for f in folders if f.is_dir()])
