"""Any history of a real room: its calendar is the same when the room is folded again.

The commands are those a keeper types. Four rooms by default, 40 in `full`; the same properties
over thousands of histories of values alone stand in tests/science/test_quarantine_machine.py.
"""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from hypothesis.stateful import run_state_machine_as_test as run_machine

from intake.clock import Clock
from intake.flows.asking import checks, tasks
from intake.flows.desk import Desk
from intake.flows.kept import forget
from intake.flows.record import Said, record
from intake.flows.rooms import new_room

BEGAN = datetime(2026, 3, 20, 10, 0, tzinfo=UTC)
SEEN: Counter[str] = Counter()


class Room(RuleBasedStateMachine):
    """Two fish in a tub, a water beside it, and what may happen to them."""

    @initialize()
    def begin(self) -> None:
        self.path, self.now, self.fish = Path(mkdtemp()) / "room.db", BEGAN, 0
        self.done: dict[str, str] = {}
        new_room(self.desk(), {"time_zone": "Europe/Lisbon"})
        box = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm"}
        for name in ("Tub", "Yard"):
            self.record("vessel", name=name, **box)
        self.more_fish()
        self.more_fish()
        self.record("quarantine", system="Tub")
        self.arrive(3)

    def desk(self) -> Desk:
        return Desk(self.path, clock=Clock(self.now), keeper="Ana")

    def record(self, kind: str, said: Said | None = None, /, **typed: Any) -> None:
        """One entry a minute after the last."""
        self.now += timedelta(minutes=1)
        record(self.desk(), kind, typed, said)

    def tasks(self) -> dict[str, dict[str, Any]]:
        found = tasks(self.desk(), "Tub", (self.now + timedelta(40)).date().isoformat())["tasks"]
        told = {t["id"]: t for t in found}
        assert len(told) == len(found)
        return told

    def earliest(self) -> date:
        return date.fromisoformat(checks(self.desk(), "Tub")["earliest_release"])

    def unrelated(self, kind: str, **typed: Any) -> None:
        self.now += timedelta(minutes=1)
        before = self.tasks()
        record(self.desk(), kind, typed)
        after = self.tasks()
        assert all(after[i]["date"] == t["date"] for i, t in before.items() if i in after)
        assert all(t["state"] == "overdue" for i, t in before.items() if i not in after)

    @rule(days=st.sampled_from([1, 4, 15]))
    def wait(self, days: int) -> None:
        self.now += timedelta(days)

    @rule(days=st.sampled_from([0, 2, 9]))
    def fish_in(self, days: int) -> None:
        self.arrive(days)

    def arrive(self, days: int) -> None:
        """More fish, so many days later: the release is never nearer."""
        self.now += timedelta(days)
        before = self.earliest()
        self.more_fish()
        after = self.earliest()
        assert after >= before
        SEEN["moved on"] += after > before

    def more_fish(self) -> None:
        self.fish += 1
        self.record("fish", name=f"F{self.fish}", variety="ryukin", into="Tub")

    @rule()
    def wet_net(self) -> None:
        self.record("contact", **{"from": "Yard", "to": "Tub", "by": "net"})

    @rule()
    def look(self) -> None:
        self.unrelated("look", subject="Tub", appetite="all")

    @rule(temp=st.sampled_from([12, 20, 24]))
    def reading(self, temp: int) -> None:
        self.unrelated("reading", subject="Tub", temp=f"{temp} C", ph="7.6")

    @rule()
    def elsewhere(self) -> None:
        """What is recorded of another water moves nothing here."""
        self.unrelated("reading", subject="Yard", temp="9 C")
        self.unrelated("feed", vessel="Yard", amount="1 g")

    @rule(kind=st.sampled_from(["done", "skipped"]), hours=st.integers(0, 99), data=st.data())
    def mark(self, kind: str, hours: int, data: st.DataObject) -> None:
        self.now += timedelta(hours=hours, minutes=1)
        before = self.tasks()
        due = [i for i, t in before.items() if t["state"] in ("due", "overdue")]
        if not due:
            return
        id_ = data.draw(st.sampled_from(sorted(due)))
        record(self.desk(), kind, {"task": id_}, Said(why="so"))
        self.done[id_] = kind
        after = self.tasks()
        SEEN[f"marked {before[id_]['state']}"] += 1
        if before[id_]["state"] == "overdue":
            assert set(before) - set(after) <= {id_}

    @invariant()
    def folded_again_is_the_same(self) -> None:
        if not hasattr(self, "done"):
            return
        told, release = self.tasks(), self.earliest()
        forget(self.path)
        assert (self.tasks(), self.earliest()) == (told, release)
        assert all(told[i]["state"] == kind for i, kind in self.done.items() if i in told)


def search(rooms: int) -> None:
    """Rooms of twenty commands; what they came to is held as well."""
    SEEN.clear()
    run_machine(Room, settings=settings(max_examples=rooms, stateful_step_count=20, deadline=None))
    assert min(SEEN[what] for what in ("moved on", "marked overdue", "marked due")) > 0, SEEN


@pytest.mark.slow
@pytest.mark.usefixtures("quick_files")
def test_no_commands_lose_a_task_or_bring_the_release_nearer() -> None:
    search(4)


@pytest.mark.full
@pytest.mark.usefixtures("quick_files")
def test_no_commands_of_forty_rooms_do() -> None:
    search(40)
