"""Blended and aired waters against PHREEQC."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.ammonia import NotInRange
from intake.science.blend import (
    CO2_MG_PER_MMOL,
    MEQ_L_PER_DKH,
    Water,
    aired,
    at_co2,
    at_temperature,
    blend,
    settled,
    water_from_reading,
)
from intake.science.carbonate import ImpossibleWater

DATA = Path(__file__).parents[1] / "data"


def rows() -> list[dict[str, str]]:
    with (DATA / "mixed_waters_phreeqc.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def named(row: dict[str, str]) -> str:
    return f"{row['scenario']}-{row['f_tub']}-{row['temp_mix_C']}C"


def mixed(row: dict[str, str]) -> Water:
    bag = water_from_reading(
        float(row["bag_pH"]),
        float(row["bag_alk_meq"]),
        float(row["temp_bag_C"]),
        float(row["bag_TAN_mgN"]),
        float(row["bag_NaCl_g"]),
    )
    tub = water_from_reading(
        float(row["tub_pH"]),
        float(row["tub_alk_meq"]),
        float(row["temp_tub_C"]),
        float(row["tub_TAN_mgN"]),
        float(row["tub_NaCl_g"]),
        2.0 * (float(row["tub_Ca_mmol"]) + float(row["tub_Mg_mmol"])),
    )
    return blend(bag, tub, float(row["f_tub"]))


# Measured: 0.0056 pH, 1.2 % at NH3 by Emerson, 2.3 % at NH3 with activities, 1.2 % at CO2.
PH_WITHIN = 0.006
EMERSON_WITHIN = 0.013
ACTIVITY_WITHIN = 0.025
CO2_WITHIN = 0.015


@pytest.mark.parametrize("row", rows(), ids=named)
def test_closed_blend_against_phreeqc(row: dict[str, str]) -> None:
    ours = mixed(row)
    assert ours.temp_c == pytest.approx(float(row["temp_mix_C"]), abs=1e-3)
    assert ours.alk_meq_l == pytest.approx(float(row["mix_alk_meq"]), rel=1e-3)
    assert ours.tan_n_mg_l == pytest.approx(float(row["mix_TAN_mgN"]), rel=1e-3, abs=1e-9)
    assert ours.ph == pytest.approx(float(row["mix_pH"]), abs=PH_WITHIN)
    assert ours.dic_mmol_l == pytest.approx(float(row["mix_DIC_mmol"]), rel=0.004)
    assert ours.co2_mg_l == pytest.approx(float(row["mix_CO2_mgL"]), rel=CO2_WITHIN)
    if row["mix_fNH3_emerson_at_pH"] and ours.tan_n_mg_l:
        theirs = float(row["mix_fNH3_emerson_at_pH"]) * float(row["mix_TAN_mgN"])
        assert ours.nh3_n_mg_l == pytest.approx(theirs, rel=EMERSON_WITHIN)
        active = float(row["mix_NH3N_mg"])
        assert ours.nh3_activity_n_mg_l == pytest.approx(active, rel=ACTIVITY_WITHIN)


@pytest.mark.parametrize("row", rows(), ids=named)
def test_aired_blend_against_phreeqc(row: dict[str, str]) -> None:
    ours = aired(mixed(row))
    assert ours.ph == pytest.approx(float(row["degas_pH"]), abs=PH_WITHIN)
    assert ours.dic_mmol_l == pytest.approx(float(row["degas_DIC_mmol"]), rel=0.01)
    if row["degas_fNH3_emerson_at_pH"] and ours.tan_n_mg_l:
        theirs = float(row["degas_fNH3_emerson_at_pH"]) * float(row["mix_TAN_mgN"])
        assert ours.nh3_n_mg_l == pytest.approx(theirs, rel=EMERSON_WITHIN)
        active = float(row["degas_NH3N_mg"])
        assert ours.nh3_activity_n_mg_l == pytest.approx(active, rel=ACTIVITY_WITHIN)


def test_most_rows_are_far_closer() -> None:
    off = sorted(abs(mixed(row).ph - float(row["mix_pH"])) for row in rows())
    assert off[int(0.95 * len(off))] <= 0.002


def test_hard_water_into_a_soft_bag_is_worse_than_the_bag_alone() -> None:
    # Source: PHREEQC, bag pH 5.8, 0.3 meq/L, TAN 20 and tub pH 8.4, 10 dKH at 20 C:
    # aired NH3 0.29, 0.77, 0.85, 0.27 mg/L as N at 0, 25, 50, 90 % tub.
    bag = water_from_reading(5.8, 0.3, 20, 20)
    tub = water_from_reading(8.4, 10 * MEQ_L_PER_DKH, 20)
    for share, published in ((0.0, 0.29), (0.25, 0.77), (0.5, 0.85), (0.9, 0.27)):
        ours = aired(blend(bag, tub, share)).nh3_activity_n_mg_l
        assert ours == pytest.approx(published, abs=0.02)


def test_jones_1955_bag_once_opened() -> None:
    # Source: Jones 1955 measured CO2 91 mg/L at 25 C; with 100 mg/L alkalinity and 7.4 mg/L TAN-N
    # the derived pH is 6.3-6.4 closed and about 8.3 open, NH3 about 0.01, then 75 times or more.
    closed = at_co2(Water(25, 7.0, 100 / 50.04, 0.0, 7.4), 91.0)
    assert 6.3 <= closed.ph <= 6.45
    assert closed.nh3_n_mg_l == pytest.approx(0.01, abs=0.003)
    opened = aired(closed)
    assert opened.ph == pytest.approx(8.3, abs=0.15)
    assert opened.nh3_n_mg_l >= 60 * closed.nh3_n_mg_l


def readable() -> st.SearchStrategy[Water]:
    def made(ph: float, kh: float, temp: float, tan: float, salt: float, gh: float) -> Water:
        return water_from_reading(ph, kh, temp, tan, salt, gh)

    return st.builds(
        made,
        st.floats(5.8, 8.0),
        st.floats(0.5, 5.0),
        st.floats(4.0, 32.0),
        st.floats(0.0, 15.0),
        st.floats(0.0, 5.0),
        st.floats(0.0, 5.0),
    )


@given(readable(), readable(), st.floats(0.0, 1.0))
def test_a_blend_gains_and_loses_nothing(a: Water, b: Water, share: float) -> None:
    out = blend(a, b, share)
    for name in ("temp_c", "alk_meq_l", "dic_mmol_l", "tan_n_mg_l", "salt_g_l", "gh_meq_l"):
        held = getattr(a, name) * (1 - share) + getattr(b, name) * share
        assert getattr(out, name) == pytest.approx(held, rel=1e-9, abs=1e-12)
    turned = blend(b, a, 1.0 - share)
    assert turned.ph == pytest.approx(out.ph, abs=1e-9)


@given(readable(), readable())
def test_a_blend_of_all_of_one_is_that_one(a: Water, b: Water) -> None:
    assert blend(a, b, 0.0).ph == pytest.approx(a.ph, abs=1e-9)
    assert blend(a, b, 1.0).ph == pytest.approx(b.ph, abs=1e-9)


@given(readable())
def test_airing_moves_carbon_only_and_ends_at_the_air(water: Water) -> None:
    out = aired(water)
    assert (out.alk_meq_l, out.tan_n_mg_l, out.salt_g_l, out.temp_c) == (
        water.alk_meq_l,
        water.tan_n_mg_l,
        water.salt_g_l,
        water.temp_c,
    )
    assert settled(out).ph == pytest.approx(out.ph, abs=1e-9)
    henry = out.constants.co2_per_atm
    assert out.co2_mg_l == pytest.approx(420e-6 * henry * 1000 * CO2_MG_PER_MMOL, rel=1e-9)
    assert at_co2(water, water.co2_mg_l).ph == pytest.approx(water.ph, abs=1e-9)


@given(readable(), st.floats(4.0, 32.0))
def test_warming_and_cooling_back_changes_nothing(water: Water, temp_c: float) -> None:
    away = at_temperature(water, temp_c)
    assert away.dic_mmol_l == water.dic_mmol_l
    assert at_temperature(away, water.temp_c).ph == pytest.approx(water.ph, abs=1e-9)


def test_temperature_alone_moves_ph() -> None:
    # Source: PHREEQC, a closed bag read 6.20 at 10 C stands at 6.12 at 20 C.
    bag = water_from_reading(6.2, 0.8, 10, 12, 0.05)
    assert at_temperature(bag, 20).ph == pytest.approx(6.12, abs=0.011)


@pytest.mark.parametrize(
    "reading",
    [
        {"ph": 3.9},
        {"ph": 10.6},
        {"temp_c": -0.1},
        {"temp_c": 35.1},
        {"salt_g_l": 5.1},
        {"salt_g_l": -0.1},
        {"kh_meq_l": -0.1},
        {"tan_n_mg_l": -0.1},
        {"gh_meq_l": -0.1},
    ],
)
def test_readings_outside_the_range_are_refused(reading: dict[str, float]) -> None:
    usual = {"ph": 7.0, "kh_meq_l": 1.0, "temp_c": 20.0}
    with pytest.raises(NotInRange):
        water_from_reading(**{**usual, **reading})


def test_no_kh_at_a_high_ph_is_no_water() -> None:
    with pytest.raises(ImpossibleWater):
        water_from_reading(8.0, 0.0, 20)


@pytest.mark.parametrize("share", [-0.01, 1.01])
def test_a_share_is_from_nought_to_one(share: float) -> None:
    water = water_from_reading(7.0, 1.0, 20)
    with pytest.raises(NotInRange):
        blend(water, water, share)
