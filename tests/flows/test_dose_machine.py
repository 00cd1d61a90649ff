"""Fifty actions in any order, found by search: no dose is ever stored over a hard limit.

The water is worked out a second time here, with the slowest decay of the protocols and in the
smallest likely volume, from a list of what was accepted. Four histories by default, 200 in
`full`.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from hypothesis.stateful import run_state_machine_as_test as run_machine

from intake.clock import Clock
from intake.flows.asking import today
from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.doses import system_named
from intake.flows.record import Said, record
from intake.flows.residues import answer
from intake.flows.rooms import new_room
from intake.science.problem import Refused, Unreadable
from tests.flows.dose_ledger import left_after

BEGAN = datetime(2026, 3, 20, 8, 0, tzinfo=UTC)
STEPS = 50
NAMES = ("salt", "formalin", "praziquantel")
LIMIT = {"salt": 5.0, "formalin": 25.0, "praziquantel": 6.0}
"""Hard limits of the first courses; protocols/treatments/*.yaml."""
HALF_LIFE_H = {"salt": 0.0, "formalin": 168.0, "praziquantel": 216.0}
PER_UNIT = {"salt": 1.0, "formalin": 1000.0, "praziquantel": 1000.0}
UNIT = {"salt": "g", "formalin": "mL", "praziquantel": "g"}
STRENGTH = {
    "salt": {},
    "formalin": {"strength": "37 % w/w"},
    "praziquantel": {"strength": "100 %"},
}
SHARES = st.sampled_from([0.1, 0.3, 0.5, 0.9, 0.95, 1.01, 10.0, 1000.0])
HOURS = st.sampled_from([0.1, 25.0, 80.0, 200.0])
SEEN: Counter[str] = Counter()
"""What the histories came to: a search in which nothing is ever accepted proves nothing."""


@dataclass
class Put:
    """What went in: its entry, its kind, how much [g or mL], and when."""

    entry: int
    kind: str
    name: str
    amount: float
    at: datetime


class Room(RuleBasedStateMachine):
    """One tub of about 200 L with four fish in it."""

    @initialize()
    def begin(self) -> None:
        self.path = Path(mkdtemp()) / "room.db"
        self.now, self.put, self.changed = BEGAN, list[Put](), list[tuple[int, datetime, float]]()
        new_room(self.desk(), {"time_zone": "Europe/Lisbon"})
        sizes = {"length": "100 cm +/- 1 cm", "width": "50 cm +/- 1 cm", "depth": "40 cm +/- 1 cm"}
        self.record("vessel", name="Tub", shape="box", height="60 cm", **sizes)
        self.record("group", name="Four", count="4", variety="ranchu", into="Tub")

    def desk(self) -> Desk:
        return Desk(self.path, clock=Clock(self.now), keeper="Ana")

    def record(self, kind: str, said: Said | None = None, /, **typed: Any) -> int:
        entry: int = record(self.desk(), kind, typed, said)["entry"]
        return entry

    def told(self) -> Any:
        with at_work(self.desk()) as book:
            return answer(book, system_named(book, "Tub"))

    def held(self, name: str, at: datetime) -> float:
        """The most of it that the water may hold just after `at` [g or mL]."""
        left = 0.0
        for put in self.put:
            if put.name == name and put.at <= at:
                hours = (at - put.at).total_seconds() / 3600
                kept = put.amount * left_after(hours, HALF_LIFE_H[name])
                for entry, when, share in self.changed:
                    after = (put.at, put.entry) < (when, entry)
                    kept *= 1 - share if after and when <= at else 1
                left += kept
        return left

    def level(self, name: str, at: datetime) -> float:
        return self.held(name, at) * PER_UNIT[name] / float(self.told()["volume_l_low"])

    def typed(self, name: str, amount: float) -> dict[str, Any]:
        text = f"{amount:.6f}".rstrip("0").rstrip(".")
        return {
            "system": "Tub",
            "treatment": name,
            "amount": f"{text} {UNIT[name]}",
            **STRENGTH[name],
        }

    @rule(hours=HOURS)
    def wait(self, hours: float) -> None:
        self.now += timedelta(hours=hours)

    @rule(name=st.sampled_from(NAMES), share=SHARES, hours=HOURS, temp=st.sampled_from([15, 28]))
    def dose(self, name: str, share: float, hours: float, temp: int) -> None:
        self.now += timedelta(hours=hours)
        self.record("reading", subject="Tub", oxygen="8 mg/L", temp=f"{temp} C")
        litres = float(self.told()["volume_l"])
        amount = round(LIMIT[name] * share / PER_UNIT[name] * litres, 6)
        try:
            entry = self.record("dose", **self.typed(name, amount))
        except Refused:
            SEEN["refused"] += 1
            return
        SEEN["dosed"] += 1
        self.put.append(Put(entry, "dose", name, amount, self.now))
        assert self.level(name, self.now) <= LIMIT[name] * (1 + 1e-8)

    @rule(name=st.sampled_from(NAMES), share=st.sampled_from([0.05, 0.3, 1.5, 10.0]))
    def given(self, name: str, share: float) -> None:
        litres = float(self.told()["volume_l"])
        amount = round(LIMIT[name] * share / PER_UNIT[name] * litres, 6)
        entry = self.record("given", Said(why="it went in"), **self.typed(name, amount))
        self.put.append(Put(entry, "given", name, amount, self.now))
        if self.level(name, self.now) > LIMIT[name] * (1 + 1e-8):
            SEEN["alerted"] += 1
            alerts = " ".join(a["text"] for a in today(self.desk())["alerts"])
            assert f"Overdose of {name}" in alerts

    @rule(percent=st.sampled_from([10, 50, 90]))
    def change(self, percent: int) -> None:
        entry = self.record("change", subject="Tub", percent=f"{percent} %")
        self.changed.append((entry, self.now, percent / 100))

    @precondition(lambda self: self.put)
    @rule(wash=st.booleans(), data=st.data())
    def stop(self, wash: bool, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from(self.put)).name
        self.record("stop", system="Tub", treatment=name, wash_out=wash or None)

    @precondition(lambda self: self.put)
    @rule(data=st.data(), times=st.sampled_from([10.0, 1.1, 0.9, 0.1]))
    def mend(self, data: st.DataObject, times: float) -> None:
        put = data.draw(st.sampled_from(sorted(self.put, key=lambda p: p.kind)))
        before, put.amount = put.amount, round(put.amount * times, 6)
        changes = {"amount": self.typed(put.name, put.amount)["amount"]}
        try:
            correct(self.desk(), put.entry, changes, Said(why="misread"))
        except (Refused, Unreadable):
            SEEN["not mended"] += 1
            put.amount = before
            return
        SEEN["mended"] += 1
        if put.kind == "dose" and times > 1:
            assert self.level(put.name, put.at) <= LIMIT[put.name] * (1 + 1e-8)

    @precondition(lambda self: self.put)
    @rule(data=st.data())
    def void(self, data: st.DataObject) -> None:
        put = data.draw(st.sampled_from(self.put))
        correct(self.desk(), put.entry, {}, Said(why="it never was"), void=True)
        self.put.remove(put)

    @invariant()
    def what_went_in_counts(self) -> None:
        """The high end of the residue is not under what the list has in the likely water."""
        if not hasattr(self, "put"):
            return
        told = self.told()
        found = {s["treatment"]: s["high"] for s in told["substances"]}
        for name in {p.name for p in self.put}:
            least = self.held(name, self.now) * PER_UNIT[name] / float(told["volume_l"])
            assert found.get(name, 0.0) >= least * (1 - 1e-6) - 1e-8


def search(histories: int) -> None:
    """Rooms of fifty actions; what they came to is held as well."""
    SEEN.clear()
    run_machine(
        Room, settings=settings(max_examples=histories, stateful_step_count=STEPS, deadline=None)
    )
    assert min(SEEN[what] for what in ("dosed", "refused", "alerted", "mended", "not mended")) > 0


@pytest.mark.slow
@pytest.mark.usefixtures("quick_files")
def test_no_fifty_actions_store_a_dose_over_its_limit() -> None:
    search(4)


@pytest.mark.full
@pytest.mark.usefixtures("quick_files")
def test_no_fifty_actions_of_two_hundred_rooms_do() -> None:
    search(200)
