"""The card of a tub and the record of a dose on paper: legible, whole, and only letters."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from intake.report.columns import columns, folded
from intake.report.dose_record import NAMES, DoseRecord, Part
from intake.report.dose_record_page import as_page as record_page
from intake.report.dose_record_pdf import as_pdf as record_pdf
from intake.report.dose_record_text import as_text as record_text
from intake.report.tub_card import CourseLine, TubCard
from intake.report.tub_card_page import as_page
from intake.report.tub_card_pdf import as_pdf
from intake.report.tub_card_text import as_text
from tests.report.test_waterline import NASTY, Tags

SHOWN = NASTY.replace("\x1b", "␛")
SALT = CourseLine(
    "Salt (stepped)", "begun Sun 1 Mar 13:00, 1 dose so far, the last 200 g",
    "Next Mon 2 Mar 01:00", "197", "g", "raise to 2 g/L", ("a fish rolls, hangs or gasps",),
)  # fmt: skip


def card(name: str = "North tub", said: str = "water system Yard") -> TubCard:
    return TubCard(
        vessel=name, litres="200 L", ends="likely 196 to 204 L", mark="at the mark, 40 cm",
        today="Today 200 ± 3.4 L, line 40 cm", shared="", lives="6 fish: 6 adult",
        sensitive="adult", system=said, zone="zone resident",
        in_water=((said, "0.98 to 1.02 g/L"),), courses=(SALT,), last_change="none recorded",
        never_mix=(f"Salt: never with {said}",), quarantine="none runs in this water", release="",
        vets=(f"Vet: {said}",), printed="Printed Sun 1 Mar 18:00 2026 by Ana",
        head="Journal at entry 20, " + "c0e5" * 16,
    )  # fmt: skip


def record(said: str = "Ana") -> DoseRecord:
    parts = tuple(Part(n, name, (said, "a long line " * 20)) for n, name in enumerate(NAMES, 1))
    return DoseRecord(7, "Praziquantel", said[:40], "Sun 1 Mar 2026", parts)


NAMES_TRIED = ("North tub", "金" * 40, "W" * 40, NASTY, "ú" * 20 + "́" * 20, "a b" * 13)
"""Plain, wide, unbroken, and those that would like to be read as something else."""


@pytest.mark.parametrize("name", NAMES_TRIED)
def test_text_fits_eighty_columns_whatever_it_is_called(name: str) -> None:
    for text in (as_text(card(name, name)), record_text(record(name))):
        assert max(columns(line) for line in text.splitlines()) <= 80
        assert not any(line != line.rstrip() for line in text.splitlines())
        assert "\x1b" not in text


@pytest.mark.parametrize("made", [lambda n: as_page(card(n, n)), lambda n: record_page(record(n))])
def test_what_is_typed_stays_text_on_a_page(made: object) -> None:
    page = made(NASTY)  # type: ignore[operator]
    read = Tags(page)
    assert not {"script", "img", "link", "iframe"} & set(read.tags)
    assert not any(n.startswith("on") or n in ("src", "href") for n, _ in read.attributes)
    assert read.words.count(SHOWN[:40]) >= 3
    assert "\x1b" not in page
    assert "//" not in page, "nothing is fetched"


@pytest.mark.parametrize("made", [lambda n: as_pdf(card(n, n)), lambda n: record_pdf(record(n))])
def test_a_pdf_takes_texts_as_data(made: object) -> None:
    for name in (NASTY, '#panic("read")', "金" * 40):
        assert made(name).startswith(b"%PDF-")  # type: ignore[operator]


def test_the_name_the_litres_and_the_amount_are_the_largest() -> None:
    page = as_page(card())
    sizes = {name: float(size) for name, size in re.findall(
        r"([\w. ]+) \{ font-size: ([\d.]+)pt", page)}  # fmt: skip
    assert sizes["h1"] >= 40
    assert sizes[".litres"] >= 34
    assert sizes[".amount"] >= 30
    assert '<p class="amount"><span>Next Mon 2 Mar 01:00</span> 197 g</p>' in page


def test_an_amount_never_stands_without_its_unit_and_day() -> None:
    line = next(x for x in as_text(card()).splitlines() if "197" in x)
    assert "Next Mon 2 Mar 01:00: 197 g" in line
    unknown = replace(card(), courses=(replace(SALT, amount="", unit=""),))
    assert "no amount yet" in as_text(unknown)
    assert not re.search(r"\d g\b.*raise", as_text(unknown))


def test_without_a_course_the_card_says_so() -> None:
    bare = replace(card(), courses=())
    for text in (as_text(bare), as_page(bare)):
        assert "No course runs." in text
        assert "Stop at once if" not in text
        assert "never held back" in text


def test_a_word_longer_than_a_line_is_cut_not_lost() -> None:
    lines = folded("x" * 200, "  ", "    ", 40)
    assert all(columns(line) <= 40 for line in lines)
    assert "".join(line.strip() for line in lines) == "x" * 200


def test_the_record_has_every_field_in_all_forms() -> None:
    for text in (record_text(record()), record_page(record())):
        for name in NAMES:
            assert name in text
