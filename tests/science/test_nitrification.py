"""Ammonia from feed and the KH it costs, against published figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.ammonia import NotInRange
from intake.science.nitrification import kh_days_left, kh_used_meq_l, tan_per_day_n_mg_l

MG_CACO3_PER_MEQ = 50.04


def test_a_kilogram_of_feed_of_35_percent_protein() -> None:
    # Source: Timmons & Ebeling, 32 g of ammonia for each kg of feed of 35 % protein.
    assert tan_per_day_n_mg_l(1000, 0.35, 1000) == pytest.approx(32, rel=0.01)


def test_published_alkalinity_of_nitrification() -> None:
    # Source: 7.14 mg CaCO3 for each mg of nitrogen, in every text on nitrification; US EPA 1975
    # measured 6.3 to 7.4 where it grows on surfaces.
    used = kh_used_meq_l(1.0) * MG_CACO3_PER_MEQ
    assert used == pytest.approx(7.14, rel=0.002)
    assert 6.3 < used < 7.4


def test_the_days_are_the_kh_there_is_over_what_a_day_takes() -> None:
    # 0.805 mg/L of N a day takes 5.75 mg/L CaCO3 a day; from 4 dKH (71.4) to 1 dKH (17.85).
    days = kh_days_left(4 * 0.356634, 0.805, 0.356634)
    assert days == pytest.approx((71.39 - 17.85) / (0.805 * 7.145), rel=0.002)


def test_nothing_used_never_ends_and_nothing_left_is_no_days() -> None:
    assert kh_days_left(1.0, 0.0, 0.3) is None
    assert kh_days_left(0.3, 0.0, 0.3) == 0.0
    assert kh_days_left(0.1, 5.0, 0.3) == 0.0


@given(st.floats(0.4, 10), st.floats(0.01, 20))
def test_after_so_many_days_that_kh_is_left(kh: float, made: float) -> None:
    days = kh_days_left(kh, made, 0.2)
    assert days is not None
    assert kh - kh_used_meq_l(made * days) == pytest.approx(0.2, abs=1e-9)


@pytest.mark.parametrize(
    ("feed", "protein", "litres"), [(-1, 0.3, 100), (1, 1.2, 100), (1, 0.3, 0)]
)
def test_what_cannot_be(feed: float, protein: float, litres: float) -> None:
    with pytest.raises(NotInRange):
        tan_per_day_n_mg_l(feed, protein, litres)
