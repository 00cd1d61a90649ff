from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.science.calendar import Task, planned, tasks
from intake.science.quarantine import (
    Arrival,
    Contact,
    Death,
    Occupant,
    QuarantineFacts,
    Recorded,
    Settled,
    Slide,
    WaterJudged,
)
from intake.science.schedule import after_quiet
from tests.science.quarantines import DAY_0, PLAN, ZONE, at, facts, local, look, mark


def day(n: int) -> date:
    return DAY_0 + timedelta(n)


def of(found: tuple[Task, ...], step: str) -> list[Task]:
    return [t for t in found if t.id.split("/")[2] == step]


def one(found: tuple[Task, ...], id: str) -> Task:
    return next(t for t in found if t.id == f"North/5/{id}")


def test_the_first_days_worked_by_hand() -> None:
    found = tasks(facts(), at(0, "10:05"), day(3))
    told = [(t.id, t.day.isoformat(), t.at, t.state) for t in found]
    assert told == [
        ("North/5/arrival/1", "2026-03-10", "11:00", "due"),
        ("North/5/arrival/2", "2026-03-10", "14:00", "due"),
        ("North/5/arrival/3", "2026-03-10", "22:00", "due"),
        ("North/5/water/1", "2026-03-11", "", "upcoming"),
        ("North/5/looks/1", "2026-03-11", "08:00", "upcoming"),
        ("North/5/looks/2", "2026-03-11", "18:00", "upcoming"),
        ("North/5/water/2", "2026-03-12", "", "upcoming"),
        ("North/5/looks/3", "2026-03-12", "08:00", "upcoming"),
        ("North/5/looks/4", "2026-03-12", "18:00", "upcoming"),
        ("North/5/water/3", "2026-03-13", "", "upcoming"),
        ("North/5/slide/1", "2026-03-13", "", "upcoming"),
        ("North/5/looks/5", "2026-03-13", "08:00", "upcoming"),
        ("North/5/looks/6", "2026-03-13", "18:00", "upcoming"),
    ]


def test_a_step_done_once_may_be_done_on_any_day_of_its_window() -> None:
    slide = one(tasks(facts(), at(3), day(4)), "slide/1")
    assert (slide.from_, slide.to, slide.state) == (day(3), day(4), "due")
    assert one(tasks(facts(), at(4, "23:59")), "slide/1").state == "due"
    assert one(tasks(facts(), at(5, "00:00")), "slide/1").state == "overdue"


def test_fourteen_days_ahead_unless_asked_for_more() -> None:
    assert max(t.day for t in tasks(facts(), at(0, "12:00"))) == day(14)
    assert max(t.day for t in tasks(facts(), at(0, "12:00"), day(2))) == day(2)
    assert max(t.day for t in tasks(facts(), at(0, "12:00"), day(40))) == day(40)


def test_because_names_the_day_what_it_counts_from_and_why() -> None:
    because = one(tasks(facts(), at(3)), "slide/1").because
    assert because == "day 3 from 2026-03-10: Bela went in, entry 11; made for the test"


def test_done_and_skipped_marks_and_the_newest_word() -> None:
    f = facts(marked=(mark("slide/1", 3), mark("looks/1", 1, "skipped")))
    found = tasks(f, at(4))
    assert one(found, "slide/1").state == "done"
    assert one(found, "looks/1").state == "skipped"
    again = replace(f, marked=(*f.marked, mark("slide/1", 4, "skipped", "09:00")))
    assert one(tasks(again, at(4)), "slide/1").state == "skipped"


def test_a_record_of_its_kind_answers_a_task() -> None:
    f = facts(
        looks=(look(1, clock="08:20", entry=31), look(4, "Ada", clock="08:10")),
        recorded=(Recorded(at(14), 34, "weigh"),),
        waters=(WaterJudged(at(2, "20:00"), 32, "ok"),),
        slides=(Slide(at(4, "15:00"), 33, "Ada"),),
    )
    found = tasks(f, at(4, "16:00"))
    assert (one(found, "looks/1").state, one(found, "looks/1").entry) == ("done", 31)
    assert one(found, "water/2").state == "done"
    assert one(found, "slide/1").state == "done"
    assert one(found, "slide/1").because.startswith("recorded, entry 33; ")
    assert [t.id[8:] for t in of(found, "looks") if t.state == "done"] == ["looks/1"]
    assert one(tasks(f, at(14, "12:00")), "weigh/1").state == "done"


def test_a_look_answers_when_every_fish_that_was_in_was_looked_at() -> None:
    ada, bela = look(2, "Ada", clock="08:10", entry=41), look(2, "Bela", clock="09:00", entry=42)
    assert one(tasks(facts(looks=(ada,)), at(2, "09:30")), "looks/3").state == "due"
    both = facts(looks=(ada, bela))
    assert one(tasks(both, at(2, "09:30")), "looks/3").entry == 42
    cleo = replace(
        both,
        arrivals=(*both.arrivals, Arrival(at(3), 60, "Cleo")),
        present=(*both.present, Occupant("Cleo")),
    )
    assert one(tasks(cleo, at(3, "10:01")), "looks/3").state == "done"


def test_what_was_missed_before_a_restart_is_asked_for_once() -> None:
    f = facts(arrivals=(*facts().arrivals, Arrival(at(9), 60, "Cleo")))
    assert [t.day for t in of(tasks(f, at(9, "10:01")), "slide")] == [day(12)]
    later = [t for t in tasks(f, at(20)) if t.state == "overdue" and t.kind == "slide"]
    assert [t.day for t in later] == [day(12)]


def test_a_task_with_a_time_is_overdue_two_hours_after_it() -> None:
    assert one(tasks(facts(), at(1, "09:59")), "looks/1").state == "due"
    assert one(tasks(facts(), at(1, "10:00")), "looks/1").state == "overdue"


def test_a_month_away_leaves_one_overdue_task_of_each_repeating_kind() -> None:
    found = tasks(facts(), at(32, "13:00"))
    overdue = Counter(t.kind for t in found if t.state == "overdue")
    assert overdue == {"look": 1, "water-test": 1, "slide": 2, "weigh": 1}
    newest = next(t for t in found if t.state == "overdue" and t.kind == "look")
    assert (newest.day, newest.at) == (day(32), "08:00")
    assert newest.because.startswith("65 earlier times passed with nothing recorded; ")


def test_ten_years_away_is_as_short_as_a_month() -> None:
    away = [t for t in tasks(facts(), at(3650)) if t.state == "overdue"]
    assert len(away) == len([t for t in tasks(facts(), at(32)) if t.state == "overdue"])


def test_a_later_look_answers_what_was_missed() -> None:
    f = facts(looks=(look(5, clock="18:00"),))
    found = tasks(f, at(5, "18:05"))
    assert not [t for t in found if t.kind == "look" and t.state == "overdue"]


def test_preparation_is_dated_back_from_the_expected_day() -> None:
    f = facts(arrivals=(), present=(), expected=DAY_0)
    found = tasks(f, at(-8))
    assert [(t.id, t.from_, t.to) for t in found] == [
        ("North/5/fill/1", day(-7), day(-5)),
        ("North/5/papers/1", day(-2), day(-1)),
    ]


def test_preparation_started_late_is_due_at_once_not_dropped() -> None:
    f = facts(arrivals=(), present=(), expected=DAY_0, started_utc=at(-1))
    found = tasks(f, at(-1, "12:00"))
    assert [(t.id, t.day, t.state) for t in found] == [
        ("North/5/fill/1", day(-1), "due"),
        ("North/5/papers/1", day(-1), "due"),
    ]


def test_preparation_without_an_expected_day_counts_on_from_the_start() -> None:
    f = facts(arrivals=(), present=(), started_utc=at(-20))
    assert [t.day for t in tasks(f, at(-20, "12:00"))] == [day(-20), day(-15)]


def test_preparation_is_no_longer_asked_for_once_the_fish_are_in() -> None:
    assert not [t for t in tasks(facts(), at(0, "10:01")) if t.kind == "prepare"]


def test_new_fish_move_the_dates_and_keep_the_ids() -> None:
    before = one(tasks(facts(), at(9)), "slide-2/1")
    f = facts(arrivals=(*facts().arrivals, Arrival(at(9), 60, "Cleo")))
    after = one(tasks(f, at(9), day(40)), "slide-2/1")
    assert (before.day, after.day, after.was) == (day(14), day(23), day(14))
    assert "was 2026-03-24" in after.because
    assert "Cleo went in, entry 60" in after.because


def test_numbers_go_on_after_a_restart_so_no_done_task_comes_back() -> None:
    f = facts(
        arrivals=(*facts().arrivals, Arrival(at(9), 60, "Cleo")),
        marked=(mark("slide/1", 3), mark("water/9", 9, clock="09:00")),
    )
    found = tasks(f, at(9, "12:00"), day(40))
    assert [(t.id[8:], t.day, t.state) for t in of(found, "slide")] == [
        ("slide/1", day(3), "done"),
        ("slide/2", day(12), "upcoming"),
    ]
    arrival = of(found, "arrival")
    assert [(t.id[8:], t.at) for t in arrival if t.day == day(9)] == [
        ("arrival/4", "11:00"),
        ("arrival/5", "14:00"),
        ("arrival/6", "22:00"),
    ]
    water = [(t.id[8:], t.day) for t in of(found, "water")]
    assert water[0] == ("water/9", day(9))  # done on the morning before the fish came
    assert water[1] == ("water/10", day(10))


def test_a_mark_made_ahead_of_its_day_stays_with_what_it_was_made_for() -> None:
    f = facts(
        arrivals=(*facts().arrivals, Arrival(at(9), 60, "Cleo")),
        marked=(mark("weigh/1", 8),),
    )
    found = of(tasks(f, at(9, "12:00"), day(40)), "weigh")
    assert [(t.id[8:], t.day, t.state) for t in found] == [
        ("weigh/1", day(14), "done"),
        ("weigh/2", day(23), "upcoming"),
    ]


def test_three_boxes_on_one_day_are_one_beginning_counted_from_the_last() -> None:
    boxes = tuple(Arrival(at(0, f"1{n}:00"), 10 + n, f"F{n}") for n in range(3))
    found = tasks(facts(arrivals=boxes), at(0, "12:30"))
    assert [t.at for t in of(found, "arrival")] == ["13:00", "16:00", "00:00"]


def test_looks_done_after_one_box_are_asked_for_again_after_the_next_of_that_day() -> None:
    boxes = (Arrival(at(0, "10:00"), 10, "Ada"), Arrival(at(0, "16:00"), 11, "Bela"))
    f = facts(arrivals=boxes, marked=(mark("arrival/1", 0, clock="11:30"),))
    found = of(tasks(f, at(0, "16:05")), "arrival")
    assert [(t.id[8:], t.at, t.state) for t in found] == [
        ("arrival/1", "11:00", "done"),
        ("arrival/2", "17:00", "due"),
        ("arrival/3", "20:00", "due"),
        ("arrival/4", "04:00", "upcoming"),
    ]


def test_a_death_brings_no_arrival_looks_and_moves_nothing_until_it_stands() -> None:
    f = facts(deaths=(Death(at(9, "09:00"), 90, "Ada", 1, 2),))
    assert one(tasks(f, at(12, "08:59"), day(40)), "slide-2/1").day == day(14)
    found = tasks(f, at(12, "09:00"), day(40))
    assert one(found, "slide-2/1").day == day(23)
    assert not [t for t in of(found, "arrival") if t.day > day(0)]
    keep = replace(f, settled=(Settled(at(10), 97, 90, "keep", "jumped"),))
    assert one(tasks(keep, at(12, "09:00"), day(40)), "slide-2/1").day == day(14)


def test_work_done_while_a_restart_was_proposed_is_not_asked_for_again() -> None:
    f = facts(
        deaths=(Death(at(9, "09:00"), 90, "Ada", 1, 2),),
        marked=(mark("looks/21", 11, clock="08:30"),),
    )
    found = of(tasks(f, at(12, "09:30"), day(13)), "looks")
    assert ("looks/21", "done") in [(t.id[8:], t.state) for t in found]
    assert all(t.state != "done" for t in found if int(t.id.rsplit("/", 1)[1]) > 21)


def test_a_late_restart_of_an_earlier_day_never_takes_dates_back() -> None:
    f = facts(
        deaths=(Death(at(9, "09:00"), 90, "Ada", 1, 2),),
        arrivals=(*facts().arrivals, Arrival(at(10), 60, "Cleo")),
    )
    for now in (at(11), at(12, "10:00"), at(13)):
        assert one(tasks(f, now, day(40)), "slide-2/1").day == day(24)


def test_nothing_is_asked_for_in_quiet_hours() -> None:
    quiet = (time(23), time(6))
    late = (Arrival(at(0, "20:00"), 10, "Ada"),)
    found = of(tasks(facts(arrivals=late, quiet=quiet), at(0, "20:01")), "arrival")
    # 21:00, 00:00 and 08:00 were due; midnight moves to the end of the quiet hours
    assert [(t.day, t.at) for t in found] == [
        (day(0), "21:00"),
        (day(1), "06:00"),
        (day(1), "08:00"),
    ]


@pytest.mark.parametrize(
    ("clock", "start", "end", "expected"),
    [
        ("22:59", "23:00", "06:00", "22:59"),
        ("23:00", "23:00", "06:00", "06:00"),
        ("05:59", "23:00", "06:00", "06:00"),
        ("06:00", "23:00", "06:00", "06:00"),
        ("13:00", "12:00", "14:00", "14:00"),
        ("14:00", "12:00", "14:00", "14:00"),
        ("11:59", "12:00", "14:00", "11:59"),
    ],
)
def test_quiet_hours_move_a_time_to_their_end(
    clock: str, start: str, end: str, expected: str
) -> None:
    quiet = (time.fromisoformat(start), time.fromisoformat(end))
    moved = after_quiet(at(1, clock), ZoneInfo(ZONE), quiet)
    assert f"{moved.astimezone(ZoneInfo(ZONE)):%H:%M}" == expected
    assert timedelta(0) <= moved - at(1, clock) <= timedelta(hours=8)


def test_after_release_only_what_is_counted_from_it_is_asked_for() -> None:
    f = facts(released_utc=at(31), marked=(mark("later/10", 30),))
    found = tasks(f, at(31, "12:00"))
    assert {t.id.split("/")[2] for t in found} == {"after", "later"}
    assert [t.day for t in of(found, "after")] == [day(31 + n) for n in range(1, 15)]
    assert {t.state for t in of(found, "after")} == {"upcoming"}


# tz database: Beirut's midnight of 29 March 2026, Cairo's of 24 April 2026 and Santiago's of
# 6 September 2026 do not exist; Lord Howe moves by half an hour; Apia left out 30 December 2011.
@pytest.mark.parametrize(
    ("zone", "came"),
    [
        ("Asia/Beirut", "2026-03-20T08:00"),
        ("Africa/Cairo", "2026-04-20T08:00"),
        ("America/Santiago", "2026-09-01T08:00"),
        ("Australia/Lord_Howe", "2026-03-30T08:00"),
        ("America/New_York", "2026-03-01T08:00"),
    ],
)
def test_tasks_fall_on_their_dates_across_clock_changes(zone: str, came: str) -> None:
    arrived = local(came, zone)
    f = facts(time_zone=zone, arrivals=(Arrival(arrived, 10, "Ada"),), started_utc=arrived)
    day_0 = date.fromisoformat(came[:10])
    found = tasks(f, arrived + timedelta(minutes=1), day_0 + timedelta(30))
    assert [t.day for t in of(found, "water")] == [day_0 + timedelta(n) for n in range(1, 11)]
    looks = of(found, "looks")
    assert [t.day for t in looks[::2]] == [day_0 + timedelta(n) for n in range(1, 31)]
    assert {t.at for t in looks} == {"08:00", "18:00"}
    assert one(found, "slide-2/1").day == day_0 + timedelta(14)


def test_a_day_that_was_left_out_passes_its_tasks_on() -> None:
    zone = "Pacific/Apia"
    arrived = local("2011-12-25T08:00", zone)
    f = facts(time_zone=zone, arrivals=(Arrival(arrived, 10, "Ada"),), started_utc=arrived)
    days = [t.day for t in of(tasks(f, arrived), "water")]
    assert date(2011, 12, 30) not in days
    assert days == sorted(days)
    assert date(2012, 1, 4) in days


def test_elapsed_hours_are_elapsed_across_a_clock_change() -> None:
    zone = "Europe/Lisbon"  # 01:00 becomes 02:00 on 29 March 2026
    arrived = local("2026-03-28T22:30", zone)
    f = facts(arrivals=(Arrival(arrived, 10, "Ada"),), started_utc=arrived)
    found = of(tasks(f, arrived), "arrival")
    assert [t.at for t in found] == ["23:30", "03:30", "11:30"]


def test_a_plan_on_its_own() -> None:
    found = planned(PLAN, DAY_0)
    assert found[0].day == day(-7)
    assert max(t.day for t in found) == day(30)
    assert {t.state for t in found} == {"upcoming"}
    assert [t.at for t in of(found, "arrival")] == ["", "", ""]
    assert {t.day for t in of(found, "arrival")} == {day(0)}
    assert not of(found, "after")


EVENTS = st.lists(
    st.tuples(st.integers(0, 40), st.integers(0, 23), st.sampled_from(["fish", "net", "death"])),
    max_size=6,
)


def _with(events: list[tuple[int, int, str]]) -> QuarantineFacts:
    f = facts()
    for n, (on, hour, what) in enumerate(events):
        when, entry = at(on, f"{hour:02}:30"), 1000 + n
        if what == "fish":
            f = replace(f, arrivals=(*f.arrivals, Arrival(when, entry, f"F{n}")))
        elif what == "net":
            f = replace(f, contacts=(*f.contacts, Contact(when, entry, "net", "South")))
        else:
            f = replace(f, deaths=(*f.deaths, Death(when, entry, "Ada", 1, 9)))
    return f


@settings(max_examples=60, deadline=None)
@given(EVENTS, st.integers(0, 45))
def test_ids_are_never_given_twice_and_dates_never_go_back(
    events: list[tuple[int, int, str]], now: int
) -> None:
    found = tasks(_with(events), at(now, "12:00"), day(90))
    assert len({t.id for t in found}) == len(found)
    assert [t.day for t in found] == sorted(t.day for t in found)
    by_step: dict[str, list[tuple[int, date]]] = {}
    for t in found:
        _, _, step, number = t.id.split("/")
        by_step.setdefault(step, []).append((int(number), t.day))
    for of_step in by_step.values():
        ordered = sorted(of_step)
        assert [d for _, d in ordered] == sorted(d for _, d in ordered)


@settings(max_examples=60, deadline=None)
@given(EVENTS, st.integers(0, 45))
def test_an_overdue_list_stays_short(events: list[tuple[int, int, str]], now: int) -> None:
    overdue = [t for t in tasks(_with(events), at(now, "12:00")) if t.state == "overdue"]
    repeating = {s.kind for s in PLAN.steps if s.repeats}
    assert sum(t.kind in repeating for t in overdue) <= len(repeating)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 40), st.integers(0, 5))
def test_the_order_of_facts_does_not_matter(now: int, turn: int) -> None:
    f = facts(
        arrivals=tuple(Arrival(at(d), 10 + d, f"F{d}") for d in (0, 2, 9)),
        marked=tuple(mark(f"looks/{n}", n) for n in range(1, 6)),
    )
    turned = replace(
        f,
        arrivals=(*f.arrivals[turn % 3 :], *f.arrivals[: turn % 3]),
        marked=(*f.marked[turn:], *f.marked[:turn]),
    )
    assert tasks(f, at(now)) == tasks(turned, at(now))


def test_now_may_be_before_everything() -> None:
    early = datetime(2020, 1, 1, tzinfo=ZoneInfo("UTC"))
    assert all(t.state == "upcoming" for t in tasks(facts(), early))
