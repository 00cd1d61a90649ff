"""The release check of water: what is missing, what a kit cannot decide, what is doubted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows import asking
from intake.flows.desk import Desk
from intake.flows.record import Said, record
from tests.flows.job_rooms import put, small_desk, then

DAYS = range(6, 20)
NOW = "2026-11-19 13:00"
GOOD = {"temp": "20 C", "ph": "7.4", "tan": "0 mg/L as N", "no2": "0 mg/L as NO2"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = small_desk(tmp_path)
    put(made, "2026-11-05 09:00", "vessel", name="Tub", shape="box", length="100 cm",
        width="50 cm", depth="40 cm", zone="quarantine")  # fmt: skip
    put(made, "2026-11-05 09:01", "kit", name="drops", tests="tan", reports="N",
        steps="0 0.25 0.5 1 2 4 8", fooled_by="formalin")  # fmt: skip
    put(made, "2026-11-05 09:02", "kit", name="pink", tests="no2", steps="0 0.25 0.5 1",
        expires="2026-12-31")  # fmt: skip
    put(made, "2026-11-05 10:00", "quarantine", system="Tub", plan="standard")
    put(made, "2026-11-05 11:00", "fish", name="Ash", variety="oranda", into="Tub")
    return made


def tested(desk: Desk, **other: str | None) -> None:
    """A test at noon of every day, with these readings instead of the good ones."""
    typed = {k: v for k, v in {**GOOD, **other}.items() if v is not None}
    for day in DAYS:
        record(then(desk, f"2026-11-{day:02} 12:00"), "reading", {"subject": "Tub", **typed})


def water(desk: Desk, when: str = NOW) -> tuple[dict[str, Any], list[str]]:
    answer = asking.checks(then(desk, when), "Tub")
    state = next(c for c in answer["checks"] if c["check"] == "water")
    return state, [w["text"] for w in answer["warnings"] if w["code"] == "kit-cannot-show"]


def alerted(desk: Desk) -> list[str]:
    return [a["text"] for a in asking.today(then(desk, NOW))["alerts"]]


def test_good_tests_are_met(desk: Desk) -> None:
    tested(desk)
    assert water(desk) == ({**water(desk)[0], "state": "met"}, [])


def test_a_test_is_judged_at_its_own_temperature_and_not_at_the_day_before_s(desk: Desk) -> None:
    """1 mg/L TAN at pH 8: 0.038 mg/L NH3-N at 20 C, over 0.02, and 0.009 at 1 C (Emerson 1975)."""
    tested(desk)
    cold = {**GOOD, "tan": "1 mg/L as N", "ph": "8.0", "temp": "1 C"}
    record(then(desk, "2026-11-19 12:30"), "reading", {"subject": "Tub", **cold})
    state, _ = water(desk)
    assert "outside" not in state["evidence"]


@pytest.mark.parametrize(("name", "word"), [("no2", "nitrite"), ("tan", "TAN"), ("ph", "pH")])
def test_what_was_never_read_leaves_it_open(desk: Desk, name: str, word: str) -> None:
    tested(desk, **{name: None})
    state, _ = water(desk)
    assert state["state"] == "open"
    assert f"{word} not read in 3 days" in state["evidence"]


def test_nitrite_of_last_week_says_nothing_of_today(desk: Desk) -> None:
    record(then(desk, "2026-11-06 11:00"), "reading", {"subject": "Tub", "no2": GOOD["no2"]})
    tested(desk, no2=None)
    state, _ = water(desk)
    assert state["state"] == "open"
    assert (
        "too old; the test since cannot be judged: nitrite not read in 3 days"
        in (state["evidence"])
    )


def test_a_band_across_the_limit_decides_nothing(desk: Desk) -> None:
    # The card's first colour is 0.25 mg/L, the target 0.2: no colour may be 0 or 0.25.
    tested(desk, no2="0 mg/L as NO2", kit="pink")
    state, warned = water(desk)
    assert state["state"] == "open"
    assert warned == [
        "water: the kit cannot decide: nitrite 0 to 0.25 mg/L as NO2, limit 0.2;"
        " a nitrite kit with finer steps at 0.2 would"
    ]
    assert "Test the water again with a kit that can decide" in alerted(desk)


def test_ammonia_that_may_be_over_names_what_would_tell(desk: Desk) -> None:
    # 0.25 on the card is 0 to 0.5 mg/L; at pH 8.4 and 20 C 9.1 % of it is NH3 (Emerson 1975).
    tested(desk, tan="0.25 mg/L", ph="8.4", kit="drops")
    state, warned = water(desk)
    assert state["state"] == "open"
    assert "NH3 0 to 0.046 mg/L as N, limit 0.02" in warned[0]
    assert "a TAN kit with finer steps there would" in warned[0]


def test_over_at_both_ends_is_over(desk: Desk) -> None:
    tested(desk, tan="1 mg/L", ph="8.4", kit="drops")
    state, warned = water(desk)
    assert (state["state"], warned) == ("open", [])
    assert "outside the targets" in state["evidence"]
    assert "Put the water right and test again" in alerted(desk)


def test_off_the_chart_asks_to_dilute(desk: Desk) -> None:
    tested(desk, tan=">0.5 mg/L as N", ph="7.0")
    _, warned = water(desk)
    assert "over 0.002 mg/L as N, limit 0.02; the sample diluted, 1 part in 4" in warned[0]


def test_nitrite_counted_as_nitrogen_is_judged_as_nitrite(desk: Desk) -> None:
    # 0.1 mg/L as N is 0.33 mg/L as NO2, over 0.2; bare it may be either.
    tested(desk, no2="0.1 mg/L as N")
    assert water(desk)[0]["evidence"].startswith("outside the targets")


def test_nitrite_of_nobody_knows_which_count_decides_nothing(desk: Desk) -> None:
    tested(desk, no2="0.1 mg/L")
    state, warned = water(desk)
    assert state["state"] == "open"
    assert "saying whether it is counted as N or NO2" in warned[0]


def test_a_kit_past_its_date_counts_for_nothing(desk: Desk) -> None:
    record(then(desk, "2026-11-05 12:00"), "kit", {"name": "old", "tests": "tan", "reports": "N",
           "steps": "0 0.25 0.5", "expires": "2026-11-01"})  # fmt: skip
    tested(desk, tan="0 mg/L", kit="old")
    state, warned = water(desk)
    assert state["state"] == "open"
    assert "old expired 2026-11-01" in warned[0]


def test_a_fooled_kit_counts_for_nothing(desk: Desk) -> None:
    tested(desk, tan="0 mg/L", kit="drops")
    assert water(desk)[0]["state"] == "met"
    put(desk, "2026-11-17 15:00", "given", Said(why="white spot"), system="Tub",
        treatment="formalin", amount="3 mL")  # fmt: skip
    record(then(desk, "2026-11-19 12:30"), "reading", {"subject": "Tub", **GOOD,
           "tan": "0 mg/L", "kit": "drops"})  # fmt: skip
    state, warned = water(desk)
    assert state["state"] == "open"
    assert "formalin is in Tub or was lately, and it fools drops" in warned[0]
