"""Doses against a parasite in a room: windows that follow the water, late ones, and none."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.dose_ends import wait_after
from intake.flows.dose_tasks import dose_tasks
from intake.flows.doses import system_named
from intake.flows.jobs import RoomJobs
from intake.flows.parasite_runs import named_best
from intake.flows.parasite_tasks import later
from intake.flows.record import Said
from intake.flows.tub_card_doses import courses_of
from intake.science.calendar import Task
from tests.flows.job_rooms import at, put, small_desk, then
from tests.flows.test_dose_cases import BOX
from tests.science.parasites import SHIPPED

pytestmark = pytest.mark.usefixtures("quick_files")

PRAZI = {"treatment": "praziquantel", "strength": "100 %", "amount": "0.4 g"}
FLUKES = "gill flukes on a slide"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub of 200 L with three fish in it, at 20 C."""
    desk = small_desk(tmp_path)
    put(desk, "2026-11-05 08:00", "vessel", name="Tub", **BOX)
    put(desk, "2026-11-05 08:05", "group", name="Three", count="3", into="Tub", variety="comet")
    warmth(desk, 5, 20)
    return desk


def warmth(desk: Desk, day: int, low: float, high: float | None = None) -> None:
    """Both ends of a day of November, read in the evening; of the 5th in the morning."""
    hour = "08:10" if day == 5 else "21:30"
    ends = {"temp_min": f"{low} C", "temp_max": f"{low if high is None else high} C"}
    put(desk, f"2026-11-{day:02} {hour}", "reading", subject="Tub", **ends)


def dose(desk: Desk, moment: str, **more: Any) -> int:
    return put(desk, moment, "dose", system="Tub", **{**PRAZI, "reason": FLUKES, **more})


def given(desk: Desk, moment: str, treatment: str, amount: str, **more: Any) -> int:
    typed = {"system": "Tub", "treatment": treatment, "amount": amount, **more}
    return put(desk, moment, "given", Said(why="as it was"), **typed)


def doses(desk: Desk, moment: str) -> list[Task]:
    with at_work(then(desk, moment)) as book:
        return dose_tasks(book, system_named(book, "Tub"))


def after(desk: Desk, moment: str) -> list[Task]:
    with at_work(then(desk, moment)) as book:
        return list(later(book, system_named(book, "Tub")))


def november(day: int) -> date:
    return date(2026, 11, day)


# Windows


def test_a_reason_that_names_a_parasite_gets_its_windows(desk: Desk) -> None:
    entry = dose(desk, "2026-11-05 09:00")
    (second,) = doses(desk, "2026-11-05 12:00")
    # Zhang et al. 2015: a week later at 20 C; a third treatment is common practice.
    assert (second.from_, second.to, second.at) == (november(12), november(12), "09:00")
    assert second.id == f"Tub/{entry}/praziquantel/2"
    assert second.was is None
    third, look = after(desk, "2026-11-05 12:00")
    assert (third.id, third.from_) == (f"Tub/{entry}/praziquantel/3", november(19))
    assert (look.id, look.day, look.kind) == (
        f"Tub/{entry}/look-gill-flukes/1", november(26), "slide",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("words", "parasite"),
    [
        ("gill-flukes", "gill-flukes"),
        ("Flukes on a slide", "gill-flukes"),  # nobody told them apart: the longer rule
        ("skin flukes", "skin-flukes"),
        ("white spot", "white-spot"),
        ("ich", "white-spot"),
        ("which of them?", None),
        ("two lice on the tail", "fish-louse"),
        ("anchor worms", "anchor-worm"),
        ("clamped fins", None),
        ("", None),
    ],
)
def test_what_words_name(words: str, parasite: str | None) -> None:
    found = named_best(SHIPPED, words)
    assert (found.id if found else None) == parasite


def test_what_a_slide_found_is_enough(desk: Desk) -> None:
    put(desk, "2026-11-05 08:30", "slide", subject="Three", found=["gill-flukes:2"],
        **{"from": "gill-clip"})  # fmt: skip
    dose(desk, "2026-11-05 09:00", reason="they rub")
    assert "against gill flukes" in doses(desk, "2026-11-05 12:00")[0].task


def test_without_a_parasite_the_protocols_own_time_stands(desk: Desk) -> None:
    dose(desk, "2026-11-05 09:00", reason="they rub")
    (second,) = doses(desk, "2026-11-05 12:00")
    assert second.task == "Praziquantel: dose 2 of 2"
    assert after(desk, "2026-11-05 12:00") == []


def test_three_days_of_heater_failure_show_the_old_day_and_why(desk: Desk) -> None:
    dose(desk, "2026-11-05 09:00")
    for day, low in enumerate([20, 20, 12, 12, 12, 20], 6):
        warmth(desk, day, low)
    # By hand in tests/science/test_parasite_windows.py: 9 to 10 days instead of 7.
    (second,) = doses(desk, "2026-11-11 23:00")
    assert (second.from_, second.to, second.was) == (november(14), november(15), november(12))
    assert "opens 9 days after the last one, not 7" in second.because
    assert "3 nights were colder than the 20 C then, down to 12 C" in second.because


def test_warm_days_bring_it_nearer(desk: Desk) -> None:
    dose(desk, "2026-11-05 09:00")
    for day in (6, 7, 8):
        warmth(desk, day, 24)
    (second,) = doses(desk, "2026-11-08 23:00")
    assert second.from_ < november(12)
    assert second.was == november(12)
    assert "warmer than the 20 C then, up to 24 C" in second.because


def test_a_slide_answers_the_look_and_the_course_is_over(desk: Desk) -> None:
    for day in range(6, 26):
        warmth(desk, day, 20)
    for day in (5, 12, 19):
        dose(desk, f"2026-11-{day:02} 09:00")
    assert doses(desk, "2026-11-25 23:00") == []
    (look,) = after(desk, "2026-11-25 23:00")
    assert look.day == november(26)
    put(desk, "2026-11-26 10:00", "slide", subject="Three", **{"from": "gill-clip"})
    assert after(desk, "2026-11-26 12:00") == []


# Late


def test_late_inside_the_window_and_past_it(desk: Desk) -> None:
    first = dose(desk, "2026-11-05 09:00")
    for day, low in enumerate([20, 20, 12, 12, 12, *[20] * 5], 6):
        warmth(desk, day, low)
    (inside,) = doses(desk, "2026-11-15 12:00")
    assert (inside.state, inside.day, inside.to) == ("due", november(15), november(15))
    assert inside.because.startswith("late inside its window: give it now, as much as ever, never")
    warmth(desk, 16, 20)
    (past,) = doses(desk, "2026-11-16 23:00")
    assert past.state == "overdue"
    assert "the course begins again at its first dose" in past.because
    assert "never double" in past.because
    assert after(desk, "2026-11-16 23:00") == []  # what follows counts from the dose
    again = dose(desk, "2026-11-17 09:00")
    (second,) = doses(desk, "2026-11-17 12:00")
    assert second.id == f"Tub/{again}/praziquantel/2" != f"Tub/{first}/praziquantel/2"
    assert second.from_ >= november(24)


def test_a_day_without_cover_begins_white_spot_again(desk: Desk) -> None:
    for day in (5, 6):
        given(desk, f"2026-11-{day:02} 09:00", "malachite-green", "1 mL", reason="white spot")
        warmth(desk, day + 1, 20)
    (third,) = doses(desk, "2026-11-06 12:00")
    assert third.from_ == november(7)
    warmth(desk, 8, 20)
    (late,) = doses(desk, "2026-11-08 23:00")
    assert late.state == "overdue"
    assert "a gap in the cover" in late.because


# What cannot be dated


def test_a_treatment_that_cannot_cover_says_so_and_has_no_date(desk: Desk) -> None:
    warmth(desk, 5, 24)
    entry = given(desk, "2026-11-05 09:00", "trichlorfon", "50 mg", reason="gill flukes")
    (task,) = doses(desk, "2026-11-05 12:00")
    assert task.id == f"Tub/{entry}/trichlorfon/2"
    assert (task.day, task.at, task.at_utc) == (november(5), "", None)
    assert "Trichlorfon cannot cover 24 C" in task.because
    assert task.task == "Trichlorfon cannot cover gill flukes here: no date for dose 2"


def test_white_spot_in_the_cold_has_words_and_no_date(desk: Desk) -> None:
    warmth(desk, 6, 8)
    given(desk, "2026-11-06 22:00", "malachite-green", "1 mL", reason="white-spot")
    (task,) = doses(desk, "2026-11-06 23:00")
    assert task.at_utc is None
    assert "about three weeks or more" in task.because
    assert after(desk, "2026-11-06 23:00") == []


def test_a_water_nobody_read_is_dosed_by_the_protocol_alone(tmp_path: Path) -> None:
    desk = small_desk(tmp_path)
    put(desk, "2026-11-05 08:00", "vessel", name="Tub", **BOX)
    dose(desk, "2026-11-05 09:00")
    (task,) = doses(desk, "2026-11-05 12:00")
    assert task.from_ == november(12)
    assert "no temperature of this water is known" in task.because


def test_days_nobody_read_are_said(desk: Desk) -> None:
    dose(desk, "2026-11-05 09:00")
    (task,) = doses(desk, "2026-11-09 12:00")
    assert "4 days were not read" in task.because


# What stands in the water


def test_salt_stands_and_is_kept_without_doses(desk: Desk) -> None:
    for moment in ("2026-11-05 10:00", "2026-11-05 22:00"):
        put(desk, moment, "dose", system="Tub", treatment="salt", course="stepped",
            amount="200 g", reason="white spot on a slide")  # fmt: skip
    assert after(desk, "2026-11-05 23:00") == []  # 2 g/L cover nothing yet
    warmth(desk, 6, 20)
    put(desk, "2026-11-06 22:00", "dose", system="Tub", treatment="salt", course="stepped",
        amount="200 g", reason="white spot on a slide")  # fmt: skip
    kept, look = after(desk, "2026-11-06 23:00")
    assert (kept.day, look.day) == (november(19), november(26))  # 13 days at 20 C, and a week
    assert "kept at its strength to here" in kept.task


def test_a_dose_under_its_range_is_no_dose_against_it(desk: Desk) -> None:
    first = given(desk, "2026-11-05 09:00", "praziquantel", "0.4 g", strength="100 %",
                  reason="gill flukes")  # fmt: skip
    weak = given(desk, "2026-11-10 09:00", "praziquantel", "0.04 g", strength="100 %",
                 reason="gill flukes")  # fmt: skip
    for day in range(6, 12):
        warmth(desk, day, 20)
    (second,) = doses(desk, "2026-11-11 23:00")
    assert second.id == f"Tub/{first}/praziquantel/2"
    assert f"entry {weak} left the water under its range" in second.because


# The night


def test_a_bath_is_placed_so_that_it_ends_before_the_quiet_hours(desk: Desk) -> None:
    given(desk, "2026-11-05 21:30", "praziquantel", "1 g", course="bath", strength="100 %",
          reason="gill flukes")  # fmt: skip
    (second,) = doses(desk, "2026-11-05 22:00")
    # Three hours at most, and the night begins at 23:00.
    assert (second.from_, second.at) == (november(12), "20:00")


def test_a_repeat_by_the_protocol_is_placed_as_well(desk: Desk) -> None:
    given(desk, "2026-11-05 22:40", "chloramine-t", "2 g", strength="100 %", reason="patches")
    (second,) = doses(desk, "2026-11-05 22:50")
    assert second.at == "22:00"  # an hour at most


# The wait


def test_the_wait_follows_the_lows_since(desk: Desk) -> None:
    put(desk, "2026-11-05 08:30", "slide", subject="Three", found=["white-spot:2"],
        **{"from": "skin-scrape"})  # fmt: skip
    dose(desk, "2026-11-05 09:00", reason="they rub")

    def wait(when: str) -> int:
        with at_work(then(desk, when)) as book:
            moment = at("2026-11-05 09:00")
            return wait_after(book, system_named(book, "Tub"), moment, moment)

    assert wait("2026-11-05 12:00") == 13  # a cycle and a half at 20 C
    for day in (6, 7, 8):
        warmth(desk, day, 12)
    warmth(desk, 9, 20)
    assert wait("2026-11-09 23:00") > 13
    warmth(desk, 10, 8)
    assert wait("2026-11-10 23:00") > 40  # the longest known, at 10 C


def test_what_a_dose_was_given_for_is_waited_for_without_a_slide(desk: Desk) -> None:
    dose(desk, "2026-11-05 09:00")
    with at_work(then(desk, "2026-11-05 12:00")) as book:
        moment = at("2026-11-05 09:00")
        assert wait_after(book, system_named(book, "Tub"), moment, moment) == 17  # 11 d at 20 C


# What rests on it


def test_a_dose_without_a_date_is_none_to_give(desk: Desk) -> None:
    warmth(desk, 5, 24)
    given(desk, "2026-11-05 09:00", "trichlorfon", "50 mg", reason="gill flukes")
    assert doses(desk, "2026-11-05 12:00") != []
    assert RoomJobs(then(desk, "2026-11-05 12:00")).dose_choices().due == ()
    with at_work(then(desk, "2026-11-05 12:00")) as book:
        system = system_named(book, "Tub")
        vessel = book.facts.vessel_named("Tub")
        assert vessel is not None
        (line,) = courses_of(book, system, vessel)
    assert (line.when, line.amount) == ("No date", "nothing")
    assert "cannot cover 24 C" in line.why


def test_a_corrected_reading_moves_the_window_and_a_voided_dose_takes_it_away(desk: Desk) -> None:
    entry = dose(desk, "2026-11-05 09:00")
    cold = put(
        desk, "2026-11-06 21:30", "reading", subject="Tub", temp_min="12 C", temp_max="20 C"
    )
    assert doses(desk, "2026-11-06 23:00")[0].was == november(12)
    now = then(desk, "2026-11-07 08:00")
    correct(now, cold, {"temp_min": "20 C", "temp_max": "20 C"}, Said(why="misread"))
    (second,) = doses(desk, "2026-11-07 08:30")
    assert (second.from_, second.was) == (november(12), None)
    correct(now, entry, {}, Said(why="another tub"), void=True)
    assert doses(desk, "2026-11-07 08:30") == []
    assert after(desk, "2026-11-07 08:30") == []


def test_deriving_twice_is_the_same_and_ids_are_unique(desk: Desk) -> None:
    dose(desk, "2026-11-05 09:00")
    given(desk, "2026-11-05 10:00", "malachite-green", "1 mL", reason="white spot")
    once = [*doses(desk, "2026-11-05 12:00"), *after(desk, "2026-11-05 12:00")]
    assert once == [*doses(desk, "2026-11-05 12:00"), *after(desk, "2026-11-05 12:00")]
    ids = [t.id for t in once]
    assert len(set(ids)) == len(ids) > 5
    assert not any("2026" in i for i in ids)
