"""Kits at work: what they leave open of a reading in the journal, and when it is doubted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows import asking
from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.dosing import dose_in_room
from intake.flows.jobs.start import room_things
from intake.flows.jobs.words import reading_shown
from intake.flows.kits import doubted
from intake.flows.record import Said, record
from intake.flows.rooms import show_room
from intake.science.problem import Unreadable
from tests.flows.job_rooms import put, small_desk, then

STEPS = "0 0.25 0.5 1 2 4 8"
NOON = "2026-11-20 12:00"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = small_desk(tmp_path)
    put(made, "2026-11-05 09:00", "vessel", name="Tub", shape="box", length="100 cm",
        width="50 cm", depth="40 cm")  # fmt: skip
    put(made, "2026-11-05 09:01", "kit", name="drops", tests="tan", reports="N", steps=STEPS,
        expires="2026-12-01", fooled_by="formalin, binder")  # fmt: skip
    put(made, "2026-11-05 09:02", "kit", name="pen", tests="ph,temp", error="0.05 pH")
    return made


def read(desk: Desk, when: str = NOON, **typed: Any) -> dict[str, Any]:
    return record(then(desk, when), "reading", {"subject": "Tub", **typed})


def codes(answer: dict[str, Any]) -> list[str]:
    return [w["code"] for w in answer["warnings"]]


def test_a_kit_s_colours_give_a_reading_its_ends(desk: Desk) -> None:
    answer = read(desk, tan="1 mg/L", kit="drops")
    told = answer["read"]
    assert [told[f"tan_n_mg_l{e}"] for e in ("", "_low", "_high")] == [1, 0.5, 2]
    with at_work(then(desk, NOON)) as book:
        fact = next(book.facts.waters()).readings["tan"]
    assert (fact.value, fact.low, fact.high) == (1, 0.5, 2)


def test_each_of_several_kits_reads_what_it_tests(desk: Desk) -> None:
    answer = read(desk, tan="0 mg/L", ph="7.6", temp="20 C", kh="6 dKH", kit="drops, pen")
    told = answer["read"]
    assert (told["tan_n_mg_l_low"], told["tan_n_mg_l_high"]) == (0, 0.25)
    assert (told["ph_low"], told["ph_high"]) == (7.55, 7.65)
    assert (told["temp_c_low"], told["temp_c_high"]) == (19.5, 20.5)
    assert told["kh_meq_l_low"] == told["kh_meq_l_high"] == told["kh_meq_l"]
    assert any("0.5 C, common practice" in text for text in answer["assumptions"])
    corrected = correct(then(desk, NOON), answer["entry"], {"ph": "7.8"}, Said(why="misread"))
    assert corrected["entry"]
    with at_work(then(desk, NOON)) as book:
        facts = next(book.facts.waters()).readings
    assert (facts["ph"].low, facts["ph"].high) == (7.75, 7.85)
    assert facts["tan"].high == 0.25


def test_two_kits_for_one_thing_are_asked_about(desk: Desk) -> None:
    put(desk, "2026-11-05 09:05", "kit", name="strips", tests="tan,no2", reports="N", steps=STEPS)
    with pytest.raises(Unreadable) as wrong:
        read(desk, tan="1 mg/L", kit="drops, strips")
    told = next(p for p in wrong.value.problems if p.path == "--kit")
    assert "drops and strips both test tan" in told.text


def test_over_the_top_is_pointed_out_and_the_top_asks_to_dilute(desk: Desk) -> None:
    with pytest.raises(Unreadable) as wrong:
        read(desk, tan="16 mg/L", kit="drops")
    assert [(p.code, p.path) for p in wrong.value.problems] == [("out-of-range", "--tan")]
    top = read(desk, tan="8 mg/L", kit="drops")
    assert top["read"]["tan_n_mg_l_high"] is None
    assert codes(top) == ["kit-cannot-show"]
    assert top["dilute"]["parts"] == 4
    assert "3 parts of water that reads 0" in top["dilute"]["text"]
    thinned = read(desk, tan="4 mg/L", kit="drops", diluted="4")
    ends = [thinned["read"][f"tan_n_mg_l{e}"] for e in ("", "_low", "_high")]
    assert ends == [16, 8, 32]
    assert any("5 %" in text for text in thinned["assumptions"])
    again = read(desk, tan=">8 mg/L", kit="drops", diluted="4")
    assert again["dilute"]["parts"] == 16


def test_a_reading_counted_otherwise_than_the_room_s_kit(desk: Desk) -> None:
    other = read(desk, tan="1 mg/L as NH3")
    assert any("drops reports N" in text for text in other["assumptions"])
    assert not read(desk, tan="1 mg/L as N")["assumptions"]


def test_past_its_date_a_kit_is_believed_with_a_warning(desk: Desk) -> None:
    late = read(desk, "2026-12-02 12:00", tan="0 mg/L", kit="drops")
    assert codes(late) == ["kit-expired"]
    with at_work(then(desk, "2026-12-02 12:00")) as book:
        system = next(book.facts.waters())
        assert "expired 2026-12-01" in doubted(book, system, system.readings["tan"])
    kit = 4
    correct(then(desk, "2026-12-02 13:00"), kit, {"expires": "2027-12-01"}, Said(why="misread"))
    with at_work(then(desk, "2026-12-02 13:00")) as book:
        system = next(book.facts.waters())
        assert doubted(book, system, system.readings["tan"]) == ""


def test_what_was_lately_in_that_water_fools_a_kit(desk: Desk) -> None:
    before = read(desk, "2026-11-14 12:00", tan="0 mg/L", kit="drops")
    assert codes(before) == []
    put(desk, "2026-11-15 12:00", "given", Said(why="before I looked"), system="Tub",
        treatment="formalin", amount="3 mL")  # fmt: skip
    after = read(desk, "2026-11-16 12:00", tan="0 mg/L", ph="7.6", kit="drops, pen")
    assert codes(after) == ["kit-fooled"]
    assert "do not trust" in after["warnings"][0]["text"]
    with at_work(then(desk, "2026-11-16 13:00")) as book:
        system = next(book.facts.waters())
        assert "formalin" in doubted(book, system, system.readings["tan"])
        assert doubted(book, system, system.readings["ph"]) == ""


def test_a_binder_chosen_for_a_bag_fools_its_kit(desk: Desk) -> None:
    put(desk, "2026-11-20 09:00", "shipment", **{"name": "S", "from": "A", "delivered":
        "2026-11-20 08:50"})  # fmt: skip
    put(desk, "2026-11-20 09:01", "reading", subject="Tub", temp="20 C", ph="7.8", kh="6 dKH")
    put(desk, "2026-11-20 09:02", "bag", box="S", fish="2", temp="19 C", ph="6.8", kh="5 dKH",
        tan="1 mg/L", kit="drops")  # fmt: skip
    put(desk, "2026-11-20 09:10", "acclimation", Said(why="vet"), box="S", bag="1",
        chosen="drip-with-binder", vessel="Tub")  # fmt: skip
    late = record(then(desk, "2026-11-20 09:30"), "bag", {"box": "S", "bag": "1",
                  "tan": "0.5 mg/L", "kit": "drops"})  # fmt: skip
    assert codes(late) == ["kit-fooled"]
    assert "ammonia-binder is in the bag" in late["warnings"][0]["text"]


def test_a_word_that_names_no_treatment_is_said(desk: Desk) -> None:
    answer = record(desk, "kit", {"name": "B", "tests": "no2", "fooled_by": "copper-sulfate, tea"})
    assert [a for a in answer["assumptions"] if "'tea'" in a]


def test_what_a_sheet_shows_of_a_kit(desk: Desk) -> None:
    read(desk, "2026-12-02 12:00", tan=">8 mg/L", kit="drops")
    with at_work(then(desk, "2026-12-02 13:00")) as book:
        system = next(book.facts.waters())
        shown = reading_shown(book, system.readings["tan"], system=system)
    assert (shown.text, shown.doubtful) == ("over 8", True)
    assert shown.origin == "kit expired, read 12:00 today"


def test_a_dose_says_where_it_rests_on_a_kit_not_to_be_trusted(desk: Desk) -> None:
    put(desk, "2026-11-05 09:03", "kit", name="glass", tests="temp,oxygen",
        expires="2026-11-10")  # fmt: skip
    record(then(desk, NOON), "reading", {"subject": "Tub", "temp": "20 C", "oxygen": "8 mg/L",
                                         "kit": "glass"})  # fmt: skip
    answer = dose_in_room(
        then(desk, "2026-11-20 13:00"), {"treatment": "formalin", "vessel": "Tub"}
    )
    assert "kit-expired" in codes(answer)


def test_a_kit_that_runs_out_is_said_until_another_tests_the_same(desk: Desk) -> None:
    def said(when: str) -> list[str]:
        return [a["text"] for a in asking.today(then(desk, when))["alerts"]]

    assert said("2026-11-16 12:00") == []
    assert said("2026-11-17 12:00") == ["drops expires Tue 1 Dec: get one in date for TAN"]
    assert said("2026-12-02 12:00") == ["drops expired Tue 1 Dec: get one in date for TAN"]
    put(desk, "2026-12-03 12:00", "kit", name="new drops", tests="tan", expires="2027-12-01")
    assert said("2026-12-03 12:01") == []


def test_kits_are_listed_with_all_that_is_known_of_them(desk: Desk) -> None:
    shown = show_room(then(desk, "2026-12-02 12:00"))["kits"]
    assert shown[0] == {
        "name": "drops", "tests": ["tan"], "reports": "N", "steps": STEPS,
        "expires": "2026-12-01", "expired": True, "fooled_by": ["formalin", "binder"], "error": "",
    }  # fmt: skip
    assert shown[1]["expires"] is None
    kept = next(k for k in room_things(then(desk, "2026-12-02 12:00")) if k.kind == "kit")
    assert kept.there == "drops, TAN as N, expired 2026-12-01; pen, pH temperature"
