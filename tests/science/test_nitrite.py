"""Nitrite and the chloride against it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.nitrite import against_nitrite, chloride_of_salt_mg_l
from intake.science.span import Span

NONE = Span(0.0, 0.0, 0.0)


def exact(value: float) -> Span:
    return Span(value, value, value)


def test_chloride_in_salt() -> None:
    # Sodium chloride is 60.66 % chloride by mass (22.990 and 35.453, IUPAC).
    assert chloride_of_salt_mg_l(1.0) == pytest.approx(606.6, abs=0.1)


def test_ten_times_the_nitrite() -> None:
    # SRAC 462: 10 to 1 by weight. 5 mg/L of nitrite, 12 mg/L of chloride in the tap: 38 wanting,
    # 62.6 mg/L of salt.
    found = against_nitrite(exact(5.0), NONE, exact(12.0))
    assert found.ratio == pytest.approx(2.4)
    assert found.salt_needed_g_l == pytest.approx(38 / 606.6, rel=1e-3)
    assert against_nitrite(exact(5.0), exact(0.1), NONE).salt_needed_g_l == 0.0
    assert against_nitrite(NONE, NONE, NONE).ratio is None


@given(st.floats(0, 20), st.floats(0, 5), st.floats(0, 100), st.floats(0, 5))
def test_what_is_wanting_is_enough_at_the_careful_ends(
    nitrite: float, wide: float, chloride: float, salt: float
) -> None:
    no2 = Span(max(0.0, nitrite - wide), nitrite, nitrite + wide)
    found = against_nitrite(no2, exact(salt), exact(chloride))
    after = chloride + chloride_of_salt_mg_l(salt + found.salt_needed_g_l)
    assert after >= 10.0 * no2.high - 1e-6
