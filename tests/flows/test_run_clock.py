"""A run by the wall clock: a clock that goes back, an hour that comes twice, a laptop asleep."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from intake.clock import Clock
from intake.flows.desk import Desk, at_work
from intake.flows.jobs import receive
from intake.flows.kept import forget
from intake.flows.record import Said, record
from intake.flows.rooms import new_room
from tests.flows import test_jobs_receive as lisle
from tests.flows.test_jobs_receive import BOX, afloat, desk_at, run_of

room = lisle.room


def test_a_clock_that_goes_back_loses_no_step(room: Path) -> None:
    """Chosen at 10:10 by a clock that then goes back 8 min: both kept, in the order written."""
    lisle.chosen(room)
    wrong = record(desk_at(room, 12 - 8), "step", {"box": BOX, "bag": "1", "what": "next"})
    assert [w["code"] for w in wrong["warnings"]] == ["clock-back"]
    receive.next_step(desk_at(room, 14 - 8), BOX, 1)
    forget(room)
    run = run_of(receive.bag(desk_at(room, 15 - 8), BOX, 1))
    assert [s.state for s in run.steps][:3] == ["done", "done", "now"]
    assert run.steps[2].at == "10:06"
    assert "this clock is 3 min behind the newest entry of this run" in run.because
    late = run_of(receive.bag(desk_at(room, 20), BOX, 1))
    assert "behind" not in late.because
    assert not [line for line in late.lines if "behind" in line]


def test_a_clock_that_went_back_adds_no_minutes_to_a_float(room: Path) -> None:
    afloat(room)
    whole = run_of(receive.bag(desk_at(room, 14), BOX, 1)).minutes
    for minutes in (20 - 8, 20 - 18):
        run = run_of(receive.bag(desk_at(room, minutes), BOX, 1))
        assert run.minutes == whole
        assert "go by another one" in run.lines[0]


def test_a_reading_at_an_unknown_minute_is_kept_and_not_counted(room: Path) -> None:
    afloat(room)
    before = run_of(receive.bag(desk_at(room, 40), BOX, 1))
    receive.checkpoint(desk_at(room, 29 - 20), BOX, 1, {"temp": "16.3"})
    run = run_of(receive.bag(desk_at(room, 40), BOX, 1))
    assert run.checks == (
        ("10:09", "?", "16.3", "the clock went back: nobody knows at which minute"),
    )
    assert run.ends == before.ends
    assert run.panels[0].measured == ()


def test_a_reading_written_later_for_its_time_counts(room: Path) -> None:
    afloat(room)
    typed = {"box": BOX, "bag": "1", "temp": "15.8 C"}
    record(desk_at(room, 36), "checkpoint", typed, Said(when="2026-06-10 10:34"))
    run = run_of(receive.bag(desk_at(room, 37), BOX, 1))
    assert run.checks[0][0] == "10:34"
    assert run.checks[0][3].startswith("slower: end moved")


@pytest.mark.parametrize(
    ("began", "shown"),
    [
        (datetime(2026, 10, 25, 0, 50, tzinfo=UTC), ("01:50", "01:50")),  # 02:00 is 01:00 again
        (datetime(2026, 3, 29, 0, 50, tzinfo=UTC), ("00:50", "02:50")),  # 01:00 is 02:00
    ],
)
def test_a_float_over_the_change_of_the_clocks_is_as_long_as_any(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, began: datetime, shown: tuple[str, str]
) -> None:
    """Lisbon: 25 October and 29 March 2026 (European Union, Directive 2000/84/EC)."""
    monkeypatch.setattr(lisle, "LANDED", began - timedelta(minutes=14))
    path = tmp_path / "room.db"
    early = desk_at(path, -600)
    new_room(early, {"time_zone": "Europe/Lisbon"})
    lisle.vessel(early, "Back tub", "quarantine")
    record(early, "kit", {"name": "drops", "tests": "tan", "reports": "N", "steps": "0 1 2 4 8"})
    record(early, "reading", {"subject": "Back tub", "temp": "24.8 C", "ph": "7.8", "kh": "6 dKH",
                              "tan": "0.1 mg/L as N"})  # fmt: skip
    landed = desk_at(path).clock.now().isoformat()[:16] + "+00:00"
    receive.shipment_new(
        desk_at(path), {"name": "Lisle", "from": "Lisle Ponds", "delivered": landed, "bags": "1"}
    )
    lisle.read(path)
    receive.choose(desk_at(path, 10), BOX, 1, "A", "Back tub", "")
    for minutes in (12, 14):
        receive.next_step(desk_at(path, minutes), BOX, 1)
    run = run_of(receive.bag(desk_at(path, 14), BOX, 1))
    with at_work(desk_at(path, 14)) as book:
        lift = next(t for t in receive.running(book) if t.word == "LIFT")
    assert lift.ends - began.timestamp() == run.minutes * 60
    assert (run.steps[2].at, run.ends) == (shown[0], shown[1])
    assert run_of(receive.bag(desk_at(path, 14 + run.minutes - 5), BOX, 1)).minutes == 5


def test_a_laptop_that_sleeps_past_the_end_is_overdue_on_waking(room: Path) -> None:
    afloat(room)
    for later in (3 * 60, 3 * 24 * 60):
        with at_work(Desk(room, clock=Clock(lisle.LANDED + timedelta(minutes=later)))) as book:
            (timer,) = receive.running(book)
        assert timer.word == "LIFT"
        assert timer.ends < desk_at(room, later).clock.now().timestamp()
        run = run_of(receive.bag(desk_at(room, later), BOX, 1))
        assert (run.minutes, run.steps[2].fraction) == (0, 1.0)
        assert [s.state for s in run.steps].count("now") == 1
