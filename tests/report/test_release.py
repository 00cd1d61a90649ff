"""The paper of a release: whole, drawn to scale, and only letters whatever a name would like."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest

from intake.report.columns import columns
from intake.report.day_svg import DayChart, Point, day_marks, drawn
from intake.report.release import CAUTIONS, SIGNERS, Check, Release
from intake.report.release_page import as_page
from intake.report.release_pdf import as_pdf
from intake.report.release_text import as_text
from tests.report.test_waterline import NASTY, Tags

SHOWN = NASTY.replace("\x1b", "␛")
TRIED = ("North tub", "金" * 40, "W" * 40, NASTY, "ú" * 20 + "́" * 20, "a b" * 13)
CHART = DayChart(
    name="NH3", unit="mg/L as N", day_0=date(2026, 3, 10), first=0.0, last=30.0,
    points=(
        Point(1.5, 0.0, 0.004, 0.01), Point(3.5, 0.01, 0.02, None), Point(20.0, 0.0, 0.0, 0.0),
    ),
    low=None, high=0.02, target="target at most 0.02",
)  # fmt: skip


def sheet(said: str = "Ada") -> Release:
    return Release(
        subject=said, system="North tub", verdict="Not released: 1 of 2 checks open",
        decides=f"The earliest day of release is Thu 9 Apr 2026; days-served sets it: {said}.",
        plan="Plan Standard, version 1", fish=(said,), counts=("days served 12 of 30", said),
        checks=(
            Check("days-served", "open", said, "wait"),
            Check("mixing-test", "passed-by-reason", "none", "", f"Passed by {said}: none here."),
        ),
        windows=("not tested: spring viraemia", said), slides=(said,), mixing=(said,),
        treatments=(("Tue 10 Mar 2026 10:00", "still in the water", said, "treatment"),),
        deaths=(("Wed 11 Mar 2026", "1", said, "transport"),), signs=(said,), after=(said,),
        charts=(CHART,), printed=f"Printed by {said}", head="Journal at entry 20, " + "c0e5" * 16,
    )  # fmt: skip


@pytest.mark.parametrize("name", TRIED)
def test_text_fits_eighty_columns_whatever_they_are_called(name: str) -> None:
    text = as_text(sheet(name))
    assert max(columns(line) for line in text.splitlines()) <= 80
    assert not any(line != line.rstrip() for line in text.splitlines())
    assert "\x1b" not in text


def test_what_is_typed_stays_text_on_a_page() -> None:
    page = as_page(sheet(NASTY))
    read = Tags(page)
    assert not {"script", "img", "link", "iframe"} & set(read.tags)
    assert not any(n.startswith("on") or n in ("src", "href") for n, _ in read.attributes)
    assert read.words.count(SHOWN[:40]) >= 10
    assert "\x1b" not in page
    assert "//" not in page.replace('xmlns="http://www.w3.org/2000/svg"', ""), "nothing is fetched"


@pytest.mark.parametrize("name", [NASTY, '#panic("read")', "金" * 40])
def test_a_pdf_takes_texts_as_data(name: str) -> None:
    assert as_pdf(sheet(name)).startswith(b"%PDF-")


def test_every_form_has_the_cautions_and_lines_to_sign() -> None:
    text = " ".join(as_text(sheet()).split())
    page = Tags(as_page(sheet())).words
    for said in (*CAUTIONS, *SIGNERS, "Passed by Ada: none here.", "Next: wait."):
        assert said in text
        assert said in page
    for said in (text, page):
        assert "Journal at entry 20" in said
        assert not re.search(r"\b(safe|cured)\b", said)


def test_what_was_never_recorded_is_said_and_not_left_empty() -> None:
    bare = replace(sheet(), treatments=(), deaths=(), signs=(), charts=())
    assert as_text(bare).count("none recorded") == 3
    assert Tags(as_page(bare)).words.count("none recorded") == 3


# Measured: 20 of 30 days and 0.01 of a target of 0.02 lie where a ruler on the print finds them.
def test_the_chart_is_drawn_to_scale() -> None:
    svg = drawn(CHART)
    at = [(float(x), float(y)) for x, y in re.findall(r'circle cx="([\d.]+)" cy="([\d.]+)"', svg)]
    left, right, bottom = 16.0, 186.0 - 30.0, 50.0 - 11.0
    assert at[2] == pytest.approx((left + 20 / 30 * (right - left), bottom), abs=0.01)
    assert at[0][0] == pytest.approx(left + 1.5 / 30 * (right - left), abs=0.01)
    band = re.search(r'rect x="16.00" y="([\d.]+)" width="[\d.]+" height="([\d.]+)"', svg)
    assert band is not None
    target = float(band[1])
    assert target + float(band[2]) == pytest.approx(bottom, abs=0.01)
    # 0.004 lies a fifth of the way from nothing to the target
    assert bottom - at[0][1] == pytest.approx((bottom - target) / 5, abs=0.02)
    assert at[1][1] == pytest.approx(target, abs=0.01)


def test_readings_far_apart_are_not_joined() -> None:
    joins = re.findall(r'stroke-width="0.3"/>', drawn(CHART))
    fewer = re.findall(r'stroke-width="0.3"/>', drawn(replace(CHART, joined_days=1)))
    assert len(joins) - len(fewer) == 1


def test_an_open_end_is_an_arrow_to_the_top_and_a_number_or_more() -> None:
    assert drawn(CHART).count("<path") == 1
    assert "day 3: 0.01 or more" in as_text(sheet())


@pytest.mark.parametrize("last", [0, 1, 9, 12, 30, 45, 90, 400, 3000])
def test_day_marks_are_whole_and_never_crowded(last: int) -> None:
    marks = day_marks(-3, last)
    assert len(marks) <= 10
    assert 0 in marks
    assert all(-3 <= n <= last for n in marks)


def test_a_chart_without_readings_still_has_axes_and_its_target() -> None:
    svg = drawn(replace(CHART, points=(), last=0.0))
    assert "at most 0.02" in svg
    assert "day 0" in svg
    assert "<circle" not in svg
