"""Dyes, oxidisers, copper, bronopol and iodine as shipped: limits beside the figures in print.

A worked dose of each, from a label or a paper where one is printed, goes through the command;
those of the oxidisers are in a module of their own.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.shipped import (
    ALWAYS,
    FIRST,
    TREATMENTS,
    WATER,
    Limits,
    course,
    dosed,
    limits,
    refused,
)


@pytest.mark.parametrize(
    ("treatment", "name", "figures", "held"),
    [
        # the recipe, from memory; the US formalin label; 16 uL/L bring half the fathead LC50
        ("formalin-malachite", "long-bath", "15 15 25", {ALWAYS: "25", FIRST: "16"}),
        # the ornamental maximum; half the fathead LC50 of 0.12 mg/L (EnviroTox)
        ("malachite-green", "long-bath", "0.05 0.05 0.1", {ALWAYS: "0.2", FIRST: "0.06"}),
        # a trade label; a third of the silver perch LC50 at 30 C, 5.8 mg/L (Lin 2003)
        ("methylene-blue", "fish", "1 1 3", {ALWAYS: "3", "temp above 25": "1.9"}),
        # Yeasmin 2015, 1 best on carp eggs and 5 worse; 3 best on two ornamentals
        ("methylene-blue", "eggs", "0.5 1 1", {ALWAYS: "3"}),
        # UF/IFAS FA37, 2 mg/L at a time and 6 in all; under the carp LC50 of 3.3 (EnviroTox)
        ("potassium-permanganate", "long-bath", "1 1 2", {ALWAYS: "6", FIRST: "3"}),
        # USFWS AADAP INAD 9246, 2.5 times the demand, 10 mg/L at most, for an hour
        ("potassium-permanganate", "demand", "2.5 2.5 2.5", {ALWAYS: "10"}),
        # UF/IFAS FA37, 25 mg/L for 30 min; a record from China, half as much above 20 C
        (
            "potassium-permanganate",
            "short-bath",
            "10 10 20",
            {ALWAYS: "25", "temp above 20": "12", FIRST: "12"},
        ),
        # Russo et al. 2007, 3.1 and 6.5 mg/L for an hour, 34 harmed a barb; a label's 75
        ("hydrogen-peroxide", "bath", "3.1 6.5 30", {ALWAYS: "75", FIRST: "30"}),
        # 21 CFR 529.1150 and Merck, eggs 500 to 1000 mg/L for 15 min
        ("hydrogen-peroxide", "eggs", "500 500 1000", {ALWAYS: "1000"}),
        # 21 CFR 529.382, 20 mg/L for an hour; a fish vet's table by pH in soft water
        ("chloramine-t", "bath", "10 10 20", {ALWAYS: "20", "ph below 8.0": "18"}),
        (
            "chloramine-t",
            "soft-bath",
            "2 2 10",
            {ALWAYS: "10", "ph below 7.0": "5", "ph below 6.5": "2.5"},
        ),
        # a fish vet's practice, 1 to 2 mg/L for a day, 5 in hard alkaline ponds
        ("chloramine-t", "long-bath", "1 1 2", {ALWAYS: "5", FIRST: "3", "ph below 7.0": "1.5"}),
        # Ozaki, Uematsu and Tanaka 1970, 0.17 and 0.08 ppm; J S China Norm Univ 2003, 0.009 Cu
        ("copper-sulfate", "long-bath", "0.03 0.03 0.08", {ALWAYS: "0.17", FIRST: "0.05"}),
        ("copper-chelated", "long-bath", "0.009 0.009 0.02", {ALWAYS: "0.04", FIRST: "0.012"}),
        # Exotic Animal Formulary, trout 4 and catfish 10 mg/L for 4 h; 15 to 50 mg/L
        ("acriflavine", "bath", "3 4 10", {ALWAYS: "10", FIRST: "5"}),
        ("bronopol", "bath", "15 15 50", {ALWAYS: "50", FIRST: "20"}),
        # a Japanese egg label, 50 mg/L for 15 min; WOAH Aquatic Code 4.4, 100 for 10 min
        ("iodophor", "eggs", "50 50 100", {ALWAYS: "100", FIRST: "75"}),
    ],
)
def test_figures_and_limits_are_those_in_print(
    treatment: str, name: str, figures: str, held: Limits
) -> None:
    found = course(treatment, name)
    assert f"{found.low:f} {found.usual:f} {found.high:f}" == figures
    assert limits(found) == held
    assert all(found.usual < Decimal(value) for value in held.values())


@pytest.mark.parametrize(
    ("treatment", "courses"),
    [
        ("formalin-malachite", "long-bath"),
        ("malachite-green", "long-bath"),
        ("methylene-blue", "fish eggs"),
        ("potassium-permanganate", "long-bath demand short-bath"),
        ("hydrogen-peroxide", "bath eggs"),
        ("chloramine-t", "bath soft-bath long-bath"),
        ("copper-sulfate", "long-bath"),
        ("copper-chelated", "long-bath"),
        ("acriflavine", "bath"),
        ("bronopol", "bath"),
        ("iodophor", "eggs"),
    ],
)
def test_each_has_its_courses_and_one_fish_goes_first(treatment: str, courses: str) -> None:
    found = TREATMENTS[treatment]
    assert " ".join(c.name for c in found.courses) == courses
    codes = {code for code, _ in found.always_warn}
    assert "test-fish-first" in codes or treatment == "iodophor"
    for each in found.courses:
        assert each.against
        assert each.duration_max_h is not None
        assert each.stage_source is not None
        assert "fry" not in each.stages
        assert "hatchlings" not in each.stages
    assert found.biofilter
    assert found.ammonia_tests is not None or treatment == "iodophor"


@pytest.mark.parametrize(
    "treatment",
    ["formalin", "formalin-malachite", "malachite-green", "methylene-blue", "hydrogen-peroxide",
     "chloramine-t"],
)  # fmt: skip
def test_what_slows_a_filter_when_repeated_has_ammonia_tested(treatment: str) -> None:
    """Formalin on four days running (Aquaculture Research 53:5647, 2022); Schwartz 2000."""
    tests = TREATMENTS[treatment].ammonia_tests
    assert tests is not None
    assert (tests.from_dose, tests.until_after_h) == (2, Decimal(7 * 24))


def test_copper_is_not_given_by_the_rule_for_catfish() -> None:
    """UF/IFAS CIR920: alkalinity 120 gives 1.2 mg/L; half the hybrids die at 0.354 of it in 96 h.

    J S China Norm Univ 2003: 0.09 mg/L of copper, 25.45 % of the crystals.
    """
    for name in ("copper-sulfate", "copper-chelated"):
        assert TREATMENTS[name].status == "not advised"
        assert refused(f'{name} --volume "100 L" --target "1.2 mg/L" {WATER}') == "not-advised"
        assert TREATMENTS[name].courses[0].stages == ("adult",)
    of_copper = Decimal("63.546") / Decimal("249.685")
    crystals, chelated = (
        course("copper-sulfate", "long-bath"),
        course("copper-chelated", "long-bath"),
    )
    hybrid = Decimal("0.09")
    assert max(b.value for b in crystals.bounds) * of_copper * 2 < hybrid
    assert max(b.value for b in chelated.bounds) * 2 < hybrid
    assert crystals.high * of_copper == pytest.approx(chelated.high, rel=Decimal("0.03"))


def test_the_copper_sulfates_are_told_apart_by_their_hazards() -> None:
    """ILO/WHO cards ICSC 1416 (pentahydrate, Danger) and 0751 (anhydrous, Warning)."""
    handling = {h.form: h for h in TREATMENTS["copper-sulfate"].handling}
    assert handling["pentahydrate crystals"].signal == "Danger"
    assert any("H318" in s for s in handling["pentahydrate crystals"].statements)
    assert handling["anhydrous powder"].signal == "Warning"
    assert not any("H318" in s for s in handling["anhydrous powder"].statements)


def test_the_peroxides_are_told_apart_by_their_hazards() -> None:
    """A sheet for 30 to 32 %: Danger, H302, H332, H318; H315 and H335 at 35 % only."""
    said = {h.form: " ".join(h.statements) for h in TREATMENTS["hydrogen-peroxide"].handling}
    assert said["pharmacy bottle"] == ""
    assert "H332" in said["peroxide of 27 %"]
    assert "H335" not in said["peroxide of 27 %"]
    assert "H335" in said["peroxide of 35 %"]
    assert TREATMENTS["chloramine-t"].handling[0].statements[0].startswith("H334")


def test_the_mixture_brings_the_malachite_it_says() -> None:
    """3.3 to 3.7 g/L in formalin: 15 to 25 uL/L bring 0.05 to 0.09 mg/L (from memory)."""
    found = course("formalin-malachite", "long-bath")
    brought = [found.low * Decimal("3.3") / 1000, found.high * Decimal("3.7") / 1000]
    assert [round(b, 2) for b in brought] == [Decimal("0.05"), Decimal("0.09")]
    assert brought[1] < Decimal("0.12")
    assert dosed(f'formalin-malachite --volume "1000 L" {WATER}') == (pytest.approx(15), "mL")
    cold = WATER.replace("18 C", "8 C")
    assert refused(f'formalin-malachite --volume "1000 L" {cold}').startswith("out-of-condition")
    assert found.repeat is not None
    days = [(t, h / 24) for t, h in found.repeat.by_temperature]
    assert days == [(Decimal(at), Decimal(d)) for at, d in ((10, 10), (18, 6), (25, 4))]


def test_malachite_is_counted_by_the_dye_and_kept_from_warm_and_alkaline_water() -> None:
    line = 'malachite-green --volume "200 L"'
    assert dosed(f'{line} --strength "1 % w/v" {WATER}') == (pytest.approx(1), "mL")
    assert dosed(f'{line} --strength "100 % w/w" {WATER}') == (pytest.approx(0.01), "g")
    assert refused(f'{line} --target "0.1 mg/L" {WATER}') == "over-hard-limit 0.06"
    assert refused(f'{line} --temp "27 C" --ph 7').startswith("out-of-condition")
    assert refused(f'{line} --temp "18 C" --ph 9.5').startswith("out-of-condition")


def test_methylene_blue_is_less_where_it_is_warm() -> None:
    """Lin 2003, silver perch: 22.8 mg/L at 20 C, 5.8 at 30 C."""
    line = 'methylene-blue --volume "20 L" --strength "98 % w/w"'
    grams = dosed(f'{line} --course eggs --stage eggs --temp "22 C"')
    assert grams == (pytest.approx(0.02 / 0.98), "g")
    assert dosed(f'{line} --temp "20 C" --target "3 mg/L"') == (pytest.approx(0.06 / 0.98), "g")
    assert refused(f'{line} --temp "26 C" --target "3 mg/L"') == "over-hard-limit 1.9"


def test_acriflavine_and_bronopol_count_what_is_in_the_bottle() -> None:
    """Exotic Animal Formulary: 4 mg/L of the one, 15 mg/L of the other, half of its liquid."""
    assert dosed(f'acriflavine --volume "10 L" {WATER}') == (pytest.approx(4), "mL")
    assert dosed(f'bronopol --volume "100 L" {WATER}') == (pytest.approx(3), "mL")
    assert (
        refused(f'acriflavine --volume "10 L" --target "10 mg/L" {WATER}') == "over-hard-limit 5.0"
    )


def test_iodine_is_the_available_one() -> None:
    """100 mg of povidone-iodine are 10 mg of available iodine: 50 mL of 10 % in 10 L, 50 mg/L."""
    line = 'iodophor --volume "10 L" --stage eggs --strength "10 % w/v"'
    assert dosed(f"{line} --ph 7") == (pytest.approx(50), "mL")
    assert refused(f"{line} --ph 8.2").startswith("out-of-condition")
    assert refused('iodophor --volume "10 L" --stage eggs --strength "1 % w/v" --ph 7').startswith(
        "strength-mismatch"
    )
    assert refused('iodophor --volume "10 L" --stage fry --ph 7') == "life-stage"
