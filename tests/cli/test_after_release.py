"""After a release: closing and watching are asked for, answered and over; the paper stays."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.ask import Answer, Room
from tests.cli.test_own_clock import EVERY, room

__all__ = ["room"]
AT = "2026-04-02 10:00"


def of(room: Room, when: str, step: str, system: str = "Q") -> list[Answer]:
    return [
        t for t in room.at(when, f"tasks --system {system}")["tasks"] if f"/{step}/" in t["id"]
    ]


@pytest.fixture
def released(room: Room) -> Room:
    assert not of(room, AT, "closing")
    room.at(AT, f"record release Q {EVERY}")
    return room


def moved_out(room: Room) -> None:
    for name in ("Ash", "Birch", "Six"):
        room.at("2026-04-02 12:00", f"record move {name} --to R --why released")


def test_a_water_with_fish_in_it_is_not_disinfected_and_an_empty_one_is(released: Room) -> None:
    (lived_in,) = of(released, "2026-04-02 11:00", "closing")
    assert lived_in["state"] == "due"
    assert "nothing is disinfected with fish in the water" in lived_in["because"]
    moved_out(released)
    (empty,) = of(released, "2026-04-02 13:00", "closing")
    assert "fish in the water" not in empty["because"]
    assert empty["id"] == lived_in["id"]


def test_closing_is_late_after_its_days_until_it_is_done(released: Room) -> None:
    moved_out(released)
    (late,) = of(released, "2026-04-06 09:00", "closing")
    assert late["state"] == "overdue"
    assert late["late"]["moved"] is None  # the release is over
    assert late["late"]["what_to_do"].startswith("do it now")
    released.at("2026-04-06 10:00", f"record done {late['id']}")
    (done,) = of(released, "2026-04-06 11:00", "closing")
    assert (done["state"], done["late"]) == ("done", None)


def test_everything_it_asked_for_ends(released: Room) -> None:
    moved_out(released)
    (closing,) = of(released, "2026-04-03 09:00", "closing")
    released.at("2026-04-03 10:00", f"record done {closing['id']}")
    for day in range(3, 17):
        released.at(f"2026-04-{day:02} 12:00", "record look R")
    assert not released.at("2026-04-17 09:00", "tasks --system R")["tasks"]
    left = released.at("2026-04-30 09:00", "tasks")["tasks"]
    assert not [t for t in left if t["state"] in ("due", "overdue", "upcoming")]


def test_the_paper_of_one_fish_and_of_the_water_say_the_same_release(
    released: Room, tmp_path: Path
) -> None:
    moved_out(released)
    when = "2026-04-10 10:00"
    water = released.at(when, f"report release Q --out '{tmp_path / 'q.txt'}'")
    fish = released.at(when, f"report release Ash --out '{tmp_path / 'a.html'}'")
    assert water["released_at"] == fish["released_at"] == "2026-04-02T10:00:00+01:00"
    assert (water["subject"], fish["subject"], fish["system"]) == ("Q", "Ash", "Q")
    assert water["open"] == fish["open"] == []
    assert "Six, ryukin, 6 adult" in (tmp_path / "q.txt").read_text()


def test_a_fish_released_by_itself_has_its_paper_while_the_others_stay(
    room: Room, tmp_path: Path
) -> None:
    room.at(AT, f"record release Ash {EVERY}")
    own = room.at("2026-04-03 10:00", f"report release Ash --out '{tmp_path / 'a.txt'}'")
    rest = room.at("2026-04-03 10:00", f"report release Q --out '{tmp_path / 'q.txt'}'")
    assert own["released_at"] == "2026-04-02T10:00:00+01:00"
    assert rest["released_at"] is None
    assert "slides" in rest["open"]
    said = " ".join((tmp_path / "a.txt").read_text().split())
    assert said.startswith("Release of Ash from Q Released Thu 2 Apr 2026 10:00")
    assert "passed-by-reason" in said
    # deaths, treatments and additions are met by themselves: six of the nine were passed
    assert said.count("Passed by Ana on Thu 2 Apr 2026 10:00: vet.") == 6


def test_a_file_of_another_kind_or_one_that_is_there_is_refused(
    released: Room, tmp_path: Path
) -> None:
    out = tmp_path / "r.pdf"
    released.fails(AT, f"report release Q --out '{tmp_path / 'r.doc'}'", 1, "wrong-kind")
    assert released.at(AT, f"report release Q --out '{out}'")["file"] == str(out)
    released.fails(AT, f"report release Q --out '{out}'", 1, "name-taken")
    assert out.read_bytes().startswith(b"%PDF-")
