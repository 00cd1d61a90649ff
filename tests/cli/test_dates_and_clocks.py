"""The catalogue of what dates and clocks can do to a record, B45 to B60, each by its number.

More of the same stands in tests/test_clock.py (B45 to B52, every zone), tests/science/
test_day_counts.py (B54, nine million days), tests/flows/test_two_times.py (B49, B56),
tests/flows/test_run_clock.py and tests/screens/test_watch.py (B56, B60), tests/screens/
test_midnight.py (B59) and tests/science/test_shelf_life.py (B55).
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from intake.clock import Clock
from intake.flows.asking import today
from intake.flows.desk import Desk
from intake.flows.history import history
from intake.flows.record import record
from intake.flows.rooms import verify
from tests.cli.ask import Room, ask

pytestmark = pytest.mark.usefixtures("quick_files")

TUB = "record vessel Tub box --length 100cm --width 50cm --depth 40cm"
FEED = "record feed Tub --amount 1g"
DOSE = "record dose Tub formalin --strength '37 % w/w' --amount '4.6 mL'"
READ = "record reading Tub --temp 20C --oxygen '8 mg/L' --ph 7.6"


class Quarantine(Room):
    """A tub in quarantine, in a room of any zone."""

    def __init__(self, path: Path, zone: str, began: str) -> None:
        self.path = path
        self.at(began, f"--keeper Ana room new --time-zone {zone}")
        self.at(began, TUB)
        self.at(began, "record group Four --count 4 --variety ryukin --into Tub")
        self.at(began, "record quarantine Tub")

    def of(self, when: str, step: str, to: str = "") -> list[dict[str, Any]]:
        more = f" --to {to}" if to else ""
        every = self.at(when, f"tasks{more}")["tasks"]
        return [t for t in every if t["id"].split("/")[2] == step]


@pytest.fixture
def lisbon(tmp_path: Path) -> Quarantine:
    return Quarantine(tmp_path / "room.db", "Europe/Lisbon", "2026-03-14 10:00")


@pytest.mark.parametrize(
    ("typed", "way_out"),
    [
        ("2026-02-29", "the last day of that month is 2026-02-28"),
        ("2026-02-30", "the last day of that month is 2026-02-28"),
        ("2026-13-01", "months are 01-12"),
    ],
)
def test_b45_a_day_that_does_not_exist(lisbon: Quarantine, typed: str, way_out: str) -> None:
    told = lisbon.fails("2026-03-15 10:00", f"{FEED} --when {typed}", 1, "no-such-time")
    assert told["hint"] == way_out


def test_b46_a_date_in_slashes_is_asked_for_again_and_a_date_taken_shows_its_weekday(
    lisbon: Quarantine,
) -> None:
    told = lisbon.fails("2026-03-15 10:00", f"{FEED} --when 01/02/2026", 1, "no-such-time")
    assert told["hint"] == "YYYY-MM-DD HH:MM"
    taken = lisbon.at("2026-03-15 10:00", f"{FEED} --when '2026-03-14 18:00'")
    assert taken["because"] == ["it happened Sat 14 Mar 2026 18:00"]
    lisbon.at("2026-03-15 10:00", TUB.replace("Tub", "Pool"))
    begun = lisbon.at("2026-03-15 10:00", "record quarantine Pool --expected 2026-04-03")
    assert begun["because"] == ["the fish are expected Fri 3 Apr 2026"]


@pytest.mark.parametrize("typed", ["10", "May", "1.5", "tomorrow", "today", "+1", "yesterday"])
def test_b47_a_word_is_no_date(lisbon: Quarantine, typed: str) -> None:
    lisbon.fails("2026-03-15 10:00", f"{FEED} --when {typed}", 1, "no-such-time")
    lisbon.fails("2026-03-15 10:00", f"tasks --to {typed}", 1, "no-such-time")


@pytest.mark.parametrize("year", ["0226", "2206", "1926", "1999", "2029"])
def test_b48_a_year_nobody_means(lisbon: Quarantine, year: str) -> None:
    told = lisbon.fails("2026-03-15 10:00", f"tasks --to {year}-03-20", 1, "no-such-time")
    assert "2000 to 2028" in told["text"]


def test_b49_what_has_not_happened_is_never_given(lisbon: Quarantine) -> None:
    lisbon.at("2026-03-15 09:00", READ)
    for line in (DOSE, DOSE.replace("record dose", "record given") + " --why 'went in'"):
        told = lisbon.fails(
            "2026-03-15 10:00", f"{line} --when '2026-03-15 10:01'", 1, "in-future"
        )
        assert told["path"] == "--when"
    planned = lisbon.at("2026-03-15 10:00", "dose formalin --vessel Tub --strength '37 % w/w'")
    assert planned["amount"] > 0
    assert lisbon.at("2026-03-15 10:01", "residue Tub")["substances"] == []


def test_b50_nothing_happens_before_its_water_or_its_fish(lisbon: Quarantine) -> None:
    late = "--when '2026-03-14 09:59' --why forgotten"
    lisbon.fails("2026-03-15 10:00", f"{DOSE} {late}", 1, "no-such-name")
    lisbon.fails("2026-03-15 10:00", f"record look Four {late}", 1, "no-such-name")


def test_b51_a_time_the_clocks_go_forward_over(lisbon: Quarantine) -> None:
    told = lisbon.fails("2026-03-29 01:30", FEED, 1, "no-such-time")
    assert (told["path"], told["hint"]) == ("--at", "did you mean 2026-03-29 02:30?")


@pytest.mark.parametrize(("offset", "utc"), [("+01:00", "00:30"), ("+00:00", "01:30")])
def test_b52_a_time_that_comes_twice_is_stored_with_its_offset(
    lisbon: Quarantine, offset: str, utc: str
) -> None:
    told = lisbon.fails("2026-10-25 01:30", FEED, 1, "ambiguous-time")
    assert "2026-10-25 01:30+01:00 or 2026-10-25 01:30+00:00" in told["hint"]
    lisbon.at(f"2026-10-25 01:30{offset}", FEED)
    kept = lisbon.at("2026-10-26 10:00", "history Tub")["entries"][-1]["at"]
    assert kept == f"2026-10-25T01:30:00{offset}"
    assert datetime.fromisoformat(kept).astimezone(ZoneInfo("UTC")).strftime("%H:%M") == utc


@pytest.mark.parametrize(
    ("given", "again", "shown"),
    [
        # Lisbon: forward at 01:00 on 29 March, back at 02:00 on 25 October 2026 (IANA).
        ("2026-03-28 10:00", "2026-03-29 11:00", "24 h from Sat 28 Mar 10:00 is Sun 29 Mar 11:00"),
        ("2026-10-24 10:00", "2026-10-25 09:00", "24 h from Sat 24 Oct 10:00 is Sun 25 Oct 09:00"),
        ("2026-04-11 10:00", "2026-04-12 10:00", ""),
    ],
)
def test_b53_a_dose_24_hours_later_counts_hours_and_tells_both_times(
    lisbon: Quarantine, given: str, again: str, shown: str
) -> None:
    lisbon.at(given, READ)
    dose = "record dose Tub chloramine-t --strength '100 %' --amount '2 g'"
    lisbon.at(given, dose)
    next_ = next(t for t in lisbon.at(given, "tasks")["tasks"] if t["kind"] == "treatment")
    assert f"{next_['date']} {next_['at']}" == again
    assert ("the clocks change between" in next_["because"]) == bool(shown)
    assert shown in next_["because"]


@pytest.mark.parametrize(
    ("zone", "began", "fortnight"),
    [
        ("Europe/Lisbon", "2026-03-20 23:30", "2026-04-03"),
        ("Asia/Beirut", "2026-03-20 23:30", "2026-04-03"),  # no midnight on 29 March
        ("Africa/Cairo", "2026-04-20 00:05", "2026-05-04"),  # no midnight on 24 April
        ("America/Santiago", "2026-08-30 23:30", "2026-09-13"),  # no midnight on 6 September
        ("Pacific/Apia", "2011-12-20 12:00", "2012-01-03"),  # no 30 December at all
    ],
)
def test_b54_day_14_is_a_date_not_336_hours(
    tmp_path: Path, zone: str, began: str, fortnight: str
) -> None:
    room = Quarantine(tmp_path / "room.db", zone, began)
    weigh = room.of(began, "weigh", fortnight)
    assert [(t["date"], t["to"]) for t in weigh] == [
        (fortnight, (date.fromisoformat(fortnight) + timedelta(1)).isoformat())
    ]
    for clock in ("01:30", "23:59"):
        assert room.at(f"{fortnight} {clock}", "checks Tub")["days_served"] == 14
        assert room.of(f"{fortnight} {clock}", "weigh")[0]["state"] == "due"
    before = (date.fromisoformat(fortnight) - timedelta(1)).isoformat()
    assert room.at(f"{before} 23:59", "checks Tub")["days_served"] == 13


@pytest.mark.parametrize(
    ("opened", "keeps", "until"),
    [
        ("2024-02-29", "1 year", "2025-02-28"),
        ("2026-01-31", "1 month", "2026-02-28"),
        ("2024-01-31", "1 month", "2024-02-29"),
        ("2026-01-31", "3 months", "2026-04-30"),
    ],
)
def test_b55_a_month_later_is_its_last_day_where_it_is_shorter(
    lisbon: Quarantine, opened: str, keeps: str, until: str
) -> None:
    """The rule stands in docs/commands.md, the date it gives in `room show`."""
    opening = f"--opened {opened} --keeps-opened '{keeps}'"
    lisbon.at("2026-03-15 10:00", f"record product formalin --strength '37 % w/w' {opening}")
    assert lisbon.at("2026-03-15 10:00", "room show")["products"][-1]["good_until"] == until


def test_b55_thirty_days_from_a_leap_day_are_thirty_days(tmp_path: Path) -> None:
    room = Quarantine(tmp_path / "room.db", "Europe/Lisbon", "2024-02-29 10:00")
    assert room.at("2024-02-29 11:00", "checks Tub")["earliest_release"] == "2024-03-30"


def test_b56_a_clock_that_jumps_back_or_ten_years_on(lisbon: Quarantine) -> None:
    """The clock of the machine itself: `--at` reads no year that far ahead."""

    def fed(when: str) -> list[str]:
        told = record(at_desk(lisbon, when), "feed", {"vessel": "Tub", "amount": "1g"})
        return codes(told)

    assert fed("2026-03-20 10:00") == []
    assert fed("2026-03-20 09:00") == ["clock-back"]
    assert fed("2036-03-20 10:00") == []
    overdue = today(at_desk(lisbon, "2036-03-20 10:05"))["tasks"]
    repeating = [t["kind"] for t in overdue if "earlier times passed" in t["because"]]
    assert sorted(repeating) == sorted(set(repeating))
    assert len(overdue) < 20
    assert fed("2035-03-19 10:00") == ["clock-back"]
    entries = history(at_desk(lisbon, "2036-03-21 10:00"), "Tub")["entries"]
    shown = [e["at"] for e in entries if e["kind"] == "feed"]
    assert shown == sorted(shown)
    assert len(shown) == 4
    assert verify(at_desk(lisbon, "2036-03-21 10:00"), replay=True)["ok"]


def at_desk(room: Room, when: str) -> Desk:
    moment = datetime.fromisoformat(when).replace(tzinfo=UTC)
    return Desk(room.path, clock=Clock(moment), keeper="Ana")


def codes(answer: dict[str, Any]) -> list[str]:
    return [w["code"] for w in answer["warnings"]]


@pytest.fixture
def tokyo() -> Iterator[None]:
    """This computer's own time zone is another one."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = "Asia/Tokyo"
    time.tzset()
    yield
    if before is None:
        del os.environ["TZ"]
    else:
        os.environ["TZ"] = before
    time.tzset()


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="no time zone of its own to set")
def test_b57_a_computer_that_travelled_counts_in_the_zone_of_the_room(
    lisbon: Quarantine, tokyo: None
) -> None:
    """23:30 in Lisbon is the next day in Tokyo."""
    assert lisbon.at("2026-03-15 23:30", "checks Tub")["days_served"] == 1
    lisbon.at("2026-03-15 23:30", FEED)
    last = lisbon.at("2026-03-15 23:31", "history Tub")["entries"][-1]
    assert (last["at"], last["time_zone"]) == ("2026-03-15T23:30:00+00:00", "Europe/Lisbon")


def test_b57_old_entries_keep_their_zone_when_the_room_moves(lisbon: Quarantine) -> None:
    lisbon.at("2026-03-15 23:30", FEED)
    lisbon.at("2026-03-16 10:00", "room set --time-zone Asia/Tokyo")
    lisbon.at("2026-03-17 08:00", FEED)
    fed = [
        (e["time_zone"], e["at"])
        for e in lisbon.at("2026-03-17 09:00", "history Tub")["entries"]
        if e["kind"] == "feed"
    ]
    assert fed == [
        ("Europe/Lisbon", "2026-03-16T08:30:00+09:00"),
        ("Asia/Tokyo", "2026-03-17T08:00:00+09:00"),
    ]
    # The grid of days is the room's: 10:00 in Lisbon on the 14th is the 14th in Tokyo as well.
    assert lisbon.at("2026-03-17 09:00", "checks Tub")["days_served"] == 3


@pytest.mark.parametrize(
    ("line", "now"),
    [
        ("today", "2000-01-01 00:10"),
        ("tasks", "2000-01-01 00:10"),
        ("checks Tub", "2026-03-16 10:00"),
    ],
)
def test_b58_a_clock_behind_the_record_is_said_when_the_room_is_asked(
    lisbon: Quarantine, line: str, now: str
) -> None:
    lisbon.at("2026-03-20 10:00", FEED)
    told = lisbon.at(now, line)
    assert codes(told) == ["clock-back"]
    assert "Fri 20 Mar 2026 10:00" in told["warnings"][0]["text"]
    assert codes(lisbon.at("2026-03-20 10:01", line)) == []


def test_b58_1970_is_no_time_this_program_reads(lisbon: Quarantine) -> None:
    code, answer = ask("today", "--room", str(lisbon.path), "--at", "1970-01-01 00:10")
    assert (code, answer["problems"][0]["code"]) == (1, "no-such-time")


def test_b59_a_dose_confirmed_a_minute_past_midnight_is_of_the_new_day(
    lisbon: Quarantine,
) -> None:
    lisbon.at("2026-03-20 23:50", READ)
    lisbon.at("2026-03-20 23:58", "dose formalin --vessel Tub --strength '37 % w/w'")
    lisbon.at("2026-03-21 00:01", DOSE)
    last = lisbon.at("2026-03-21 00:02", "history Tub")["entries"][-1]
    assert last["at"].startswith("2026-03-21T00:01")


def test_b60_three_days_asleep_list_what_was_missed_and_give_nothing(lisbon: Quarantine) -> None:
    lisbon.at("2026-03-20 10:00", READ)
    lisbon.at("2026-03-20 10:00", "record dose Tub chloramine-t --strength '100 %' --amount '2 g'")
    woken = lisbon.at("2026-03-23 10:00", "today")["tasks"]
    doses = [t for t in woken if t["kind"] == "treatment"]
    assert [(t["date"], t["state"]) for t in doses] == [("2026-03-21", "overdue")]
    looks = [t for t in woken if (t["kind"], t["state"]) == ("look", "overdue")]
    assert len(looks) == 1
    entries = lisbon.at("2026-03-23 10:00", "history Tub")["entries"]
    assert [e["kind"] for e in entries if e["kind"] in ("dose", "given")] == ["dose"]
