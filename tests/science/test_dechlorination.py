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
ANHYDROUS, PENTAHYDRATE = "thiosulfate-anhydrous", "thiosulfate-pentahydrate"
# IUPAC atomic weights.
CL2, S2O3_DRY, S2O3_WET, NITROGEN, NH3, NAOCL = 70.906, 158.11, 248.18, 14.0067, 17.0305, 74.44


def rows() -> list[dict[str, str]]:
    with (DATA / "dechlorination.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def row(start: str) -> dict[str, str]:
    return next(r for r in rows() if r["pathway"].startswith(start))


def checked(r: dict[str, str]) -> int:
    """How many figures of a row were held against the program or against atomic weights."""
    found = 0
    dry, wet = r["mg_anhydrous_per_mg_Cl2"], r["mg_pentahydrate_per_mg_Cl2"]
    for form, mass, told in ((ANHYDROUS, S2O3_DRY, dry), (PENTAHYDRATE, S2O3_WET, wet)):
        if not told:
            continue
        per_mg = float(told.split(" ")[0])
        most = THIOSULFATE_MG_PER_MG_CHLORINE[form]
        assert per_mg <= most * 1.002, "never less than any pathway or practice asks for"
        if r["Cl2_mol_per_thiosulfate"]:
            moles = float(r["Cl2_mol_per_thiosulfate"])
            assert per_mg == pytest.approx(mass / CL2 / moles, abs=6e-4)
        found += 1
    if r["value"]:
        assert float(r["value"]) == pytest.approx(WORKED[r["unit"], r["pathway"][:10]], rel=2e-3)
        found += 1
    return found


WORKED = {
    ("mg N per mg Cl2", "NH3-N rele"): tan_freed_n_mg_l(1.0),
    ("mg NH3 per mg Cl2", "as NH3 mas"): tan_freed_n_mg_l(1.0) / NITROGEN * NH3,
    ("mg Cl2 per mg NaOCl", "NaOCl mass"): CL2 / NAOCL,
    ("mg", "worked: 10"): thiosulfate_g(100, 1.0, PENTAHYDRATE) * 1000,
    ("mg N/L", "worked: 10"): tan_freed_n_mg_l(2.0),
    ("mL bleach", "worked: 20"): 50 * 20 / (10 * 5.0),
    ("g", "worked: ne"): thiosulfate_g(20, 50, PENTAHYDRATE),
}
"""What each worked row comes to, by its unit and how it begins."""


def test_every_row_of_the_table_is_held_against_something() -> None:
    table = rows()
    assert len(table) >= 14
    for r in table:
        assert checked(r) > 0, r["pathway"]
        assert r["source"]


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
