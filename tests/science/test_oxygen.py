"""Oxygen saturation against printed tables and another program."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from intake.science.ammonia import NotInRange
from intake.science.oxygen import pressure_atm, saturation_mg_l

DATA = Path(__file__).parents[1] / "data"


def rows() -> list[dict[str, str]]:
    with (DATA / "oxygen_saturation.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def named(row: dict[str, str]) -> str:
    return f"{row['temp_C']}C-{row['salinity_gkg']}gkg-{row['altitude_m']}m"


@pytest.mark.parametrize("row", rows(), ids=named)
def test_printed_tables(row: dict[str, str]) -> None:
    ours = saturation_mg_l(
        float(row["temp_C"]), float(row["salinity_gkg"]), float(row["P_atm"] or 1)
    )
    printed = float(row["published_mgL"])
    # Half a unit of the last digit and a little; EN 25814's salinity row is a straight line.
    digits = len(row["published_mgL"].partition(".")[2])
    within = 0.08 if "salinity" in row["source"] else {1: 0.065, 2: 0.008, 3: 0.0006}[digits]
    assert ours == pytest.approx(printed, abs=within)
    assert ours == pytest.approx(float(row["benson_krause_mgL"]), abs=1e-4)
    if row["gsw_mgL"]:
        assert ours == pytest.approx(float(row["gsw_mgL"]), abs=0.0035)


@pytest.mark.parametrize(
    ("temp_c", "published"),
    [(0, 14.621), (8, 11.843), (16, 9.870), (24, 8.418), (32, 7.305), (40, 6.413)],
)
def test_apha_values(temp_c: float, published: float) -> None:
    # Source: APHA Standard Methods, oxygen in pure water at one atmosphere.
    assert saturation_mg_l(temp_c) == pytest.approx(published, abs=0.0006)


@pytest.mark.parametrize("row", [r for r in rows() if r["altitude_m"]], ids=named)
def test_pressure_of_an_altitude(row: dict[str, str]) -> None:
    assert pressure_atm(float(row["altitude_m"])) == pytest.approx(float(row["P_atm"]), abs=6e-6)


def test_pressure_reaches_the_equation_whole() -> None:
    # At the vapour pressure's own scale: 0.9 atm holds less than 0.9 of the oxygen.
    assert saturation_mg_l(25, 0, 0.9) < 0.9 * saturation_mg_l(25)
    assert saturation_mg_l(25, 0, 1.0) == saturation_mg_l(25)


@pytest.mark.parametrize(
    "reading",
    [
        (-0.1, 0.0, 1.0),
        (40.1, 0.0, 1.0),
        (20, -0.1, 1.0),
        (20, 40.1, 1.0),
        (20, 0, 0.4),
        (20, 0, 1.2),
    ],
)
def test_outside_is_refused(reading: tuple[float, float, float]) -> None:
    with pytest.raises(NotInRange):
        saturation_mg_l(*reading)


@pytest.mark.parametrize("altitude_m", [-501, 5001])
def test_altitude_outside_is_refused(altitude_m: float) -> None:
    with pytest.raises(NotInRange):
        pressure_atm(altitude_m)
