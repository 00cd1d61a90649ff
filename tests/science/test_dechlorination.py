"""Thiosulfate and freed ammonia against stoichiometry worked out by others."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from intake.science.dechlorination import (
    THIOSULFATE_MG_PER_MG_CHLORINE,
    tan_freed_n_mg_l,
    thiosulfate_g,
)

DATA = Path(__file__).parents[1] / "data"


def row(start: str) -> dict[str, str]:
    with (DATA / "dechlorination.csv").open(encoding="utf-8", newline="") as lines:
        return next(r for r in csv.DictReader(lines) if r["pathway"].startswith(start))


def test_the_pathway_that_needs_most() -> None:
    most = row("tetrathionate")
    for form, column in (
        ("thiosulfate-anhydrous", "mg_anhydrous_per_mg_Cl2"),
        ("thiosulfate-pentahydrate", "mg_pentahydrate_per_mg_Cl2"),
    ):
        assert THIOSULFATE_MG_PER_MG_CHLORINE[form] == pytest.approx(float(most[column]))


def test_published_rules_of_a_laboratory_and_of_fao() -> None:
    # Source: Hach TE213 (2017) 7.0; FAO x3980e Annex 7, 1 mL of 0.1 N takes 3.54 mg.
    for start in ("lab sample", "1 mL 0.1 N"):
        published = float(row(start)["mg_pentahydrate_per_mg_Cl2"])
        ours = THIOSULFATE_MG_PER_MG_CHLORINE["thiosulfate-pentahydrate"]
        assert ours == pytest.approx(published, rel=0.002)


def test_worked_tap_water() -> None:
    tap = row("worked: 100 L tap at 1.0")
    ours = thiosulfate_g(100, 1.0, "thiosulfate-pentahydrate")
    assert ours * 1000 == pytest.approx(float(tap["value"]), rel=1e-3)


def test_worked_bleach() -> None:
    spent = row("worked: neutralise that")
    ours = thiosulfate_g(20, 50, "thiosulfate-pentahydrate")
    assert ours == pytest.approx(float(spent["value"]), rel=1e-3)


def test_forms_differ_by_their_water() -> None:
    # Molar masses 248.18 and 158.11.
    ratio = thiosulfate_g(1, 1, "thiosulfate-pentahydrate") / thiosulfate_g(
        1, 1, "thiosulfate-anhydrous"
    )
    assert ratio == pytest.approx(248.18 / 158.11, rel=1e-3)


def test_ammonia_freed_by_chloramine() -> None:
    worked = row("worked: 100 L tap at 2.0")
    assert tan_freed_n_mg_l(2.0) == pytest.approx(float(worked["value"]), rel=1e-3)


def test_another_form_is_a_mistake() -> None:
    with pytest.raises(KeyError):
        thiosulfate_g(1, 1, "thiosulfate")
