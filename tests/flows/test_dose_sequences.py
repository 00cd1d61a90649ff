"""Fifty hands in a row at a water whose volume is in doubt: no dose ever passes a hard limit.

The level is worked out here again, at the smallest likely volume and with the slowest decay the
protocols give, from a list of what was accepted and nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest

from intake.clock import Clock
from intake.flows.desk import Desk, at_work, rehearsed
from intake.flows.doses import system_named
from intake.flows.dosing import dose_in_room
from intake.flows.record import Said, record
from intake.flows.residues import answer
from intake.flows.rooms import new_room
from intake.science.problem import Refused, Unreadable
from tests.flows.dose_ledger import left_after

BEGAN = datetime(2026, 3, 20, 8, 0, tzinfo=UTC)  # a change of the clocks lies on the way
STEPS, SEQUENCES, ALWAYS = 50, 24, 12
"""Actions of a sequence, sequences in all, and those that are tried outside `full`."""

LIMITS: dict[tuple[str, str], tuple[float, float, float]] = {
    # treatment, course: hard limit, hours not before, longest half-life [h], 0 for none;
    # protocols/treatments/*.yaml
    ("salt", "support"): (5.0, 0.0, 0.0),
    ("salt", "stepped"): (5.0, 0.0, 0.0),
    ("formalin", "long-bath"): (25.0, 24.0, 168.0),
    ("praziquantel", "long-bath"): (6.0, 72.0, 216.0),
}
PER_UNIT = {"salt": 1.0, "formalin": 1000.0, "praziquantel": 1000.0}
"""One g or mL in one litre, in the course's unit: g/L, uL/L, mg/L."""
STRENGTH = {"salt": {}, "formalin": {"strength": "37 % w/w"}, "praziquantel": {"strength": "98 %"}}
SHARE = {"salt": 1.0, "formalin": 1.0, "praziquantel": 0.98}
"""Formalin is counted as the product itself, praziquantel by what is in the packet."""


@dataclass
class Hands:
    """One room, and the list of what was accepted in it."""

    path: Path
    seed: int
    now: datetime = BEGAN
    put: list[tuple[datetime, str, float]] = field(default_factory=list)
    changed: list[tuple[datetime, float]] = field(default_factory=list)
    oxygen: dict[str, tuple[datetime, float]] = field(default_factory=dict)
    temp: dict[str, tuple[datetime, float]] = field(default_factory=dict)
    accepted: int = 0
    stopped: int = 0

    def __post_init__(self) -> None:
        self.hand = Random(self.seed)
        self.names = ("Tub", "Pool", "Basin")[: 1 + self.seed % 3]
        self.water = "Yard" if len(self.names) > 1 else "Tub"
        new_room(self.desk(), {"time_zone": "Europe/Lisbon"})
        for n, name in enumerate(self.names):
            shared = {"system": "Yard"} if len(self.names) > 1 else {}
            half = self.hand.choice(("0.5", "1", "2"))
            sizes = {"length": f"{90 + 20 * n} cm +/- {half} cm", "width": f"50 cm +/- {half} cm"}
            depth = {"depth": f"40 cm +/- {half} cm", "height": "70 cm"}
            typed = {"name": name, "shape": "box", **sizes, **depth, **shared}
            record(self.desk(), "vessel", typed)
            fish = {"name": f"Ranchu {n}", "count": "4", "variety": "ranchu", "into": name}
            record(self.desk(), "group", fish)

    def desk(self) -> Desk:
        return Desk(self.path, clock=Clock(self.now), keeper="Ana")

    def told(self) -> dict[str, Any]:
        with at_work(self.desk()) as book:
            return answer(book, system_named(book, self.water))

    def most_left(self, treatment: str, half_life_h: float) -> float:
        """g or mL that may still be there."""
        left = 0.0
        for at, name, amount in self.put:
            if name == treatment:
                hours = (self.now - at).total_seconds() / 3600
                kept = amount * left_after(hours, half_life_h)
                for when, share in self.changed:
                    kept *= 1 - share if when > at else 1
                left += kept
        return left

    def step(self) -> None:
        self.now += timedelta(minutes=self.hand.choice((7, 55, 340, 1500, 4400)))
        ways = (self.dose, self.dose, self.follow, self.given, self.change, self.read, self.level)
        self.hand.choice(ways)()

    def course(self) -> tuple[str, str]:
        return self.hand.choice(list(LIMITS))

    def dose(self) -> None:
        treatment, course = self.course()
        litres = self.told()["volume_l"]
        level = LIMITS[treatment, course][0] * self.hand.choice((0.2, 0.5, 0.99, 1.0, 1.1, 10.0))
        self.record(treatment, course, level / PER_UNIT[treatment] * litres)

    def follow(self) -> None:
        """Exactly what the program offers."""
        treatment, course = self.course()
        target = LIMITS[treatment, course][0] * self.hand.choice((0.5, 0.9, 1.0))
        unit = {"salt": "g/L", "formalin": "uL/L", "praziquantel": "mg/L"}[treatment]
        typed = {"vessel": self.water, "treatment": treatment, "course": course}
        typed |= {"target": f"{target:.4g} {unit}", **STRENGTH[treatment]}
        try:
            offered = dose_in_room(self.desk(), typed)
        except Refused:
            return
        if offered["amount"]:
            self.record(treatment, course, offered["amount"] * (1 - 1e-9), offered=True)

    def record(self, treatment: str, course: str, amount: float, *, offered: bool = False) -> None:
        limit, not_before_h, half_life_h = LIMITS[treatment, course]
        unit = "mL" if treatment == "formalin" else "g"
        text = f"{amount:.9f}".rstrip("0").rstrip(".")
        if float(text) <= 0:
            return
        typed = {"system": self.water, "treatment": treatment, "course": course}
        typed |= {"amount": f"{text} {unit}", **STRENGTH[treatment]}
        try:
            record(rehearsed(self.desk()), "dose", typed)
            record(self.desk(), "dose", typed)
        except Refused:
            assert not offered, f"{self.seed}: what was offered was refused"
            self.stopped += 1
            return
        last = [at for at, name, _ in self.put if name == treatment]
        if last and not_before_h:
            assert self.now - max(last) >= timedelta(hours=not_before_h)
        if treatment == "formalin":
            self.measured()
        self.put.append((self.now, treatment, float(text)))
        self.accepted += 1
        held = self.most_left(treatment, half_life_h) * PER_UNIT[treatment] * SHARE[treatment]
        smallest_l = self.told()["volume_l_low"]
        assert held / smallest_l <= limit * (1 + 1e-8), f"seed {self.seed}: {treatment} {text}"

    def measured(self) -> None:
        """Formalin needs oxygen and temperature of every vessel with fish, twelve hours old."""
        for read in (self.oxygen, self.temp):
            assert set(read) == set(self.names)
            assert all(self.now - at <= timedelta(hours=12) for at, _ in read.values())
        assert all(value >= 5 for _, value in self.oxygen.values())
        assert all(value <= 26.7 for _, value in self.temp.values())

    def given(self) -> None:
        treatment, course = self.course()
        limit, _, _ = LIMITS[treatment, course]
        amount = limit * self.hand.choice((0.1, 0.5)) / PER_UNIT[treatment]
        amount = round(amount * self.told()["volume_l"], 3)
        unit = "mL" if treatment == "formalin" else "g"
        typed = {"system": self.water, "treatment": treatment, "course": course}
        typed |= {"amount": f"{amount} {unit}", **STRENGTH[treatment]}
        record(self.desk(), "given", typed, Said(why="it went in"))
        self.put.append((self.now, treatment, amount))

    def change(self) -> None:
        percent = self.hand.choice((10, 30, 50, 90))
        record(self.desk(), "change", {"subject": self.water, "percent": f"{percent} %"})
        self.changed.append((self.now, percent / 100))

    def read(self) -> None:
        oxygen, temp = self.hand.choice((4.6, 6.0, 8.0)), self.hand.choice((15.0, 22.0, 27.5))
        vessels = self.names if self.hand.random() < 0.7 else (self.hand.choice(self.names),)
        for vessel in vessels:
            typed = {"subject": vessel, "oxygen": f"{oxygen} mg/L", "temp": f"{temp} C"}
            record(self.desk(), "reading", typed)
            self.oxygen[vessel], self.temp[vessel] = (self.now, oxygen), (self.now, temp)

    def level(self) -> None:
        vessel, cm = self.hand.choice(self.names), self.hand.randint(15, 60)
        record(self.desk(), "level", {"vessel": vessel, "depth": f"{cm} cm +/- 1 cm"})


@pytest.mark.usefixtures("quick_files")
@pytest.mark.parametrize(
    "seed",
    [pytest.param(n, marks=() if n < ALWAYS else pytest.mark.full) for n in range(SEQUENCES)],
)
def test_no_dose_of_fifty_steps_passes_a_hard_limit(seed: int, tmp_path: Path) -> None:
    hands = Hands(tmp_path / "room.db", seed)
    for _ in range(STEPS):
        hands.step()
    assert hands.accepted, "nothing was ever accepted: the sequence proves nothing"
    assert hands.stopped, "nothing was ever refused: the sequence proves nothing"


@pytest.mark.usefixtures("quick_files")
def test_a_treatment_without_its_strength_is_asked_for_it(tmp_path: Path) -> None:
    hands = Hands(tmp_path / "room.db", 0)
    typed = {"system": "Tub", "treatment": "praziquantel", "amount": "0.4 g", "strength": "9 8 %"}
    with pytest.raises(Unreadable):
        record(hands.desk(), "dose", typed)
