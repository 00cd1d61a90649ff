"""A water with salt and formalin in it and two changes to come, for the screens."""

from __future__ import annotations

from intake.drawing.level_chart import LevelChart, Mark
from intake.flows.views.residue import PlanRow, ResidueView


def saw_tooth() -> LevelChart:
    """Raised in two steps, thinned by a change that was not dosed, kept up from then on."""
    likely = (
        (-4.0, 0.0), (-3.0, 0.0), (-3.0, 1.0), (-2.0, 1.0), (-2.0, 2.0), (-1.0, 2.0),
        (-1.0, 1.6), (1.0, 1.6), (1.0, 1.72), (4.0, 1.72), (4.0, 1.8), (7.0, 1.8),
    )  # fmt: skip
    return LevelChart(
        "salt",
        "g/L",
        likely,
        tuple((x, y * 0.94) for x, y in likely),
        tuple((x, y * 1.06) for x, y in likely),
        1.0,
        5.0,
        (Mark(-3.0, "D"), Mark(-2.0, "D"), Mark(-1.0, "C"), Mark(1.0, "c"), Mark(4.0, "c")),
        tuple((n + 0.25, f"{26 + n:02d} Nov") for n in range(-4, 5)),
    )


def ammonia() -> LevelChart:
    """Two changes keep it under its limit."""
    line = ((0.0, 0.008), (1.0, 0.018), (1.0, 0.012), (4.0, 0.0198), (4.0, 0.013), (7.0, 0.019))
    return LevelChart(
        "NH3 at most", "mg/L as N", line, limit=0.02,
        marks=(Mark(1.0, "c"), Mark(4.0, "c")), days=((0.25, "26 Nov"), (3.25, "29 Nov")),
    )  # fmt: skip


def residue_view(vessel: str, changes_a_day: int) -> ResidueView:
    """A plan, or with more than two changes a day one that is not possible."""
    possible = changes_a_day < 3
    return ResidueView(
        vessel,
        "372 L",
        (saw_tooth(), ammonia()),
        possible,
        "" if possible else "over-limit",
        "2 changes of 40 % keep NH3 at or under 0.02 mg/L as N for 7 days, salt in range"
        if possible
        else "not possible, because salt kept up comes to 5.1 g/L at the high end, hard limit 5",
        "" if possible else "put no salt into new water until all of it is under 5",
        (
            PlanRow(
                "Thu 26 Nov 18:00", "149 L, 40 %", "0.018 > 0.012",
                ("268 g of salt in it, then 1.72 g/L",),
            ),
            PlanRow(
                "Sun 29 Nov 18:00", "149 L, 40 %", "0.0198 > 0.013",
                ("268 g of salt in it, then 1.8 g/L",),
            ),
        ),
        changes_a_day,
        "no filter takes any ammonia; new water is free of chlorine when it goes in",
    )  # fmt: skip
