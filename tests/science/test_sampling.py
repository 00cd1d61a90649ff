from __future__ import annotations

from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom, hypergeom  # type: ignore[import-untyped]

from intake.science.sampling import (
    chance_missed,
    excluded_share,
    fish_needed,
    least_excluded,
)


# n clean fish exclude, at 95 %, an infected share of 63, 39, 26, 10 and 5 % (binomial, the sample
# sizes of import inspection tables; derived).
@pytest.mark.parametrize(
    ("fish", "percent"), [(3, 63), (6, 39), (10, 26), (29, 10), (59, 5), (1, 95)]
)
def test_what_clean_fish_exclude(fish: int, percent: int) -> None:
    assert round(excluded_share(fish) * 100) == percent
    assert binom(fish, excluded_share(fish)).pmf(0) == pytest.approx(0.05)


@pytest.mark.parametrize(("fish", "confidence"), [(0, 0.95), (-1, 0.95), (3, 0.0), (3, 1.0)])
def test_no_share_without_fish_or_with_certainty(fish: int, confidence: float) -> None:
    with pytest.raises(ValueError, match="at least one fish"):
        excluded_share(fish, confidence)


# WOAH asks for 30, 60 and 150 fish at 10, 5 and 2 %, as told in Front Vet Sci 2020, 7:253 (doi
# 10.3389/fvets.2020.00253, abstract): the exact 29, 59 and 149 to the next ten.
@pytest.mark.parametrize(("share", "asked"), [(0.10, 30), (0.05, 60), (0.02, 150)])
def test_the_sample_sizes_of_fish_inspection(share: float, asked: int) -> None:
    assert ceil(fish_needed(share) / 10) * 10 == asked


# The manual of RSurveillance 0.2.1, n.freedom at 95 %: 299 animals for 1 % of a herd of unknown
# size, 95 for 1 % of 100. Its 226 for 1 % of 500 is an approximation; exactly it is 225.
def test_the_worked_examples_of_a_published_package() -> None:
    assert fish_needed(0.01) == 299
    assert fish_needed(0.01, 100) == 95
    assert fish_needed(0.01, 500) == 225


# Cannon and Roe 1982, Livestock Disease Surveys, table for 95 %: animals to be looked at for 50,
# 25, 10 and 5 % infected. From memory; their formula is within one animal of the exact number.
@pytest.mark.parametrize(
    ("group", "sizes"),
    [(20, (4, 9, 16, 19)), (50, (5, 10, 22, 35)), (100, (5, 10, 25, 45)), (1000, (5, 11, 29, 57))],
)
def test_the_sample_sizes_of_livestock_surveys(group: int, sizes: tuple[int, ...]) -> None:
    found = [fish_needed(share, group) for share in (0.50, 0.25, 0.10, 0.05)]
    for n, printed, share in zip(found, sizes, (0.50, 0.25, 0.10, 0.05), strict=True):
        infected = share * group
        formula = (1 - 0.05 ** (1 / infected)) * (group - (infected - 1) / 2)
        assert abs(n - formula) < 1.5 or infected != int(infected)
        assert abs(n - printed) <= 1 or infected != int(infected)


@settings(deadline=None)
@given(st.integers(1, 60), st.data())
def test_the_chance_is_that_of_another_library(group: int, data: st.DataObject) -> None:
    infected = data.draw(st.integers(0, group))
    looked = data.draw(st.integers(0, group))
    ours = float(chance_missed(looked, infected, group))
    assert ours == pytest.approx(hypergeom(group, infected, looked).pmf(0), abs=1e-12)
    finds = data.draw(st.fractions(Fraction(1, 10), 1, max_denominator=10))
    weaker = sum(
        hypergeom(group, infected, looked).pmf(k) * float(1 - finds) ** k
        for k in range(looked + 1)
    )
    assert float(chance_missed(looked, infected, group, finds)) == pytest.approx(weaker, abs=1e-9)


@settings(deadline=None)
@given(st.integers(1, 200), st.data())
def test_the_least_number_is_excluded_and_one_fewer_is_not(
    group: int, data: st.DataObject
) -> None:
    looked = data.draw(st.integers(1, group))
    least = least_excluded(looked, group)
    assert least is not None
    assert hypergeom(group, least, looked).pmf(0) <= 0.05 + 1e-12
    assert hypergeom(group, least - 1, looked).pmf(0) > 0.05 - 1e-12
    again = fish_needed(least / group, group)
    assert again <= looked


def test_by_hand_three_of_nine() -> None:
    # C(9 - D, 3) / C(9, 3): 10/84 of 4 infected is missed, 4/84 of 5.
    assert chance_missed(3, 4, 9) == Fraction(10, 84)
    assert chance_missed(3, 5, 9) == Fraction(4, 84)
    assert least_excluded(3, 9) == 5


def test_a_large_group_comes_to_what_a_group_without_a_size_does() -> None:
    for share in (0.5, 0.2, 0.1, 0.05):
        assert fish_needed(share, 20_000) in (fish_needed(share) - 1, fish_needed(share))


def test_a_slide_that_misses_half_excludes_less() -> None:
    half = Fraction(1, 2)
    assert least_excluded(3, 9, half) is None  # all nine infected: (1/2) ** 3 is 12.5 %
    assert least_excluded(9, 9, half) == 5  # (1/2) ** 5 is 3.1 %
    assert excluded_share(10, finds=0.5) == pytest.approx(2 * excluded_share(10))


def test_looking_at_all_excludes_even_one_and_at_none_nothing() -> None:
    assert [least_excluded(n, n) for n in (1, 2, 7, 30)] == [1, 1, 1, 1]
    assert least_excluded(0, 5) is None


@pytest.mark.parametrize(
    ("looked", "infected", "group", "finds"),
    [(10, 1, 9, 1), (1, 10, 9, 1), (-1, 1, 9, 1), (0, 0, 0, 1), (1, 1, 9, 0), (1, 1, 9, 2)],
)
def test_no_chance_for_what_cannot_be(looked: int, infected: int, group: int, finds: int) -> None:
    with pytest.raises(ValueError, match="from 0 to the group"):
        chance_missed(looked, infected, group, Fraction(finds))


@pytest.mark.parametrize(("share", "group"), [(0, None), (1.2, None), (0.5, 0)])
def test_no_number_for_a_share_that_cannot_be(share: float, group: int | None) -> None:
    with pytest.raises(ValueError, match="a share over 0 to 1"):
        fish_needed(share, group)
