"""Repeated courses: ammonia is tested every day, and the next dose comes by the temperature."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.flows.desk import Desk, at_work
from intake.flows.doses import system_named
from intake.flows.quarantines import tasks_of
from intake.flows.record import Said
from tests.flows.job_rooms import put, small_desk, then

BOX = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm", "height": "60 cm"}
pytestmark = pytest.mark.usefixtures("quick_files")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub of 200 L in which formalin was dosed twice, two days apart."""
    desk = small_desk(tmp_path)
    put(desk, "2026-11-05 08:00", "vessel", name="Tub", **BOX)
    for day in ("05", "07"):
        moment = f"2026-11-{day} 09:00"
        put(desk, moment, "reading", subject="Tub", oxygen="8 mg/L", temp="20 C")
        put(
            desk, moment, "dose", system="Tub", treatment="formalin", amount="2 mL",
            strength="37 % w/w",
        )  # fmt: skip
    return desk


def asked(desk: Desk, moment: str) -> list[tuple[str, str]]:
    """State and day of the ammonia tests of that moment's list."""
    with at_work(then(desk, moment)) as book:
        found = [t for t in tasks_of(book, system_named(book, "Tub")) if t.short == "test ammonia"]
    assert len({t.id for t in found}) == len(found)
    assert all(t.day.isoformat() not in t.id for t in found)
    return [(t.state, t.day.isoformat()) for t in found]


def test_they_begin_with_the_second_dose(desk: Desk) -> None:
    assert asked(desk, "2026-11-06 10:00") == []
    days = asked(desk, "2026-11-07 10:00")
    assert days[0] == ("due", "2026-11-07")
    assert [state for state, _ in days[1:]] == ["upcoming"] * 7


def test_a_reading_of_today_answers_todays_and_no_other(desk: Desk) -> None:
    put(desk, "2026-11-08 09:00", "reading", subject="Tub", tan="0.1 mg/L as N")
    assert asked(desk, "2026-11-08 10:00")[0] == ("upcoming", "2026-11-09")
    assert asked(desk, "2026-11-09 10:00")[0] == ("due", "2026-11-09")


def test_they_end_a_week_after_the_last_dose(desk: Desk) -> None:
    assert asked(desk, "2026-11-14 08:00") == [("due", "2026-11-14")]
    assert asked(desk, "2026-11-15 08:00") == []


def test_a_days_test_can_be_skipped_with_a_reason(desk: Desk) -> None:
    with at_work(then(desk, "2026-11-08 10:00")) as book:
        (due,) = (t for t in tasks_of(book, system_named(book, "Tub"))
                  if t.short == "test ammonia" and t.state == "due")  # fmt: skip
    put(desk, "2026-11-08 11:00", "skipped", Said(why="the kit is used up"), task=due.id)
    assert asked(desk, "2026-11-08 12:00")[0] == ("upcoming", "2026-11-09")


@pytest.mark.parametrize(("temp", "day"), [("25 C", 9), ("18 C", 11), ("10 C", 15)])
def test_the_next_dose_comes_by_the_temperature_of_the_water(
    tmp_path: Path, temp: str, day: int
) -> None:
    """4 days at 25 C, 6 at 18 C, 10 at 10 C, as the mixture's protocol has it."""
    desk = small_desk(tmp_path)
    put(desk, "2026-11-05 08:00", "vessel", name="Tub", **BOX)
    put(desk, "2026-11-05 09:00", "reading", subject="Tub", oxygen="8 mg/L", temp=temp)
    put(
        desk, "2026-11-05 09:00", "dose", system="Tub", treatment="formalin-malachite",
        amount="2 mL", strength="37 % w/w",
    )  # fmt: skip
    with at_work(then(desk, "2026-11-06 09:00")) as book:
        (dose,) = (t for t in tasks_of(book, system_named(book, "Tub")) if t.kind == "treatment")
    assert dose.day.day == day
