"""Constants and the pH they give, against published fits and chemistry done another way."""

from __future__ import annotations

import csv
from math import exp, log, log10
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from intake.science.carbonate import (
    AIR_CO2_ATM,
    Constants,
    ImpossibleWater,
    carbonic_pk,
    co2_at,
    constants,
    debye_huckel_a,
    dic_at,
    dic_from_reading,
    ionic_strength_mol_l,
    log_g1,
    solve_ph,
    solve_ph_at_co2,
)
from intake.science.problem import Refused

DATA = Path(__file__).parents[1] / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", rows("equilibrium_constants.csv"), ids=lambda r: r["T_C"])
def test_constants_of_plummer_and_busenberg(row: dict[str, str]) -> None:
    t = float(row["T_C"])
    columns = ("pK1_PB82", "pK2_PB82", "pKH_PB82", "pKw_PB82")
    for ours, column in zip(carbonic_pk(t), columns, strict=True):
        assert ours == pytest.approx(float(row[column]), abs=6e-5), column
    assert debye_huckel_a(t) == pytest.approx(float(row["A_DebyeHuckel"]), abs=6e-5)


@pytest.mark.parametrize("row", rows("equilibrium_constants.csv"), ids=lambda r: r["T_C"])
def test_other_fits_of_the_same_constants(row: dict[str, str]) -> None:
    # Millero 1979, Weiss 1974 and PHREEQC's water constant: other people's data.
    pk1, pk2, pkh, pkw = carbonic_pk(float(row["T_C"]))
    assert pk1 == pytest.approx(float(row["pK1_Millero1979"]), abs=0.0016)
    assert pk2 == pytest.approx(float(row["pK2_Millero1979"]), abs=0.0016)
    assert pkh == pytest.approx(float(row["pK0_Weiss1974"]), abs=0.003)
    assert pkw == pytest.approx(float(row["pKw_phreeqc"]), abs=0.009)
    # Harned and Owen's water constant in Millero's refit, PHREEQC's of Henry.
    assert pkw == pytest.approx(float(row["pKw_HarnedOwen_Millero1979"]), abs=0.009)
    assert pkh == pytest.approx(float(row["pKH_phreeqc"]), abs=0.0025)


def test_activities_do_what_the_davies_equation_says() -> None:
    # Davies at 25 C, a single charge: the usual textbook figures are 0.78 and 0.73.
    assert 10 ** log_g1(25, 0.1) == pytest.approx(0.78, abs=0.005)
    assert 10 ** log_g1(25, 0.5) == pytest.approx(0.73, abs=0.005)
    assert log_g1(25, 0.0) == 0.0
    fresh, salty = constants(20, 0.0), constants(20, 0.05)
    lg1 = log_g1(20, 0.05)
    assert log10(salty.k1 / fresh.k1) == pytest.approx(0.005 - lg1, abs=1e-12)
    assert log10(salty.k2 / fresh.k2) == pytest.approx(-3 * lg1, abs=1e-12)
    assert log10(salty.kw / fresh.kw) == pytest.approx(-lg1, abs=1e-12)
    assert log10(salty.ka / fresh.ka) == pytest.approx(lg1 - 0.005, abs=1e-12)
    assert log10(salty.co2_per_atm / fresh.co2_per_atm) == pytest.approx(-0.005, abs=1e-12)
    assert salty.g1 == pytest.approx(10**lg1)


def test_ionic_strength_against_phreeqc() -> None:
    for row in rows("mixed_waters_phreeqc.csv"):
        hardness = 2 * (float(row["tub_Ca_mmol"]) + float(row["tub_Mg_mmol"]))
        share = float(row["f_tub"])
        salt = float(row["bag_NaCl_g"]) * (1 - share) + float(row["tub_NaCl_g"]) * share
        ours = ionic_strength_mol_l(
            salt, float(row["mix_alk_meq"]), float(row["mix_TAN_mgN"]), hardness * share
        )
        assert ours == pytest.approx(float(row["mix_I_mol"]), abs=1.2e-4)


def alkalinity(ph: float, dic: float, tan: float, c: Constants) -> float:
    """Alkalinity added up species by species."""
    a = exp(-log(10.0) * ph)
    co2 = dic / (1 + c.k1 / a + c.k1 * c.k2 / a**2)
    return (
        co2 * c.k1 / a + 2 * co2 * c.k1 * c.k2 / a**2 + c.kw / a - a / c.g1 + tan / (1 + a / c.ka)
    )


waters = st.tuples(
    st.floats(5.0, 9.5), st.floats(1e-5, 8e-3), st.floats(0.0, 3e-3), st.floats(4, 35),
    st.floats(0, 0.09),
)  # fmt: skip


@given(waters, st.floats(4.0, 10.0))
def test_the_solver_finds_the_ph_the_species_add_up_to(
    water: tuple[float, float, float, float, float], start: float
) -> None:
    ph, dic, tan, temp_c, ionic = water
    c = constants(temp_c, ionic)
    alk = alkalinity(ph, dic, tan, c)
    assert solve_ph(alk, dic, tan, c, start) == pytest.approx(ph, abs=1e-8)
    co2 = co2_at(dic, ph, c)
    assert solve_ph_at_co2(alk, co2, tan, c, start) == pytest.approx(ph, abs=1e-8)
    assert dic_at(co2, ph, c) == pytest.approx(dic, rel=1e-9)


@given(waters)
def test_a_reading_gives_back_the_carbon_it_was_made_of(
    water: tuple[float, float, float, float, float],
) -> None:
    ph, dic, tan, temp_c, ionic = water
    c = constants(temp_c, ionic)
    alk = alkalinity(ph, dic, tan, c)
    # Where carbonate is a sliver of the alkalinity the difference of the two is lost in rounding.
    used = c.kw / 10.0**-ph + tan / (1 + 10.0**-ph / c.ka)
    assume(alk > 0 and (alk - used) > 1e-3 * max(used, 1e-4))
    assert dic_from_reading(alk, tan, ph, c) == pytest.approx(dic, rel=1e-9)


def test_water_left_acid_by_a_binder_still_has_a_ph() -> None:
    # Two milliequivalents of strong acid and no carbonate: pH is -log10(0.002) and activity.
    c = constants(18, 0.002)
    ph = solve_ph(-2e-3, 1e-3, 0.0, c)
    assert ph == pytest.approx(-log10(2e-3 * c.g1), abs=0.001)


@pytest.mark.parametrize(
    ("kh_dkh", "published"), [(1, 7.70), (2, 7.99), (3, 8.17), (5, 8.38), (8, 8.57), (12, 8.74)]
)
def test_ph_in_balance_with_air(kh_dkh: float, published: float) -> None:
    # Source: PHREEQC with air of 420 uatm at 20 C.
    alk = kh_dkh * 0.356634e-3
    c = constants(20, alk)
    ph = solve_ph_at_co2(alk, AIR_CO2_ATM * c.co2_per_atm, 0.0, c)
    assert ph == pytest.approx(published, abs=0.015)


def test_an_impossible_water_is_refused_by_name() -> None:
    # 50 mg/L TAN-N at pH 9: more than a third of it is NH3, alone 1.0 meq/L.
    c = constants(20, 0.005)
    with pytest.raises(ImpossibleWater, match="no such water: at pH 9") as refused:
        dic_from_reading(0.5e-3, 50 / 14006.7, 9.0, c)
    assert isinstance(refused.value, Refused)
    assert refused.value.code == "not-in-range"
    assert refused.value.value == pytest.approx(0.5)
    assert refused.value.limit == pytest.approx(1.0, rel=0.1)
    assert refused.value.way_out
