"""Fish on the screens: rows day by day, histories, weighing, moving."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from intake.flows.desk import Desk
from intake.flows.history import history
from intake.flows.jobs import RoomJobs
from intake.flows.record import Said, record
from intake.flows.rooms import show_room
from intake.flows.views.fish import FishRow
from intake.science.problem import Refused, Unreadable
from tests.flows.job_rooms import demo_desk, put, small_desk, then

NOON = "2026-11-16 12:00"


@pytest.fixture(scope="module")
def jobs(tmp_path_factory: pytest.TempPathFactory) -> RoomJobs:
    return RoomJobs(demo_desk(tmp_path_factory.mktemp("room")))


def row(jobs: RoomJobs, name: str) -> FishRow:
    return next(r for r in jobs.fish_page("", 0, 100).rows if r.name == name)


def test_all_fish_and_groups_are_listed_in_the_order_of_the_round(jobs: RoomJobs) -> None:
    rows = jobs.fish_page("", 0, 100).rows
    told = show_room(jobs.desk)
    assert sorted(r.name for r in rows) == sorted(a["name"] for a in told["fish"] + told["groups"])
    vessels = [v for v, _ in jobs.fish("").vessels]
    assert [vessels.index(r.vessel) for r in rows] == sorted(vessels.index(r.vessel) for r in rows)
    keys = [r.key for r in rows]
    assert keys == sorted(keys)


def test_a_page_is_a_piece_of_the_whole_list(jobs: RoomJobs) -> None:
    whole = jobs.fish_page("", 0, 100)
    assert whole.total == jobs.fish("").total == len(whole.rows)
    for start in range(whole.total + 2):
        page = jobs.fish_page("", start, 3)
        assert page.rows == whole.rows[start : start + 3]
        assert page.total == whole.total
    assert jobs.fish_page("Blue pool", 0, 9).rows[0].name == "Ash"
    assert jobs.fish_place("Blue pool", "Coal") == 2
    assert jobs.fish_place("Blue pool", "nobody") == 0


def test_the_grid_holds_the_grades_the_looks_saw(jobs: RoomJobs) -> None:
    view = jobs.fish("Blue pool")
    assert view.days[-1] == date(2026, 11, 25)
    coal = row(jobs, "Coal")
    assert len(coal.grades) == len(view.days)
    assert coal.grades.endswith("121_")  # the last three days, and not looked at today
    assert coal.grades.strip().count("·") == 8  # from the day after it came
    assert coal.grades[view.days.index(date(2026, 11, 13))] == " "  # came, not looked at
    assert (coal.last, coal.care) == ("clamped fins 1", True)
    assert row(jobs, "Ash").last == "no sign"


def test_the_head_counts_fish_not_rows(jobs: RoomJobs) -> None:
    head = jobs.fish("Long tank")
    assert (head.occupants, head.total) == ("11 fish", 2)
    assert dict(head.vessels)["Long tank"] == 11
    assert jobs.fish("Blue pool").zone == "quarantine day 12"
    assert "clamped-fins grade 1 in Coal" in jobs.fish("Blue pool").because


def test_an_unknown_vessel_or_fish_comes_with_the_nearest_name(jobs: RoomJobs) -> None:
    with pytest.raises(Unreadable) as no:
        jobs.fish("Blue pol")
    assert no.value.problems[0].hint == "did you mean Blue pool?"
    with pytest.raises(Unreadable) as no:
        jobs.fish_detail("Cola")
    assert no.value.problems[0].hint == "did you mean Coal?"


def room(folder: Path) -> Desk:
    desk = small_desk(folder)
    for name in ("Tub", "Bath"):
        put(desk, "2026-11-04 09:00", "vessel", name=name, shape="box", length="100 cm",
            width="50 cm", depth="40 cm")  # fmt: skip
    put(
        desk,
        "2026-11-10 10:00",
        "group",
        name="Reds",
        count="5",
        into="Tub",
        mass="80 g",
        variety="ryukin",
    )
    put(desk, "2026-11-10 10:01", "fish", name="Ash", into="Tub", variety="ranchu")
    return desk


def test_every_mark_of_the_grid(tmp_path: Path) -> None:
    desk = room(tmp_path)
    put(desk, "2026-11-11 08:00", "look", subject="Tub")
    put(desk, "2026-11-13 08:00", "look", subject="Ash", sign=["rubbing:1"])
    put(desk, "2026-11-13 18:00", "look", subject="Ash", sign=["clamped-fins:3", "rubbing:2"])
    put(desk, "2026-11-15 08:00", "look", subject="Ash", sign=["rubbing:0"])
    jobs = RoomJobs(then(desk, NOON))
    ash = row(jobs, "Ash")
    assert ash.grades[-7:] == " · 3 ·_"  # came on the 10th, was not looked at that day
    assert ash.grades[:-7].strip() == ""
    assert row(jobs, "Reds").grades[-7:] == " ·    _"
    signs = dict(jobs.fish_detail("Ash").signs)
    assert signs["clamped fins"][-7:] == " · 3 ·_"
    assert signs["rubbing"][-7:] == " · 2 ·_"
    put(desk, NOON, "look", subject="Tub")
    assert row(jobs, "Ash").grades[-1] == "·"


def test_grade_three_of_a_grave_kind_is_a_stop(tmp_path: Path) -> None:
    desk = room(tmp_path)
    put(desk, "2026-11-16 08:00", "look", subject="Ash", sign=["ulcer:3"], appetite="none")
    ash = row(RoomJobs(then(desk, NOON)), "Ash")
    assert ash.stop
    assert ash.care
    assert ash.last.endswith("does not eat")


def test_a_fish_never_looked_at_asks_for_care(tmp_path: Path) -> None:
    ash = row(RoomJobs(then(room(tmp_path), NOON)), "Ash")
    assert (ash.last, ash.care, ash.grades.strip()) == ("not looked at yet", True, "_")


def test_a_history_is_that_of_the_command_with_the_keepers_words_as_they_are(
    tmp_path: Path,
) -> None:
    desk = room(tmp_path)
    words = "rubs the [b]sponge[/b] filter, twice \N{HEAVY EXCLAMATION MARK SYMBOL}"
    note = put(desk, "2026-11-13 08:00", "look", Said(note=words), subject="Ash",
               sign=["rubbing:1"])  # fmt: skip
    put(desk, "2026-11-13 09:00", "slide", subject="Ash", **{"from": "skin-scrape"})
    put(desk, "2026-11-14 09:00", "measure", subject="Ash", mass="86 g")
    put(desk, "2026-11-14 10:00", "move", Said(why="to treat it alone"), subject="Ash", to="Bath")
    jobs = RoomJobs(then(desk, NOON))
    lines = jobs.fish_detail("Ash").lines
    told = history(jobs.desk, "Ash")["entries"]
    assert [x.entry for x in lines] == [e["entry"] for e in told]
    by_entry = {x.entry: x for x in lines}
    assert by_entry[note].quoted == words
    assert by_entry[note].text == "rubbing 1"
    assert [x.text for x in lines] == [
        "went into Tub",
        "rubbing 1",
        "slide, skin scrape: nothing found",
        "measured 86 g",
        "moved to Bath",
    ]
    assert lines[-1].quoted == "to treat it alone"
    assert lines[1].when == "Fri 13 08:00"
    assert jobs.fish_detail("Ash").weights == (("14 Nov", "86 g"),)
    assert jobs.fish_detail("Ash").detail == "ranchu, 86 g on 14 Nov"


def test_a_corrected_line_says_so_and_a_void_one_is_gone(tmp_path: Path) -> None:
    from intake.flows.correct import correct

    desk = room(tmp_path)
    look = put(desk, "2026-11-13 08:00", "look", subject="Ash", sign=["rubbing:1"])
    gone = put(desk, "2026-11-14 08:00", "look", subject="Ash", sign=["rubbing:3"])
    later = then(desk, NOON)
    correct(later, look, {"sign": ["rubbing:2"]}, Said(why="misread"))
    correct(later, gone, {}, Said(why="another fish"), void=True)
    lines = {x.entry: x for x in RoomJobs(later).fish_detail("Ash").lines}
    assert lines[look].corrected
    assert lines[look].text == "rubbing 2"
    assert gone not in lines


def test_a_part_of_a_group_keeps_what_was_seen_before_it_was_parted(tmp_path: Path) -> None:
    desk = room(tmp_path)
    put(desk, "2026-11-13 08:00", "look", subject="Reds", sign=["rubbing:2"])
    put(
        desk, "2026-11-14 08:00", "move", Said(why="crowded"), subject="Reds", count="2", to="Bath"
    )
    put(desk, "2026-11-15 08:00", "look", subject="Reds", sign=["rubbing:3"])
    jobs = RoomJobs(then(desk, NOON))
    assert row(jobs, "Reds").grades[-4:] == "2 3_"
    assert row(jobs, "Reds 2").grades[-4:] == "2  _"
    assert [x.text for x in jobs.fish_detail("Reds 2").lines][:2] == [
        "5 went into Tub",
        "rubbing 2",
    ]


def test_weighing_is_the_command_with_its_problems(tmp_path: Path) -> None:
    jobs = RoomJobs(then(room(tmp_path), NOON))
    told = jobs.weigh("Ash", "91.5 g")
    assert told.entry == history(jobs.desk, "Ash")["entries"][-1]["entry"]
    assert row(jobs, "Ash").detail == "ranchu, 91.5 g on 16 Nov"
    with pytest.raises(Unreadable) as no:
        jobs.weigh("Ash", "91.5")
    assert (no.value.problems[0].code, no.value.problems[0].path) == ("unit-missing", "--mass")


def quarantined(folder: Path) -> Desk:
    desk = room(folder)
    put(desk, "2026-11-10 12:00", "fish", name="New", into="Bath", variety="ranchu")
    put(desk, "2026-11-10 12:05", "quarantine", system="Bath", plan="standard")
    return desk


def test_what_a_move_would_drag_in_is_what_the_command_answers(tmp_path: Path) -> None:
    jobs = RoomJobs(then(quarantined(tmp_path), NOON))
    told = jobs.move_what_if("Reds", 2, "Bath")
    assert len(told) == 1
    assert "day 0 moves from Tue 10 Nov to Mon 16 Nov" in told[0]
    assert "earliest release from Thu 10 Dec to Wed 16 Dec" in told[0]
    assert len(history(jobs.desk, "Reds")["entries"]) == 1
    answer = record(
        jobs.desk, "move", {"subject": "Reds", "count": "2", "to": "Bath"}, Said(why="crowded")
    )
    assert answer["drags_in"][0]["earliest_release"] == "2026-12-16"


def test_a_move_into_clean_water_drags_nothing_in(tmp_path: Path) -> None:
    desk = room(tmp_path)
    assert RoomJobs(then(desk, NOON)).move_what_if("Ash", None, "Bath") == ()


def test_a_move_is_recorded_with_its_reason_or_not_at_all(tmp_path: Path) -> None:
    jobs = RoomJobs(then(quarantined(tmp_path), NOON))
    with pytest.raises(Unreadable) as no:
        jobs.move("Reds", 2, "Bath", " ")
    assert no.value.problems[0].code == "reason-missing"
    assert row(jobs, "Reds").count == 5
    told = jobs.move("Reds", 2, "Bath", "too crowded")
    assert told.text == "2 of Reds moved to Bath, now Reds 2"
    assert "earliest release" in told.next_text
    assert (row(jobs, "Reds").count, row(jobs, "Reds 2").vessel) == (3, "Bath")


@pytest.mark.parametrize(
    ("name", "count", "to", "path"),
    [
        ("Reds", 9, "Bath", "--count"),
        ("Reds", 2, "Tub", "--to"),
        ("Rods", None, "Bath", "SUBJECT"),
    ],
)
def test_a_move_that_cannot_be_is_a_problem_at_its_field(
    tmp_path: Path, name: str, count: int | None, to: str, path: str
) -> None:
    jobs = RoomJobs(then(room(tmp_path), NOON))
    with pytest.raises(Unreadable) as no:
        jobs.move_what_if(name, count, to)
    assert no.value.problems[0].path == path


def test_nobody_moves_fish_without_being_named(tmp_path: Path) -> None:
    desk = then(room(tmp_path), NOON)
    with pytest.raises(Refused) as no:
        RoomJobs(Desk(desk.room, clock=desk.clock, keeper="X")).move("Ash", None, "Bath", "why")
    assert no.value.code == "keeper-unknown"
