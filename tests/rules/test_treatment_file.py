from __future__ import annotations

from decimal import Decimal

import pytest

from intake.science.course_parts import Source
from intake.science.treatment import Bound, Condition, DoseStep, Interval
from tests.rules.sample import TREATMENT, codes, parsed, place_of, treatment

PAPER = Source("a paper", "published")


def test_the_sample_becomes_its_frozen_shape() -> None:
    read = treatment(TREATMENT)
    assert (read.id, read.version, read.sha256, read.path) == (
        "sample",
        "1.2",
        "0" * 64,
        "sample.yaml",
    )
    assert (read.half_life_low_h, read.half_life_high_h) == (Decimal(6), Decimal(48))
    assert read.solubility_g_l == Decimal("0.1")
    assert read.usual_strength.unit == "% w/w"
    (course,) = read.courses
    assert [course.low, course.usual, course.high] == [Decimal(n) for n in (1, 2, 3)]
    assert [s.mark for s in course.sources] == ["published", "common practice", "from memory"]
    assert course.bounds == (
        Bound(Decimal(5), "g/L", PAPER),
        Bound(Decimal(4), "g/L", PAPER, above=Decimal(21)),
        Bound(Decimal("2.5"), "g/L", PAPER, hard=False, code="over-usual"),
    )
    assert course.conditions == (
        Condition(
            "oxygen", Decimal(5), None, "mg/L", "measured", Decimal(12), PAPER, True, "",
            "raise the oxygen",
        ),
    )  # fmt: skip
    assert (course.duration_min_h, course.duration_max_h) == (Decimal("0.5"), Decimal(2))
    assert course.repeat is not None
    assert (course.repeat.every_h, course.repeat.times) == (Decimal(168), 2)
    assert course.interval == Interval(Decimal(72), Decimal(168), PAPER)
    assert course.steps == (DoseStep(Decimal(1), Decimal(0)), DoseStep(Decimal(3), Decimal(12)))
    assert course.stages == ("adult",)
    assert course.duration_source == course.steps_source == course.stage_source == PAPER


# what stands in the sample, what is put there, where the problem has to point, its code
CASES = [
    # unknown keys and names
    ("from-label: no", "from-lable: no", "from-lable", "unknown-key"),
    ("    hard-limits:", "    max-does:", "max-does", "unknown-key"),
    ("route: prolonged", "route: prolong", "prolong\n", "no-such-name"),
    ("status: label", "status: banned", "banned", "no-such-name"),
    ("mark: published\nfrom", "mark: sure\nfrom", "sure", "no-such-name"),
    # numbers
    ("value: 5 g/L", "value: .nan", ".nan", "not-a-number"),
    ("value: 5 g/L", "value: .inf g/L", ".inf", "not-a-number"),
    ("value: 5 g/L", "value: 1e400 g/L", "e400", "not-a-number"),
    ("value: 5 g/L", "value: 1,5 g/L", ",5 g/L", "not-a-number"),
    ("value: 5 g/L", "value: 1_000 g/L", "_000", "not-a-number"),
    ("value: 5 g/L", "value: 010 g/L", "010", "not-a-number"),
    ("value: 5 g/L", "value: 5", "\n        source: a paper\n        mark: published\n      - v",
     "unit-missing"),
    ("value: 5 g/L", "value: 5 ppm", "ppm", "ambiguous-unit"),
    ("value: 5 g/L", "value: 5 spoons", "spoons", "unknown-unit"),
    ("value: 5 g/L", "value: 5 uL/L", "5 uL/L", "wrong-kind"),
    ("value: 5 g/L", "value: <5 g/L", "<5", "not-a-number"),
    ("value: 5 g/L", "value: 5 g/L +/- 1 g/L", "5 g/L +/-", "wrong-kind"),
    ("value: 5 g/L", "value: [5]", "[5]", "wrong-kind"),
    ("counts-as: 1", "counts-as: 1e0", "1e0", "not-a-number"),
    ("counts-as: 1", "counts-as: .5", ".5", "not-a-number"),
    ("counts-as: 1", "counts-as: 01", "01", "not-a-number"),
    ("counts-as: 1", "counts-as: 0,5", "0,5", "not-a-number"),
    ("counts-as: 1", "counts-as: 1_0", "1_0", "not-a-number"),
    ("counts-as: 1", 'counts-as: "1"', '"1"', "not-a-number"),
    ("counts-as: 1", "counts-as: .inf", ".inf", "not-a-number"),
    ("counts-as: 1", "counts-as: 1.5", "1.5", "out-of-range"),
    ("counts-as: 1", "counts-as: 0", "0\n    usual", "out-of-range"),
    ("times: 2", "times: 2.5", "2.5\n      source", "not-a-number"),
    ("times: 2", "times: -1", "-1", "out-of-range"),
    ("strength: 100 % w/w", "strength: 100 %", "100 %", "ambiguous-unit"),
    ("strength: 100 % w/w", "strength: 120 % w/w", "120 % w/w", "out-of-range"),
    ("usual: yes", "usual: true", "true", "wrong-kind"),
    ("usual: yes", "usual: no", "strengths", "wrong-kind"),
    # values that are not there
    ("title: Sample", "title:", "title", "no-value"),
    ("title: Sample", "title: ~", "~", "no-value"),
    ("title: Sample", 'title: ""', '""', "no-value"),
    ("value: 5 g/L", "value: #5", "value: #5", "no-value"),
    ("version: 1.2\n", "", "id: sample", "missing-key"),
    ("version: 1.2", "version: new", "new", "wrong-kind"),
    # order of numbers
    ("value: 1 g/L", "value: 2.5 g/L", "2000 mg/L", "not-in-order"),
    ("value: 1 g/L", "value: 0 g/L", "0 g/L", "out-of-range"),
    ("value: 3 g/L", "value: 1.5 g/L", "1.5 g/L", "not-in-order"),
    ("value: 5 g/L", "value: 2.9 g/L", "3 g/L\n        source: a paper\n        mark: from",
     "not-in-order"),
    ("value: 4 g/L", "value: 2 g/L", "2 g/L\n        above", "not-in-order"),
    ("value: 2.5 g/L", "value: 4.5 g/L", "4.5 g/L", "not-in-order"),
    ("at-most: 2 d", "at-most: 1 h", "1 h\n", "not-in-order"),
    ("at-most: 2 h", "at-most: 20 min", "20 min", "not-in-order"),
    ("usual-every: 7 d", "usual-every: 2 d", "2 d\n      source", "not-in-order"),
    ("after: 12 h", "after: 0 h", "3 g/L\n          after", "not-in-order"),
    ("target: 3 g/L", "target: 2 g/L", "steps", "not-in-order"),
    ("above: 21 C", "above: 21 C\n        below: 20 C", "20 C", "not-in-order"),
    ("at-least: 5 mg/L", "at-least: 5 mg/L\n        at-most: 4 mg/L", "4 mg/L", "not-in-order"),
    ("        at-least: 5 mg/L\n", "", "reading: oxygen", "missing-key"),
    # what belongs together
    ("form: dry\n    signal", "form: wet\n    signal", "dry", "missing-key"),
    ("route: prolonged", "route: feed", "g/L\n      low", "wrong-kind"),
    ("route: prolonged", "route: eggs", "[adult]", "wrong-kind"),
    ("  - The product label and your vet come first.", "  - Careful.", "Careful", "missing-key"),
    ("unit: g/L", "unit: ppm", "ppm", "no-such-name"),
    ("id: sample", "id: other", "other", "wrong-kind"),
    ("id: sample", "id: Sample Two", "Sample Two", "wrong-kind"),
]  # fmt: skip


@pytest.mark.parametrize(("there", "put", "marker", "code"), CASES)
def test_a_mistake_is_told_at_its_line_and_column(
    there: str, put: str, marker: str, code: str
) -> None:
    assert there in TREATMENT
    text = TREATMENT.replace(there, put, 1)
    found = codes(text)
    assert (*place_of(text, marker), code) in found, found
    assert parsed(text).content is None


@pytest.mark.parametrize("key", ["hard-limits", "stop-signs", "stages", "target", "before"])
def test_a_course_without_a_block_it_needs_is_refused(key: str) -> None:
    lines = TREATMENT.splitlines(keepends=True)
    start = next(n for n, line in enumerate(lines) if line.startswith(f"    {key}:"))
    end = next(
        (n for n in range(start + 1, len(lines)) if not lines[n].startswith("      ")), len(lines)
    )
    text = "".join(lines[:start] + lines[end:])
    (problem,) = parsed(text).problems
    assert (problem.line, problem.column) == place_of(text, "name: long-bath")
    if key == "hard-limits":
        assert problem.code == "hard-limit-missing"
        assert "cannot be dosed" in problem.text
    else:
        assert problem.code == "missing-key"
        assert key in problem.text


def test_an_empty_list_of_hard_limits_is_refused() -> None:
    start, end = TREATMENT.index("    hard-limits:"), TREATMENT.index("    soft-limits:")
    text = TREATMENT[:start] + "    hard-limits: []\n" + TREATMENT[end:]
    assert (*place_of(text, "hard-limits: []"), "hard-limit-missing") in codes(text)


def test_a_hard_limit_for_some_temperatures_only_is_not_enough() -> None:
    text = TREATMENT.replace("value: 5 g/L", "value: 5 g/L\n        below: 21 C", 1)
    assert codes(text) == [(*place_of(text, "hard-limits"), "hard-limit-missing")]


@pytest.mark.parametrize("key", ["source", "mark"])
def test_every_number_has_a_source_and_a_mark(key: str) -> None:
    """Leaving out any source or mark of the sample, one after the other, is a problem."""
    lines = TREATMENT.splitlines(keepends=True)
    places = [n for n, line in enumerate(lines) if line.strip().startswith(f"{key}:")]
    assert len(places) == 16
    for n in places:
        found = codes("".join(lines[:n] + lines[n + 1 :]))
        assert [code for _, _, code in found] == ["source-missing"], lines[n]


@pytest.mark.parametrize(
    ("wrong", "right"),
    [("hard-limts", "hard-limits"), ("stop-sign", "stop-signs"), ("hard_limits", "hard-limits")],
)
def test_an_unknown_key_gets_the_nearest_known_one(wrong: str, right: str) -> None:
    text = TREATMENT.replace("    hard-limits:", f"    {wrong}: x\n    hard-limits:", 1)
    (problem,) = parsed(text).problems
    assert problem.code == "unknown-key"
    assert f"'{right}'" in problem.hint


def test_problems_come_all_at_once() -> None:
    text = (
        TREATMENT.replace("title: Sample", "titel: Sample")
        .replace("margin: wide", "margin: broad")
        .replace("value: 3 g/L", "value: 0.5 g/L", 1)
        .replace("times: 2", "times: two")
        .replace("        mark: from memory\n", "")
    )
    assert [code for _, _, code in codes(text)] == [
        "missing-key",
        "unknown-key",
        "no-such-name",
        "source-missing",
        "not-a-number",
    ]


def test_two_courses_of_one_name_are_refused() -> None:
    course = TREATMENT[TREATMENT.index("  - name: long-bath") :]
    text = TREATMENT + course
    (problem,) = parsed(text).problems
    assert problem.code == "name-taken"
    assert problem.line == TREATMENT.count("\n") + 1


def test_a_treatment_without_a_course_cannot_be_dosed_unless_a_vet_directs_it() -> None:
    text = TREATMENT[: TREATMENT.index("courses:")] + "courses: []\n"
    assert codes(text) == [(*place_of(text, "courses"), "missing-key")]
    assert treatment(text.replace("status: label", "status: vet only")).courses == ()


def test_the_place_counts_characters_into_a_value() -> None:
    text = TREATMENT.replace("value: 5 g/L", "value: 5 spoons", 1)
    line, column = place_of(text, "5 spoons")
    assert codes(text) == [(line, column + 2, "unknown-unit")]


TAKEN = """oxygen-taken:
  for-each: 5 mg/L
  takes: 1 mg/L
  source: a paper
  mark: published
"""


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("5 mg/L", "5 mg/kg/d", "wrong-kind"),
        ("5 mg/L", "0 mg/L", "out-of-range"),
        ("takes: 1 mg/L", "takes: 1", "unit-missing"),
        ("  source: a paper\n", "", "source-missing"),
    ],
)
def test_what_it_takes_of_the_oxygen(old: str, new: str, code: str) -> None:
    taken = treatment(TREATMENT + TAKEN).oxygen_taken
    assert taken is not None
    assert (taken.each, taken.unit, taken.takes_mg_l) == (Decimal(5), "mg/L", Decimal(1))
    assert code in [c for _, _, c in codes(TREATMENT + TAKEN.replace(old, new))]
