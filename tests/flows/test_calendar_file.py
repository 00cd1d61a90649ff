"""The calendar of a room as a file: what is in it, written again, moved, and refused."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar, Event

from intake.clock import Clock
from intake.flows import asking
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.jobs.calendar_file import calendar
from intake.flows.record import Said, record
from intake.flows.rooms import new_room, set_room
from intake.science.problem import Unreadable
from intake.science.text import read_name
from tests.flows.job_rooms import demo_desk, put, small_desk, then
from tests.report.hostile import NAMES
from tests.report.rfc5545 import Part, duration, moment, read

QUIET = (time(23), time(6))


def tub(desk: Desk, name: str = "Tub") -> None:
    put(desk, "2026-11-04 09:00", "vessel", name=name, shape="box", length="100 cm",
        width="50 cm", depth="40 cm", zone="quarantine")  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """One fish in quarantine since the tenth, and a course begun on the twelfth."""
    desk = small_desk(tmp_path)
    tub(desk)
    put(desk, "2026-11-10 10:00", "fish", name="Ash", into="Tub", variety="ranchu")
    put(desk, "2026-11-10 10:05", "quarantine", system="Tub", plan="standard")
    put(desk, "2026-11-12 01:30", "given", Said(why="flukes seen"), system="Tub",
        treatment="praziquantel", amount="0.4 g")  # fmt: skip
    return desk


def written(desk: Desk, path: Path, **more: Any) -> dict[str, Part]:
    calendar(desk, out=str(path), **more)
    return {e.one("UID")[1]: e for e in read(path.read_bytes()).of("VEVENT")}


def named(found: dict[str, Part], words: str) -> Part:
    (one,) = (e for e in found.values() if words in e.text("SUMMARY"))
    return one


def test_it_holds_every_task_the_commands_name(desk: Desk, tmp_path: Path) -> None:
    now = then(desk, "2026-11-13 10:00")
    told = asking.tasks(now, "Tub", "2026-12-24")["tasks"]
    answer = calendar(now, to="2026-12-24", out=str(tmp_path / "c.ics"))
    assert [t["id"] for t in answer["systems"][0]["tasks"]] == [t["id"] for t in told]
    file = read((tmp_path / "c.ics").read_bytes())
    events = file.of("VEVENT")
    assert answer["events"] == len(events) == len(told) + 2, "and release, and day 0"
    for task in told:
        texts = [e.text("DESCRIPTION") for e in events]
        assert any(task["because"].split(";")[0].split("from 20")[0] in text for text in texts)
    states = sorted(e.text("X-INTAKE-STATE") for e in events)
    assert states == sorted([*(t["state"] for t in told), "fact", "fact"])


def test_a_treatment_names_no_amount_and_says_label_and_vet_first(
    desk: Desk, tmp_path: Path
) -> None:
    found = written(then(desk, "2026-11-13 10:00"), tmp_path / "c.ics")
    dose = named(found, "Praziquantel")
    assert dose.text("DESCRIPTION").startswith("The product label and your vet come first")
    assert "0.4 g" not in dose.text("DESCRIPTION")


def test_no_alarm_rings_in_the_quiet_hours(desk: Desk, tmp_path: Path) -> None:
    """The next dose is due at half past one: its alarm waits for the end of the quiet hours."""
    zone = ZoneInfo("Europe/Lisbon")
    path = tmp_path / "c.ics"
    found = written(then(desk, "2026-11-13 10:00"), path)
    file = read(path.read_bytes())
    rung = []
    for event in found.values():
        begins = moment(file, event, "DTSTART")
        if not isinstance(begins, datetime):
            begins = datetime.combine(begins, time(), zone).astimezone(UTC)
        for alarm in event.of("VALARM"):
            rung.append((begins + duration(alarm.one("TRIGGER")[1])).astimezone(zone).time())
    assert len(rung) > 40
    assert not [t for t in rung if t >= QUIET[0] or t < QUIET[1]]
    dose = named(found, "Praziquantel")
    begins = moment(file, dose, "DTSTART")
    assert isinstance(begins, datetime)
    assert begins.astimezone(zone).hour == 1
    assert dose.of("VALARM")[0].one("TRIGGER")[1] == "PT4H30M"


def test_hours_that_are_set_are_kept_instead(desk: Desk, tmp_path: Path) -> None:
    set_room(then(desk, "2026-11-13 09:00"), {"quiet": "20-11"}, Said())
    path = tmp_path / "c.ics"
    found = written(then(desk, "2026-11-13 10:00"), path)
    day = next(
        e
        for e in found.values()
        if e.text("SUMMARY") == "Tub: water test" and e.one("DTSTART")[0] == {"VALUE": "DATE"}
    )
    assert day.of("VALARM")[0].one("TRIGGER")[1] == "PT11H"


def test_what_is_over_has_no_alarm_and_says_what_it_was(desk: Desk, tmp_path: Path) -> None:
    put(desk, "2026-11-13 07:35", "look", subject="Ash")
    now = then(desk, "2026-11-13 10:00")
    first = asking.tasks(now, "Tub")["tasks"]
    open_ = next(t for t in first if t["state"] == "due" and t["kind"] == "water-test")
    put(desk, "2026-11-13 09:30", "skipped", Said(why="kit not here"), task=open_["id"])
    found = written(now, tmp_path / "c.ics")
    done, skipped = named(found, "Done: Tub: look"), named(found, "Skipped: Tub")
    for event in (done, skipped):
        assert not event.of("VALARM")
        assert event.one("STATUS")[1] == "CONFIRMED"
    assert "kit not here" in skipped.text("DESCRIPTION")


def test_two_writings_are_the_same_events_no_older(desk: Desk, tmp_path: Path) -> None:
    path, other = tmp_path / "c.ics", tmp_path / "d.ics"
    first = written(then(desk, "2026-11-13 10:00"), path)
    second = written(then(desk, "2026-11-13 11:00"), path)
    apart = written(then(desk, "2026-11-13 11:00"), other)
    assert set(first) == set(second) == set(apart)
    for uid, event in second.items():
        assert int(event.one("SEQUENCE")[1]) >= int(first[uid].one("SEQUENCE")[1])
        assert event.one("SEQUENCE") == apart[uid].one("SEQUENCE")


def test_new_fish_move_events_that_stay_the_same_ones(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "c.ics"
    first = written(then(desk, "2026-11-13 10:00"), path)
    put(desk, "2026-11-15 10:00", "fish", name="Brick", into="Tub", variety="ranchu")
    second = written(then(desk, "2026-11-15 12:00"), path)
    moved = [
        uid
        for uid, event in second.items()
        if uid in first and event.one("DTSTART") != first[uid].one("DTSTART")
    ]
    assert len(moved) > 10
    for uid in moved:
        assert int(second[uid].one("SEQUENCE")[1]) > int(first[uid].one("SEQUENCE")[1])
    release = named(second, "earliest release")
    assert release.one("UID") == named(first, "earliest release").one("UID")
    assert release.one("DTSTART")[1] == "20261215", "the fifteenth and thirty days"
    texts = [e.text("DESCRIPTION") for e in second.values()]
    assert any("Was " in text and "Brick went in" in text for text in texts)


def test_until_when_a_restart_can_be_settled_is_an_event(desk: Desk, tmp_path: Path) -> None:
    put(desk, "2026-11-10 11:00", "fish", name="Brick", into="Tub", variety="ranchu")
    path = tmp_path / "c.ics"
    before = written(then(desk, "2026-11-20 09:00"), path)
    for n, fish in enumerate(("Ash", "Brick")):
        put(desk, f"2026-11-20 10:0{n}", "look", subject=fish, sign=["white-grains:2"])
    found = written(then(desk, "2026-11-20 11:00"), path)
    settle = named(found, "settle the restart")
    assert settle.one("UID") not in [e.one("UID") for e in before.values()]
    begins = moment(read(path.read_bytes()), settle, "DTSTART")
    assert begins == datetime(2026, 11, 23, 10, 1, tzinfo=UTC), "72 h after the second look"
    assert settle.of("VALARM")[0].one("TRIGGER")[1] == "-P1D"
    assert "Keep the days or begin them again" in settle.text("DESCRIPTION")


def test_an_open_claim_is_an_event_until_it_is_sent(tmp_path: Path) -> None:
    desk = small_desk(tmp_path)
    put(desk, "2026-11-05 09:00", "shipment", name="Box 14", **{"from": "Maple Row"},
        delivered="2026-11-05 08:30")  # fmt: skip
    path = tmp_path / "c.ics"
    (claim,) = written(then(desk, "2026-11-05 09:10"), path).values()
    assert claim.text("SUMMARY") == "Box 14: the seller's claim window closes"
    assert claim.one("DTSTART") == ({"TZID": "Europe/Lisbon"}, "20261105T103000")
    put(desk, "2026-11-05 09:20", "claim", shipment="Box 14", sent="2026-11-05 09:20")
    (claim,) = written(then(desk, "2026-11-05 09:30"), path).values()
    assert claim.one("STATUS")[1] == "CANCELLED"


def test_after_the_release_what_was_ahead_is_cancelled(desk: Desk, tmp_path: Path) -> None:
    path = tmp_path / "c.ics"
    first = written(then(desk, "2026-11-13 10:00"), path)
    put(desk, "2026-11-14 10:00", "stop", system="Tub")
    put(desk, "2026-11-14 12:00", "leave", Said(why="sold"), subject="Ash", **{"as": "sold"})
    now = then(desk, "2026-11-14 12:30")
    answer = calendar(now, out=str(path))
    found = {e.one("UID")[1]: e for e in read(path.read_bytes()).of("VEVENT")}
    gone = [e for e in found.values() if e.one("STATUS")[1] == "CANCELLED"]
    assert answer["cancelled"] == len(gone) > 30
    assert set(first) <= set(found)
    for event in gone:
        before = int(first[event.one("UID")[1]].one("SEQUENCE")[1])
        assert int(event.one("SEQUENCE")[1]) > before
        assert not event.of("VALARM")


def test_any_other_file_stays_as_it_is(desk: Desk, tmp_path: Path) -> None:
    now = then(desk, "2026-11-13 10:00")
    other = Desk(tmp_path / "other.db", clock=Clock(datetime(2026, 11, 3, tzinfo=UTC)), keeper="K")
    new_room(other, {"time_zone": "Europe/Lisbon"})
    tub(other)
    put(other, "2026-11-10 10:00", "fish", name="Coal", into="Tub", variety="ranchu")
    put(other, "2026-11-10 10:05", "quarantine", system="Tub", plan="standard")
    files = {"list.ics": b"a shopping list", "empty.ics": b""}
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    written(then(other, "2026-11-13 10:00"), tmp_path / "theirs.ics")
    theirs = (tmp_path / "theirs.ics").read_bytes()
    (tmp_path / "link.ics").symlink_to(tmp_path / "theirs.ics")
    (tmp_path / "folder.ics").mkdir()
    for name in ("list.ics", "empty.ics", "theirs.ics", "link.ics", "folder.ics"):
        with pytest.raises(Unreadable) as told:
            calendar(now, out=str(tmp_path / name))
        assert [p.code for p in told.value.problems] == ["name-taken"]
    assert {n: (tmp_path / n).read_bytes() for n in files} == files
    assert (tmp_path / "theirs.ics").read_bytes() == theirs
    assert not list(tmp_path.glob(".*part"))


@pytest.mark.parametrize("end", [".txt", ".html", ".pdf"])
def test_a_paper_is_a_new_file(desk: Desk, tmp_path: Path, end: str) -> None:
    now = then(desk, "2026-11-13 10:00")
    path = tmp_path / f"c{end}"
    assert calendar(now, out=str(path))["file"] == str(path)
    before = path.read_bytes()
    with pytest.raises(Unreadable) as told:
        calendar(now, out=str(path))
    assert told.value.problems[0].code == "name-taken"
    assert path.read_bytes() == before


def test_a_file_that_cannot_be_written_leaves_nothing(desk: Desk, tmp_path: Path) -> None:
    now = then(desk, "2026-11-13 10:00")
    with pytest.raises(Unreadable) as told:
        calendar(now, out=str(tmp_path / "no" / "c.ics"))
    assert told.value.problems[0].path == "--out"
    with pytest.raises(Unreadable) as told:
        calendar(now, out=str(tmp_path / "c.doc"))
    assert ".ics" in str(told.value.problems[0])


def test_a_last_day_before_today_is_told(desk: Desk) -> None:
    now = then(desk, "2026-11-13 10:00")
    with pytest.raises(Unreadable) as told:
        calendar(now, to="2026-11-12")
    assert told.value.problems[0].code == "out-of-range"
    answer = calendar(now, to="2026-11-13")
    assert {t["date"] for t in answer["systems"][0]["tasks"]} <= {
        f"2026-11-{day}" for day in (10, 11, 12, 13)
    }


def test_a_water_with_a_course_alone_is_in_it(tmp_path: Path) -> None:
    desk = small_desk(tmp_path)
    tub(desk)
    put(desk, "2026-11-12 10:00", "given", Said(why="flukes seen"), system="Tub",
        treatment="praziquantel", amount="0.4 g")  # fmt: skip
    now = then(desk, "2026-11-13 10:00")
    (water,) = calendar(now)["systems"]
    assert (water["earliest_release"], water["checks"], water["day"]) == (None, [], None)
    assert [t["kind"] for t in water["tasks"]] == ["treatment"]
    assert "Praziquantel" in "".join(
        e.text("SUMMARY") for e in written(now, tmp_path / "c.ics").values()
    )


def test_release_and_days_are_those_of_the_checks(tmp_path: Path) -> None:
    desk = demo_desk(tmp_path)
    for system in calendar(desk)["systems"]:
        told = asking.checks(desk, system["system"])
        for key in ("earliest_release", "decided_by", "days_served"):
            assert system[key] == told[key]
        assert [c["check"] for c in system["checks"]] == [c["check"] for c in told["checks"]]


def kept_names() -> list[str]:
    """Those of the fifty a room takes in: what it refuses never gets that far."""
    read_ = [read_name(name) for name in NAMES]
    return list(dict.fromkeys(name for name in read_ if isinstance(name, str)))


def test_hostile_names_a_room_takes_in_stay_names(tmp_path: Path) -> None:
    desk = small_desk(tmp_path)
    names = kept_names()
    assert len(names) >= 9
    assert len(names) < 30, "most are refused when they are typed"
    for name in names:
        tub(desk, name)
        put(desk, "2026-11-10 10:05", "quarantine", system=name, plan="standard")
    now = then(desk, "2026-11-13 10:00")
    path = tmp_path / "c.ics"
    found = written(now, path)
    summaries = [str(e["SUMMARY"]) for e in Calendar.from_ical(path.read_bytes()).events]
    for name in names:
        assert sum(name in text for text in summaries) >= 3
    assert len(found) == len(summaries)
    for end in (".txt", ".html", ".pdf"):
        calendar(now, out=str(tmp_path / f"c{end}"))
    assert (tmp_path / "c.html").read_text(encoding="utf-8").count("<script") == 0


@pytest.mark.parametrize(
    ("zone", "day_0"),
    [
        ("Europe/Lisbon", date(2026, 3, 20)),
        ("Europe/Lisbon", date(2026, 10, 16)),
        ("America/Santiago", date(2026, 8, 28)),
        ("Africa/Cairo", date(2026, 4, 15)),
    ],
)
def test_the_clock_changes_and_no_task_moves(tmp_path: Path, zone: str, day_0: date) -> None:
    """In Santiago and Cairo one of these days has no midnight."""
    where = ZoneInfo(zone)

    def on(day: date, at: str) -> Desk:
        moment_ = datetime.combine(day, time.fromisoformat(at), where).astimezone(UTC)
        return Desk(tmp_path / "room.db", clock=Clock(moment_), keeper="K")

    new_room(on(day_0, "08:00"), {"time_zone": zone})
    record(on(day_0, "09:00"), "vessel", {"name": "Tub", "shape": "box", "length": "100 cm",
           "width": "50 cm", "depth": "40 cm", "zone": "quarantine"})  # fmt: skip
    record(on(day_0, "10:00"), "fish", {"name": "Ash", "into": "Tub", "variety": "ranchu"})
    record(on(day_0, "10:05"), "quarantine", {"system": "Tub", "plan": "standard"})
    now = on(day_0, "11:00")
    answer = calendar(now, out=str(tmp_path / "c.ics"))
    file = read((tmp_path / "c.ics").read_bytes())
    seen = {}
    for event in Calendar.from_ical((tmp_path / "c.ics").read_bytes()).events:
        seen[str(event["UID"])] = shown(event, where)
    tasks = answer["systems"][0]["tasks"]
    wanted = sorted((t["date"], t["at"] or "") for t in tasks)
    facts = [(f"{day_0}", ""), (f"{day_0 + timedelta(30)}", "")]
    assert sorted(seen.values()) == sorted([*wanted, *facts])
    for part in file.of("VEVENT"):
        day, at = seen[part.one("UID")[1]]
        begins = moment(file, part, "DTSTART")
        if isinstance(begins, datetime):
            assert f"{begins.astimezone(where):%Y-%m-%d %H:%M}" == f"{day} {at}"


def shown(event: Event, where: ZoneInfo) -> tuple[str, str]:
    begins = event.decoded("dtstart")
    if isinstance(begins, datetime):
        there = begins.astimezone(where)
        return f"{there:%Y-%m-%d}", f"{there:%H:%M}"
    return str(begins), ""


def test_a_screen_makes_the_same_file(desk: Desk, tmp_path: Path) -> None:
    now = then(desk, "2026-11-13 10:00")
    calendar(now, out=str(tmp_path / "a.ics"))
    said = RoomJobs(now).calendar_paper("", str(tmp_path / "b.ics"))
    assert str(tmp_path / "b.ics") in said
    assert (tmp_path / "a.ics").read_bytes() == (tmp_path / "b.ics").read_bytes()


def test_the_paper_tells_old_days_reasons_release_and_where_it_is_from(
    desk: Desk, tmp_path: Path
) -> None:
    put(desk, "2026-11-15 10:00", "fish", name="Brick", into="Tub", variety="ranchu")
    now = then(desk, "2026-11-15 12:00")
    calendar(now, out=str(tmp_path / "c.txt"))
    text = " ".join((tmp_path / "c.txt").read_text(encoding="utf-8").split())
    told = asking.checks(now, "Tub")
    assert "Earliest release: Tue 15 Dec, set by days-served" in text
    for check in told["checks"]:
        assert f"{check['check']} {check['state']}" in text
    assert "(was Tue 24 Nov) because day 14 from Sun 15 Nov: Brick went in" in text
    assert "Sun 15 Nov, today: day 0; Brick went in" in text
    assert "Printed Sun 15 Nov 12:00 2026 by K, from the room small.db" in text
    newest = put(desk, "2026-11-15 12:30", "look", subject="Ash") - 1
    assert f"Journal at entry {newest}, " in text


def test_every_task_stands_on_the_paper_once(desk: Desk, tmp_path: Path) -> None:
    now = then(desk, "2026-11-13 10:00")
    answer = calendar(now, out=str(tmp_path / "c.txt"))
    text = (tmp_path / "c.txt").read_text(encoding="utf-8")
    boxes = sum(
        line.startswith(("  [ ] ", "  [x] ", "  [-] ", "  [!] ")) for line in text.split("\n")
    )
    assert boxes == len(answer["systems"][0]["tasks"]) > 100
