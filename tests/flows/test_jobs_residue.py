"""Levels over days as the screen shows them: past and to come, as `intake residue` answers."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.drawing.level_chart import CHANGE_DUE, CHANGED, DOSE_DUE, DOSED, LevelChart
from intake.drawing.run_chart import at as level_at
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.jobs.residue import PAST_DAYS
from intake.flows.residue_ahead import residue
from tests.flows.job_rooms import demo_desk, put, small_desk, then

NOW = "2026-11-20 12:00"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = small_desk(tmp_path)
    put(made, "2026-11-05 09:00", "vessel", name="Tub", shape="box", length="100 cm",
        width="75 cm", depth="40 cm")  # fmt: skip
    for day in ("17", "18"):
        put(made, f"2026-11-{day} 09:00", "dose", system="Tub", treatment="salt",
            course="stepped", amount="300 g")  # fmt: skip
    put(made, "2026-11-19 09:00", "change", subject="Tub", percent="20")
    put(made, "2026-11-20 10:00", "feed", vessel="Tub", amount="4 g", protein="50 %")
    put(made, "2026-11-20 11:00", "reading", subject="Tub", ph="7.6", kh="5 dKH", temp="20 C",
        tan="0.5 mg/L as N")  # fmt: skip
    put(made, "2026-11-20 11:05", "reading", subject="tap", ph="7.8", kh="5 dKH", temp="20 C",
        tan="0 mg/L as N")  # fmt: skip
    return then(made, NOW)


def letters(chart: LevelChart) -> set[str]:
    return {m.letter for m in chart.marks}


def test_past_and_to_come_of_a_medicine_and_of_ammonia(desk: Desk) -> None:
    """300 g twice in 300 L, then a fifth out: 1, 2, 1.6 g/L; planned changes bring it back up."""
    view = RoomJobs(desk).residue("Tub", 1)
    salt, nh3 = view.charts
    assert (salt.unit, nh3.unit) == ("g/L", "mg/L as N")
    assert level_at(salt.likely, -2.5) == pytest.approx(1.0)
    assert level_at(salt.likely, -1.5) == pytest.approx(2.0)
    assert level_at(salt.likely, -0.5) == pytest.approx(1.6)
    assert letters(salt) == {DOSED, DOSE_DUE, CHANGED, CHANGE_DUE}
    assert letters(nh3) == {CHANGE_DUE}
    assert (salt.floor, salt.limit, nh3.limit) == (3.0, 5.0, 0.02)
    assert salt.likely[0][0] == -PAST_DAYS
    assert all(
        low[1] <= now[1] <= high[1]
        for low, now, high in zip(salt.low, salt.likely, salt.high, strict=True)
    )
    assert all(nh3_day >= 0.0 for nh3_day, _ in nh3.likely)


def test_the_screen_says_what_the_command_answers(desk: Desk) -> None:
    plan = residue(desk, "Tub", {"plan": True})["plan"]
    view = RoomJobs(desk).residue("Tub", 1)
    assert view.told == plan["text"]
    assert view.possible == plan["possible"]
    assert len(view.rows) == len(plan["changes"])
    salt = view.charts[0]
    for change, row in zip(plan["changes"], view.rows, strict=True):
        assert f"{change['percent']} %" in row.out
        (medicine,) = change["medicines"]
        assert medicine["after"] in [level for _, level in salt.likely]
    assert salt.likely[-1][1] == pytest.approx(plan["medicines"][0]["now"])


def test_more_often_is_another_plan_and_never_more_than_four(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    assert [jobs.residue("Tub", n).changes_a_day for n in (0, 1, 4, 9)] == [1, 1, 4, 4]


def test_a_water_without_readings_still_shows_what_is_left(desk: Desk) -> None:
    put(desk, "2026-11-20 11:00", "vessel", name="Box", shape="box", length="40 cm",
        width="40 cm", depth="40 cm")  # fmt: skip
    put(desk, "2026-11-20 11:30", "dose", system="Box", treatment="salt", amount="64 g")
    view = RoomJobs(desk).residue("Box", 1)
    assert view.possible is None
    assert "not worked out" in view.told
    assert [c.name for c in view.charts] == ["salt"]


def test_waters_of_the_demo_room_have_their_levels(tmp_path: Path) -> None:
    jobs = RoomJobs(demo_desk(tmp_path))
    for vessel in ("Blue pool", "Hospital box"):
        assert jobs.residue(vessel, 1).told
