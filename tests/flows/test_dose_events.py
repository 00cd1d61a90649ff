"""What an entry of a dose keeps of its event: from a screen, into feed, and from before it did."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.desk import Desk, at_work
from intake.flows.dose_record import entry_named, record_of
from intake.flows.facts.old_doses import with_event
from intake.flows.jobs import RoomJobs
from intake.flows.record import record
from intake.flows.views.dose import DoseAsk
from intake.report.dose_record import NAMES
from intake.science import stored_again
from intake.science.amount import daily_target
from intake.store import journal
from tests.flows.furnished import desk_at

SALT = DoseAsk("salt", "support", "Tub", target="1 g/L")


def content(desk: Desk, entry: int) -> dict[str, Any]:
    with at_work(desk) as book:
        found = journal.row(book.connection, entry)
        assert found is not None
        return dict(found.content)


def test_a_screen_keeps_the_tool_and_target_it_read_back(path: Path) -> None:
    record(desk_at(path), "tool", {"step": "1 g", "name": "kitchen scale"})
    jobs = RoomJobs(desk_at(path, 1))
    amount = jobs.dose(SALT).amount
    assert amount is not None
    entry = jobs.dose_record(SALT, f"{amount.text} {amount.unit}").entry
    event = content(desk_at(path, 2), entry)["event"]
    assert event["tool"] == {"name": "kitchen scale", "step": "1", "unit": "g"}
    assert event["target"] == {"value": 1.0, "unit": "g/L", "by": "asked for"}
    assert event["amount"] == {"worked_out": "200", "measured": "200", "unit": "g"}


FEED = {"system": "Tub", "treatment": "praziquantel", "course": "feed", "amount": "0.015 g",
        "strength": "100 %"}  # fmt: skip


def test_a_feed_is_worked_back_to_the_fish(path: Path) -> None:
    """15 mg of pure powder for 6 fish of 50 g are 50 mg/kg: by hand."""
    record(desk_at(path), "measure", {"subject": "Ryukins", "mass": "50 g"})
    entry = record(desk_at(path, 1), "dose", FEED)["entry"]
    fed = content(desk_at(path, 2), entry)["event"]["fed"]
    assert fed == {"fish_mass_g": 300.0, "value": pytest.approx(50.0), "unit": "mg/kg/d"}


def test_a_slip_in_a_feed_stores_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record(desk_at(path), "measure", {"subject": "Ryukins", "mass": "50 g"})
    with at_work(desk_at(path)) as book:
        before = journal.count(book.connection)
    monkeypatch.setattr(stored_again, "daily_target", lambda *a: daily_target(*a) / 1000)
    with pytest.raises(ArithmeticError, match="differ"):
        record(desk_at(path, 1), "dose", FEED)
    with at_work(desk_at(path, 2)) as book:
        assert journal.count(book.connection) == before


def test_a_dose_from_before_the_event_was_kept_has_all_twenty(path: Path) -> None:
    """What it did tell stays; what nobody asked then is unknown, never made up."""
    typed = {"system": "Tub", "treatment": "salt", "amount": "200 g", "reason": "after transport"}
    entry = record(desk_at(path), "dose", typed)["entry"]
    kept = content(desk_at(path), entry)
    old = {name: value for name, value in kept.items() if name != "event"}
    old["fish"] = [{"name": f["name"], "count": f["count"]} for f in kept["fish"]]
    with at_work(desk_at(path, 1), write=True) as book:
        number = book.append("dose", old, version=1)
    with at_work(desk_at(path, 2)) as book:
        record_ = record_of(book, entry_named(book, str(number)))
        system = next(s for s in book.facts.waters() if s.name == "Tub")
        assert [d.entry for d in system.doses] == [entry, number], "both are folded alike"
    told = {p.name: p.lines for p in record_.parts}
    assert list(told) == list(NAMES)
    assert all(lines and all(lines) for lines in told.values())
    assert told["Treated for"][0] == "after transport"
    assert told["Fish treated"] == (
        "Ryukins (entry unknown): 6, unknown, unknown", "treated: 6",
    )  # fmt: skip
    assert told["Amount"][0] == "worked out: unknown"
    assert told["Amount"][1] == "measured: 200 g (typed: 200 g)"
    assert "intake unknown" in told["Worked out by"]


def test_an_old_shape_is_not_changed_by_being_read() -> None:
    old = {"treatment": "salt", "amount": {"value": 5.0, "unit": "g"}, "target_unit": "g/L"}
    assert with_event(old)["event"]["sign"] == "unknown"
    assert set(old) == {"treatment", "amount", "target_unit"}
