"""Every day of a quarantine says what it is, also one on which nothing is due."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.record import Said
from intake.flows.views.calendar import SystemStrip
from tests.flows.job_rooms import put, small_desk, then


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub with one fish since the 10th, read at 20 C but for two cold days and a day unread."""
    desk = small_desk(tmp_path)
    for name in ("Tub", "Pond"):
        put(desk, "2026-11-04 09:00", "vessel", name=name, shape="box", length="100 cm",
            width="50 cm", depth="40 cm", zone="quarantine")  # fmt: skip
    put(desk, "2026-11-10 10:00", "fish", name="Ash", into="Tub", variety="ranchu")
    put(desk, "2026-11-10 10:05", "quarantine", system="Tub", plan="standard")
    for day, temp in ((11, 20), (12, 16), (13, 16.4), (14, 20), (17, 20)):
        put(desk, f"2026-11-{day} 09:00", "reading", subject="Tub", temp=f"{temp} C")
    return desk


def strip(desk: Desk, moment: str = "2026-11-18 12:00") -> SystemStrip:
    return RoomJobs(then(desk, moment)).calendar().systems[0]


def why(shown: SystemStrip, day: int, month: int = 11) -> str:
    return next(m.why for m in shown.days if m.day == date(2026, month, day))


def test_no_day_is_without_a_reason(desk: Desk) -> None:
    view = RoomJobs(then(desk, "2026-11-18 12:00")).calendar()
    for shown in view.systems:
        assert [m.day for m in shown.days] == [
            date.fromordinal(n) for n in range(view.first.toordinal(), view.last.toordinal() + 1)
        ]
        assert all(m.why for m in shown.days)


def test_a_day_that_was_not_warm_says_its_mean_or_that_nobody_read_it(desk: Desk) -> None:
    shown = strip(desk)
    assert why(shown, 13).startswith("not a warm day: mean 16.4 C, 18 to 25 C asked; ")
    assert why(shown, 16).startswith("not a warm day: no temperature read; ")
    assert "warm" not in why(shown, 14)


def test_before_the_fish_and_after_the_release_it_says_so(desk: Desk) -> None:
    shown = strip(desk)
    assert why(shown, 5) == "before day 0: the first fish went in on Tue 10 Nov"
    assert "after the earliest release, Thu 10 Dec" in why(shown, 12, 12)


def test_the_days_say_what_they_are_counted_again_from(desk: Desk) -> None:
    entry = put(desk, "2026-11-15 10:00", "fish", name="Brick", into="Tub", variety="ranchu")
    shown = strip(desk)
    assert f"Brick went in, entry {entry}: the days count from here" in why(shown, 15)
    because = f"counted again from Sun 15 Nov because Brick went in, entry {entry}"
    assert why(shown, 20).endswith(f"day 5 of 30, {because}")
    assert "no longer counts: the days began again on Sun 15 Nov because Brick" in why(shown, 12)


def test_a_day_with_nothing_due_names_what_comes_next(desk: Desk) -> None:
    shown = strip(desk)
    asked = {t.day for t in shown.tasks}
    free = [m for m in shown.days if m.day > date(2026, 11, 18) and m.day not in asked]
    assert all("nothing is due" in m.why for m in free)
    busy = [m for m in shown.days if m.day in asked]
    assert busy
    assert not any("nothing is due" in m.why for m in busy)


def test_without_fish_a_day_waits_for_them(desk: Desk) -> None:
    put(desk, "2026-11-16 09:00", "quarantine", system="Pond", plan="standard",
        expected="2026-11-25")  # fmt: skip
    view = RoomJobs(then(desk, "2026-11-18 12:00")).calendar()
    pond = next(s for s in view.systems if s.system == "Pond")
    assert why(pond, 10) == "before this quarantine, begun Mon 16 Nov"
    assert "no fish in yet, expected on Wed 25 Nov" in why(pond, 20)
    assert "the dates come with the fish" in why(pond, 30)


def proposed(desk: Desk) -> SystemStrip:
    put(desk, "2026-11-10 11:00", "fish", name="Brick", into="Tub", variety="ranchu")
    put(desk, "2026-11-17 08:00", "look", subject="Ash", sign=["white-grains:1"])
    put(desk, "2026-11-17 08:05", "look", subject="Brick", sign=["white-grains:1"])
    return strip(desk)


def test_a_proposed_restart_says_its_hours_and_what_either_answer_does(desk: Desk) -> None:
    [found] = proposed(desk).proposals
    # 72 h after 08:05 on the 17th, seen at noon on the 18th.
    assert (found.hours_left, found.stands) == (44, "Fri 20 Nov 08:05")
    assert found.keep.startswith("day 8 of 30, counted from Tue 10 Nov")
    assert found.restart.startswith("day 1 of 30, counted from Tue 17 Nov")
    assert found.restart.endswith("earliest release Thu 17 Dec, set by days-served")


@pytest.mark.parametrize(("choice", "served"), [("keep", 8), ("restart", 1)])
def test_what_either_answer_was_to_do_is_what_it_does(
    desk: Desk, choice: str, served: int
) -> None:
    [found] = proposed(desk).proposals
    jobs = RoomJobs(then(desk, "2026-11-18 12:00"))
    jobs.quarantine_write("clock", {"system": "Tub", choice: str(found.entry)}, "seen by the vet")
    after = jobs.calendar().systems[0]
    assert after.proposals == ()
    assert f"day {served} of at least 30" in after.said
    assert after.earliest_release is not None
    day = f"{after.earliest_release:%a} {after.earliest_release.day}"
    assert day in (found.keep if choice == "keep" else found.restart)


def test_a_past_proposal_no_longer_waits(desk: Desk) -> None:
    proposed(desk)
    assert strip(desk, "2026-11-20 08:06").proposals == ()


def test_a_skipped_task_stays_with_its_reason(desk: Desk) -> None:
    task = next(t for t in strip(desk).tasks if t.state == "due")
    put(desk, "2026-11-18 12:00", "skipped", Said(why="no time"), task=task.id)
    shown = strip(desk, "2026-11-18 13:00")
    assert next(t for t in shown.tasks if t.id == task.id).state == "skipped"
