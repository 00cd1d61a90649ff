from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from intake.science.conditions import Reading, broken_conditions, judge_conditions
from intake.science.mixing import Present, Recent, clashes, judge_mixing
from intake.science.problem import Refused
from intake.science.treatment import Condition, NeverMix
from tests.science.doses import NEVER, NOW, READ, D, ago, reading


def condition(
    low: str | None, high: str | None, *, evidence: str = "measured", hard: bool = True
) -> Condition:
    return Condition(
        "oxygen",
        None if low is None else D(low),
        None if high is None else D(high),
        "mg/L",
        evidence,
        D(24),
        READ,
        hard=hard,
        warning="oxygen",
        text="air on" if not hard else "",
    )


def refused(held: Condition, **readings: Reading) -> Refused:
    with pytest.raises(Refused) as caught:
        judge_conditions((held,), readings, NOW)
    found = broken_conditions((held,), readings, NOW)
    assert [b.code for b in found] == [caught.value.code]
    return caught.value


def test_inside_is_silent() -> None:
    held = condition("5", "9")
    assert judge_conditions((held,), {"oxygen": reading("7")}, NOW) == ()
    assert broken_conditions((held,), {"oxygen": reading("7")}, NOW) == ()


def test_no_reading_is_refused() -> None:
    assert refused(condition("5", None)).code == "reading-missing"
    assert refused(condition("5", None), temp=reading("7")).code == "reading-missing"


@pytest.mark.parametrize(
    ("asked", "had", "counts"),
    [
        ("measured", "measured", True),
        ("measured", "estimated", False),
        ("measured", "witnessed", False),
        ("estimated", "measured", True),
        ("estimated", "estimated", True),
        ("estimated", "witnessed", False),
        ("witnessed", "witnessed", True),
        ("witnessed", "measured", True),
        ("witnessed", "estimated", False),
    ],
)
def test_a_reading_counts_by_its_evidence(asked: str, had: str, counts: bool) -> None:
    held, read = condition("5", None, evidence=asked), reading("7", how=had)
    if counts:
        assert judge_conditions((held,), {"oxygen": read}, NOW) == ()
    else:
        assert refused(held, oxygen=read).code == "reading-missing"


def test_at_its_greatest_age_a_reading_counts_and_a_second_later_not() -> None:
    held = condition("5", None)
    assert judge_conditions((held,), {"oxygen": reading("7", hours=24)}, NOW) == ()
    late = Reading(D(7), D(7), D(7), ago(24) - timedelta(seconds=1))
    stale = refused(held, oxygen=late)
    assert stale.code == "reading-stale"
    assert stale.limit == 24


@pytest.mark.parametrize(
    ("value", "half", "inside"),
    [
        ("5", "0", True),
        ("4.99999999999", "0", False),
        ("9", "0", True),
        ("9.00000000001", "0", False),
        ("5.5", "0.5", True),
        ("5.5", "0.500000000001", True),  # the 13th digit of the end
        ("5.5", "0.51", False),
        ("8.5", "0.51", False),
    ],
)
def test_a_band_is_judged_at_its_harmful_end(value: str, half: str, inside: bool) -> None:
    held, read = condition("5", "9"), reading(value, half=half)
    if inside:
        assert judge_conditions((held,), {"oxygen": read}, NOW) == ()
    else:
        out = refused(held, oxygen=read)
        assert out.code == "out-of-condition"
        assert out.source == READ.text
        low_side = out.limit == 5.0
        assert low_side or out.limit == 9.0
        assert ("at least 5 mg/L" if low_side else "at most 9 mg/L") in str(out)


def test_an_open_end_on_the_harmful_side_is_outside() -> None:
    over_eight = Reading(D(8), D(8), None, NOW)
    assert judge_conditions((condition("5", None),), {"oxygen": over_eight}, NOW) == ()
    assert refused(condition("5", "9"), oxygen=over_eight).code == "out-of-condition"


def test_missing_is_said_before_stale_and_stale_before_outside() -> None:
    conditions = (
        condition("5", None),
        Condition("temp", None, D(20), "C", "measured", D(24), READ),
        Condition("ph", D(6), D(8), "", "measured", D(24), READ),
    )
    readings = {"oxygen": reading("1"), "temp": reading("19", hours=30)}
    with pytest.raises(Refused) as first:
        judge_conditions(conditions, readings, NOW)
    assert first.value.code == "reading-missing"
    with pytest.raises(Refused) as second:
        judge_conditions(conditions[:2], readings, NOW)
    assert second.value.code == "reading-stale"
    assert [b.code for b in broken_conditions(conditions, readings, NOW)] == [
        "out-of-condition",
        "reading-stale",
        "reading-missing",
    ]


@pytest.mark.parametrize("readings", [{}, {"oxygen": reading("1")}])
def test_a_soft_condition_warns_when_broken_or_unknown(readings: dict[str, Reading]) -> None:
    (warning,) = judge_conditions((condition("5", None, hard=False),), readings, NOW)
    assert warning.code == "oxygen"
    assert warning.text.startswith("air on: oxygen")
    assert broken_conditions((condition("5", None, hard=False),), readings, NOW) == ()


# -- never in the same water ---------------------------------------------------------------------


def judged(treatment: str, *present: Present, recent: tuple[Recent, ...] = ()) -> list[str]:
    found = clashes(treatment, NEVER, present, recent, NOW)
    return [w.code for w in judge_mixing(found)]


@pytest.mark.parametrize(
    ("high", "meets"), [("0.005", False), ("0.005000000000001", False), ("0.00500000000001", True)]
)
def test_a_trace_is_gone_and_more_is_not(high: str, meets: bool) -> None:
    left = Present("potassium-permanganate", D(high), "mg/L")
    if meets:
        with pytest.raises(Refused) as caught:
            judged("formalin", left)
        assert caught.value.code == "never-mix"
        assert "may explode" in str(caught.value)
        assert caught.value.source == READ.text
    else:
        assert judged("formalin", left) == []


def test_a_pair_holds_both_ways() -> None:
    with pytest.raises(Refused):
        judged("potassium-permanganate", Present("formalin", D(15), "uL/L"))


def test_what_is_to_go_in_together_counts_as_there() -> None:
    with pytest.raises(Refused, match="with it"):
        judged("formalin", Present("potassium-permanganate", D(0), "mg/L", planned=True))


def test_a_soft_pair_warns_that_sources_disagree() -> None:
    assert judged("formalin", Present("salt", D(2), "g/L")) == ["sources-disagree"]
    assert judged("formalin", Present("salt", D("0.1"), "g/L")) == []


@pytest.mark.parametrize(("hours", "meets"), [(95.99, True), (96, False), (200, False)])
def test_fish_bring_their_last_days_with_them(hours: float, meets: bool) -> None:
    met = Recent("potassium-permanganate", ago(hours), "Blue pool")
    if meets:
        with pytest.raises(Refused, match="Blue pool") as caught:
            judged("formalin", recent=(met,))
        assert caught.value.limit == 4
    else:
        assert judged("formalin", recent=(met,)) == []
    assert judged("formalin", recent=(Recent("salt", ago(1)),)) == []


def test_a_pair_of_one_day_and_a_residue_in_a_unit_of_its_own() -> None:
    pair = NeverMix("levamisole", "heat", "why", READ, D(1), hard=True)
    for hours, meets in ((23.9, True), (24, False)):
        found = clashes("levamisole", (pair,), (), (Recent("heat", ago(hours)),), NOW)
        assert bool(found) is meets
    assert clashes("levamisole", (pair,), (Present("heat", D("0.01"), "C"),), (), NOW)
    assert not clashes("levamisole", (pair,), (Present("heat", D(0), "C"),), (), NOW)


def test_any_is_every_other_treatment_but_never_itself() -> None:
    pair = NeverMix("praziquantel", "any", "leaflet: none within 10 days", READ, D(10), hard=False)
    (clash,) = clashes("formalin", (pair,), (), (Recent("praziquantel", ago(48)),), NOW)
    assert (clash.other, clash.value) == ("praziquantel", Decimal(2))
    assert clashes("praziquantel", (pair,), (), (Recent("praziquantel", ago(48)),), NOW) == ()
    assert clashes("salt", (pair,), (), (Recent("formalin", ago(48)),), NOW) == ()


def test_what_was_given_today_is_told_in_hours_and_minutes() -> None:
    met = Recent("formalin", ago(0.1656), "North tub")
    found = clashes("potassium-permanganate", NEVER, (), (met,), NOW)
    assert found[0].text == "formalin was given in North tub 9 min ago"


@pytest.mark.parametrize(
    ("low", "high", "undecided"),
    [("4", "8", True), ("3", "4.9", False), (None, "8", True), ("4", None, True)],
)
def test_a_reading_across_the_limit_says_that_it_cannot_decide(
    low: str | None, high: str | None, undecided: bool
) -> None:
    across = Reading(
        D("5"), None if low is None else D(low), None if high is None else D(high), NOW
    )
    told = refused(condition("5", None), oxygen=across)
    assert told.code == "out-of-condition"
    assert ("the kit cannot decide, a finer reading would" in told.text) is undecided


@pytest.mark.parametrize(
    ("low", "high", "undecided"),
    [("8.5", "9.5", True), ("9.1", "9.5", False), ("9", "9.5", True), (None, "9.5", True)],
)
def test_a_reading_across_the_upper_limit_cannot_decide_and_one_over_it_can(
    low: str | None, high: str, undecided: bool
) -> None:
    """At most 9 mg/L: a kit that reads 9.1 to 9.5 has decided, 9 to 9.5 has not."""
    across = Reading(D(9), None if low is None else D(low), D(high), NOW)
    told = refused(condition("5", "9") if low else condition(None, "9"), oxygen=across)
    assert (told.code, told.limit) == ("out-of-condition", 9)
    assert ("the kit cannot decide" in told.text) is undecided


def test_the_way_out_of_a_condition_is_its_own_where_the_protocol_has_one() -> None:
    own = replace(condition("5", None), text="air on and wait an hour")
    assert refused(own, oxygen=reading("4")).way_out == "air on and wait an hour"
    plain = refused(condition("5", None), oxygen=reading("4"))
    assert plain.way_out == "bring oxygen inside first, or wait"


def test_a_pair_of_the_water_alone_never_looks_at_what_fish_met() -> None:
    """A pair of no days, and a dose written down for a minute from now."""
    pair = NeverMix("levamisole", "heat", "why", READ, D(0), hard=True)
    for hours in (1, 0, -0.02):
        assert clashes("levamisole", (pair,), (), (Recent("heat", ago(hours)),), NOW) == ()
