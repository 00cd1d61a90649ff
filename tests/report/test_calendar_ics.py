"""The file of events, read back by three readers, two of which did not write it."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject  # type: ignore[import-untyped]
from icalendar import Calendar

from intake.report.calendar_events import CalendarEvent, EventList, sequence_of, uid_of
from intake.report.calendar_ics import as_ics
from intake.report.calendar_kept import read_kept
from intake.report.calendar_zone import zone_component
from intake.science.text import inert
from tests.report.hostile import NAMES
from tests.report.rfc5545 import Part, instant, moment, read

ROOM = "5f" * 32
NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
TODAY = date(2026, 11, 25)


def event(key: str = "6/7/look/1", **given: object) -> CalendarEvent:
    plain = CalendarEvent(key, "look", "due", "Tub: look", ("Because: the plan.",), TODAY, TODAY)
    return replace(plain, **given)  # type: ignore[arg-type]


def listed(*events: CalendarEvent, **given: object) -> EventList:
    plain = EventList(ROOM, "Europe/Lisbon", NOW, TODAY, 20_000, "Fish room", events)
    return replace(plain, **given)  # type: ignore[arg-type]


def again(before: bytes, then: EventList) -> tuple[bytes, int]:
    kept = read_kept(before, ROOM)
    assert kept is not None
    return as_ics(then, kept)


def by_uid(data: bytes) -> dict[str, Part]:
    return {e.one("UID")[1]: e for e in read(data).of("VEVENT")}


def at(zone: str, text: str, fold: int = 0) -> datetime:
    wall = datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=ZoneInfo(zone), fold=fold)
    return wall.astimezone(UTC)


def hostile() -> EventList:
    return listed(
        *(
            event(f"6/{n}/look/1", summary=f"{name}: look", lines=(f"Because: {name}", name),
                  kind=name, state=name, alarms=(NOW,))
            for n, name in enumerate(NAMES)
        ),
        name="\n".join(NAMES[:30]),
    )  # fmt: skip


def test_fifty_hostile_names_break_no_rule_and_no_line() -> None:
    data, _ = as_ics(hostile(), {})
    calendar = read(data)
    assert [p.name for p in calendar.parts] == ["VTIMEZONE"] + ["VEVENT"] * 50
    allowed = {"UID", "DTSTAMP", "LAST-MODIFIED", "SEQUENCE", "STATUS", "TRANSP", "SUMMARY",
               "DESCRIPTION", "CATEGORIES", "X-INTAKE-STATE", "DTSTART", "DTEND"}  # fmt: skip
    for found in calendar.of("VEVENT"):
        assert set(found.lines) == allowed
        assert [p.name for p in found.parts] == ["VALARM"]
    assert not re.search(rb"[\x00-\x09\x0b\x0c\x0e-\x1f\x7f]", data)
    assert not set("\u202e\u202c\u2066\u2069\u200f\u200e\u2028\u2029\x85\x9b") & set(data.decode())


@pytest.mark.parametrize("n", range(len(NAMES)))
def test_a_hostile_name_is_read_back_as_it_was_shown(n: int) -> None:
    given = hostile()
    one = given.events[n]
    data, _ = as_ics(replace(given, events=(one,)), {})
    summary, text = inert(one.summary), "\n".join(inert(line) for line in one.lines)
    (mine,) = read(data).of("VEVENT")
    assert (mine.text("SUMMARY"), mine.text("DESCRIPTION")) == (summary, text)
    (theirs,) = Calendar.from_ical(data).events
    assert (str(theirs["SUMMARY"]), str(theirs["DESCRIPTION"])) == (summary, text)
    other = vobject.readOne(data.decode())
    assert [c.name for c in other.getChildren() if c.name == "VEVENT"] == ["VEVENT"]
    # that reader takes outer blanks off a value
    assert other.vevent.summary.value.strip() == summary.strip()
    assert other.vevent.description.value == text
    kept = read_kept(data, ROOM)
    assert kept is not None
    assert [k.summary for k in kept.values()] == [summary]


def test_written_again_it_is_the_same_but_for_its_stamp() -> None:
    first, _ = as_ics(hostile(), {})
    later = replace(hostile(), now_utc=NOW + timedelta(hours=1))
    second, cancelled = again(first, later)
    assert cancelled == 0
    stamps = re.compile(rb"(DTSTAMP|LAST-MODIFIED):\d{8}T\d{6}Z")
    assert stamps.sub(b"", second) == stamps.sub(b"", first)
    assert second != first


def test_a_task_that_moved_is_the_same_event_newer() -> None:
    first, _ = as_ics(listed(event()), {})
    moved = event(day=TODAY + timedelta(5), last=TODAY + timedelta(5))
    second, cancelled = again(first, listed(moved, sequence=21_000))
    (uid,) = by_uid(first)
    assert list(by_uid(second)) == [uid]
    assert cancelled == 0
    assert by_uid(second)[uid].one("SEQUENCE")[1] == "21000"
    assert by_uid(second)[uid].one("DTSTART") == ({"VALUE": "DATE"}, "20261130")
    assert by_uid(second)[uid].one("DTEND") == ({"VALUE": "DATE"}, "20261201"), "exclusive"


def test_a_move_without_an_entry_is_newer_too_and_no_file_goes_back() -> None:
    first, _ = as_ics(listed(event()), {})
    second, _ = again(first, listed(event(day=TODAY - timedelta(1))))
    assert [e.one("SEQUENCE")[1] for e in by_uid(second).values()] == ["20001"]
    third, _ = again(second, listed(event(day=TODAY - timedelta(1))))
    assert [e.one("SEQUENCE")[1] for e in by_uid(third).values()] == ["20001"]
    older, _ = again(third, listed(event(), sequence=5))
    assert [e.one("SEQUENCE")[1] for e in by_uid(older).values()] == ["20002"]


def test_what_is_no_longer_asked_for_is_cancelled_once_and_comes_back_newer() -> None:
    gone, stays = event(alarms=(NOW,)), event("6/7/look/2")
    first, _ = as_ics(listed(gone, stays), {})
    second, cancelled = again(first, listed(stays, sequence=20_000))
    uid = uid_of(ROOM, gone.key)
    found = by_uid(second)[uid]
    assert cancelled == 1
    assert found.one("STATUS")[1] == "CANCELLED"
    assert found.one("SEQUENCE")[1] == "20001"
    assert not found.of("VALARM")
    later = listed(stays, sequence=30_000, now_utc=NOW + timedelta(days=1))
    third, cancelled = again(second, later)
    assert cancelled == 0
    assert by_uid(third)[uid].one("SEQUENCE")[1] == "20001"
    fourth, _ = again(third, listed(gone, stays, sequence=20_000))
    assert by_uid(fourth)[uid].one("STATUS")[1] == "CONFIRMED"
    assert by_uid(fourth)[uid].one("SEQUENCE")[1] == "20002"


def test_what_was_done_long_ago_stays_as_it_was() -> None:
    done = event(state="done", summary="Done: Tub: look")
    first, _ = as_ics(listed(done), {})
    month = timedelta(days=30)
    second, cancelled = again(first, listed(now_utc=NOW + month, today=TODAY + month))
    assert cancelled == 0
    assert [e.one("STATUS")[1] for e in by_uid(second).values()] == ["CONFIRMED"]
    _, cancelled = again(first, listed(today=TODAY + timedelta(1)))
    assert cancelled == 1, "it was taken back"
    years = timedelta(days=800)
    gone, _ = again(first, listed(now_utc=NOW + years, today=TODAY + years))
    assert by_uid(gone) == {}


def test_the_same_task_of_another_room_is_another_event() -> None:
    assert uid_of(ROOM, "6/7/look/1") == uid_of(ROOM, "6/7/look/1")
    assert len({uid_of(ROOM, "6/7/look/1"), uid_of("6f" * 32, "6/7/look/1"),
                uid_of(ROOM, "6/7/look/2")}) == 3  # fmt: skip


def test_the_revision_never_goes_down() -> None:
    entered = NOW
    seen = []
    for entry in range(1, 200):
        for hours in (0, 5, 30, 24 * 40, 24 * 5000):
            seen.append(sequence_of(entry, entered, entered + timedelta(hours=hours)))
    assert seen == sorted(seen)
    assert sequence_of(2, NOW, NOW) > sequence_of(1, NOW, NOW + timedelta(days=9999))
    assert sequence_of(10, NOW, NOW - timedelta(days=3)) == 10_000, "a clock that went back"
    assert sequence_of(9_999_999, NOW, NOW) == 2**31 - 1


FORGED = (
    b"",
    b"a shopping list",
    b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n",
    b"BEGIN:VCALENDAR\r\nPRODID:-//another//EN\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n",
    b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n",
    b"BEGIN:VCALENDAR\r\n" + b"\xff\xfe" * 50,
    b"BEGIN:VCALENDAR" * 100,
)


@pytest.mark.parametrize("data", FORGED)
def test_any_other_file_is_not_ours(data: bytes) -> None:
    assert read_kept(data, ROOM) is None


def test_a_file_of_another_room_is_not_ours() -> None:
    data, _ = as_ics(listed(event()), {})
    assert read_kept(data, "6f" * 32) is None
    assert read_kept(data + data, ROOM) is None


@pytest.mark.parametrize(
    ("was", "put"),
    [
        (rb"DTSTART;VALUE=DATE:\d+", b"DTSTART;VALUE=DATE:00010101"),
        (rb"DTSTART;VALUE=DATE:\d+", b"DTSTART:20261125T100000"),
        (rb"DTSTART;VALUE=DATE:\d+", b"DTSTART;TZID=No/Where:20261125T100000"),
        (rb"DTEND;VALUE=DATE:\d+", b"DTEND;VALUE=DATE:99991231"),
        (rb"DTEND;VALUE=DATE:\d+", b"DTEND;VALUE=DATE:20261125"),
        (rb"SEQUENCE:\d+", b"SEQUENCE:99999999999999"),
        (rb"SEQUENCE:\d+", b"SEQUENCE:x"),
        (rb"UID:[-0-9a-f]+", b"UID:../../etc/passwd"),
        (rb"UID:[-0-9a-f]+", b""),
        (rb"DTSTAMP:\w+", b"DTSTAMP;VALUE=DATE:20261125"),
    ],
)
def test_what_a_hand_changed_in_it_is_left_out(was: bytes, put: bytes) -> None:
    data, _ = as_ics(listed(event()), {})
    changed, times = re.subn(was, put, data)
    assert times == 1
    kept = read_kept(changed.replace(b"\r\n\r\n", b"\r\n"), ROOM)
    assert kept == {}
    read(as_ics(listed(), kept)[0])


def test_texts_a_hand_put_in_it_are_still_only_texts() -> None:
    data, _ = as_ics(listed(event()), {})
    bad = data.replace(
        b"SUMMARY:Tub: look\r\n",
        b"SUMMARY:Tub\\nEND:VEVENT\\, \xe2\x80\xae\r\nRRULE:FREQ=SECONDLY\r\nURL:javascript:1\r\n",
    )
    made, cancelled = again(bad, listed())
    (found,) = by_uid(made).values()
    assert cancelled == 1
    assert not {"RRULE", "URL"} & set(found.lines)
    assert found.text("SUMMARY") == "Tub␊END:VEVENT, \ufffd"


PIECES = (
    b"\r\n", b":", b";", b"\\", b"\xff", b"\r\n ", b'"', b"-1", b"99999999999", b"T250000Z",
    b"BEGIN:VEVENT\r\n", b"END:VEVENT\r\n", b"DTSTART:20261125\r\n", b"UID:\r\n",
    b"DTEND:19970714T133000/PT1H\r\n", b"RRULE:FREQ=X\r\n", b"TZID=", b"VALUE=DATE",
)  # fmt: skip


@pytest.mark.slow
def test_a_file_changed_anyhow_is_read_or_is_not_ours() -> None:
    """A thousand files with bytes changed, taken away and put in; no more than that is asked."""
    timed = event(at_utc=NOW, alarms=(NOW,))
    data, _ = as_ics(replace(hostile(), events=(*hostile().events[18:22], timed)), {})
    chance, ours = random.Random(1), 0
    for _ in range(1000):
        changed = bytearray(data)
        for _ in range(chance.randint(1, 4)):
            at_, how = chance.randrange(len(changed)), chance.random()
            if how < 0.4:
                changed[at_ : at_ + chance.randint(0, 12)] = chance.choice(PIECES)
            elif how < 0.7:
                changed[at_] = chance.randrange(256)
            else:
                del changed[at_ : at_ + chance.randint(1, 40)]
        kept = read_kept(bytes(changed), ROOM)
        if kept:
            ours += 1
            read(as_ics(listed(), kept)[0])
    assert 300 < ours < 1000


ZONES = (
    "Europe/Lisbon", "America/New_York", "America/Santiago", "Africa/Cairo", "Asia/Beirut",
    "America/Havana", "Australia/Lord_Howe", "Africa/Casablanca", "Asia/Kathmandu",
    "Antarctica/Troll", "Pacific/Apia", "Europe/Dublin",
)  # fmt: skip
"""With the hour, half an hour, two hours; at one, two and at midnight; by a negative change."""


def hours_of(zone: str, year: int) -> Iterator[datetime]:
    """Every half hour of a year."""
    first = datetime(year, 1, 1, tzinfo=UTC)
    yield from (first + timedelta(minutes=30 * n) for n in range(2 * 24 * 365))


@pytest.mark.parametrize("zone", ZONES)
def test_the_zone_in_the_file_is_the_zone_of_the_room(zone: str) -> None:
    """By the rules of RFC 5545 alone, against the time zone database, every half hour."""
    where = ZoneInfo(zone)
    made = zone_component(where, date(2026, 1, 1), date(2027, 1, 1))
    around = b"BEGIN:VCALENDAR\r\nPRODID:x\r\nVERSION:2.0\r\n%sEND:VCALENDAR\r\n"
    (told,) = read(around % made.to_ical()).of("VTIMEZONE")
    for utc in hours_of(zone, 2026):
        there = utc.astimezone(where)
        if not there.fold:
            assert instant(told, f"{there:%Y%m%dT%H%M%S}") == utc


def test_a_change_is_told_by_the_clock_before_it() -> None:
    """RFC 5545 section 3.6.5, the example of New York in 2007: on 11 March at 2:00, -0500 before;
    on 4 November at 2:00, -0400 before."""
    made = zone_component(ZoneInfo("America/New_York"), date(2007, 1, 2), date(2007, 12, 30))
    around = b"BEGIN:VCALENDAR\r\nPRODID:x\r\nVERSION:2.0\r\n%sEND:VCALENDAR\r\n"
    (told,) = read(around % made.to_ical()).of("VTIMEZONE")
    rules = [
        (r.name, *(r.one(n)[1] for n in ("DTSTART", "TZOFFSETFROM", "TZOFFSETTO", "TZNAME")))
        for r in told.parts[1:]
    ]
    assert rules == [
        ("DAYLIGHT", "20070311T020000", "-0500", "-0400", "EDT"),
        ("STANDARD", "20071104T020000", "-0400", "-0500", "EST"),
    ]
    # section 3.3.5, both of its examples: a time that comes twice, and one that is left out
    assert instant(told, "20071104T013000") == datetime(2007, 11, 4, 5, 30, tzinfo=UTC)
    assert instant(told, "20070311T023000") == datetime(2007, 3, 11, 7, 30, tzinfo=UTC)


CHANGES = [
    ("Europe/Lisbon", "2026-03-29 00:59", 0),  # the last minute before an hour is left out
    ("Europe/Lisbon", "2026-03-29 02:00", 0),
    ("Europe/Lisbon", "2026-10-25 01:30", 0),  # the first of two
    ("Europe/Lisbon", "2026-10-25 01:30", 1),  # the second
    ("Europe/Lisbon", "2026-10-25 01:50", 0),  # ends in the second
    ("Europe/Lisbon", "2026-07-01 08:00", 0),
    ("America/Santiago", "2026-09-06 01:00", 0),  # this day has no midnight
    ("America/Santiago", "2026-09-05 23:55", 0),
    ("Africa/Cairo", "2026-04-24 01:00", 0),  # nor this one
    ("Australia/Lord_Howe", "2026-04-05 01:45", 1),
    ("Etc/UTC", "2026-11-25 08:00", 0),
]


@pytest.mark.parametrize(("zone", "text", "fold"), CHANGES)
def test_a_time_of_day_is_the_same_instant_to_every_reader(
    zone: str, text: str, fold: int
) -> None:
    begins = at(zone, text, fold)
    day = begins.astimezone(ZoneInfo(zone)).date()
    alarm = begins - timedelta(minutes=15)
    one = event(at_utc=begins, day=day, last=day, alarms=(alarm,))
    data, _ = as_ics(listed(one, time_zone=zone, today=day), {})
    calendar = read(data)
    (mine,) = calendar.of("VEVENT")
    ends = begins + timedelta(minutes=15)
    assert (moment(calendar, mine, "DTSTART"), moment(calendar, mine, "DTEND")) == (begins, ends)
    (theirs,) = Calendar.from_ical(data).events
    assert theirs.decoded("dtstart").astimezone(UTC) == begins
    other = vobject.readOne(data.decode()).vevent
    assert other.dtstart.value.astimezone(UTC) == begins
    assert mine.of("VALARM")[0].one("TRIGGER")[1] == "-PT15M"
    if zone != "Etc/UTC" and "10-25" not in text and not fold:
        assert mine.one("DTSTART")[0] == {"TZID": zone}


def test_windows_of_days_are_days_wherever_the_clock_changes() -> None:
    for zone, day in (
        ("Europe/Lisbon", date(2026, 3, 28)),
        ("America/Santiago", date(2026, 9, 5)),
    ):
        morning = at(zone, f"{day + timedelta(1)} 09:00")
        one = event(day=day, last=day + timedelta(2), alarms=(at(zone, f"{day} 09:00"), morning))
        data, _ = as_ics(listed(one, time_zone=zone, today=day), {})
        (mine,) = read(data).of("VEVENT")
        assert mine.one("DTSTART") == ({"VALUE": "DATE"}, f"{day:%Y%m%d}")
        assert mine.one("DTEND") == ({"VALUE": "DATE"}, f"{day + timedelta(3):%Y%m%d}")
        triggers = [a.one("TRIGGER")[1] for a in mine.of("VALARM")]
        assert triggers == ["PT9H", "P1DT8H"], "one hour less had gone by"
