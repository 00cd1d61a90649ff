"""The table of units against published factors, against its own geometry, and against pint."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from itertools import combinations

import pint
import pytest

from intake.science import units as table
from intake.science.kinds import KINDS, convert, unit_of
from intake.science.units import Unit

# NIST SP 811 (2008) appendix B.8, and UK Weights and Measures (Units of Measurement) SI 1995/1804
PUBLISHED = [
    ("length", "in", "2.54", "SP 811, exact"),
    ("length", "ft", "30.48", "SP 811, exact"),
    ("volume", "US gal", "3.785412", "SP 811"),
    ("volume", "imp gal", "4.54609", "SP 811; SI 1995/1804, exact"),
    ("volume", "ft3", "28.31685", "SP 811"),
    ("volume", "US qt", "0.9463529", "SP 811, liquid quart"),
    ("volume", "US pt", "0.4731765", "SP 811, liquid pint"),
    ("volume", "US fl oz", "0.02957353", "SP 811"),
    ("volume", "imp fl oz", "0.02841306", "SP 811"),
    ("volume", "imp pt", "0.56826125", "SI 1995/1804, exact"),
    ("mass", "lb", "453.59237", "SP 811, exact"),
    ("mass", "oz mass", "28.34952", "SP 811"),
    ("amount", "uL", "0.001", "SI prefixes, exact"),
    ("amount", "mL", "1", "SI prefixes, exact"),
    ("amount", "L", "1000", "SI prefixes, exact"),
    ("amount", "mcg", "0.000001", "SI prefixes, exact"),
    ("concentration", "ng/L", "0.000001", "SI prefixes, exact"),
    ("concentration", "mcg/kg", "0.001", "SI prefixes, exact"),
    ("duration", "s", "0.0166666667", "SI brochure table 8: a minute is 60 s"),
    ("duration", "h", "60", "SI brochure table 8, exact"),
    ("duration", "d", "1440", "SI brochure table 8: a day is 24 h"),
    ("pressure", "kPa", "10", "SI prefixes, exact"),
    ("conductivity", "mS/cm", "1000", "SI prefixes, exact"),
    ("pressure", "atm", "1013.25", "SP 811, exact"),
    ("pressure", "mmHg", "1.333224", "SP 811, conventional"),
    ("pressure", "inHg", "33.86389", "SP 811, conventional"),
    ("altitude", "ft", "0.3048", "SP 811, exact"),
    ("tan", "ug/L as N", "0.001", "SI prefixes, exact"),
    ("tan", "ug/L as NH3", "0.0008224", "14.0067/17.0305, molar masses by IUPAC"),
    ("tan", "mg/L as NH3", "0.8224", "14.0067/17.0305, molar masses by IUPAC"),
    ("tan", "mg/L as NH4", "0.7765", "14.0067/18.0385, molar masses by IUPAC"),
]


@pytest.mark.parametrize(("kind", "unit", "published", "source"), PUBLISHED)
def test_factor_equals_the_published_one_to_its_last_figure(
    kind: str, unit: str, published: str, source: str
) -> None:
    known = unit_of(kind, unit)
    assert known is not None
    ours = known.step_to_canonical(Decimal(1))
    assert ours.quantize(Decimal(published)) == Decimal(published), source


def test_the_molar_masses_are_the_conventional_atomic_weights() -> None:
    # IUPAC atomic weights 1995, N 14.00674(7) and H 1.00794(7): from memory
    assert abs(table.N_G_MOL - Decimal("14.00674")) <= Decimal("0.00007")
    assert abs(table.H_G_MOL - Decimal("1.00794")) <= Decimal("0.000005")


def test_a_day_an_hour_and_a_second_agree_and_a_flow_with_them() -> None:
    day, hour, second = (
        KINDS["duration"].spellings[name].to_canonical(Decimal(1)) for name in ("d", "h", "s")
    )
    assert day == 24 * hour
    assert 60 * second == 1
    per_hour = KINDS["flow"].spellings["L/h"].to_canonical(Decimal(60))
    assert per_hour == KINDS["flow"].spellings["L/min"].to_canonical(Decimal(1))


def test_conventional_mercury_follows_from_its_density_and_the_standard_fall() -> None:
    # SP 811: 13.5951 g/cm3 x 9.80665 m/s2, and an inch is 25.4 mm
    millimetre = KINDS["pressure"].spellings["mmHg"].to_canonical(Decimal(1))
    assert millimetre == Decimal("13.5951") * Decimal("9.80665") / 100
    assert KINDS["pressure"].spellings["inHg"].to_canonical(Decimal(1)) == millimetre * Decimal(
        "25.4"
    )


def test_degrees_of_hardness_agree_with_their_definition() -> None:
    # DIN 38409-6: one German degree is 10 mg/L CaO = 0.1783 mmol/L; 17.85 mg/L CaCO3
    degree = KINDS["alkalinity"].spellings["dKH"].to_canonical(Decimal(1))
    assert abs(degree / 2 - Decimal("0.1783")) < Decimal("0.00005")
    as_caco3 = convert(degree, "alkalinity", "mg/L CaCO3")
    assert as_caco3 is not None
    assert as_caco3.quantize(Decimal("0.01")) in (Decimal("17.85"), Decimal("17.84"))
    assert KINDS["hardness"].spellings["dGH"].to_canonical(Decimal(1)) == degree


def test_published_worked_conversion_of_a_cubic_foot() -> None:
    # Extension text "Use and Application of Salt in Aquaculture": 1 ft3 is 7.48 US gal
    litres = KINDS["volume"].spellings["ft3"].to_canonical(Decimal(1))
    gallons = convert(litres, "volume", "US gal")
    assert gallons is not None
    assert gallons.quantize(Decimal("0.01")) == Decimal("7.48")


def test_volumes_follow_from_lengths() -> None:
    inch, foot, metre = (_length(name) for name in ("in", "ft", "m"))
    assert _litres("US gal") == 231 * inch**3 / 1000
    assert _litres("ft3") == foot**3 / 1000
    assert _litres("m3") == metre**3 / 1000
    assert _litres("US gal") == 4 * _litres("US qt") == 8 * _litres("US pt")
    assert _litres("US gal") == 128 * _litres("US fl oz")
    assert _litres("imp gal") == 4 * _litres("imp qt") == 8 * _litres("imp pt")
    assert _litres("imp gal") == 160 * _litres("imp fl oz")


def _length(name: str) -> Decimal:
    return KINDS["length"].spellings[name].to_canonical(Decimal(1))


def _litres(name: str) -> Decimal:
    return KINDS["volume"].spellings[name].to_canonical(Decimal(1))


# pint never sees typed text here: every name is made from our own spellings.
ATOMS = {"min": "tmin", "in": "inch", "d": "tday", "h": "thour", "s": "tsec", "m": "metre"}
COMPOUND = ("flow", "feed", "concentration", "density", "salt", "oxygen")


def _name(spelling: str) -> str:
    return ATOMS.get(spelling, spelling.replace(" ", "_"))


def load_into_pint() -> pint.UnitRegistry[Decimal]:
    """An empty registry with our length, volume, mass, time and temperature units only."""
    registry: pint.UnitRegistry[Decimal] = pint.UnitRegistry(None, non_int_type=Decimal)
    registry.define("cm = [length]")
    registry.define("g = [mass]")
    registry.define("tmin = [time]")
    registry.define("L = 1000 * cm ** 3")
    for kind in ("length", "mass", "volume", "duration"):
        for unit in KINDS[kind].units:
            if unit.spelling != unit.canonical:
                factor = f"{unit.num:f} / {unit.den:f}"
                registry.define(f"{_name(unit.spelling)} = {factor} * {_name(unit.canonical)}")
    registry.define("uL = 0.001 * mL")
    registry.define("cm3 = cm ** 3")
    return registry


def _pint_units(registry: pint.UnitRegistry[Decimal], spelling: str) -> pint.Quantity[Decimal]:
    first, *rest = spelling.split("/")
    made = registry.Quantity(Decimal(1), _name(first))
    for part in rest:
        made = made / registry.Quantity(Decimal(1), _name(part))
    return made


@pytest.mark.parametrize("kind", COMPOUND)
def test_every_compound_factor_is_what_pint_derives(kind: str) -> None:
    registry = load_into_pint()
    compared = 0
    for unit in KINDS[kind].units:
        for spelling in (unit.spelling, *unit.also):
            # a u in front is a spelling of mcg only; percentages have their own test
            if "%" in spelling or spelling.startswith("ug"):
                continue
            if spelling.startswith("ng"):
                continue
            ratio = _pint_units(registry, spelling) / _pint_units(registry, unit.canonical)
            assert ratio.dimensionless, spelling
            derived = Fraction(ratio.to_base_units().magnitude)
            ours = Fraction(unit.num) / Fraction(unit.den)
            assert abs(derived / ours - 1) < Fraction(1, 10**25), spelling
            compared += 1
    assert compared >= 2


@pytest.mark.parametrize("kind", ["length", "volume", "mass", "duration"])
def test_plain_factors_survive_pint_both_ways(kind: str) -> None:
    registry = load_into_pint()
    for one, two in combinations(KINDS[kind].units, 2):
        through = registry.Quantity(Decimal(7), _name(one.spelling)).to(_name(two.spelling))
        ours = two.from_canonical(one.to_canonical(Decimal(7)))
        assert abs(through.magnitude / ours - 1) < Decimal("1e-25")


def test_pint_still_reads_a_comma_as_ten_times_so_it_never_sees_text() -> None:
    # the reason for a grammar of our own: when this fails, the reason has gone
    assert pint.UnitRegistry()("1,5 g").magnitude == 15


# pint's own full registry is an independent list of the same trade units.
PINT_NAMES = {
    "length": {"in": "inch", "ft": "foot", "mm": "millimeter", "m": "meter"},
    "volume": {
        "US gal": "gallon",
        "imp gal": "imperial_gallon",
        "ft3": "foot ** 3",
        "m3": "meter ** 3",
        "mL": "milliliter",
        "US qt": "quart",
        "US pt": "pint",
        "imp qt": "imperial_quart",
        "imp pt": "imperial_pint",
        "US fl oz": "fluid_ounce",
        "imp fl oz": "imperial_fluid_ounce",
    },
    "mass": {"lb": "pound", "oz mass": "ounce", "kg": "kilogram", "mg": "milligram"},
    "pressure": {"mmHg": "millimeter_Hg", "inHg": "inch_Hg", "atm": "atm", "kPa": "kilopascal"},
}
BASE = {"length": "centimeter", "volume": "liter", "mass": "gram", "pressure": "hectopascal"}


def test_factors_equal_an_independent_registry() -> None:
    registry: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal)
    for kind, names in PINT_NAMES.items():
        for spelling, theirs in names.items():
            expected = registry.Quantity(Decimal(1), theirs).to(BASE[kind]).magnitude
            ours = KINDS[kind].spellings[spelling].to_canonical(Decimal(1))
            assert abs(ours / expected - 1) < Decimal("1e-9"), (spelling, ours, expected)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    # the fixed points of both scales, the crossing, and body heat
    [("32", "0"), ("212", "100"), ("-40", "-40"), ("68", "20"), ("98.6", "37")],
)
def test_temperature_is_exact(fahrenheit: str, celsius: str) -> None:
    degree = KINDS["temperature"].spellings["F"]
    assert degree.to_canonical(Decimal(fahrenheit)) == Decimal(celsius)
    assert degree.from_canonical(Decimal(celsius)) == Decimal(fahrenheit)


def test_a_temperature_step_has_no_offset() -> None:
    step = KINDS["temperature-step"].spellings["F"]
    assert step.to_canonical(Decimal(9)) == 5


@pytest.mark.parametrize(
    ("kind", "spelling", "canonical", "value"),
    [
        ("salt", "%", "g/L", "10"),
        ("concentration", "% w/v", "mg/L", "10000"),
        ("concentration", "% v/v", "uL/L", "10000"),
        ("strength", "mg/mL", "% w/v", "0.1"),
        ("strength", "g/L", "% w/v", "0.1"),
        ("strength", "g/100 mL", "% w/v", "1"),
        ("strength", "g/kg", "% w/w", "0.1"),
    ],
)
def test_percentages(kind: str, spelling: str, canonical: str, value: str) -> None:
    known = KINDS[kind].spellings[spelling]
    assert (known.canonical, known.to_canonical(Decimal(1))) == (canonical, Decimal(value))


ALL_UNITS = [(kind.name, unit) for kind in KINDS.values() for unit in kind.units]


@pytest.mark.parametrize(("kind", "unit"), ALL_UNITS)
def test_every_unit_goes_there_and_back(kind: str, unit: Unit) -> None:
    for number in (Decimal("0.0001"), Decimal("12.5"), Decimal("9999999")):
        back = unit.from_canonical(unit.to_canonical(number))
        assert abs(back - number) <= abs(number) * Decimal("1e-22")
    assert unit.num > 0
    assert unit.den > 0


def test_every_canonical_unit_is_one_of_its_own_kind_with_factor_one() -> None:
    for kind in KINDS.values():
        for unit in kind.units:
            own = kind.spellings[unit.canonical]
            assert own.to_canonical(Decimal(3)) == 3, (kind.name, unit.canonical)


def test_no_spelling_stands_twice_and_none_shows_a_greek_mu() -> None:
    for kind in KINDS.values():
        names = [name for unit in kind.units for name in (unit.spelling, *unit.also)]
        assert len(names) == len(set(names)), kind.name
        assert not re.search("[\u00b5\u03bc]", "".join(names))
        assert set(kind.offers) <= set(names)


def test_no_ambiguous_word_is_a_spelling() -> None:
    # US and imperial gallons differ by 20 %, ppt by a thousand million
    words = {"gal", "oz", "fl oz", "pt", "qt", "ppm", "ppt", "ppb", "l", "ml", "Mg", "u", "IU"}
    for kind in KINDS.values():
        assert not words & set(kind.spellings), kind.name


def test_greek_mu_reads_as_a_plain_u() -> None:
    assert table.plain_spelling("\u00b5g") == table.plain_spelling("\u03bcg") == "ug"
    assert KINDS["mass"].spellings["ug"].spelling == "mcg"
