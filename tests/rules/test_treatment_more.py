"""What a treatment file may say beyond one range of figures, and what is refused of it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.rules.sample import TREATMENT, codes, place_of, treatment

D = Decimal
CITED = "source: a paper\n{pad}mark: published\n"


def cited(pad: int) -> str:
    return CITED.format(pad=" " * pad)


def with_target(target: str) -> str:
    """The sample with another block of a target."""
    start, end = TREATMENT.index("      unit: g/L"), TREATMENT.index("    hard-limits:")
    return TREATMENT[:start] + target + TREATMENT[end:]


PER = (
    "      per:\n        reading: chlorine\n        each: 1 mg/L\n        end: high\n"
    "        no-older-than: 6 h\n        needed: no\n        " + cited(8)
)
ASKED = "      asked-as:\n        each: 1 dKH\n        comes-to: 30 mg/L\n        " + cited(8)
RATE = "    rate:\n      per-hour: 1 C apart\n      per-day: 2 C apart\n      " + cited(6)


def after_target(block: str) -> str:
    return TREATMENT.replace("    hard-limits:", block + "    hard-limits:", 1)


def heat(rate: str = RATE) -> str:
    """The sample as a course of heat."""
    text = TREATMENT.replace("route: prolonged", "route: heat").replace("unit: g/L", "unit: C")
    for old, new in (("1 g/L", "26 C"), ("2000 mg/L", "28 C"), ("3 g/L", "30 C")):
        text = text.replace(f"value: {old}", f"value: {new}")
    start, end = text.index("    hard-limits:"), text.index("    conditions:")
    limit = "    hard-limits:\n      - value: 30 C\n        " + cited(8)
    text = text[:start] + limit + rate + text[end:]
    return text[: text.index("    steps:")] + text[text.index("    stages:") :]


def test_figures_for_each_so_much_of_a_reading() -> None:
    (course,) = treatment(after_target(PER)).courses
    assert course.per is not None
    assert (course.per.quantity, course.per.each, course.per.end) == ("chlorine", D(1), "high")
    assert (course.per.max_age_h, course.per.needed) == (D(6), False)


def test_a_target_asked_for_as_alkalinity() -> None:
    """1 dKH = 0.356634 meq/L, by the definition of the degree."""
    (course,) = treatment(after_target(ASKED)).courses
    assert course.asked_as is not None
    each = course.asked_as.each
    assert abs(each - D("0.356634")) < D("1e-6")
    assert course.asked_as.comes_to == D("0.03")  # g/L, the unit of the course


def test_a_target_by_a_vet_ships_no_figure_and_no_limit() -> None:
    text = with_target("      unit: mg/L\n      by: vet\n")
    text = text[: text.index("    hard-limits:")] + text[text.index("    conditions:") :]
    text = text[: text.index("    steps:")] + text[text.index("    stages:") :]
    (course,) = treatment(text).courses
    assert course.by_vet
    assert not course.bounds
    assert not course.sources
    assert course.low == course.usual == course.high == 0


def test_a_limit_of_another_reading_and_one_until_a_fish_was_tried() -> None:
    more = (
        "      - value: 4 g/L\n        of: ph\n        below: \"7.0\"\n        " + cited(8)
        + "      - value: 2.6 g/L\n        untried: yes\n        " + cited(8)
    )  # fmt: skip
    (course,) = treatment(TREATMENT.replace("    soft-limits:", more + "    soft-limits:")).courses
    of_ph = next(b for b in course.bounds if b.quantity == "ph")
    assert (of_ph.value, of_ph.above, of_ph.below) == (D(4), None, D("7.0"))
    untried = next(b for b in course.bounds if b.untried)
    assert untried.value == D("2.6")


def test_heat_and_its_rate() -> None:
    (course,) = treatment(heat()).courses
    assert (course.unit, course.low, course.usual, course.high) == ("C", D(26), D(28), D(30))
    assert course.rate is not None
    assert (course.rate.per_hour_c, course.rate.per_day_c) == (D(1), D(2))


def test_repeats_by_temperature_and_what_they_depend_on() -> None:
    rows = (
        "      depends-on: [life-cycle, temperature]\n      by-temperature:\n"
        "        - at: 10 C\n          every: 10 d\n        - at: 18 C\n          every: 6 d\n"
    )
    text = TREATMENT.replace("      times: 2\n", "      times: 2\n" + rows)
    repeat = treatment(text).courses[0].repeat
    assert repeat is not None
    assert repeat.depends_on == ("life-cycle", "temperature")
    assert repeat.by_temperature == ((D(10), D(240)), (D(18), D(144)))


def test_kinds_that_do_not_stand_it_and_tests_of_ammonia() -> None:
    more = (
        "sensitive:\n  - kinds: [tench, orfe]\n    hard: yes\n    text: they die of it\n    "
        + cited(4)
        + "ammonia-tests:\n  from-dose: 2\n  until-after: 7 d\n  "
        + cited(2)
    )
    read = treatment(TREATMENT.replace("biofilter:", more + "biofilter:"))
    (part,) = read.sensitive
    assert (part.kinds, part.hard) == (("tench", "orfe"), True)
    assert read.ammonia_tests is not None
    assert (read.ammonia_tests.from_dose, read.ammonia_tests.until_after_h) == (2, D(168))


CLEAN = TREATMENT.replace("route: prolonged", "route: clean")
FIVE = "      - value: 5 g/L\n"
BACKWARDS = (
    "      times: 2\n      by-temperature:\n        - at: 18 C\n          every: 6 d\n"
    "        - at: 10 C\n          every: 10 d\n"
)


def other(old: str, new: str) -> str:
    return TREATMENT.replace(old, new)


CASES = {
    "for each nothing": (
        after_target(PER.replace("each: 1 mg/L", "each: 0 mg/L")),
        "0 mg/L\n        end",
        "out-of-range",
    ),
    "no such reading": (
        after_target(PER.replace("reading: chlorine", "reading: clor")),
        "clor\n",
        "no-such-name",
    ),
    "in another unit": (
        after_target(ASKED.replace("comes-to: 30 mg/L", "comes-to: 30 uL/L")),
        "30 uL",
        "wrong-kind",
    ),
    "alkalinity as what": (
        after_target(ASKED.replace("each: 1 dKH", "each: 1 mg/L")),
        "mg/L\n        c",
        "ambiguous-unit",
    ),
    "no figures": (with_target("      unit: mg/L\n"), "unit: mg/L\n    hard", "missing-key"),
    "a vet and figures": (after_target("      by: vet\n"), "low:", "wrong-kind"),
    "at which pH": (
        other("        above: 21 C", "        of: ph"),
        "ph\n        source",
        "missing-key",
    ),
    "perhaps": (
        other("        above: 21 C", "        untried: perhaps"),
        "perhaps",
        "wrong-kind",
    ),
    "only until tried": (
        other(FIVE, FIVE + "        untried: yes\n"),
        "hard-limits",
        "hard-limit-missing",
    ),
    "heat without a rate": (heat(""), "name: long-bath", "missing-key"),
    "a rise that is a temperature": (
        heat(RATE.replace("2 C apart", "2 C")),
        "2 C\n",
        "wrong-kind",
    ),
    "an hour over a day": (
        heat(RATE.replace("1 C apart", "3 C apart")),
        "3 C apart",
        "not-in-order",
    ),
    "a rate of salt": (after_target(RATE), "name: long-bath", "missing-key"),
    "cleaning over fish": (CLEAN, "[adult]", "wrong-kind"),
    "for nobody": (
        other("allowed: [adult]", "allowed: []"),
        "[]\n      source",
        "wrong-kind",
    ),
    "rows backwards": (other("      times: 2\n", BACKWARDS), "10 C", "not-in-order"),
}


@pytest.mark.parametrize("name", CASES)
def test_a_mistake_is_told_where_it_stands(name: str) -> None:
    text, marker, code = CASES[name]
    assert (*place_of(text, marker), code) in codes(text)


def test_a_treatment_that_only_a_vet_directs_may_go_by_the_label_alone() -> None:
    start, end = TREATMENT.index("strengths:"), TREATMENT.index("from-label:")
    text = TREATMENT[:start] + "strengths: []\n" + TREATMENT[end:]
    assert [code for _, _, code in codes(text)] == ["wrong-kind"]
    assert treatment(text.replace("status: label", "status: vet only")).strengths == ()
