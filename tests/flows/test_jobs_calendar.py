"""The calendar of the screens says what `intake tasks` and `intake checks` say."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from intake.flows import asking
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.jobs.calendar_words import readable
from intake.flows.record import Said
from intake.flows.views.calendar import CalendarView, DayTask, SystemStrip
from tests.flows.job_rooms import demo_desk, put, small_desk, then

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return demo_desk(tmp_path_factory.mktemp("room"))


@pytest.fixture(scope="module")
def view(desk: Desk) -> CalendarView:
    return RoomJobs(desk).calendar()


def strip(view: CalendarView, name: str) -> SystemStrip:
    return next(s for s in view.systems if s.system == name)


def test_it_shows_each_quarantine_that_runs_and_no_other(view: CalendarView) -> None:
    assert [s.system for s in view.systems] == ["North tub", "Blue pool"]
    assert view.today == TODAY


@pytest.mark.parametrize("name", ["North tub", "Blue pool"])
def test_release_and_checks_are_those_of_the_command(
    desk: Desk, view: CalendarView, name: str
) -> None:
    told = asking.checks(desk, name)
    shown = strip(view, name)
    assert shown.earliest_release is not None
    assert shown.earliest_release.isoformat() == told["earliest_release"]
    assert shown.decided_by == told["decided_by"]
    assert [(c, s) for c, s, _ in shown.checks] == [
        (c["check"], c["state"]) for c in told["checks"]
    ]
    assert f"day {told['days_served']} of at least 30" in shown.said or name == "North tub"


@pytest.mark.parametrize("name", ["North tub", "Blue pool"])
def test_tasks_are_those_of_the_command(desk: Desk, view: CalendarView, name: str) -> None:
    told = asking.tasks(desk, name, view.last.isoformat())["tasks"]
    shown = strip(view, name).tasks
    assert shown
    assert [(t.id, t.day.isoformat(), t.state) for t in shown] == [
        (t["id"], t["date"], t["state"]) for t in told
    ]


def test_a_day_is_marked_by_what_was_done_or_is_due_on_it(view: CalendarView) -> None:
    pool = strip(view, "Blue pool")
    marks = {m.day: m.mark for m in pool.days}
    by_day = {day: [t for t in pool.tasks if t.day == day] for day in marks}
    assert marks[date(2026, 11, 14)] == "done"  # looked at, and nothing of it is still asked
    slides = [d for d, tasks in by_day.items() if d > TODAY and _open_slide(tasks)]
    assert slides
    assert all(marks[d] == "slide" for d in slides)
    late = {t.day for t in pool.tasks if t.state == "overdue"}
    assert late
    assert all(marks[d] == "overdue" for d in late)


def _open_slide(tasks: list[DayTask]) -> bool:
    return any(t.kind == "slide" for t in tasks)


def test_days_that_were_not_warm_are_not_counted(desk: Desk, view: CalendarView) -> None:
    pool = strip(view, "Blue pool")
    counted = asking.checks(desk, "Blue pool")["warm_days"]
    past = [pool.started + timedelta(n) for n in range((TODAY - pool.started).days + 1)]
    cold = {m.day for m in pool.days if not m.counted}
    assert len([d for d in past if d not in cold]) == counted
    assert cold <= set(past)


def test_a_cold_day_draws_as_not_counted(tmp_path: Path) -> None:
    desk = quarantined(tmp_path)
    for day, temp in ((11, 20), (12, 20), (13, 14), (14, 14), (15, 20)):
        put(desk, f"2026-11-{day} 09:00", "reading", subject="Tub", temp=f"{temp} C")
    shown = RoomJobs(then(desk, "2026-11-16 12:00")).calendar().systems[0]
    cold = [m.day.day for m in shown.days if not m.counted]
    assert cold == [10, 13, 14]
    assert "warm days 3 of 14" in shown.said


def test_without_fish_it_waits_for_the_expected_day(view: CalendarView) -> None:
    tub = strip(view, "North tub")
    assert tub.started == TODAY
    assert tub.said == "waiting for its fish, expected Wed 25 Nov"
    assert not any(t.kind == "look" for t in tub.tasks)


def quarantined(folder: Path) -> Desk:
    desk = small_desk(folder)
    put(desk, "2026-11-04 09:00", "vessel", name="Tub", shape="box", length="100 cm",
        width="50 cm", depth="40 cm", zone="quarantine")  # fmt: skip
    put(desk, "2026-11-10 10:00", "fish", name="Ash", into="Tub", variety="ranchu")
    put(desk, "2026-11-10 10:05", "quarantine", system="Tub", plan="standard")
    return desk


def test_new_fish_begin_the_days_again_and_the_chain_says_so(tmp_path: Path) -> None:
    desk = quarantined(tmp_path)
    first = RoomJobs(then(desk, "2026-11-14 12:00")).calendar().systems[0]
    entry = put(desk, "2026-11-15 10:00", "fish", name="Brick", into="Tub", variety="ranchu")
    second = RoomJobs(then(desk, "2026-11-16 12:00")).calendar().systems[0]
    assert first.earliest_release == date(2026, 12, 10)
    assert second.earliest_release == date(2026, 12, 15)
    assert second.started == date(2026, 11, 15)
    moved = next(t for t in second.tasks if t.id.endswith("/slides-second/1"))
    before = next(t for t in first.tasks if t.id == moved.id)
    assert (moved.was, moved.day) == (before.day, before.day + timedelta(5))
    assert moved.why[0] == f"Sun 15 Nov: Brick went in, entry {entry}; counts from here"
    assert "Tue 10 Nov: Ash went in" in moved.why[1]
    assert moved.why[2] == f"was {before.day:%a} {before.day.day} Nov before that"
    assert "plan standard" in moved.why[3]


def test_a_proposed_restart_is_told_until_it_is_settled(tmp_path: Path) -> None:
    desk = quarantined(tmp_path)
    put(desk, "2026-11-10 11:00", "fish", name="Brick", into="Tub", variety="ranchu")
    put(desk, "2026-11-16 08:00", "look", subject="Ash", sign=["white-grains:1"])
    put(desk, "2026-11-16 08:05", "look", subject="Brick", sign=["white-grains:1"])
    shown = RoomJobs(then(desk, "2026-11-16 12:00")).calendar().systems[0]
    assert "a restart is proposed, settle it" in shown.said
    assert shown.release_why[0].startswith(f"{shown.decided_by}: not before")
    assert any("; proposed" in line for line in shown.release_why)


def test_the_reason_of_a_release_date_begins_with_the_check_that_sets_it(
    view: CalendarView,
) -> None:
    pool = strip(view, "Blue pool")
    assert pool.earliest_release is not None
    assert pool.release_why[0].startswith(f"{pool.decided_by}: not before Sun 13 Dec;")
    assert view.headline == "earliest release Blue pool, Sun 13 Dec"
    assert view.because.startswith(f"Blue pool: {pool.decided_by}")


def test_a_room_without_quarantine_has_one_sentence(tmp_path: Path) -> None:
    view = RoomJobs(small_desk(tmp_path)).calendar()
    assert view.systems == ()
    assert view.headline == ""
    assert "no quarantine runs" in view.because


def test_a_released_quarantine_is_no_longer_shown(tmp_path: Path) -> None:
    desk = quarantined(tmp_path)
    passes = [f"{c}:the vet says so" for c in _checks(then(desk, "2026-12-20 12:00"))]
    put(desk, "2026-12-20 12:00", "release", Said(why="vet"), subject="Tub", **{"pass": passes})
    assert RoomJobs(then(desk, "2026-12-20 13:00")).calendar().systems == ()


def _checks(desk: Desk) -> list[str]:
    return [c["check"] for c in asking.checks(desk, "Tub")["checks"] if c["state"] == "open"]


def test_only_dates_the_program_wrote_are_put_in_words() -> None:
    this_year = date(2026, 11, 25)
    assert readable("day 3 from 2026-11-13: x", this_year) == "day 3 from Fri 13 Nov: x"
    assert readable("from 2025-11-13 to 2026-01-02", this_year) == (
        "from Thu 13 Nov 2025 to Fri 2 Jan"
    )
    assert readable("'2026-11-13' went in, entry 4", this_year) == "'2026-11-13' went in, entry 4"


def test_the_next_dose_of_a_course_stands_in_the_strip(tmp_path: Path) -> None:
    desk = quarantined(tmp_path)
    put(desk, "2026-11-12 10:00", "given", Said(why="flukes seen"), system="Tub",
        treatment="praziquantel", amount="0.4 g")  # fmt: skip
    later = then(desk, "2026-11-13 10:00")
    told = [t for t in asking.tasks(later, "Tub")["tasks"] if t["kind"] == "treatment"]
    (shown,) = [t for t in RoomJobs(later).calendar().systems[0].tasks if t.kind == "dose"]
    assert shown.id in {t["id"] for t in told}
    assert shown.why
