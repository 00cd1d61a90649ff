"""A bath in a bucket: a dose with its own clock that leaves nothing in any water of the room."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from intake.clock import Clock
from intake.flows import asking
from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.dosed_water import room_request
from intake.flows.doses import system_named
from intake.flows.facts.baths import Bath
from intake.flows.met import baths_of
from intake.flows.notes import Notes
from intake.flows.record import Said, record
from intake.flows.residues import substances
from intake.flows.rooms import new_room, set_room, verify
from intake.flows.tried import tried
from intake.flows.usage import Usage
from intake.science.dose import DoseRequest
from intake.science.problem import Refused, Unreadable
from tests.flows.furnished import BEGAN, BOX, desk_at, rows

SALT = {"treatment": "salt", "in": "10 L", "fish": "Ryukins", "amount": "50 g"}
TEN = "2026-11-25 10:00"
DAY_MIN = 24 * 60


def bath(path: Path, minutes: int = 60, said: Said | None = None, **typed: Any) -> dict[str, Any]:
    """A bath written down so many minutes after 09:00; it began at 10:00."""
    words = {**SALT, "started": TEN, **{k.rstrip("_"): v for k, v in typed.items()}}
    return record(desk_at(path, minutes), "bath", words, said)


def kept(path: Path, minutes: int = 60) -> list[Bath]:
    with at_work(desk_at(path, minutes)) as book:
        return list(book.facts.of_kind(Bath))


def baths(path: Path, minutes: int) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = asking.today(desk_at(path, minutes))["baths"]
    return found


def test_it_runs_by_the_clock_on_the_wall_and_is_stopped_by_its_entry(path: Path) -> None:
    told = bath(path)
    assert told["ends_at"] == "2026-11-25T10:30:00+00:00"
    assert any("shortest the course allows" in text for text in told["assumptions"])
    assert any("kitchen timer" in text for text in told["because"])
    (soon,) = baths(path, 80)
    assert (soon["minutes_left"], soon["overdue"], soon["fish"]) == (10.0, False, "Ryukins")
    # A machine that slept through the end is as late as the wall says.
    (late,) = baths(path, 60 + 30 + 300)
    assert (late["minutes_left"], late["overdue"]) == (-300.0, True)
    text = asking.today(desk_at(path, 390))["alerts"][0]["text"]
    assert text.startswith("Lift Ryukins out of the salt bath now")
    said = record(desk_at(path, 390), "stop", {"system": str(told["entry"])})
    assert said["lasted_min"] == 330.0
    assert [w["code"] for w in said["warnings"]] == ["over-hard-limit"]
    assert baths(path, 391) == []
    assert "Too much salt" in asking.today(desk_at(path, 391))["alerts"][0]["text"]


def test_nothing_of_it_is_left_in_any_water_at_home(path: Path) -> None:
    bath(path)
    with at_work(desk_at(path, 61)) as book:
        for name in ("Tub", "Pool"):
            system = system_named(book, name)
            assert not substances(book, system, book.now)
            assert not system.doses


def test_what_happened_is_written_down_whatever_the_limits_say_with_why(path: Path) -> None:
    over: dict[str, Any] = {"amount": "500 g", "ended": "2026-11-25 10:20"}
    before = rows(path)
    with pytest.raises(Refused, match="hard limit is 10 g/L") as refused:
        bath(path, amount="500 g")
    assert refused.value.code == "over-hard-limit"
    assert "--ended" in refused.value.way_out
    with pytest.raises(Unreadable) as missing:
        bath(path, 90, **over)
    assert [p.code for p in missing.value.problems] == ["reason-missing"]
    assert rows(path) == before
    told = bath(path, 90, Said(why="the scale was misread"), **over)
    assert [b["code"] for b in told["broke"]] == ["over-hard-limit"]
    assert "ring the vet" in asking.today(desk_at(path, 91))["alerts"][0]["text"]


def test_it_is_no_longer_than_its_course_allows(path: Path) -> None:
    with pytest.raises(Refused) as refused:
        bath(path, for_="61 min")
    assert (refused.value.code, refused.value.unit) == ("over-hard-limit", "h")
    bath(path, for_="60 min")


def test_one_that_was_too_long_is_told_as_it_was(path: Path) -> None:
    told = bath(path, 300, Said(why="the door bell"), ended="2026-11-25 11:30")
    assert [b["unit"] for b in told["broke"]] == ["h"]


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({"fish": "Nobody"}, "no-such-name"),
        ({"fish": "Ryukins:7"}, "out-of-range"),
        ({"fish": "Ryukins:0"}, "out-of-range"),
        ({"fish": "Ryukins,Ryukins:1"}, "out-of-range"),
        ({"in": "10"}, "unit-missing"),
        ({"amount": "50 mL"}, "wrong-kind"),
        ({"started": "2026-11-25 10:30"}, "in-future"),
        ({"started": "at ten"}, "no-such-time"),
        ({"ended": "2026-11-25 09:59"}, "out-of-range"),
        ({"course": "nothing"}, "no-such-name"),
        ({"treatment": "sald"}, "no-such-name"),
    ],
)
def test_what_is_typed_wrong_is_told(typed: dict[str, Any], code: str, path: Path) -> None:
    before = rows(path)
    with pytest.raises((Unreadable, Refused)) as wrong:
        bath(path, **typed)
    found = wrong.value
    codes = [p.code for p in found.problems] if isinstance(found, Unreadable) else []
    assert code in codes or (code == "wrong-kind" and isinstance(found, Refused))
    assert rows(path) == before


@pytest.mark.parametrize(
    "typed",
    [{"for_": "10 min", "ended": "2026-11-25 10:00"}, {"stopped": "it rolled over"}],
)
def test_what_cannot_be_together_is_usage(typed: dict[str, Any], path: Path) -> None:
    with pytest.raises(Usage):
        bath(path, **typed)


def test_two_times_are_one_too_many_and_a_late_one_needs_why(path: Path) -> None:
    with pytest.raises(Usage, match="--started"):
        bath(path, 60, Said(when=TEN))
    with pytest.raises(Unreadable) as late:
        bath(path, 60, started="2026-11-23 10:00", ended="2026-11-23 10:30")
    assert [(p.code, p.path) for p in late.value.problems] == [("reason-missing", "--why")]
    told = bath(
        path, 60, Said(why="on paper until now"), started="2026-11-23 10:00",
        ended="2026-11-23 10:30",
    )  # fmt: skip
    assert not told["broke"]
    assert kept(path)[0].since == datetime(2026, 11, 23, 10, tzinfo=UTC)


def test_only_a_course_that_is_a_bath(path: Path) -> None:
    feed: dict[str, Any] = {"treatment": "praziquantel", "course": "feed"}
    for typed in ({"course": "support"}, feed):
        with pytest.raises(Refused) as refused:
            bath(path, **typed)
        assert refused.value.code == "wrong-route"


def test_life_stage_is_that_of_the_fish_in_it(path: Path) -> None:
    record(desk_at(path, 1), "group", {"name": "Fry", "count": "5", "variety": "ryukin",
                                       "into": "Pool", "stage": "fry"})  # fmt: skip
    with pytest.raises(Refused) as refused:
        bath(path, fish="Fry")
    assert refused.value.code == "life-stage"
    assert bath(path)["entry"]


def test_a_fish_is_in_one_bucket_at_a_time(path: Path) -> None:
    first = bath(path)
    with pytest.raises(Unreadable) as twice:
        bath(path, 61, started="2026-11-25 10:01")
    assert f"stop {first['entry']}" in twice.value.problems[0].hint


def test_water_at_home_knows_what_its_fish_met_in_a_bath(path: Path) -> None:
    """Formalin of a bath, then permanganate or formalin at home: too soon, never mixed."""
    formalin: dict[str, Any] = {
        "treatment": "formalin", "amount": "1 mL", "strength": "37 % w/w", "course": "short-bath",
        "temp": "15 C", "oxygen": "9 mg/L", "ph": "7.4", "kh": "6 dKH",
    }  # fmt: skip
    told = bath(path, **formalin)
    record(desk_at(path, 95), "stop", {"system": str(told["entry"])})
    with at_work(desk_at(path, 100)) as book:
        for name in ("salt", "formalin"):
            treatment = book.shelf.treatments[name]
            base = DoseRequest(treatment, book.now, never_mix=book.shelf.never_mix)
            system = system_named(book, "Tub")
            request = room_request(book, system, base, treatment.courses[0], Notes())
            if name == "salt":
                met = [(r.treatment, r.where) for r in request.recent]
                assert ("formalin", "a bath") in met
            else:
                assert request.last_dose_utc == datetime(2026, 11, 25, 10, tzinfo=UTC)
            elsewhere = room_request(
                book, system_named(book, "Pool"), base, treatment.courses[0], Notes()
            )
            assert not elsewhere.recent
            assert elsewhere.last_dose_utc is None


def test_a_bath_tries_a_treatment_for_the_group_once_a_day_has_gone(path: Path) -> None:
    entry = bath(path, fish="Ryukins:1")["entry"]
    assert kept(path)[0].who == "1 of Ryukins"

    def is_tried(minutes: int) -> bool:
        with at_work(desk_at(path, minutes)) as book:
            animals = book.facts.occupants(system_named(book, "Tub").vessels)
            return tried(book, animals, "salt", BEGAN + timedelta(minutes=minutes))

    assert not is_tried(60 + DAY_MIN)
    record(desk_at(path, 90), "stop", {"system": str(entry)})
    assert not is_tried(89 + DAY_MIN)
    assert is_tried(90 + DAY_MIN)
    dose = {"system": "Pool", "treatment": "salt", "amount": "100 g"}
    assert record(desk_at(path, 91 + DAY_MIN), "dose", dose)["entry"]


def test_fish_taken_out_of_a_group_were_in_its_baths_up_to_then(path: Path) -> None:
    record(desk_at(path, 91), "stop", {"system": str(bath(path)["entry"])})
    new = {"subject": "Ryukins", "to": "Pool", "count": "1", "new_name": "Ruby"}
    record(desk_at(path, 120), "move", new, Said(why="a tub of its own"))
    later = {"started": "2026-11-25 16:00", "amount": "60 g"}
    record(desk_at(path, 421), "bath", {**SALT, **later})
    with at_work(desk_at(path, 500)) as book:
        found = {
            a.name: len(list(baths_of(book, a))) for a in book.facts.occupants(book.facts.things)
        }
    assert found == {"Ryukins": 2, "Ruby": 1}


def test_a_correction_and_a_void_are_folded(path: Path) -> None:
    entry = bath(path)["entry"]
    record(desk_at(path, 100), "stop", {"system": str(entry)})
    corrected = {"fish": "Ryukins:2", "started": "2026-11-25 09:50", "amount": "200 g"}
    correct(desk_at(path, 110), entry, corrected, Said(why="two of them, a double amount"))
    (now,) = kept(path, 111)
    assert (now.who, now.since.minute, now.until) == (
        "2 of Ryukins", 50, BEGAN + timedelta(minutes=100),
    )  # fmt: skip
    assert [b["code"] for b in now.broke] == ["over-hard-limit"]
    correct(desk_at(path, 112), entry, {"ended": "2026-11-25 10:05"}, Said(why="out earlier"))
    assert kept(path, 113)[0].until == BEGAN + timedelta(minutes=65)
    correct(desk_at(path, 114), entry, {}, Said(why="it was another fish"), void=True)
    assert not kept(path, 115)
    assert verify(desk_at(path, 116), replay=True)["ok"]
    correct(desk_at(path, 117), entry, {"fish": "Ryukins"}, Said(why="it was after all"))
    assert kept(path, 118)[0].who == "Ryukins"


def test_a_bath_ends_where_somebody_is_up(path: Path) -> None:
    """With 23-06 where nothing is set, said so; an hour of one's own is kept to."""

    def at(clock: str) -> Desk:
        now = datetime.fromisoformat(f"2026-11-25T{clock}+00:00")
        return Desk(path, clock=Clock(now), keeper="Ana")

    def begin(clock: str, **more: str) -> dict[str, Any]:
        return record(at(clock), "bath", {**SALT, "started": f"2026-11-25 {clock}", **more})

    with pytest.raises(Refused) as refused:
        begin("22:30")
    assert refused.value.code == "out-of-condition"
    assert "room set --quiet" in refused.value.way_out
    past = {"started": "2026-11-25 22:30", "ended": "2026-11-25 23:00"}
    assert record(at("23:10"), "bath", {**SALT, **past})["entry"]
    set_room(at("23:11"), {"quiet": "00-06"}, Said())
    assert begin("23:15")["ends_at"] == "2026-11-25T23:45:00+00:00"


@pytest.mark.parametrize(
    ("started", "ends", "left_min"),
    [
        # 02:00 of summer time is 01:00 again: half an hour is half an hour.
        ("2026-10-25 01:45+01:00", "2026-10-25T01:15:00+00:00", -120.0),
        ("2026-10-25 00:45", "2026-10-25T01:15:00+01:00", -180.0),
        # A year before, 01:00 became 02:00.
        ("2026-03-29 00:45", "2026-03-29T02:15:00+01:00", -120.0),
    ],
)
def test_a_clock_that_is_changed_changes_no_bath(
    started: str, ends: str, left_min: float, quick_files: None, tmp_path: Path
) -> None:
    path = tmp_path / "room.db"

    def at(text: str) -> Desk:
        return Desk(path, clock=Clock(datetime.fromisoformat(text)), keeper="Ana")

    before, day = at("2026-03-01T09:00+00:00"), started[:10]
    new_room(before, {"time_zone": "Europe/Lisbon"})
    record(before, "vessel", {"name": "Tub", **BOX})
    record(before, "group", {"name": "Ryukins", "count": "6", "variety": "ryukin", "into": "Tub"})
    set_room(before, {"quiet": "12-13"}, Said())
    told = record(at(f"{day}T02:00+00:00"), "bath", {**SALT, "started": started})
    assert told["ends_at"] == ends
    (late,) = asking.today(at(f"{day}T03:15+00:00"))["baths"]
    assert late["minutes_left"] == left_min
