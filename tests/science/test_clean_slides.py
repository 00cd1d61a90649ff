from __future__ import annotations

from fractions import Fraction

import pytest

from intake.science.clean_slides import different_fish, is_weak, said, still_here
from intake.science.quarantine import Occupant, Slide
from tests.science.quarantines import ZONE, at


def slide(day: int, subject: str, fish: int = 1, site: str = "skin-scrape") -> Slide:
    return Slide(at(day), 100 + day, subject, fish=fish, site=site)


def test_a_fish_is_counted_once_however_often_it_is_looked_at() -> None:
    made = [slide(3, "Ada"), slide(3, "Ada", site="gill-clip"), slide(14, "Ada")]
    assert different_fish(made, ZONE) == 1
    assert different_fish([*made, slide(14, "Bela")], ZONE) == 2


def test_in_a_group_only_what_had_to_be_different_is_counted() -> None:
    scrape_and_clip = [slide(3, "Four"), slide(3, "Four", site="gill-clip")]
    assert different_fish(scrape_and_clip, ZONE) == 1
    assert different_fish([*scrape_and_clip, slide(3, "Four")], ZONE) == 2
    assert different_fish([slide(3, "Four", 2), slide(14, "Four", 3)], ZONE) == 3


def test_a_fish_that_left_says_nothing_of_those_here() -> None:
    made = [slide(3, "Ada"), slide(3, "Gone"), slide(3, "Four", 4)]
    here = [Occupant("Ada"), Occupant("Four", 3)]
    assert different_fish(made, ZONE) == 6
    assert still_here(made, here, ZONE) == 4
    assert still_here(made, (), ZONE) == 6


@pytest.mark.parametrize(
    ("looked", "group", "weak"),
    [(2, 9, True), (2, 4, True), (2, 3, False), (2, 2, False), (1, 2, True), (3, 9, False)],
)
def test_two_fish_of_four_or_more_are_weak_evidence(looked: int, group: int, weak: bool) -> None:
    assert is_weak(looked, group) is weak
    assert ("weak evidence" in said(looked, group)) is weak


def test_of_a_number_nobody_knows_four_clean_ones_are_weak_and_five_are_not() -> None:
    assert [is_weak(n, None) for n in (0, 2, 4, 5)] == [True, True, True, False]


@pytest.mark.parametrize(
    ("looked", "group", "words"),
    [
        (
            3,
            9,
            "3 of 9 fish clean: speaks against 5 or more infected (95 %), not against 4 or fewer",
        ),
        (9, 9, "9 of 9 fish clean: speaks against any infected fish, as far as a slide shows it"),
        (4, 5, "4 of 5 fish clean: speaks against 2 or more infected (95 %), not against 1"),
        (0, 9, "no fish that is still here, nothing is excluded"),
        (
            10,
            None,
            "10 fish clean, of a number not known: speaks against 26 % infected or more (95 %), "
            "not against fewer",
        ),
    ],
)
def test_what_is_said(looked: int, group: int | None, words: str) -> None:
    assert said(looked, group) == words


def test_a_slide_that_misses_half_may_exclude_nothing() -> None:
    assert "not even speak against all of them" in said(3, 9, Fraction(1, 2))
    assert "excludes no share" in said(3, None, Fraction(1, 2))
