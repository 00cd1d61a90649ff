"""A logger's file in the room: one entry, folded into days, taken back by a correction."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work, rehearsed
from intake.flows.imported import import_file
from intake.flows.quarantine_facts import facts_of
from intake.flows.record import Said, record
from intake.flows.rooms import set_room
from intake.flows.temperatures import temperatures
from intake.science.counters import counters
from intake.science.day_temperatures import day_temperatures
from intake.science.problem import Refused, Unreadable
from tests.flows.job_rooms import at, put, small_desk, then

BOX = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm"}


def logged(folder: Path, first: int, last: int, temp_c: float, name: str = "log.csv") -> str:
    """A row each hour from noon of the first to noon of the last day of November, 2 C apart."""
    rows = [
        f"2026-11-{day:02} {hour:02}:00,{temp_c + 2 * (hour == 15)}"
        for day in range(first, last + 1)
        for hour in range(24)
        if (day, hour) >= (first, 12) and (day, hour) <= (last, 12)
    ]
    path = folder / name
    path.write_text("Time,Temp C\n" + "\n".join(rows) + "\n")
    return str(path)


@pytest.fixture
def desk(quick_files: None, tmp_path: Path) -> Desk:
    """A quarantine of one fish since 5 November, looked at on the 20th."""
    it = small_desk(tmp_path)
    put(it, "2026-11-05 08:00", "vessel", name="Tub", zone="quarantine", **BOX)
    put(it, "2026-11-05 09:00", "quarantine", system="Tub", plan="standard")
    put(it, "2026-11-05 10:00", "fish", name="Ada", variety="ryukin", into="Tub")
    return then(it, "2026-11-20 18:00")


def warm_days(desk: Desk) -> int:
    with at_work(desk) as book:
        (system,) = book.facts.waters()
        return counters(facts_of(book, system), book.now).warm_days


def known_days(desk: Desk) -> dict[int, tuple[float, float]]:
    with at_work(desk) as book:
        (system,) = book.facts.waters()
        read = temperatures(system, system.since)
        found = day_temperatures(
            read, book.facts.time_zone, at("2026-11-05 00:00").date(), book.now.date(), book.now
        )
        return {d.day.day: (d.low_c, d.high_c) for d in found if d}


def entries(desk: Desk) -> int:
    with at_work(desk) as book:
        assert book.facts.last is not None
        found = book.connection.exec_driver_sql("SELECT count(*) FROM journal").scalar()
        assert isinstance(found, int)
        return found


def take_in(desk: Desk, path: str, **more: str) -> dict[str, Any]:
    return import_file(desk, {"file": path, "vessel": "Tub", **more}, Said())


def test_a_rehearsal_tells_and_writes_nothing(desk: Desk, tmp_path: Path) -> None:
    path = logged(tmp_path, 10, 12, 20)
    before = entries(desk)
    told = take_in(rehearsed(desk), path)
    assert (told["entry"], told["dry_run"], told["rows"]) == (None, True, 49)
    assert [(d["day"], d["low_c"], d["high_c"]) for d in told["days"]] == [
        ("2026-11-10", 20, 22), ("2026-11-11", 20, 22), ("2026-11-12", 20, 20),
    ]  # fmt: skip
    assert entries(desk) == before
    kept = take_in(desk, path)
    assert {k: v for k, v in kept.items() if k not in ("entry", "dry_run")} == {
        k: v for k, v in told.items() if k not in ("entry", "dry_run")
    }
    assert entries(desk) == before + 1


def test_warm_days_see_it_and_a_void_takes_it_back(desk: Desk, tmp_path: Path) -> None:
    assert warm_days(desk) == 0
    entry = take_in(desk, logged(tmp_path, 10, 14, 20))["entry"]
    assert warm_days(desk) == 5
    correct(desk, entry, {}, Said(why="the wrong tub"), void=True)
    assert warm_days(desk) == 0
    again = take_in(desk, logged(tmp_path, 10, 14, 20))["entry"]
    assert again > entry
    assert warm_days(desk) == 5


def test_the_same_file_again_is_the_same_entry(desk: Desk, tmp_path: Path) -> None:
    path = logged(tmp_path, 10, 14, 20)
    first = take_in(desk, path)
    moved = tmp_path / "other name.csv"
    moved.write_bytes(Path(path).read_bytes())
    again = take_in(desk, str(moved))
    assert (again["entry"], again["days"]) == (first["entry"], first["days"])
    assert any("already" in text for text in again["assumptions"])


def test_the_same_file_for_another_water_is_refused(desk: Desk, tmp_path: Path) -> None:
    put(desk, "2026-11-06 08:00", "vessel", name="Pool", **BOX)
    path = logged(tmp_path, 10, 14, 20)
    entry = take_in(desk, path)["entry"]
    with pytest.raises(Refused) as told:
        take_in(desk, path, vessel="Pool")
    assert told.value.code == "key-reused"
    assert f"intake correct {entry} --void" in told.value.way_out
    with pytest.raises(Refused) as told:
        take_in(desk, path, offset="+03:00")
    assert "read otherwise" in told.value.text


def test_overlapping_files_make_no_day_twice(desk: Desk, tmp_path: Path) -> None:
    take_in(desk, logged(tmp_path, 10, 14, 20, "a.csv"))
    take_in(desk, logged(tmp_path, 12, 16, 19, "b.csv"))
    assert warm_days(desk) == 7
    days = known_days(desk)
    assert (days[11], days[13], days[15]) == ((20, 22), (19, 22), (19, 21))


def test_a_days_low_of_a_logger_needs_no_night_drop(desk: Desk, tmp_path: Path) -> None:
    take_in(desk, logged(tmp_path, 10, 14, 18.5))
    assert warm_days(desk) == 5
    set_room(desk, {"night_drop": "4 C"}, Said())
    assert warm_days(desk) == 5
    put(desk, "2026-11-17 12:00", "reading", subject="Tub", temp="19 C")
    assert warm_days(desk) == 5  # 15 to 19 C


def test_the_newest_reading_of_the_vessel_is_the_newest_by_time(
    desk: Desk, tmp_path: Path
) -> None:
    record(desk, "reading", {"subject": "Tub", "temp": "21 C"})
    take_in(then(desk, "2026-11-20 19:00"), logged(tmp_path, 10, 14, 18.5))
    with at_work(desk) as book:
        tub = book.facts.vessel_named("Tub")
        assert tub is not None
        assert tub.readings["temp"].value == 21
        assert tub.readings["temp_max"].value == 18.5


def test_only_its_subject_is_corrected(desk: Desk, tmp_path: Path) -> None:
    put(desk, "2026-11-05 08:30", "vessel", name="Pool", **BOX)
    entry = take_in(desk, logged(tmp_path, 10, 14, 20))["entry"]
    (tmp_path / "log.csv").unlink()
    for change in ({"unit": "F"}, {"file": "other.csv"}):
        with pytest.raises(Unreadable, match="not corrected"):
            correct(desk, entry, change, Said(why="a slip"))
    correct(desk, entry, {"subject": "Pool"}, Said(why="it hung in the pool"))
    with at_work(desk) as book:
        by_name = {s.name: len(s.history) for s in book.facts.waters()}
    assert by_name == {"Tub": 0, "Pool": 10}


def test_a_vessel_let_in_again_brings_its_logged_days_once(desk: Desk, tmp_path: Path) -> None:
    put(desk, "2026-11-06 08:00", "vessel", name="A", system="Rack", **BOX)
    put(desk, "2026-11-06 08:00", "vessel", name="B", system="Rack", **BOX)
    put(desk, "2026-11-09 08:00", "isolate", vessel="A")
    take_in(desk, logged(tmp_path, 10, 14, 20), vessel="A")
    put(desk, "2026-11-15 08:00", "isolate", vessel="A", rejoin=True)
    with at_work(desk) as book:
        rack = next(s for s in book.facts.waters() if s.name == "Rack")
        assert len(list(temperatures(rack, rack.since))) == 5


def test_a_water_of_several_vessels_may_have_a_logger(desk: Desk, tmp_path: Path) -> None:
    put(desk, "2026-11-06 08:00", "vessel", name="A", system="Rack", **BOX)
    put(desk, "2026-11-06 08:00", "vessel", name="B", system="Rack", **BOX)
    take_in(desk, logged(tmp_path, 10, 14, 20), vessel="Rack")
    with at_work(desk) as book:
        for name in ("A", "B"):
            vessel = book.facts.vessel_named(name)
            assert vessel is not None
            assert vessel.readings["temp"].value == 20


@pytest.mark.parametrize(
    ("typed", "code", "path"),
    [
        ({"vessel": "Nowhere"}, "no-such-name", "--vessel"),
        ({"vessel": "tap"}, "no-such-name", "--vessel"),
        ({"dates": "year-first"}, "no-such-name", "--dates"),
        ({"unit": "K"}, "no-such-name", "--unit"),
        ({"offset": "Lisbon"}, "no-such-time", "--offset"),
        ({"file": "/nowhere/log.csv"}, "not-a-file", "/nowhere/log.csv"),
    ],
)
def test_what_is_typed_wrong(
    desk: Desk, tmp_path: Path, typed: dict[str, str], code: str, path: str
) -> None:
    before = entries(desk)
    with pytest.raises(Unreadable) as told:
        take_in(
            desk,
            **{"path": logged(tmp_path, 10, 12, 20), **typed}
            if "file" not in typed
            else {"path": typed["file"]},
        )
    (problem,) = told.value.problems
    assert (problem.code, problem.path) == (code, path)
    assert entries(desk) == before


def test_one_bad_line_keeps_all_of_it_out(desk: Desk, tmp_path: Path) -> None:
    path = logged(tmp_path, 10, 12, 20)
    Path(path).write_text(Path(path).read_text() + "2026-11-12 13:00,warm\n")
    before = entries(desk)
    with pytest.raises(Unreadable) as told:
        take_in(desk, path)
    assert [p.line for p in told.value.problems] == [51]
    assert entries(desk) == before
