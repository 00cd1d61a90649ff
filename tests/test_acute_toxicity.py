"""Every shipped dose beside what kills half of the fish nearest to goldfish.

Source: EnviroTox 2.0 acute geometric means, `tests/data/acute_toxicity_fish.csv`; durations,
hardness and pH are mixed, so it is a ceiling to stay under, never a limit by itself.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.treatment import Course, Treatment

ROOT = Path(__file__).resolve().parents[1]
NEAREST = ("Carassius auratus", "Cyprinus carpio", "Pimephales promelas", "Danio rerio")
"""Goldfish, then the other fish of the carp family, nearest first."""


@dataclass(frozen=True)
class Part:
    """A chemical of the table, and how many mg of it one target unit of a treatment brings."""

    chemical: str
    mg: Decimal


FORMALDEHYDE = Part("Formaldehyde", Decimal("0.40"))  # 37 % by weight is 0.40 g/mL
PARTS = {
    "formalin": (FORMALDEHYDE,),
    "formalin-malachite": (FORMALDEHYDE, Part("Malachite green", Decimal("0.0037"))),
    "malachite-green": (Part("Malachite green", Decimal(1)),),
    "potassium-permanganate": (Part("Potassium permanganate", Decimal(1)),),
    "chloramine-t": (Part("Chloramine-T", Decimal(1)),),
    "copper-sulfate": (Part("Copper", Decimal("63.546") / Decimal("249.685")),),
    "copper-chelated": (Part("Copper", Decimal(1)),),
    "trichlorfon": (Part("Trichlorfon", Decimal(1)),),
}
"""What the target of each treatment is made of, where the table has it."""


def acute() -> dict[str, Decimal]:
    """The figure of the nearest fish for each chemical [mg/L]."""
    with (ROOT / "tests" / "data" / "acute_toxicity_fish.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    found: dict[str, Decimal] = {}
    for species in reversed(NEAREST):
        for row in rows:
            if row["species"] == species:
                found[row["chemical"]] = Decimal(row["acute_geomean_mg_L"])
    return found


ACUTE = acute()
SHELF = load_shelf([shipped_protocols()])[0]
CASES = [
    (SHELF.treatments[id_], course, part)
    for id_, parts in PARTS.items()
    if id_ in SHELF.treatments
    for course in SHELF.treatments[id_].courses
    for part in parts
]


def doses(course: Course) -> tuple[Decimal, Decimal]:
    """The usual and the highest dose; what goes by a reading may reach the hard limit."""
    if course.per is None:
        return course.usual, course.high
    most = max(b.value for b in course.bounds if b.hard)
    return most, most


def margins(course: Course, part: Part) -> tuple[str, str]:
    usual, high = (ACUTE[part.chemical] / (d * part.mg) for d in doses(course))
    return _said(usual), _said(high)


def _said(times: Decimal) -> str:
    return f"{times:.0f}" if times >= 10 else f"{times:.2g}"


def test_every_treatment_of_the_table_is_held_against_it() -> None:
    assert {p.chemical for _, _, p in CASES} >= {
        "Formaldehyde", "Malachite green", "Potassium permanganate", "Chloramine-T", "Copper",
    }  # fmt: skip
    assert ACUTE["Potassium permanganate"] == Decimal("3.6")
    assert ACUTE["Copper"] == Decimal("0.4282")
    assert ACUTE["Malachite green"] == Decimal("0.12")


@pytest.mark.parametrize(
    ("treatment", "course", "part"), CASES, ids=lambda v: getattr(v, "name", None)
)
def test_a_dose_is_under_it_or_the_file_says_why_not(
    treatment: Treatment, course: Course, part: Part
) -> None:
    kills = ACUTE[part.chemical]
    if all(dose * part.mg < kills for dose in doses(course)):
        return
    said = [text for text in treatment.disagree if "EnviroTox" in text]
    assert any(f"{kills:.3g}" in re.findall(r"\d+(?:\.\d+)?", text) for text in said)
    assert course.duration_max_h is not None
    assert course.duration_max_h <= 1, "only a bath that ends within the hour stands over it"


def test_the_page_prints_the_margins() -> None:
    page = (ROOT / "docs" / "sources.md").read_text(encoding="utf-8")
    table = page.partition("## How near a dose comes to a death")[2].partition("\n## ")[0]
    rows = {tuple(c.strip() for c in line.strip("| ").split("|")) for line in table.splitlines()}
    for treatment, course, part in CASES:
        row = (treatment.id, course.name, part.chemical, *margins(course, part))
        assert row in rows, " | ".join(row)
