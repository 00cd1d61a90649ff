"""Lines in a chart: where a point lands, and that steep and flat look different."""

from __future__ import annotations

from intake.drawing.line import STEEP, STROKES, plotted, round_top, ticks


def drawn(points: list[tuple[float, float]], columns: int = 11, rows: int = 4) -> list[str]:
    cells = plotted([points], x_range=(0.0, 10.0), y_range=(0.0, 12.0), columns=columns, rows=rows)
    return ["".join(glyph for glyph, _ in row) for row in cells]


def test_a_flat_line_is_one_row_of_one_stroke() -> None:
    assert drawn([(0, 12), (10, 12)]) == [STROKES[0] * 11, " " * 11, " " * 11, " " * 11]
    assert drawn([(0, 0), (10, 0)])[3] == STROKES[2] * 11


def test_a_steep_line_is_upright_and_reaches_both_ends() -> None:
    rows = drawn([(5, 0), (5, 12)])
    assert [row[5] for row in rows] == [STEEP] * 4


def test_the_later_series_is_on_top_and_nothing_is_drawn_outside() -> None:
    first, later = [(0.0, 6.0), (10.0, 6.0)], [(0.0, 6.0), (4.0, 6.0)]
    cells = plotted([first, later], x_range=(0.0, 10.0), y_range=(0.0, 12.0), columns=11, rows=4)
    owners = [index for row in cells for _, index in row if index >= 0]
    assert owners.count(1) == 5
    assert owners.count(0) == 6
    assert "".join(drawn([(0, 99), (10, 99)])).strip() == ""


def test_ticks_are_round() -> None:
    assert ticks(0, 60, 6) == [0, 10, 20, 30, 40, 50, 60]
    assert round_top(0.06) == 0.1
