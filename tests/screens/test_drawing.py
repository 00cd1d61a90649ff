"""Pure scaling: what a bar and a figure look like before anything paints them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.drawing.digits import SIZES, figure, figure_width, unit_letters
from intake.drawing.level import level_cells

LEVELS = st.floats(0, 1e6, allow_nan=False)


@given(low=LEVELS, more=LEVELS, limit=st.floats(1e-3, 1e5), width=st.integers(8, 120))
def test_a_bar_never_lies_about_its_side_of_the_wall(
    low: float, more: float, limit: float, width: int
) -> None:
    high = low + more
    cells = level_cells(low, high, limit, width)
    kinds = [kind for kind, _ in cells.runs]
    assert cells.width == width
    assert dict(cells.runs)["wall"] == 1
    assert ("over" in kinds) == (high > limit)
    if high > limit:
        assert kinds[kinds.index("wall") - 1] in ("fill", "doubt")


def test_a_bar_in_cells() -> None:
    # 2 of a limit of 6 in 50 cells with the wall at 0.8: a third of 40.
    cells = level_cells(2, 2, 6, 50, wall_at=0.8)
    assert cells.runs == (("fill", 13), ("empty", 27), ("wall", 1), ("empty", 9))
    past = level_cells(0.083, 0.083, 0.05, 24, wall_at=0.5)
    assert past.runs == (("fill", 12), ("wall", 1), ("over", 8), ("empty", 3))
    assert not past.off_scale
    assert level_cells(7, 7, 1, 24).off_scale
    doubt = level_cells(0.004, 0.006, 0.01, 40, wall_at=0.5)
    assert doubt.runs[:2] == (("fill", 8), ("doubt", 4))


def test_zero_fills_nothing_and_unknown_is_empty() -> None:
    assert level_cells(0, 0, 5, 20).runs[0][0] == "empty"
    assert [kind for kind, _ in level_cells(None, None, 5, 20).runs] == ["empty", "wall", "empty"]


def test_every_figure_has_all_its_rows() -> None:
    for chosen in SIZES:
        for text in ("0", "1", "0.75", "372", "4568.9"):
            lines = figure(text, chosen)
            assert len(lines) == chosen.rows
            assert len({len(line) for line in lines}) == 1
            assert lines[0].strip()
            assert lines[-1].strip()
        for unit in ("g", "mg", "mL", "L"):
            letters = unit_letters(unit, chosen)
            assert len(letters) == chosen.rows
            assert letters[-1].strip()
        wide = figure_width("0.75", "g", chosen)
        assert wide == len(figure("0.75", chosen)[0]) + 2 + len(unit_letters("g", chosen)[0])


def test_digits_cannot_be_taken_for_each_other() -> None:
    for size in SIZES:
        drawn = {tuple(figure(d, size)) for d in "0123456789"}
        assert len(drawn) == 10
        assert len({len(figure(d, size)[0]) for d in "0123456789"}) == 1


def test_a_figure_is_never_drawn_with_a_hole() -> None:
    for text in ("1,5", "-2", "1e3", "± 4", "1 2"):
        with pytest.raises(KeyError):
            figure(text, SIZES[0])
