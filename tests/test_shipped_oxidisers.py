"""Permanganate, peroxide and chloramine-T as shipped, worked doses from labels and papers."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.shipped import TREATMENTS, WATER, course, dosed, refused


def test_permanganate_is_weighed_as_the_extension_sheet_does() -> None:
    """UF/IFAS FA37: 250 US gal at 2 mg/L are 1.9 g; a translation took the gallons for litres.

    A catfish in clean water dies half the time at 2.19 mg/L in 36 h (JWAS 2002), so a day is not
    on offer: eight hours at most.
    """
    line = f'potassium-permanganate --target "2 mg/L" {WATER}'
    assert dosed(f'{line} --volume "250 US gal"') == (pytest.approx(1.9, rel=0.005), "g")
    assert dosed(f'{line} --volume "250 L"') == (pytest.approx(0.5), "g")
    assert dosed(f'potassium-permanganate --volume "250 L" {WATER}') == (pytest.approx(0.25), "g")
    long_bath = course("potassium-permanganate", "long-bath")
    assert (long_bath.duration_min_h, long_bath.duration_max_h) == (Decimal(4), Decimal(8))
    assert long_bath.adds
    assert refused(f'{line} --volume "250 L" --already "1.5 mg/L"') == "over-hard-limit 3.0"


def test_permanganate_by_the_demand_needs_the_demand() -> None:
    """USFWS AADAP INAD 9246: 2.5 times what is used up in 15 minutes, at most 10 mg/L."""
    line = f'potassium-permanganate --course demand --volume "100 L" {WATER}'
    assert refused(line) == "reading-missing"
    assert dosed(f'{line} --demand "2 mg/L"') == (pytest.approx(0.5), "g")
    assert refused(f'{line} --demand "4.4 mg/L"') == "over-hard-limit 10.0"
    assert refused(f'{line} --demand "0.2 mg/L"').startswith("out-of-condition")


def test_permanganate_in_warm_water_keeps_to_the_lower_bath() -> None:
    line = 'potassium-permanganate --course short-bath --volume "100 L" --ph 7.4'
    assert dosed(f'{line} --temp "22 C"') == (pytest.approx(1), "g")
    assert refused(f'{line} --temp "22 C" --target "20 mg/L"') == "over-hard-limit 12.0"
    assert refused(f'{line} --temp "28 C"').startswith("out-of-condition")


def test_peroxide_is_dosed_by_what_is_in_the_bottle() -> None:
    """21 CFR 529.1150: 35 % by weight is 396.1 mg in 1 mL; 3 % is taken as 30."""
    line = f'hydrogen-peroxide --volume "100 L" {WATER}'
    assert dosed(f'{line} --strength "3 % w/v"') == (pytest.approx(6.5 * 100 / 30), "mL")
    strong = dosed(f'{line} --strength "35 % w/w"')
    assert strong == (pytest.approx(6.5 * 100 / 396.1, rel=1e-4), "mL")
    eggs = dosed(f'{line} --course eggs --stage eggs --target "1000 mg/L" --strength "35 % w/w"')
    assert eggs == (pytest.approx(100_000 / 396.1, rel=1e-4), "mL")


def test_peroxide_never_stands_with_fry_and_no_more_than_was_tried_on_ornamentals() -> None:
    """Russo et al. 2007 stops at 34 mg/L; half of a catfish dies at 24.8 in 96 h."""
    line = f'hydrogen-peroxide --volume "10 L" {WATER}'
    assert refused(f'{line} --target "31 mg/L"') == "over-hard-limit 30.0"
    assert refused(f"{line} --stage fry") == "life-stage"
    assert refused(f"{line} --course eggs --stage fry") == "life-stage"
    assert {c.route for c in TREATMENTS["hydrogen-peroxide"].courses} == {"bath", "eggs"}
    assert max(c.duration_max_h or 99 for c in TREATMENTS["hydrogen-peroxide"].courses) == 1


@pytest.mark.parametrize(
    ("ph", "name", "said"),
    [
        ("8.1", "bath", "20.0"),
        ("7.6", "bath", "18.0"),
        ("7.2", "soft-bath", "10.0"),
        ("6.7", "soft-bath", "5.0"),
        ("6.2", "soft-bath", "2.5"),
    ],
)
def test_chloramine_t_goes_by_the_ph(ph: str, name: str, said: str) -> None:
    """A fish vet's table in soft water: 2.5, 5, 10 and 18 mg/L at pH 6, 6.5, 7 and 7.5, then 20.

    A koi keeper's 26 mg/L, a gram to 10 US gallons, is over the label at every pH.
    """
    line = f'chloramine-t --course {name} --volume "10 US gal" --ph {ph} --temp "18 C"'
    assert refused(f'{line} --target "26.4 mg/L"') == f"over-hard-limit {said}"
    grams = 37.854 / 1000 * (10 if name == "bath" else 2)
    assert dosed(line) == (pytest.approx(grams, rel=1e-4), "g")


def test_chloramine_t_wants_the_ph_and_not_the_wrong_bath() -> None:
    line = 'chloramine-t --volume "100 L" --temp "18 C"'
    assert refused(line) == "reading-missing"
    assert refused(f"{line} --ph 7.2").startswith("out-of-condition")
    assert refused(f"{line} --course soft-bath --ph 5.9").startswith("out-of-condition")
