"""Salt by conductivity and gravity against published figures."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.ammonia import NotInRange
from intake.science.salt import (
    conductivity_at_25c,
    conductivity_us_cm_25c,
    gravity_sg_20c,
    percent_w_v,
    salt_g_l_from_conductivity,
    salt_g_l_from_gravity,
)

DATA = Path(__file__).parents[1] / "data"


def rows() -> list[dict[str, str]]:
    with (DATA / "salt_conductivity.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", rows(), ids=lambda r: r["NaCl_g_L"])
def test_published_conductivities(row: dict[str, str]) -> None:
    salt, published = float(row["NaCl_g_L"]), float(row["EC25_uS_cm_published"])
    assert conductivity_us_cm_25c(salt) == pytest.approx(published, rel=1e-3)
    # PHREEQC's own conductivity, another model: within 1 %.
    assert conductivity_us_cm_25c(salt) == pytest.approx(float(row["EC25_phreeqc"]), rel=0.01)
    assert salt_g_l_from_conductivity(published) == pytest.approx(salt, rel=1e-3)
    # The fit of the same points by another program, and its slope.
    assert conductivity_us_cm_25c(salt) == pytest.approx(float(row["EC25_fit"]), abs=0.1)
    slope = conductivity_us_cm_25c(salt) / (salt * 1000)
    assert slope == pytest.approx(float(row["uS_per_mg_L"]), abs=2e-3)


@pytest.mark.parametrize(
    ("salt_g_l", "us_cm", "sg"),
    [
        (0.25, 518, 1.00018),
        (0.5, 1018, 1.00036),
        (1, 1992, 1.00072),
        (2, 3872, 1.00143),
        (3, 5694, 1.00215),
        (5, 9221, 1.00358),
    ],
)
def test_table_of_gravity_and_conductivity(salt_g_l: float, us_cm: float, sg: float) -> None:
    # Source: gravity from PHREEQC densities at 20 C; conductivity from the published curve.
    assert conductivity_us_cm_25c(salt_g_l) == pytest.approx(us_cm, abs=0.6)
    assert gravity_sg_20c(salt_g_l) == pytest.approx(sg, abs=1.1e-5)


def test_density_of_a_one_per_cent_solution() -> None:
    # Source: handbook, 1 % by weight has 1.0053 g/cm3 at 20 C, that is 10.05 g/L; water 0.99821.
    assert gravity_sg_20c(10.0) == pytest.approx(1.0053 / 0.99821, abs=6e-5)


def test_gauging_a_tank_with_salt() -> None:
    # Worked case: 150 g raised 334.9 to 1321.0 uS/cm in a tank of 300 L: 0.4933 g/L, 304 L.
    rise = salt_g_l_from_conductivity(1321.0) - salt_g_l_from_conductivity(334.9)
    assert rise == pytest.approx(0.4933, abs=2e-4)
    assert 150 / rise == pytest.approx(304, abs=0.5)


def test_a_cold_reading_is_brought_to_25_c() -> None:
    assert conductivity_at_25c(1000, 25) == 1000
    # Source: salt solutions change 1.9-2.0 % a degree.
    assert 1000 / (1 - 0.019 * 10) <= conductivity_at_25c(1000, 15) <= 1000 / (1 - 0.02 * 10)


@given(st.floats(0.0, 5.85))
def test_conductivity_and_back(salt_g_l: float) -> None:
    there = conductivity_us_cm_25c(salt_g_l)
    assert salt_g_l_from_conductivity(there) == pytest.approx(salt_g_l, rel=1e-9, abs=1e-9)


@given(st.floats(0.0, 10.0))
def test_gravity_and_back(salt_g_l: float) -> None:
    assert salt_g_l_from_gravity(gravity_sg_20c(salt_g_l)) == pytest.approx(salt_g_l, abs=1e-8)


def test_per_cent() -> None:
    assert percent_w_v(3.0) == pytest.approx(0.3)


def test_outside_the_curves_is_refused() -> None:
    for call, value in (
        (conductivity_us_cm_25c, -0.1),
        (conductivity_us_cm_25c, 5.9),
        (salt_g_l_from_conductivity, -1.0),
        (salt_g_l_from_conductivity, 10700.0),
        (gravity_sg_20c, -0.1),
        (gravity_sg_20c, 10.1),
        (salt_g_l_from_gravity, 0.9999),
        (salt_g_l_from_gravity, 1.0072),
    ):
        with pytest.raises(NotInRange):
            call(value)
    for temp_c in (3.9, 35.1):
        with pytest.raises(NotInRange):
            conductivity_at_25c(1000, temp_c)
