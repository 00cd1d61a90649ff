"""The waterline table on paper: whole, literal, and a centimetre that is a centimetre."""

from __future__ import annotations

import re
import sys
from html.parser import HTMLParser
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from intake.drawing.tape import OVERLAP_CM, PIECE_CM, pieces
from intake.report.page import said
from intake.report.waterline import Row, Waterline
from intake.report.waterline_page import CHECK_MM, as_page
from intake.report.waterline_pdf import as_pdf
from intake.report.waterline_text import as_text
from intake.science.problem import Refused

NASTY = '<script>x</script>"><img onerror=1> #read("/etc/passwd") *b* \x1b[31m'


def row(cm: float) -> Row:
    return Row(cm, cm * 7.5, cm * 7.5 - 4, cm * 7.5 + 4, 7.5, "100 x 75", partly_dry=cm < 3)


def sheet(top: int = 50, name: str = "North tub", note: str = "Measure again.") -> Waterline:
    rows = (Row(1, None, None, None, None, "", True), *(row(n) for n in range(2, top + 1)))
    return Waterline(name, "North tub", "box", "Wed 25 Nov 2026", "Ana", "the rim, 50 cm", 1.0,
                     rows, (note, "a long note " * 30))  # fmt: skip


@pytest.mark.parametrize("top", [1.0, 22.0, 23.0, 23.5, 44.0, 45.0, 67.3, 160.0])
def test_the_pieces_hold_every_mark_once_and_meet(top: float) -> None:
    depths = [*(float(n) for n in range(1, int(top) + 1)), top]
    cut = pieces(depths)
    assert (cut[0].low_cm, cut[-1].high_cm) == (0.0, top)
    for lower, upper in pairwise(cut):
        assert upper.low_cm == pytest.approx(lower.high_cm - OVERLAP_CM)
        joined = upper.high_cm - (upper.joins_down_mm or 0) / 10
        assert joined == pytest.approx(lower.high_cm), "the lower piece's top mark lies there"
    seen = {mark.at for piece in cut for mark in piece.marks}
    assert seen == set(range(len(depths)))
    for piece in cut:
        # A4 is 297 mm, US letter 279.4 mm high; 24 mm are margins and 24 mm the words over it.
        assert piece.length_mm <= (PIECE_CM + OVERLAP_CM) * 10 <= 279.4 - 48
        for mark in piece.marks:
            assert piece.high_cm - mark.down_mm / 10 == pytest.approx(depths[mark.at])


def test_a_name_in_wide_letters_fits_eighty_columns() -> None:
    first, second, *_ = as_text(sheet(name="\u91d1" * 40)).splitlines()
    assert (first, second) == ("Litres at each line:", "\u91d1" * 40), "80 columns, two each"
    assert as_pdf(sheet(name="\u91d1" * 40)).startswith(b"%PDF-")


def test_text_fits_eighty_columns_and_lines_up() -> None:
    text = as_text(sheet(name="A tub of a name that is forty letters lo"))
    lines = text.splitlines()
    assert max(map(len, lines)) <= 80
    assert not any(line.endswith(" ") for line in lines)
    table = [line for line in lines if re.match(r" +\d", line)]
    assert [int(line.split()[0]) for line in table] == list(range(50, 0, -1))
    points = {line.index(".", 12, 24) for line in table if "." in line[12:24]}
    assert len(points) == 1, "numbers stand under each other"
    assert "375" in table[0]
    assert "371 to 379" in table[0]
    assert table[-1].split() == ["1", "*", "-", "-"]


class Tags(HTMLParser):
    """Every element and attribute of a page, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.words += data


def test_what_is_typed_stays_text_on_a_page() -> None:
    page = as_page(sheet(name=NASTY, note=NASTY))
    read = Tags(page)
    assert not {"script", "img", "link", "iframe"} & set(read.tags)
    assert not any(name.startswith("on") or name in ("src", "href") for name, _ in read.attributes)
    shown = NASTY.replace("\x1b", "\u241b")
    assert read.words.count(shown) >= 4, "in the title, the head, the note and over the tape"
    assert "\x1b" not in page
    assert said("<&\"'>") == "&lt;&amp;&quot;&#x27;&gt;"
    assert not re.search(r"(?:https?:)?//(?!www\.w3\.org/2000/svg)", page), "all in one file"
    assert "@page" in page


def _svgs(page: str) -> list[ElementTree.Element]:
    return [ElementTree.fromstring(svg) for svg in re.findall(r"<svg.*?</svg>", page)]


def test_a_centimetre_of_the_page_is_a_centimetre() -> None:
    drawn = _svgs(as_page(sheet()))
    assert len(drawn) == len(pieces([float(n) for n in range(1, 51)])) == 3
    for svg in drawn:
        width, height = (float(svg.attrib[n].removesuffix("mm")) for n in ("width", "height"))
        assert svg.attrib["viewBox"] == f"0 0 {width:g} {height:g}", "one unit is one millimetre"
        lines = [e.attrib for e in svg.iter() if e.tag.endswith("line")]
        marks = sorted(float(a["y1"]) for a in lines if (a["x1"], a["x2"]) == ("0.2", "14"))
        assert {round(b - a, 6) for a, b in pairwise(marks)} == {10.0}
        bars = [float(a["y2"]) - float(a["y1"]) for a in lines if a["x1"] == a["x2"]]
        assert bars == [CHECK_MM] == [100.0]


def test_a_pdf_takes_texts_as_data() -> None:
    made = as_pdf(sheet(name=NASTY, note='#panic("read") #read("/etc/passwd") $x$ _a_ @b <c>'))
    assert made.startswith(b"%PDF-")
    assert b"#read" in made, "the title stands in it letter by letter"
    assert b"/Type/Pages/Count 4/" in made, "the table, then a sheet for each piece"


def test_without_the_part_that_sets_it_a_pdf_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(Refused) as refused:
        as_pdf(sheet())
    assert refused.value.code == "not-installed"
    assert "fishroom-intake[pdf]" in refused.value.way_out
