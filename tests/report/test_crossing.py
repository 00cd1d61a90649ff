"""A way across on paper: drawn to scale, literal whatever a name says, whole in 80 columns."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from intake.drawing.run_chart import Panel, cells, scale_of
from intake.report.crossing import Done, Sheet, rows
from intake.report.crossing_page import as_page
from intake.report.crossing_pdf import as_pdf
from intake.report.crossing_text import as_text
from intake.report.page import said
from intake.report.run_svg import HEIGHT_MM, chart

NASTY = '<script>x</script>"><img onerror=1> #read("/etc/passwd") *b* \x1b[31m'

NH3 = Panel(
    "NH3",
    "mg/L as N",
    ((0.0, 0.0), (60.0, 0.06)),
    ((0.0, 0.0), (60.0, 0.02)),
    ((0.0, 0.0), (60.0, 0.1)),
    ((0.0, 0.0), (60.0, 0.01)),
    limit=0.05,
    now=30.0,
    from_zero=True,
)
TEMP = Panel("temperature", "C", ((0.0, 14.0), (60.0, 19.0)), measured=((15.0, 16.0),), now=30.0)


def sheet(name: str = "Box 14") -> Sheet:
    return Sheet(
        name, 2, "3 fish", "drip", name, "Wed 25 Nov 2026", "18:24", name, (TEMP, NH3),
        (Done(1, "18:24", name), Done(2, "", "Lift the fish across by wet hand or bowl.")),
        (("18:39", "15.9", "16.0", name),), (name, "a long note " * 30),
    )  # fmt: skip


def test_the_charts_are_drawn_to_scale() -> None:
    """0 to 0.1 from the lower axis up to the upper edge: 0.05 lies half way, minute 30 too."""
    svg = ElementTree.fromstring(chart(NH3))
    polygon = next(e for e in svg.iter() if e.tag.endswith("polygon"))
    points = [tuple(map(float, p.split(","))) for p in polygon.attrib["points"].split()]
    left, bottom = points[0]
    right, top = points[1]
    assert points[2] == pytest.approx((right, bottom + (top - bottom) * 0.2), abs=0.02)
    wall = next(e for e in svg.iter() if "4 1.6" in e.attrib.get("stroke-dasharray", ""))
    assert float(wall.attrib["y1"]) == pytest.approx((top + bottom) / 2, abs=0.02)
    now = next(e for e in svg.iter() if e.attrib.get("stroke-width") == "0.4")
    assert float(now.attrib["x1"]) == pytest.approx((left + right) / 2, abs=0.02)
    assert 0 < top < bottom < HEIGHT_MM
    words = " ".join(e.text or "" for e in svg.iter())
    for word in ("NH3, mg/L as N", "limit 0.05", "now", "60 min"):
        assert word in words


def test_a_name_stays_letters_in_every_form() -> None:
    page = as_page(sheet(NASTY))
    assert "<script" not in page
    assert "<img" not in page
    assert said(NASTY) in page
    assert "\x1b" not in page
    text = as_text(sheet(NASTY))
    assert "\x1b" not in text
    assert "<script>x</script>" in text
    assert as_pdf(sheet(NASTY)).startswith(b"%PDF-")


def test_a_page_fetches_and_runs_nothing() -> None:
    page = as_page(sheet())
    assert "default-src 'none'" in page
    assert not re.search(r"(src|href)=", page)
    assert page.count("<svg") == 2


def test_text_fits_eighty_columns() -> None:
    for name in ("Box 14", "A box of a name that is forty letters long", NASTY):
        assert max(map(len, as_text(sheet(name)).splitlines())) <= 80


def test_the_table_has_the_ends_of_every_minute() -> None:
    found = rows(sheet())
    assert [row[0] for row in found][:3] == ["0", "5", "10"]
    assert found[-1] == ("60", "19", "", "0.02 to 0.1")
    assert found[6] == ("30", "16.5", "", "0.01 to 0.05")


def test_the_cells_of_a_chart_hold_the_band_the_wall_the_reading_and_now() -> None:
    grid = cells(NH3, 61, 11)
    kinds = [[kind for kind, _ in row] for row in grid]
    wall = next(n for n, row in enumerate(kinds) if row.count("limit") > 20)
    assert wall == 5
    assert all("band" not in row for row in kinds[:wall])
    assert any("band-over" in row for row in kinds[:wall])
    assert any("line-over" in row for row in kinds[:wall])
    assert [row[30] for row in kinds].count("now") >= 8
    assert [kind for row in cells(TEMP, 61, 11) for kind, _ in row].count("measured") == 1


def test_one_value_alone_is_drawn_too() -> None:
    flat = replace(TEMP, likely=((0.0, 19.0), (60.0, 19.0)), measured=(), now=None)
    low, high = scale_of(flat).y
    assert low < high
    ElementTree.fromstring(chart(flat))
    assert any(kind == "line" for row in cells(flat, 40, 6) for kind, _ in row)
