"""Eighteen ways in which a unit has made a wrong dose, each in print somewhere, none of them here.

The traps and their sizes are those of `tests/data/worked_examples.csv` and of label, extension
and veterinary texts named in docs/sources.md.
"""

from __future__ import annotations

import pytest

from tests.cli.ask import ask
from tests.cli.test_worked_examples import refused, told

FORMALIN = 'dose formalin --volume "100 L" --strength "{s}" --temp 20C --oxygen "8 mg/L"'


def amount(line: str) -> float:
    return float(told(line)["amount"])


def test_u1_formalin_is_counted_as_the_product_by_volume() -> None:
    """Never weighed, and never corrected for its 37 %: that would be 2.7 times too much."""
    line = FORMALIN.format(s="37 % w/w")
    assert amount(line) == pytest.approx(1.5)
    assert told(line)["amount_unit"] == "mL"
    assert amount(FORMALIN.format(s="40 % w/v")) == pytest.approx(1.5)
    assert refused(line + ' --target "25 mg/L"') == "wrong-kind"


def test_u2_formaldehyde_is_not_formalin() -> None:
    assert refused(FORMALIN.format(s="37 % w/w") + ' --target "10 mg/L"') == "wrong-kind"


def test_u3_one_per_cent_by_volume_is_ten_milligrams() -> None:
    line = 'dose acriflavine --volume "100 L" --target "4 mg/L" --temp 20C --strength "{}"'
    assert amount(line.format("1 % w/v")) == pytest.approx(400 / 10)
    assert amount(line.format("1 % w/v")) == pytest.approx(amount(line.format("10 mg/mL")))


def test_u4_povidone_iodine_holds_a_tenth_of_its_per_cent() -> None:
    """50 mL of 10 % in 10 L are 50 mg/L available: a Japanese fish label."""
    line = 'dose iodophor --volume "10 L" --target "50 mg/L" --strength "10 % w/v" --stage eggs'
    assert amount(line + " --ph 7.0") == pytest.approx(50)


def test_u5_peroxide_of_three_and_of_thirty_five_per_cent() -> None:
    line = 'dose hydrogen-peroxide --volume "100 L" --target "20 mg/L" --strength "{}"'
    weak, strong = amount(line.format("3 % w/v")), amount(line.format("35 % w/w"))
    assert weak == pytest.approx(2000 / 30)
    assert weak / strong == pytest.approx(396.1 / 30, rel=1e-4)


def test_u6_by_weight_is_not_by_volume() -> None:
    line = 'dose hydrogen-peroxide --volume "100 L" --target "20 mg/L" --strength "{}"'
    assert amount(line.format("35 % w/w")) == pytest.approx(2000 / 396.1, rel=1e-4)
    assert refused(line.format("35 %")) == "ambiguous-unit"


@pytest.mark.parametrize("name", ["copper-sulfate", "copper-chelated"])
def test_u7_copper_is_not_dosed_in_either_way_of_counting(name: str) -> None:
    assert refused(f'dose {name} --volume "100 L" --kh "150 mg/L CaCO3"') == "not-advised"


def test_u8_per_cent_thousandths_and_grams_of_salt() -> None:
    line = 'dose salt --volume "100 L" --target "{}"'
    same = {amount(line.format(t)) for t in ("0.1 % w/v", "1 g/L", "1000 mg/L")}
    assert same == {100.0}
    assert refused(line.format("1 % w/v")) == "over-hard-limit"
    assert refused(line.format("1 ppt")) == "ambiguous-unit"


def test_u9_a_thousandfold_between_microlitres_and_millilitres() -> None:
    line = FORMALIN.format(s="37 % w/w")
    assert refused(line + ' --target "25 mL/L"') in ("over-hard-limit", "unknown-unit")
    assert refused(line + ' --target "25 uL/mL"') in ("over-hard-limit", "unknown-unit")
    assert refused('dose trichlorfon --volume "100 L" --target "0.5 g/L"') in (
        "vet-only",
        "over-hard-limit",
    )


def test_u10_a_gallon_says_whose() -> None:
    assert refused('dose salt --volume "40 gal"') == "ambiguous-unit"
    ours, theirs = (amount(f'dose salt --volume "40 {g} gal"') for g in ("US", "imp"))
    assert theirs / ours == pytest.approx(4.54609 / 3.785411784)


def test_u11_gallons_are_never_litres() -> None:
    gallons, litres = (amount(f'dose salt --volume "250 {u}"') for u in ("US gal", "L"))
    assert gallons / litres == pytest.approx(3.785411784)


def test_u12_a_feed_says_of_what() -> None:
    """50 mg/kg of fish is 10 g/kg of feed at half a per cent a day, and 2.5 at two."""
    line = 'dose fenbendazole --fish-mass "500 g" --target "50 mg/kg/d" --strength "100 % w/w"'
    for ration, feed in (("0.5 %", 10), ("2 %", 2.5)):
        assert told(f'{line} --ration "{ration}"')["feed_g_per_kg"] == pytest.approx(feed)
    assert amount(line) == pytest.approx(0.025)
    code, _ = ask(
        'dose fenbendazole --fish-mass "500 g" --target "10 g/kg" --strength "100 % w/w"'
    )
    assert code == 1


@pytest.mark.parametrize("unit", ["drops", "drop", "tsp", "capful", "pinch", "scoop"])
def test_u13_u14_drops_and_spoons_are_not_measures(unit: str) -> None:
    assert refused(f'dose salt --volume "100 L" --tool "1 {unit}"') in (
        "unknown-unit",
        "ambiguous-unit",
    )
    _, answer = ask('dose salt --volume "100 L"')
    assert answer["amount_unit"] in ("g", "mg", "mL")


def test_u15_water_in_the_crystals_counts() -> None:
    line = 'water dechlorinate --volume "1000 L" --free "1 mg/L" --using thiosulfate-{}'
    wet, dry = (told(line.format(f))["amount_g"] for f in ("pentahydrate", "anhydrous"))
    assert dry / wet == pytest.approx(0.637, abs=0.002)
    dosed = amount('dose thiosulfate --volume "1000 L" --chlorine "1 mg/L"')
    assert dosed == pytest.approx(wet, rel=0.01)


def test_u16_what_works_is_a_quarter_of_the_powder() -> None:
    line = 'dose diflubenzuron --volume "1000 L" --target "0.03 mg/L" --strength "25 % w/w" {}'
    assert amount(line.format("--temp 22C")) == pytest.approx(0.03 / 0.25)


def test_u17_the_brim_is_not_the_water() -> None:
    line = 'volume box --length "100 cm" --width "50 cm" --depth "40 cm"'
    plain, filled = told(line), told(f'{line} --gravel "20 L" --rock-mass "13 kg"')
    assert filled["gross_l"] == plain["volume_l"]
    assert filled["volume_l"] < 0.92 * plain["volume_l"]


def test_u18_bleach_by_the_printed_spoonful_is_too_much() -> None:
    """35 mL a gallon of 3 to 6 % were printed for 200 mg/L; 13 to 25 make it."""
    line = 'dose hypochlorite --volume "1 US gal" --target "200 mg/L" --strength "{} % w/v"'
    assert [amount(line.format(s)) for s in (3, 6)] == pytest.approx([25.24, 12.62], rel=1e-3)
