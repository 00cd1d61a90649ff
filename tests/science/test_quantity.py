"""What keepers and scripts type: everything bad is refused with its place, the rest is exact."""

from __future__ import annotations

import re
from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from intake.science.kinds import KINDS
from intake.science.problem import Problem
from intake.science.quantity import Quantity, dilute, in_unit, read_quantity
from intake.science.text import inert

# (row of the catalogue, text, kind, code, column of the offending character)
BAD_NUMBERS = [
    (1, "1,5 g", "amount", "not-a-number", 2),
    (2, "1,000 g", "amount", "not-a-number", 2),
    (3, "1.000,5 g", "amount", "not-a-number", 6),
    (3, "1,000.5 g", "amount", "not-a-number", 2),
    (4, "1 000 g", "amount", "not-a-number", 3),
    (4, "1'000 g", "amount", "not-a-number", 2),
    (4, "1\u00a0000 g", "amount", "not-a-number", 2),
    (4, "1\u2009000 g", "amount", "not-a-number", 2),
    (5, "1_000 g", "amount", "not-a-number", 2),
    (5, "1__0 g", "amount", "not-a-number", 2),
    (7, "5. g", "amount", "not-a-number", 2),
    (7, "5.", "ph", "not-a-number", 2),
    (8, "05 g", "amount", "not-a-number", 1),
    (8, "007 g", "amount", "not-a-number", 1),
    (8, "00.5 g", "amount", "not-a-number", 1),
    (9, "1.2.3 g", "amount", "not-a-number", 4),
    (9, "5..2 g", "amount", "not-a-number", 3),
    (9, "5..2", "ph", "out-of-range", 4),
    (10, "nan g", "amount", "not-a-number", 1),
    (10, "NaN", "ph", "not-a-number", 1),
    (10, "inf", "ph", "not-a-number", 1),
    (10, "-inf C", "temperature", "not-a-number", 2),
    (10, "infinity", "ph", "not-a-number", 1),
    (10, "\u221e g", "amount", "not-a-number", 1),
    (11, "1e400 g", "amount", "not-a-number", 2),
    (11, "1e3 g", "amount", "not-a-number", 2),
    (11, "1E-5 g", "amount", "not-a-number", 2),
    (11, "1e", "ph", "not-a-number", 2),
    (12, "1e-400 g", "amount", "not-a-number", 2),
    (13, "-5 g", "amount", "out-of-range", 1),
    (13, "--5 C", "temperature", "not-a-number", 2),
    (13, "\u22125 C", "temperature", "not-a-number", 1),
    (13, "+5 g", "amount", "not-a-number", 1),
    (13, "-0 C", "temperature", "not-a-number", 1),
    (14, "0 g", "amount", "out-of-range", 1),
    (14, "0 L", "volume", "out-of-range", 1),
    (14, "0 cm", "length", "out-of-range", 1),
    (14, "0.0 % w/w", "strength", "out-of-range", 1),
    (14, "0 h", "duration", "out-of-range", 1),
    (14, "0 mg/L", "concentration", "out-of-range", 1),
    (15, "\uff15 g", "amount", "not-a-number", 1),
    (15, "\u0665 g", "amount", "not-a-number", 1),
    (15, "5\u00b3 g", "amount", "not-a-number", 2),
    (15, "\u00bd g", "amount", "not-a-number", 1),
    (15, "1\u00bd g", "amount", "not-a-number", 2),
    (16, "0x10 g", "amount", "not-a-number", 2),
    (16, "010 g", "amount", "not-a-number", 1),
    (17, "1O g", "amount", "not-a-number", 2),
    (17, "O5 g", "amount", "not-a-number", 1),
    (17, "1l g", "amount", "not-a-number", 2),
    (17, "l0 g", "amount", "not-a-number", 1),
    (17, "1O0 g", "amount", "not-a-number", 2),
    (18, "1" * 5000, "amount", "not-a-number", 41),
    (18, "9" * 100_000 + " g", "amount", "not-a-number", 41),
    (18, "12345678 g", "amount", "not-a-number", 8),
    (18, "0.1234567890123 g", "amount", "not-a-number", 15),
    (19, "5+3 g", "amount", "not-a-number", 2),
    (19, "9**9**9 g", "amount", "not-a-number", 2),
    (19, "5*2", "ph", "not-a-number", 2),
    (19, "5 - 3 g", "amount", "not-a-number", 3),
    (19, "1/2 g", "amount", "not-a-number", 2),
    (19, "(5) g", "amount", "not-a-number", 1),
    (19, "5 g + 3 g", "amount", "not-a-number", 5),
    (20, "", "amount", "not-a-number", 1),
    (20, "   ", "amount", "not-a-number", 1),
    (20, "\t", "ph", "not-a-number", 1),
    (21, "12\n34", "ph", "not-a-number", 3),
    (21, "12 g\n", "amount", "not-a-number", 5),
    (22, "\x1b5 g", "amount", "not-a-number", 1),
    (22, "5\x07 g", "amount", "not-a-number", 2),
    (22, "5\u200b g", "amount", "not-a-number", 2),
    (22, "5\u202e g", "amount", "not-a-number", 2),
    (22, "5\t g", "amount", "not-a-number", 2),
]

BAD_UNITS = [
    (27, "5", "amount", "unit-missing", 2),
    (27, "20", "temperature", "unit-missing", 3),
    (28, "40 gal", "volume", "ambiguous-unit", 4),
    (28, "40gallons", "volume", "ambiguous-unit", 3),
    (28, "40 gph", "flow", "ambiguous-unit", 4),
    (29, "2 oz", "amount", "ambiguous-unit", 3),
    (29, "2 oz", "mass", "ambiguous-unit", 3),
    (29, "2 fl oz", "volume", "ambiguous-unit", 3),
    (30, "5 ppm", "concentration", "ambiguous-unit", 3),
    (30, "5 ppm", "tan", "ambiguous-unit", 3),
    (30, "5 ppm", "alkalinity", "ambiguous-unit", 3),
    (30, "5 ppm", "conductivity", "ambiguous-unit", 3),
    (30, "5 ppb", "concentration", "ambiguous-unit", 3),
    (31, "3 ppt", "salt", "ambiguous-unit", 3),
    (31, "3 ppt", "concentration", "ambiguous-unit", 3),
    (32, "0.3 %", "concentration", "ambiguous-unit", 5),
    (32, "37 %", "strength", "ambiguous-unit", 4),
    (33, "5 Mg", "amount", "unknown-unit", 3),
    (33, "5 MG", "amount", "unknown-unit", 3),
    (33, "5 ML", "amount", "unknown-unit", 3),
    (33, "5 ml", "amount", "unknown-unit", 3),
    (35, "5 u", "amount", "unknown-unit", 3),
    (35, "5 U", "amount", "unknown-unit", 3),
    (35, "500 IU", "amount", "unknown-unit", 5),
    (36, "5 C", "amount", "wrong-kind", 3),
    (36, "5 F", "volume", "wrong-kind", 3),
    (37, "2 drops", "amount", "unknown-unit", 3),
    (37, "1 capful", "amount", "unknown-unit", 3),
    (37, "1 tsp", "amount", "unknown-unit", 3),
    (37, "1 scoop", "amount", "unknown-unit", 3),
    (37, "1 pinch", "amount", "unknown-unit", 3),
    (38, "5 mg/10 L", "concentration", "unknown-unit", 3),
    (38, "5 mL per 10 gal", "concentration", "unknown-unit", 3),
    (38, "5 mL per 100 L", "amount", "unknown-unit", 3),
    (39, "5 g", "volume", "wrong-kind", 3),
    (39, "5 mL", "mass", "wrong-kind", 3),
    (40, "2 C/h", "temperature", "wrong-kind", 3),
    (41, "-300 C", "temperature", "out-of-range", 1),
    (41, "68 C", "temperature", "out-of-range", 1),
    (42, "6 dGH", "alkalinity", "wrong-kind", 3),
    (42, "6 dKH", "hardness", "wrong-kind", 3),
    (42, "6 dH", "alkalinity", "ambiguous-unit", 3),
    (42, "107 mg/L", "alkalinity", "ambiguous-unit", 5),
    (43, "1.05 SG", "saltiness", "out-of-range", 1),
    (43, "0.98", "gravity", "out-of-range", 1),
    (43, "500 uS", "conductivity", "unknown-unit", 5),
    (43, "5 g/L", "conductivity", "wrong-kind", 3),
    (44, "101 % w/w", "strength", "out-of-range", 1),
]


@pytest.mark.parametrize(("row", "text", "kind", "code", "column"), BAD_NUMBERS + BAD_UNITS)
def test_the_catalogue_of_bad_input(
    row: int, text: str, kind: str, code: str, column: int
) -> None:
    read = read_quantity(text, kind)
    assert isinstance(read, Problem), read
    assert (read.code, read.column) == (code, column), read
    assert read.hint
    _names_what_was_read(text, read)


def _names_what_was_read(text: str, read: Problem) -> None:
    shown = text.strip()[:40]
    if not shown:
        assert "needed" in read.text
    elif shown.isprintable():
        assert shown in read.text
    assert inert(read.text) == read.text
    assert len(read.text) < 200


GOOD = [
    # (text, kind, canonical unit, value, low, high)
    ("91.4 cm", "length", "cm", "91.4", "91.4", "91.4"),
    ("36 in", "length", "cm", "91.44", "91.44", "91.44"),
    ("36in", "length", "cm", "91.44", "91.44", "91.44"),
    ("  36  in  ", "length", "cm", "91.44", "91.44", "91.44"),
    ("20 C", "temperature", "C", "20", "20", "20"),
    ("68 F", "temperature", "C", "20", "20", "20"),
    ("-5C", "temperature", "C", "-5", "-5", "-5"),
    ("2 mg/L", "concentration", "mg/L", "2", "2", "2"),
    ("40 US gal", "volume", "L", "151.41647136", "151.41647136", "151.41647136"),
    ("33 imp gal", "volume", "L", "150.02097", "150.02097", "150.02097"),
    ("6 dKH", "alkalinity", "meq/L", "2.139804", "2.139804", "2.139804"),
    ("1.2 meq/L", "alkalinity", "meq/L", "1.2", "1.2", "1.2"),
    ("50.04 mg/L CaCO3", "alkalinity", "meq/L", "1", "1", "1"),
    ("50.04 mg/L as CaCO3", "hardness", "meq/L", "1", "1", "1"),
    ("0.3 %", "salt", "g/L", "3", "3", "3"),
    ("20 uL/L", "concentration", "uL/L", "20", "20", "20"),
    ("20 \u00b5L/L", "concentration", "uL/L", "20", "20", "20"),
    ("20 mL/m3", "concentration", "uL/L", "20", "20", "20"),
    ("1018 uS/cm", "conductivity", "uS/cm", "1018", "1018", "1018"),
    ("1.018 mS/cm", "saltiness", "uS/cm", "1018", "1018", "1018"),
    ("1.002 SG", "saltiness", "SG", "1.002", "1.002", "1.002"),
    ("1.002", "gravity", "SG", "1.002", "1.002", "1.002"),
    ("36 cm +/- 0.5 cm", "length", "cm", "36", "35.5", "36.5"),
    ("36 cm +/- 0.5", "length", "cm", "36", "35.5", "36.5"),
    ("36 +/- 0.5 cm", "length", "cm", "36", "35.5", "36.5"),
    ("36 cm ± 5 mm", "length", "cm", "36", "35.5", "36.5"),
    ("0.3 cm +/- 0.5", "length", "cm", "0.3", "0", "0.8"),
    ("36 cm +/- 0", "length", "cm", "36", "36", "36"),
    ("68 F +/- 1.8 F", "temperature", "C", "20", "19", "21"),
    ("0 C +/- 1", "temperature", "C", "0", "-1", "1"),
    ("<0.25 mg/L as N", "tan", "mg/L as N", "0.25", "0", "0.25"),
    (">8 mg/L as N", "tan", "mg/L as N", "8", "8", None),
    ("0.5..1 mg/L as N", "tan", "mg/L as N", "0.75", "0.5", "1"),
    ("0.5 mg/L..1 mg/L as N", "tan", "mg/L as N", "0.75", "0.5", "1"),
    ("0.5 mg/L as N .. 1 mg/L", "tan", "mg/L as N", "0.75", "0.5", "1"),
    ("500 ug/L..1 mg/L as N", "tan", "mg/L as N", "0.75", "0.5", "1"),
    ("7.4..7.8", "ph", "", "7.6", "7.4", "7.8"),
    ("<6", "ph", "", "6", None, "6"),
    ("> 8.8", "ph", "", "8.8", "8.8", None),
    ("0 mg/L as N", "tan", "mg/L as N", "0", "0", "0"),
    ("unreadable", "tan", "", None, None, None),
    ("396 mg/mL", "strength", "% w/v", "39.6", "39.6", "39.6"),
    ("37 g/100 mL", "strength", "% w/v", "37", "37", "37"),
    ("37 % w/w", "strength", "% w/w", "37", "37", "37"),
    ("37% w/v", "strength", "% w/v", "37", "37", "37"),
    (".5 g", "amount", "g", "0.5", "0.5", "0.5"),
    ("5.0 g", "amount", "g", "5", "5", "5"),
    ("0.5 kg", "amount", "g", "500", "500", "500"),
    ("250 mcg", "amount", "g", "0.00025", "0.00025", "0.00025"),
    ("250 \u03bcg", "amount", "g", "0.00025", "0.00025", "0.00025"),
    ("1 L", "amount", "mL", "1000", "1000", "1000"),
    ("50 mg/kg/d", "concentration", "mg/kg/d", "50", "50", "50"),
    ("20 mL/min", "flow", "L/min", "0.02", "0.02", "0.02"),
    ("300 L/h", "flow", "L/min", "5", "5", "5"),
    ("5 g/d", "feed", "g/d", "5", "5", "5"),
    ("2 h", "duration", "min", "120", "120", "120"),
    ("30", "percent", "%", "30", "30", "30"),
    ("30 %", "percent", "%", "30", "30", "30"),
    ("0.25", "share", "", "0.25", "0.25", "0.25"),
    ("12", "count", "", "12", "12", "12"),
    ("4", "number", "", "4", "4", "4"),
    ("1 C", "temperature-step", "C", "1", "1", "1"),
    ("9 F", "temperature-step", "C", "5", "5", "5"),
    ("1.8 F/h", "temperature-rate", "C/h", "1", "1", "1"),
    ("1013.25 hPa", "pressure", "hPa", "1013.25", "1013.25", "1013.25"),
    ("-3 m", "altitude", "m", "-3", "-3", "-3"),
    ("2.6 kg/L", "density", "g/mL", "2.6", "2.6", "2.6"),
]


@pytest.mark.parametrize(("text", "kind", "canonical", "value", "low", "high"), GOOD)
def test_good_input_is_read_exactly(
    text: str, kind: str, canonical: str, value: str | None, low: str | None, high: str | None
) -> None:
    read = read_quantity(text, kind)
    assert isinstance(read, Quantity), read
    assert read.text == text.strip()
    assert read.canonical == canonical
    wanted = [None if end is None else Decimal(end) for end in (value, low, high)]
    assert [read.value, read.low, read.high] == wanted


def _read(text: str, kind: str, **more: object) -> Quantity:
    read = read_quantity(text, kind, **more)  # type: ignore[arg-type]
    assert isinstance(read, Quantity), read
    return read


def _problem(text: str, kind: str, **more: object) -> Problem:
    read = read_quantity(text, kind, **more)  # type: ignore[arg-type]
    assert isinstance(read, Problem), read
    return read


def test_the_stated_half_width_and_band_are_kept() -> None:
    assert _read("36 cm +/- 5 mm", "length").half == Decimal("0.5")
    assert _read("36 cm", "length").half is None
    assert _read("68 F +/- 9 F", "temperature").half == 5
    for text in ("<1 mg/L as N", ">1 mg/L as N", "1..2 mg/L as N", "unreadable"):
        assert _read(text, "tan").band
    assert not _read("1 mg/L as N", "tan").band


def test_total_ammonia_says_what_it_is_counted_as_or_names_its_kit() -> None:
    problem = _problem("2 mg/L", "tan")
    assert problem.code == "ambiguous-unit"
    assert problem.hint == "write 2 mg/L as N, 2 mg/L as NH3 or 2 mg/L as NH4"
    for basis, factor in (("N", "1"), ("NH3", "0.8224"), ("NH4", "0.7765")):
        by_kit, said = _read("1 mg/L", "tan", basis=basis), _read(f"1 mg/L as {basis}", "tan")
        assert by_kit.value == said.value
        assert by_kit.basis == said.basis == basis
        assert said.value is not None
        # water chemistry brief: TAN-N = 0.7765 x mg/L NH4 = 0.8224 x mg/L NH3
        assert round(said.value, 4) == Decimal(factor)
    # what is typed counts more than what the kit is known to report
    assert _read("1 mg/L as N", "tan", basis="NH3").basis == "N"


def test_nitrite_and_nitrate_keep_the_basis_they_were_read_in() -> None:
    assert _read("2 mg/L as NO3", "no3").basis == "NO3"
    assert _read("2 mg/L", "no3").basis is None
    assert _read("2 mg/L", "no3", basis="N").basis == "N"
    assert _read("2 mg/L as NO3", "no3").value == 2
    assert _problem("2 mg/L as NO3", "no2").code == "wrong-kind"


def test_two_bases_in_one_reading_are_refused() -> None:
    assert _problem("0.5 mg/L as N..1 mg/L as NH3", "tan").code == "wrong-kind"


@pytest.mark.parametrize(
    ("form", "forms", "understood"),
    [
        ("powder", (), "% w/w"),
        ("tablet", ("% w/w", "% w/v"), "% w/w"),
        ("liquid", ("% w/w", "mg/mL"), "% w/w"),
        ("liquid", ("% w/v",), "% w/v"),
        ("liquid", ("% w/w", "% w/v"), None),
        ("liquid", ("mg/mL",), None),
        ("w/v", ("% w/w",), "% w/v"),
        (None, ("% w/w", "% w/w"), "% w/w"),
        (None, (), None),
    ],
)
def test_a_bare_percent_strength_is_read_only_when_one_meaning_is_possible(
    form: str | None, forms: tuple[str, ...], understood: str | None
) -> None:
    read = read_quantity("37 %", "strength", form=form, forms=forms)
    if understood is None:
        assert isinstance(read, Problem)
        assert read.code == "ambiguous-unit"
        assert "37 % w/w" in read.hint
        assert "37 % w/v" in read.hint
    else:
        assert isinstance(read, Quantity)
        assert read.unit == understood
        assert read.value == 37
        assert f"% {read.basis}" == understood


def test_a_percent_concentration_is_weight_in_volume_only_where_the_caller_says_so() -> None:
    assert _read("0.3 %", "concentration", form="w/v").value == 3000
    assert _problem("0.3 %", "concentration").code == "ambiguous-unit"


def test_every_exact_choice_offered_is_accepted() -> None:
    words = ("gal", "gallon", "oz", "fl oz", "pt", "quart", "ppm", "ppt", "ppb", "%", "mg/L",
             "mcg/L", "dH", "gph", "gpm", "gal/h", "ug/L")  # fmt: skip
    offered = 0
    for kind in KINDS:
        for word in words:
            read = read_quantity(f"1 {word}", kind)
            if not isinstance(read, Problem) or read.code != "ambiguous-unit":
                continue
            for choice in re.split(", | or ", read.hint.removeprefix("write ")):
                assert isinstance(read_quantity(choice, kind), Quantity), (kind, word, choice)
                offered += 1
    assert offered > 30


def test_every_missing_unit_hint_can_be_typed() -> None:
    for kind in KINDS.values():
        read = read_quantity("1", kind.name)
        if isinstance(read, Problem) and read.code == "unit-missing":
            for choice in re.split(", | or ", read.hint.removeprefix("write ")):
                typed = read_quantity(choice, kind.name)
                fits = isinstance(typed, Quantity) or typed.code == "out-of-range"
                assert fits, (kind.name, choice)


def test_the_comma_is_the_point_only_for_those_who_chose_it() -> None:
    assert _read("1,5 g", "amount", comma=True).value == Decimal("1.5")
    assert _read("0,5..1 mg/L as N", "tan", comma=True).value == Decimal("0.75")
    assert _problem("1.5 g", "amount", comma=True).hint == "write 1,5"
    assert _problem("1.000,5 g", "amount", comma=True).column == 2
    assert _problem("1,5 g", "amount").hint == "write 1.5"
    assert _problem("1,000 g", "amount").hint == "write 1000 or 1"
    assert _problem("1,250 g", "amount").hint == "write 1250 or 1.25"


def test_zero_follows_the_kind_unless_the_caller_says_else() -> None:
    assert _read("0 mg/L", "concentration", zero_ok=True).value == 0
    assert _problem("0", "count", zero_ok=False).code == "out-of-range"
    for kind, text in (("tan", "0 mg/L as N"), ("salt", "0 g/L"), ("no2", "0 mg/L")):
        assert _read(text, kind).value == 0


def test_bands_are_for_readings_only() -> None:
    for text in ("<5 g", ">5 g", "4..5 g"):
        assert _problem(text, "amount").code == "not-a-number"
    assert _problem("unreadable", "amount").code == "not-a-number"
    assert _problem("<=5 mg/L as N", "tan").column == 2
    assert _problem("1...2 mg/L as N", "tan").code == "not-a-number"
    assert _problem("<5 +/- 1 mg/L as N", "tan").code == "not-a-number"
    assert _problem("1 mg/L as N..2", "no2").code == "unit-missing"


def test_a_spread_is_in_the_same_kind_of_unit_and_not_below_zero() -> None:
    assert _problem("36 cm +/- 1 g", "length").code == "wrong-kind"
    assert _problem("36 g +/- 1 mL", "amount").code == "wrong-kind"
    assert _problem("36 cm +/- -1 cm", "length").code == "out-of-range"
    assert _problem("36 cm +/-", "length").code == "not-a-number"
    assert _problem("36 cm +/- 1 +/- 1", "length").code == "not-a-number"


def test_a_number_typed_in_the_other_degree_is_asked_about() -> None:
    assert _problem("68 C", "temperature").hint == "did you mean 68 F (20 C)?"
    assert _problem("12 F", "temperature").hint == "did you mean 12 C?"
    assert "did you mean" not in _problem("-300 C", "temperature").hint


@pytest.mark.parametrize(
    ("kind", "unit", "low", "high"),
    [
        ("ph", "", "0", "14"),
        ("share", "", "0", "1"),
        ("percent", "%", "0", "100"),
        ("strength", "% w/w", None, "100"),
        ("strength", "% v/v", None, "100"),
        ("salt", "g/L", "0", "360"),
        ("saltiness", "g/L", "0", "360"),
        ("saltiness", "SG", "0.99", "1.04"),
        ("gravity", "SG", "0.99", "1.04"),
        ("temperature", "C", "-10", "45"),
        ("temperature", "F", "14", "113"),
        ("pressure", "hPa", "300", "1100"),
        ("altitude", "m", "-450", "9000"),
    ],
)
def test_the_ends_can_be_and_what_is_beyond_them_cannot(
    kind: str, unit: str, low: str | None, high: str
) -> None:
    bit = Decimal("0.001")
    for end, beyond in ((low, -bit), (high, bit)):
        if end is None:
            continue
        assert isinstance(read_quantity(f"{end} {unit}", kind), Quantity)
        assert _problem(f"{Decimal(end) + beyond} {unit}", kind).code == "out-of-range"


def test_a_band_is_checked_at_both_ends_and_may_be_a_point() -> None:
    assert _problem("7..15", "ph").code == "out-of-range"
    assert _read("7..7", "ph").value == 7


def test_a_count_is_whole() -> None:
    for text in ("3.0", "2.5"):
        assert _problem(text, "count").code == "not-a-number"


def test_the_nearest_spelling_is_offered_and_never_read() -> None:
    for text, kind, meant in (
        ("20 l", "volume", "20 L"),
        ("5 Mg", "amount", "5 mg"),
        ("5 hours", "duration", "5 h"),
        ("12 inches", "length", "12 in"),
        ("2 us gal", "volume", "2 US gal"),
    ):
        problem = _problem(text, kind)
        assert problem.code == "unknown-unit"
        assert f"did you mean {meant}?" in problem.hint


def test_weighing_is_asked_for_where_a_spoon_is_named() -> None:
    assert "weigh it once" in _problem("2 tsp", "amount").hint
    assert "density" in _problem("5 g", "volume").hint
    assert "mg/L" in _problem("3 mg/10 L", "concentration").hint


def test_a_diluted_reading_is_multiplied_whole() -> None:
    read = dilute(_read("2..4 mg/L as N", "tan"), 4)
    assert [read.value, read.low, read.high] == [Decimal(12), Decimal(8), Decimal(16)]
    assert dilute(_read(">8 mg/L as N", "tan"), 4).high is None
    assert dilute(_read("2 mg/L as N +/- 0.1", "tan"), Decimal("2.5")).half == Decimal("0.25")
    assert dilute(_read("unreadable", "tan"), 4).value is None
    with pytest.raises(ValueError, match="at least 1"):
        dilute(read, 0)


def test_the_same_family_can_be_told_in_its_other_units() -> None:
    assert in_unit(_read("2 mg/L", "concentration"), "g/L") == Decimal("0.002")
    assert in_unit(_read("0.3 %", "salt"), "mg/L") == 3000
    assert in_unit(_read("5 kg", "amount"), "mg") == 5_000_000
    assert in_unit(_read("37 % w/v", "strength"), "mg/mL") == 370
    assert in_unit(_read("20 C", "temperature"), "F") == 68
    for text, kind, unit in (
        ("20 uL/L", "concentration", "mg/L"),
        ("5 g", "amount", "mL"),
        ("37 % w/w", "strength", "mg/mL"),
        ("5 g", "amount", "stone"),
    ):
        told = in_unit(_read(text, kind), unit)
        assert isinstance(told, Problem)
        assert told.code == "wrong-kind"
    assert isinstance(in_unit(_read("unreadable", "tan"), "mg/L as N"), Problem)


def test_reading_does_not_depend_on_the_callers_decimal_settings() -> None:
    plain = read_quantity("3.1234567 US gal", "volume")
    with localcontext() as context:
        context.prec = 3
        assert read_quantity("3.1234567 US gal", "volume") == plain


CHARACTERS = st.sampled_from("0123456789.,-+eE_ '<>±/%OlxmgLkuNaHs\t\n\u0665\u00b2\u200b\u22125")
KIND_NAMES = st.sampled_from(sorted(KINDS))
TEXTS = st.one_of(
    st.text(max_size=45),
    st.text(CHARACTERS, max_size=20),
    st.tuples(
        st.from_regex(r"[-+<>]?[0-9.,]{1,8}( ?\+/- ?[0-9.]{1,4})?", fullmatch=True),
        st.sampled_from(sorted({name for kind in KINDS.values() for name in kind.spellings})),
    ).map(" ".join),
)


@settings(max_examples=500, deadline=None)
@given(TEXTS, KIND_NAMES, st.booleans())
@example("\ud800 g", "amount", False)
@example("..", "ph", False)
@example("±", "ph", False)
@example("<", "ph", False)
@example(" as ", "tan", False)
@example("1 as N", "tan", False)
def test_any_text_is_a_quantity_or_a_problem(text: str, kind: str, comma: bool) -> None:
    read = read_quantity(text, kind, comma=comma)
    if isinstance(read, Problem):
        assert read.code in CODES
        assert read.hint
        assert inert(read.text) == read.text
        assert 1 <= read.column <= len(text) + 1
        return
    for end in (read.low, read.value, read.high):
        assert end is None or end.is_finite()
    known = [end for end in (read.low, read.value, read.high) if end is not None]
    assert known == sorted(known)


CODES = {"not-a-number", "unit-missing", "ambiguous-unit", "unknown-unit", "wrong-kind",
         "out-of-range"}  # fmt: skip

# A second reader, from the definition of the accepted form, in fractions.
PLAIN = re.compile(r"[ \t]*(-?)([0-9]{1,7})?(?:\.([0-9]{1,12}))?[ ]*([^0-9. -][^\n]*?)?[ \t]*")
GRAMS: dict[str, int | Fraction] = {
    "mcg": 1,
    "ug": 1,
    "mg": 1000,
    "g": 10**6,
    "kg": 10**9,
    "lb": 453_592_370,
    "oz mass": Fraction(45_359_237 * 10, 16),
}
"""Micrograms in one; pound by the 1959 agreement."""


def _reference(text: str) -> Fraction | None:
    match = PLAIN.fullmatch(text)
    if match is None:
        return None
    minus, whole, part, unit = match.groups()
    factor = GRAMS.get(" ".join((unit or "").replace("\u00b5", "u").split()))
    if minus or factor is None or (whole is None and part is None):
        return None
    if whole is not None and len(whole) > 1 and whole[0] == "0":
        return None
    number = Fraction(int(whole or "0")) + Fraction(int(part or "0"), 10 ** len(part or ""))
    return number * Fraction(factor) / 10**6 or None


@settings(max_examples=1000, deadline=None)
@given(
    st.one_of(
        st.text("0123456789.,_eE +-mgkulbc", max_size=14),
        st.tuples(
            st.from_regex(r"[0-9]{0,8}\.?[0-9]{0,13} ?", fullmatch=True),
            st.sampled_from([*GRAMS, "\u00b5g", "Mg", ""]),
        ).map("".join),
    )
)
@example("1,5 g")
@example("0.5g")
@example("1e3 g")
@example("9999999.999999999999 oz mass")
def test_nothing_is_read_otherwise_than_a_reference_reader_does(text: str) -> None:
    read = read_quantity(text, "mass")
    expected = _reference(text)
    if expected is None:
        assert isinstance(read, Problem), read
    else:
        assert isinstance(read, Quantity), read
        assert read.value is not None
        assert Fraction(read.value) == expected


@given(
    st.decimals(min_value=Decimal("0.0001"), max_value=9_999_999, places=4),
    st.sampled_from([unit.spelling for unit in KINDS["volume"].units]),
)
def test_a_quantity_comes_back_in_the_unit_it_was_typed_in(number: Decimal, unit: str) -> None:
    read = _read(f"{number:f} {unit}", "volume")
    told = in_unit(read, unit)
    assert isinstance(told, Decimal)
    assert abs(told - number) < Decimal("1e-18")
