"""What is left in a water and what is to be changed, as its screen shows it."""

from __future__ import annotations

from dataclasses import dataclass

from intake.drawing.level_chart import LevelChart


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One change to come: when, how much out, NH3 before and after, what the new water gets."""

    when: str
    out: str
    nh3: str
    dosed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ResidueView:
    """One water: a chart for each level that is followed, and the plan.

    `possible` is None where no plan could be worked out; `told` says it in any case.
    """

    system: str
    water: str  # "310 L"
    charts: tuple[LevelChart, ...]
    possible: bool | None
    failure: str
    told: str
    way_out: str
    rows: tuple[PlanRow, ...]
    changes_a_day: int
    because: str
