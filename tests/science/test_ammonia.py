"""Un-ionised ammonia against printed tables."""

from __future__ import annotations

import csv
from math import log10
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.ammonia import (
    N_MG_PER_MMOL,
    N_PER_BASIS,
    NotInRange,
    as_nh3_mg_l,
    nh3_fraction,
    nh3_fraction_at_solved_ph,
    nh3_n_mg_l,
    nh3_span_n_mg_l,
    pka_ammonia,
)
from intake.science.problem import Refused
from intake.science.span import Span, as_span

DATA = Path(__file__).parents[1] / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def print_step(text: str) -> float:
    """Half a unit of the last digit printed."""
    digits = len(text.split(".")[1]) if "." in text else 0
    return float(0.5 * 10.0**-digits)


@pytest.mark.parametrize(
    "row", rows("ammonia_percent.csv"), ids=lambda r: f"{r['temp_C']}C{r['pH']}"
)
def test_table_a1_of_the_2026_guideline(row: dict[str, str]) -> None:
    # Source: ANZG February 2026, Table A.1; a handful of cells are off by one last digit.
    printed = float(row["percent_nh3_printed"])
    ours = 100.0 * nh3_fraction(float(row["pH"]), float(row["temp_C"]))
    assert ours == pytest.approx(printed, rel=0.005)


def test_almost_every_cell_agrees_to_the_last_digit_printed() -> None:
    cells = rows("ammonia_percent.csv")
    close = [
        r
        for r in cells
        if abs(
            100.0 * nh3_fraction(float(r["pH"]), float(r["temp_C"]))
            - float(r["percent_nh3_printed"])
        )
        <= print_step(r["percent_nh3_printed"]) * 1.0001
    ]
    # Seven printed cells are off by one last digit, all of them among these 220.
    assert len(cells) - len(close) <= 7


@pytest.mark.parametrize(
    "row", rows("ammonia_fraction.csv"), ids=lambda r: f"{r['temp_C']}C{r['pH']}"
)
def test_extension_sheet_table(row: dict[str, str]) -> None:
    # Source: Emerson et al. 1975 as tabulated in UF/IFAS FA16.
    printed = float(row["published_fraction"])
    ours = nh3_fraction(float(row["pH"]), float(row["temp_C"]))
    assert abs(ours - printed) <= max(0.00006, 0.01 * printed)


@pytest.mark.parametrize("row", rows("equilibrium_constants.csv"), ids=lambda r: r["T_C"])
def test_pka(row: dict[str, str]) -> None:
    ours = pka_ammonia(float(row["T_C"]))
    assert ours == pytest.approx(float(row["pKa_NH4_Emerson1975"]), abs=6e-5)
    # USGS PHREEQC's own constant, another fit: within 0.0025.
    assert ours == pytest.approx(float(row["pKa_NH4_phreeqc"]), abs=0.0025)
    # Clegg and Whitfield 1995 in fresh water, a third.
    assert ours == pytest.approx(float(row["pKa_NH4_CleggWhitfield1995_S0"]), abs=0.0025)


@pytest.mark.parametrize(
    ("ph", "temp_c", "tan_n_mg_l"),
    [(6.5, 10, 85), (7.0, 20, 12.7), (7.5, 15, 5.9), (8.0, 25, 0.93), (8.5, 20, 0.45)],
)
def test_total_ammonia_that_already_harms(ph: float, temp_c: float, tan_n_mg_l: float) -> None:
    # Derived table: the TAN that means 0.05 mg/L NH3 as N, printed to two digits.
    assert nh3_n_mg_l(tan_n_mg_l, ph, temp_c) == pytest.approx(0.05, rel=0.02)


def test_bases_of_a_reading() -> None:
    # Molar masses 14.007, 17.031, 18.038.
    assert N_PER_BASIS["N"] == 1.0
    assert pytest.approx(14.007, abs=1e-3) == N_MG_PER_MMOL
    assert N_PER_BASIS["NH3"] == pytest.approx(0.8224, abs=1e-4)
    assert N_PER_BASIS["NH4"] == pytest.approx(0.7765, abs=1e-4)
    assert as_nh3_mg_l(1.0) == pytest.approx(1.2159, abs=1e-4)


@pytest.mark.parametrize(
    ("ph", "temp_c", "value", "limit"),
    [
        (3.99, 20, 3.99, 4.0),
        (11.01, 20, 11.01, 11.0),
        (7, -0.1, -0.1, 0.0),
        (7, 50.1, 50.1, 50.0),
    ],
)
def test_outside_its_range_is_refused_with_the_limit(
    ph: float, temp_c: float, value: float, limit: float
) -> None:
    with pytest.raises(NotInRange) as refused:
        nh3_fraction(ph, temp_c)
    assert isinstance(refused.value, Refused)
    assert (refused.value.code, refused.value.value, refused.value.limit) == (
        "not-in-range",
        value,
        limit,
    )
    assert refused.value.way_out


@pytest.mark.parametrize("ends", [(4.0, 0.0), (11.0, 50.0)])
def test_the_ends_belong_to_the_range(ends: tuple[float, float]) -> None:
    assert 0.0 < nh3_fraction(*ends) < 1.0


def test_no_number_is_no_pH() -> None:
    with pytest.raises(NotInRange):
        nh3_fraction(float("nan"), 20)


@given(st.floats(4.0, 11.0), st.floats(0.0, 50.0))
def test_the_fraction_is_the_mass_action_law(ph: float, temp_c: float) -> None:
    f = nh3_fraction(ph, temp_c)
    assert log10(f / (1.0 - f)) == pytest.approx(ph - pka_ammonia(temp_c), abs=1e-6)
    assert nh3_fraction_at_solved_ph(ph, temp_c) == pytest.approx(f, rel=1e-12)


@given(st.floats(4.0, 10.9), st.floats(0.001, 0.1), st.floats(0.0, 49.0), st.floats(0.1, 1.0))
def test_it_rises_with_ph_and_temperature(
    ph: float, more_ph: float, temp_c: float, more_c: float
) -> None:
    here = nh3_fraction(ph, temp_c)
    assert nh3_fraction(ph + more_ph, temp_c) > here
    assert nh3_fraction(ph, temp_c + more_c) > here


@given(
    st.floats(0.0, 30.0),
    st.floats(0.0, 3.0),
    st.floats(6.0, 8.5),
    st.floats(0.0, 0.5),
    st.floats(5.0, 25.0),
    st.floats(0.0, 3.0),
    st.floats(0.0, 1.0),
)
def test_a_span_holds_every_reading_inside_it(
    tan: float, tan_w: float, ph: float, ph_w: float, temp: float, temp_w: float, at: float
) -> None:
    span = nh3_span_n_mg_l(
        Span(tan, tan + tan_w / 2, tan + tan_w),
        Span(ph, ph + ph_w / 2, ph + ph_w),
        Span(temp, temp + temp_w / 2, temp + temp_w),
    )
    inside = nh3_n_mg_l(tan + at * tan_w, ph + at * ph_w, temp + at * temp_w)
    assert span.low * (1 - 1e-12) <= inside <= span.high * (1 + 1e-12)


def test_a_span_is_in_order() -> None:
    with pytest.raises(ValueError, match="not in order"):
        Span(2.0, 1.0, 3.0)
    assert as_span(2.0) == Span(2.0, 2.0, 2.0)
    assert as_span(2.0).exact
    assert not Span(1.0, 2.0, 3.0).exact
    assert as_span(Span(1.0, 2.0, 3.0)) == Span(1.0, 2.0, 3.0)
    assert Span(1.0, 2.0, 3.0).map(lambda x: x * 2) == Span(2.0, 4.0, 6.0)
