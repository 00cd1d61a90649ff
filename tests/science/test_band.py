"""A reading with two ends against limits, and nitrite however it is counted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.band import Ends, as_nitrite, decide
from intake.science.limits import allowed


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [
        (0.0, 0.2, "inside"),
        (0.2, 0.2, "inside"),
        (0.0, 0.2000001, "undecided"),
        (0.2, 0.5, "undecided"),
        (0.2000001, 0.5, "outside"),
        (0.0, None, "undecided"),
        (0.3, None, "outside"),
        (None, 0.1, "inside"),
        (None, None, "undecided"),
    ],
)
def test_at_most(low: float | None, high: float | None, verdict: str) -> None:
    assert decide(Ends(low, 0.1, high), None, 0.2) == verdict


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [(5.0, 8.0, "inside"), (4.9, 8.0, "undecided"), (1.0, 4.9, "outside"),
     (None, 8.0, "undecided"), (None, 4.0, "outside"), (6.0, None, "inside")],
)  # fmt: skip
def test_at_least(low: float | None, high: float | None, verdict: str) -> None:
    assert decide(Ends(low, 5.0, high), 5.0) == verdict


@given(st.floats(0, 10), st.floats(0, 10), st.floats(0, 10), st.floats(0, 1))
def test_no_value_between_the_ends_speaks_against_a_verdict(
    a: float, b: float, limit: float, at: float
) -> None:
    low, high = min(a, b), max(a, b)
    verdict = decide(Ends(low, low, high), None, limit)
    inside = allowed(min(max(low + at * (high - low), low), high), None, limit)
    if verdict != "undecided":
        assert inside == (verdict == "inside")


def test_nitrite_counted_as_nitrogen_is_more_nitrite() -> None:
    # Molar masses NO2 46.006, N 14.007 (IUPAC 2021): 0.1 mg/L as N is 0.328 mg/L as NO2.
    said = as_nitrite(Ends(0.1, 0.1, 0.1), "mg/L as N")
    assert said.value == pytest.approx(0.1 * 46.006 / 14.007, rel=1e-4)
    assert as_nitrite(Ends(0.1, 0.1, 0.1), "mg/L as NO2") == Ends(0.1, 0.1, 0.1)
    bare = as_nitrite(Ends(0.1, 0.1, 0.1), "mg/L")
    assert (bare.low, bare.value) == (0.1, 0.1)
    assert bare.high == said.high
    assert as_nitrite(Ends(0.1, 0.1, None), "mg/L as N").high is None


@pytest.mark.parametrize(
    ("ends", "text"),
    [(Ends(0.5, 1, 2), "0.5 to 2 mg/L"), (Ends(8, 8, None), "over 8 mg/L"),
     (Ends(None, 6, 6), "under 6 mg/L"), (Ends(1, 1, 1), "1 mg/L")],
)  # fmt: skip
def test_as_a_keeper_reads_it(ends: Ends, text: str) -> None:
    assert ends.text("mg/L") == text
