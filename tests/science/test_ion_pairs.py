"""Pairs of metals with carbonate: their constants, and that they add up species by species."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.carbonate import (
    Constants,
    carbonic_pk,
    co2_at,
    constants,
    dic_at,
    dic_from_reading,
    log_g1,
    solve_ph,
    water_constants,
)
from intake.science.ion_pairs import CALCIUM_SHARE, pair_log_k, paired

DATA = Path(__file__).parents[1] / "data"
COLUMNS = ("NaHCO3", "NaCO3", "CaHCO3", "CaCO3", "MgHCO3", "MgCO3")


def rows() -> list[dict[str, str]]:
    path = DATA / "ion_pair_constants_phreeqc.csv"
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", rows(), ids=lambda r: r["T_C"])
def test_constants_are_those_of_phreeqc(row: dict[str, str]) -> None:
    for ours, column in zip(pair_log_k(float(row["T_C"])), COLUMNS, strict=True):
        assert ours == pytest.approx(float(row[f"logK_{column}"]), abs=2.5e-5), column


def test_no_metal_no_pair() -> None:
    assert paired(20.0, -0.05, 0.001, 0.0, 0.0) == (0.0, 0.0)
    assert constants(20.0, 0.01) == constants(20.0, 0.01, 0.0, 0.0)


def test_hardness_is_five_of_calcium_to_two_of_magnesium() -> None:
    assert pytest.approx(2.5) == CALCIUM_SHARE / (1.0 - CALCIUM_SHARE)


waters = st.tuples(
    st.floats(5.5, 9.5),
    st.floats(4.0, 32.0),
    st.floats(0.001, 0.09),
    st.floats(0.0, 0.09),
    st.floats(0.0, 0.008),
    st.floats(1e-8, 1e-4),
)


@given(waters)
def test_species_added_up_one_by_one(
    water: tuple[float, float, float, float, float, float],
) -> None:
    """Mass action written out for each species, charges and all, with its own Davies term."""
    ph, temp_c, ionic, sodium, hardness, carbonate = water
    g = {z: 10.0 ** (z * z * log_g1(temp_c, ionic)) for z in (1, 2)}
    g[0] = 10.0 ** (0.1 * ionic)
    pk1, pk2, _, pkw = carbonic_pk(temp_c)
    h = 10.0**-ph
    act_co3 = g[2] * carbonate
    act_hco3 = act_co3 * h * 10.0**pk2
    co2 = act_hco3 * h * 10.0**pk1 / g[0]
    calcium, magnesium = g[2] * hardness * 5 / 7, g[2] * hardness * 2 / 7
    k = [10.0**log_k for log_k in pair_log_k(temp_c)]
    with_hco3 = (
        act_hco3 / g[1]
        + k[0] * g[1] * sodium * act_hco3 / g[0]
        + k[2] * calcium * act_hco3 / g[1]
        + k[4] * magnesium * act_hco3 / g[1]
    )
    with_co3 = (
        carbonate
        + k[1] * g[1] * sodium * act_co3 / g[1]
        + k[3] * calcium * act_co3 / g[0]
        + k[5] * magnesium * act_co3 / g[0]
    )
    dic = co2 + with_hco3 + with_co3
    alk = with_hco3 + 2 * with_co3 + 10.0**-pkw / h / g[1] - h / g[1]
    c = constants(temp_c, ionic, sodium, hardness)
    assert co2_at(dic, ph, c) == pytest.approx(co2, rel=1e-9)
    assert dic_at(co2, ph, c) == pytest.approx(dic, rel=1e-9)
    assert solve_ph(alk, dic, 0.0, c) == pytest.approx(ph, abs=1e-8)
    if alk > 1e-5:
        assert dic_from_reading(alk, 0.0, ph, c) == pytest.approx(dic, rel=1e-6)


@given(
    st.floats(4.0, 32.0),
    st.floats(0.0, 5.0),
    st.floats(0.0, 15.0),
    st.floats(4.5, 9.9),
    st.floats(1e-3, 0.5),
)
def test_alkalinity_rises_with_ph_all_the_way(
    temp_c: float, salt_g_l: float, gh_meq_l: float, ph: float, step: float
) -> None:
    c: Constants = water_constants(temp_c, salt_g_l, 2.0, 5.0, gh_meq_l)
    dic, tan = 2e-3, 5.0 / 14006.7

    def alkalinity(at: float) -> float:
        h: float = 10.0**-at
        co2 = co2_at(dic, at, c)
        with_hco3 = co2 * c.k1 / h
        return with_hco3 + 2 * with_hco3 * c.k2 / h + c.kw / h - h / c.g1 + tan * c.ka / (c.ka + h)

    assert alkalinity(ph + step) > alkalinity(ph)


def test_water_constants_count_the_sodium_of_salt_and_of_alkalinity() -> None:
    # 1 g/L of salt is 17.11 mmol/L, 2 meq/L of KH another 2; GH 4 meq/L is 2 mmol/L of metal.
    ionic = 1 / 58.44 + 2e-3 + 1.4e-3 / 1.40067 + 6e-3
    ours = water_constants(20.0, 1.0, 2.0, 14.0, 4.0)
    by_hand = constants(20.0, ionic, 1 / 58.44 + 2e-3, 2e-3)
    assert ours == pytest.approx(by_hand, rel=1e-9)
    # Acid left by a binder is no sodium, and none is owed.
    acid = water_constants(20.0, 0.0, -2.0, 0.0)
    assert acid == pytest.approx(constants(20.0, 2e-3), rel=1e-12)


@pytest.mark.parametrize(
    ("salt_g_l", "gh_meq_l", "dic_mmol_l"), [(0.1, 3.5, 2.12864), (0.40681, 0.0, 2.14742)]
)
def test_hard_water_read_at_a_ph_holds_less_carbon(
    salt_g_l: float, gh_meq_l: float, dic_mmol_l: float
) -> None:
    # Pairs hold alkalinity at a pH, so the same KH stands for less carbon. pH 8.2, 2.14 meq/L at
    # 20 C with calcium 1.25 and magnesium 0.5 mmol/L, or as much salt. Source: PHREEQC 3.
    c = water_constants(20.0, salt_g_l, 2.14, 0.0, gh_meq_l)
    assert dic_from_reading(2.14e-3, 0.0, 8.2, c) == pytest.approx(dic_mmol_l / 1e3, rel=1e-3)
