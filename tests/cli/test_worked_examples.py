"""Published worked examples, recomputed by the commands a keeper would type.

`tests/data/worked_examples.csv` holds what was printed, where, and how far it was rounded. Every
row is here once: recomputed, refused, or with the reason why no command speaks of it.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.ask import Answer, ask

DATA = Path(__file__).parents[1] / "data" / "worked_examples.csv"
ROWS = {row["id"]: row for row in csv.DictReader(DATA.open(encoding="utf-8"))}
FT3_L = 28.316846592
ACRE_FT2 = 43_560
US_GAL_L = 3.785411784
US_FL_OZ_ML = 29.5735295625
GRAIN_G = 0.06479891
POUND_G = 453.59237


def told(line: str) -> Answer:
    code, answer = ask(line)
    assert code == 0, answer
    return answer


def refused(line: str) -> str:
    code, answer = ask(line)
    assert code in (1, 3), answer
    if code == 3:
        return str(answer["refused"]["code"])
    return str(answer["problems"][0]["code"])


def near(value: float, printed: float, percent: float) -> None:
    """Within the rounding the row gives for its printed answer."""
    assert value == pytest.approx(printed, rel=percent / 100)


def we01() -> None:
    answer = told('volume box --length "12 ft" --width "3 ft" --depth "3 ft"')
    near(answer["volume_l"] / FT3_L, 108, 0.001)


def we02() -> None:
    litres = told('volume round --diameter "12 ft" --depth "4.5 ft"')["volume_l"]
    assert 508.6 <= litres / FT3_L <= 509.0


def we03() -> None:
    litres = told('volume metered --bucket "1 ft3" --count 1')["volume_l"]
    near(litres / US_GAL_L, 7.48, 0.01)


def we05() -> None:
    answer = told(
        'dose formalin --course short-bath --volume "88.35 m3" --target "200 uL/L"'
        ' --strength "37 % w/w" --temp 20C --oxygen "8 mg/L"'
    )
    assert (answer["basis"], answer["amount_unit"]) == ("product-volume", "mL")
    near(answer["amount"], 17_670, 0.02)


def we06() -> None:
    answer = told(
        'dose potassium-permanganate --volume "250 US gal" --target "2 mg/L" --strength "100 %"'
        f" {CLEAN_WATER}"
    )
    near(answer["amount"], 1.9, 0.5)
    assert answer["amount"] == pytest.approx(1.8927, abs=1e-4)


def we07() -> None:
    """285 g in a US gallon, 20 drops to the mL: a drop is 3.76 mg, for 1 mg/L in a gallon."""
    answer = told(
        'dose potassium-permanganate --volume "1 US gal" --target "1 mg/L" --strength "100 %"'
        f" {CLEAN_WATER}"
    )
    drop_g = 285 / (US_GAL_L * 1000) / 20
    near(drop_g / answer["amount"], 0.994, 0.1)


def we12() -> None:
    """0.5 mg/L of copper kills goldfish-carp hybrids (0.23 mg/L in a day): it is not dosed."""
    line = 'dose copper-sulfate --volume "56781.2 m3" --target "2 mg/L" --kh "120 mg/L CaCO3"'
    assert refused(line) == "not-advised"
    copper_g = 0.5e-3 * 15e6 * US_GAL_L
    near(copper_g / 0.25 / POUND_G, 250, 0.2)


def we15() -> None:
    litres = told('volume box --length "408 ft" --width "260 ft" --depth "1 ft"')["volume_l"]
    near(litres / FT3_L, 106_080, 0.001)
    near(litres / FT3_L / ACRE_FT2, 2.44, 0.3)


def we16() -> None:
    litres = told('volume round --girth "800 ft" --depth "1 ft"')["volume_l"]
    near(litres / FT3_L / ACRE_FT2, 1.17, 0.2)


def we17() -> None:
    answer = told('volume outline --points "0,0 300,0 0,500" --unit ft --depth "1 ft"')
    near(answer["volume_l"] / FT3_L, 75_000, 0.001)


def we18() -> None:
    """1 fl oz of 5.25 % in a gallon is 410 mg/L."""
    answer = told(
        'dose hypochlorite --volume "1 US gal" --strength "5.25 % w/v" --target "200 mg/L"'
    )
    near(200 * US_FL_OZ_ML / answer["amount"], 410, 0.1)


def we20() -> None:
    answer = told(
        'dose hypochlorite --volume "1000 US gal" --strength "5.25 % w/v" --target "50 mg/L"'
    )
    near(answer["amount"] / US_FL_OZ_ML, 122, 0.3)


def we23() -> None:
    """Printed 469 gal: cubic inches were divided by the wrong number."""
    answer = told('volume box --length "16 ft" --width "30 in" --depth "20 in"')
    gallons = answer["volume_l"] / US_GAL_L
    near(gallons, 498.7, 0.1)
    assert abs(gallons / 469 - 1) > 0.05


def we33() -> None:
    """5 to 10 mL of a 10 g/L stock for 50 to 100 mg/L; anaesthetics are a vet's."""
    assert refused('dose tricaine --volume "1 L" --target "50 mg/L"') == "vet-only"
    assert (50 / 10, 100 / 10) == (5, 10)


def we40() -> None:
    """4 m3 at 40 g/m3 are 160 g; an antibiotic is a vet's, see the room's test of a direction."""
    litres = told('volume box --length "5 m" --width "2 m" --depth "0.4 m"')["volume_l"]
    near(litres, 4000, 0.001)
    assert refused('dose vet-directed --volume "4 m3" --strength "100 % w/w"') == "vet-only"
    near(litres * 0.04, 160, 0.001)


def we46() -> None:
    """1.14 g in a pound of feed is 2.51 g/kg: 25, 50 and 75 mg/kg a day at 1, 2 and 3 %."""
    printed = 1.14 / POUND_G * 1000
    for ration, body in ((1, 25), (2, 50), (3, 75)):
        answer = told(
            f'dose fenbendazole --fish-mass "1 kg" --ration "{ration} %" --target "{body} mg/kg/d"'
            ' --strength "100 % w/w"'
        )
        near(answer["feed_g_per_kg"], printed, 0.6)
        near(answer["amount"], body / 1000, 1e-6)


def we55() -> None:
    """A hundredth of the alkalinity is a catfish rule, never offered for goldfish."""
    line = 'dose copper-sulfate --volume "100 L" --target "1.2 mg/L" --kh "120 mg/L CaCO3"'
    assert refused(line) == "not-advised"
    near(1.2 * 0.2545, 0.305, 0.2)


def we59() -> None:
    """What makes 1 mg/L in one unit of volume, in g: by the commonest units of the printed set."""
    for volume, printed_g, percent in (
        ("1 ft3", 0.0283, 0.1),
        ("1 US gal", 0.0038, 0.5),
        ("1 US gal", 0.058419 * GRAIN_G, 0.1),
        ("1 imp gal", 0.07016 * GRAIN_G, 0.1),
        ("1 m3", 1.0, 1e-6),
        ("1000000 US gal", 8.345 * POUND_G, 0.1),
        ("1233.482 m3", 1233, 0.1),  # an acre-foot
        ("1233.482 m3", 2.72 * POUND_G, 0.1),
        ("1 ft3", 0.0000624 * POUND_G, 0.1),
    ):
        line = f'dose salt --volume "{volume}" --target "100 mg/L"'
        near(told(line)["amount"] / 100, printed_g, percent)


def we66() -> None:
    """Printed 35 mL a gallon for 200 mg/L: of 3 to 6 % that is 277 to 555 mg/L."""
    for percent, made in ((3, 277), (6, 555)):
        answer = told(
            f'dose hypochlorite --volume "1 US gal" --strength "{percent} % w/v"'
            ' --target "200 mg/L"'
        )
        assert 12 < answer["amount"] < 25.3
        near(200 * 35 / answer["amount"], made, 0.2)


def we67() -> None:
    """100 uL/L of the product are 37 mg/L of formaldehyde: the product is what is counted."""
    for product, formaldehyde in ((1230, 455), (495, 183), (100, 37), (65.8, 24)):
        near(product * 0.37, formaldehyde, 1.5)
    line = 'dose formalin --volume "1 m3" --strength "{}" --temp 20C --oxygen "8 mg/L"'
    amounts = {told(line.format(s))["amount"] for s in ("37 % w/w", "37 % w/v", "40 % w/v")}
    assert amounts == {15.0}


def we68() -> None:
    """35 % by weight holds 396.1 mg/mL: 350 would give 13 % too much."""
    answer = told(
        'dose hydrogen-peroxide --volume "100 L" --target "20 mg/L" --strength "35 % w/w"'
    )
    near(2000 / answer["amount"], 396.1, 0.01)


def we71() -> None:
    """Printed 1.9 g for 250 L: the gallons of the original were read as litres."""
    answer = told(
        'dose potassium-permanganate --volume "250 L" --target "2 mg/L" --strength "100 %"'
        f" {CLEAN_WATER}"
    )
    near(answer["amount"], 0.5, 1e-6)
    near(1.9 / answer["amount"] * 2, 7.6, 1e-6)
    line = (
        'dose potassium-permanganate --volume "250 L" --target "7.6 mg/L" --strength "100 %"'
        f" {CLEAN_WATER}"
    )
    assert refused(line) == "over-hard-limit"


def we77() -> None:
    answer = told('dose bicarbonate --volume "100 L" --target "50 mg/L CaCO3"')
    near(answer["amount"], 8.4, 0.1)


CLEAN_WATER = '--temp 20C --ph 7.5 --oxygen "8 mg/L"'
CHECKS: dict[str, Callable[[], None]] = {
    name.upper(): check for name, check in list(globals().items()) if name[:2] == "we"
}
NO_COMMAND = {
    "WE13": "pounds on an acre-foot of a pond: 35 x 0.9, with nothing of a vessel in it",
    "WE41": "40 g/m3 of a 10 % product is 400 g/m3: with a vet's direction, in the room's tests",
    "WE61": "half a volume run through leaves 60.7 %: tests/science/test_residue.py",
}


def test_every_row_is_checked_or_says_why_not() -> None:
    assert set(CHECKS) | set(NO_COMMAND) == set(ROWS)


@pytest.mark.parametrize("row", CHECKS)
def test_the_printed_answer_comes_out_or_is_named_as_wrong(row: str) -> None:
    CHECKS[row]()
