"""The calendar on paper: literal whatever a name says, whole in 80 columns, one day a step."""

from __future__ import annotations

import itertools
import json
import re
from collections.abc import Callable
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest

from intake.drawing.daystrip import DayCell
from intake.report.calendar import (
    LABEL,
    LEGEND,
    NOTHING,
    CalendarPaper,
    PaperDay,
    PaperTask,
    PaperWater,
    week_lines,
)
from intake.report.calendar_page import as_page
from intake.report.calendar_pdf import as_pdf
from intake.report.calendar_svg import WEEKS_A_ROW, strip
from intake.report.calendar_text import as_text
from intake.report.columns import columns
from intake.science.text import inert
from tests.report.hostile import NAMES
from tests.report.test_waterline import Tags

MONDAY = date(2026, 11, 23)
TODAY = date(2026, 11, 25)


def cells(weeks: int = 1) -> tuple[DayCell, ...]:
    shown = [("served", "done"), ("uncounted", ""), ("ahead", "due"), ("ahead", "slide"),
             ("ahead", ""), ("ahead", "release"), ("none", "")]  # fmt: skip
    days = [shown[n] if n < 7 else ("ahead", "due") for n in range(7 * weeks)]
    return tuple(DayCell(MONDAY + timedelta(n), *day) for n, day in enumerate(days))


def paper(name: str = "Tub", weeks: int = 1) -> CalendarPaper:
    tasks = (
        PaperTask("due", name),
        PaperTask("upcoming", f"07:30  look at {name}", "was Mon 30 Nov", f"because {name}"),
        PaperTask("done", "water test"),
        PaperTask("skipped", name),
        PaperTask("overdue", "late one"),
    )
    water = PaperWater(
        name, f"3 fish, {name}", cells(weeks), f"Earliest release: Sat 28 Nov, set by {name}",
        (name, "a long reason " * 20),
        (("days-served", "open", "Tue 15 Dec", name), ("slides", "met", "", "two")),
        (PaperDay("Wed 25 Nov, today", name, tasks),),
    )  # fmt: skip
    return CalendarPaper(TODAY, (water,), f"Printed by {name}", "Journal at entry 9, 5f5f")


@pytest.mark.parametrize("name", NAMES)
def test_text_fits_eighty_columns_whatever_a_name_is(name: str) -> None:
    lines = as_text(paper(name, weeks=9)).split("\n")
    assert max(map(columns, lines)) <= 80
    assert not re.search(
        "[\x00-\x09\x0b-\x1f\x7f\x85\x9b\u2028\u2029\u202e\u2066]", "\n".join(lines)
    )


@pytest.mark.parametrize("name", NAMES)
def test_what_is_typed_stays_letters_on_a_page(name: str) -> None:
    page = as_page(paper(name))
    read = Tags(page)
    assert not {"script", "img", "link", "iframe", "a"} & set(read.tags)
    assert not any(n.startswith("on") or n in ("src", "href") for n, _ in read.attributes)
    told = " ".join(read.words.split())
    assert told.count(" ".join(inert(name).split())) >= 8
    assert page.count("<svg") == 1
    assert "default-src 'none'" in page


def test_the_page_without_a_name_fetches_nothing() -> None:
    page = as_page(paper())
    assert "//" not in page.replace("http://www.w3.org/2000/svg", "")
    assert "url(" not in page


@pytest.mark.parametrize("name", NAMES)
def test_a_pdf_takes_names_as_data(name: str) -> None:
    assert as_pdf(paper(name)).startswith(b"%PDF-")


def test_a_pdf_is_given_every_text(monkeypatch: pytest.MonkeyPatch) -> None:
    given: dict[str, object] = {}

    def kept(template: str, values: dict[str, object]) -> bytes:
        given.update(values, template=template)
        return b""

    monkeypatch.setattr("intake.report.calendar_pdf.typeset", kept)
    as_pdf(paper("\x1b[31m #read"))
    told = json.dumps(given, ensure_ascii=False)
    assert "\x1b" not in told
    assert "\\u001b" not in told
    assert told.count("␛[31m #read") == 11
    for text in ("Tue 15 Dec", "was Mon 30 Nov", "late one", "Earliest release", "Journal at"):
        assert text in told


def test_each_task_has_its_box_its_old_date_and_its_reason() -> None:
    text = as_text(paper("Tub"))
    assert "  [ ] Tub" in text
    assert "  [ ] 07:30 look at Tub (was Mon 30 Nov)" in text
    assert "      because because Tub" in text
    assert "  [x] water test" in text
    assert "  [-] Tub" in text
    assert "  [!] late one" in text
    assert "days-served      open, not before Tue 15 Dec. Tub" in text
    assert LABEL in " ".join(text.split())
    page = as_page(paper("Tub"))
    assert page.count('class="box"') == 5
    assert '<span class="was">was Mon 30 Nov</span>' in page


def test_the_weeks_in_letters() -> None:
    assert week_lines(cells(), TODAY) == [
        "            Mo  Tu  We  Th  Fr  Sa  Su",
        "    23 Nov   *   -  [o]  #   .   |",
    ]
    assert week_lines([], TODAY) == []


def test_a_marked_day_that_was_not_warm_says_both() -> None:
    cold = (DayCell(MONDAY, "uncounted", "done"),)
    assert week_lines(cold, TODAY)[1] == "    23 Nov   *-"


def test_every_day_has_its_place_and_every_mark_its_shape() -> None:
    svg = ElementTree.fromstring(strip(cells(8), TODAY))
    letters = [e for e in svg.iter() if e.tag.endswith("text") and e.text in tuple("MTWFS")]
    assert len(letters) == 56
    rows = sorted({float(e.attrib["y"]) for e in letters})
    assert len(rows) == 2
    assert WEEKS_A_ROW == 6
    first = [float(e.attrib["x"]) for e in letters if float(e.attrib["y"]) == rows[0]]
    steps = {round(b - a, 1) for a, b in itertools.pairwise(first)}
    assert steps <= {4.4, 4.5}, "186 mm for 42 days"
    words = [e.text for e in svg.iter() if e.tag.endswith("text")]
    for _, _, word in LEGEND:
        assert word in words
    height = float(svg.attrib["viewBox"].split()[3])
    ys = [
        float(v) for e in svg.iter() for k, v in e.attrib.items() if k in ("y", "y1", "y2", "cy")
    ]
    assert 0 <= min(ys) <= max(ys) <= height


def test_marks_differ_without_colour() -> None:
    def drawn(mark: str) -> str:
        return strip((DayCell(MONDAY, "ahead", mark),), TODAY)

    marks = ("", "done", "due", "slide", "slide-done", "overdue", "skipped", "release")
    assert len({drawn(mark) for mark in marks}) == len(marks)
    assert not re.search(r"#(?!111|fff)[0-9a-f]{3}", drawn("done"))


@pytest.mark.parametrize("made", [as_text, as_page])
def test_with_nothing_due_the_paper_says_so(made: Callable[[CalendarPaper], str]) -> None:
    assert NOTHING in made(CalendarPaper(TODAY, (), "Printed", "Journal"))
    assert as_pdf(CalendarPaper(TODAY, (), "Printed", "Journal")).startswith(b"%PDF-")
