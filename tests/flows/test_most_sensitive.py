"""Random placements: a dose is judged for the most sensitive living thing its water reaches.

What lives where is kept here a second time, as vessels and the water each is in, and walked vessel
by vessel. The temperature and oxygen of a dose are the end that harms in whichever vessel it is.
6 rooms of 20 hands each in the default run, 300 in the full one.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest

from intake.clock import Clock
from intake.flows.desk import Book, Desk, at_work
from intake.flows.dosed_water import room_request
from intake.flows.facts.things import Vessel
from intake.flows.forms.every import FORMS
from intake.flows.notes import Notes
from intake.flows.record import Said, record_in
from intake.flows.rooms import new_room
from intake.science.dose import DoseRequest
from intake.science.dosing import check_given
from intake.science.targets import STAGES
from intake.science.treatment import Treatment

BEGAN = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
ROOMS, HANDS = 6, 20
BOX = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm"}
ZONES = ("resident", "quarantine", "eggs", "fry", "hospital")
VARIETIES = ("ranchu", "oranda", "mystery snail", "white cloud minnow")
Ends = tuple[float, float]


@dataclass
class Tank:
    """A vessel as it is kept here: its water, its zone, what was read in it."""

    water: str
    home: str
    zone: str
    read: dict[str, Ends] = field(default_factory=dict)


@dataclass
class Hands:
    """One room, and the same room as plain lists."""

    book: Book
    hand: Random
    tanks: dict[str, Tank] = field(default_factory=dict)
    fish: dict[str, tuple[str, int, str, str]] = field(default_factory=dict)
    made: int = 0

    def write(self, kind: str, **typed: str | bool) -> None:
        self.book.move_to(self.book.now + timedelta(minutes=10))
        record_in(self.book, FORMS[kind], typed, Said(why="a test"))
        self.book.take_in()

    def vessel(self) -> None:
        self.made += 1
        name, zone = f"V{self.made}", self.hand.choice(ZONES)
        waters = sorted({t.home for t in self.tanks.values() if t.home.startswith("Rack")})
        water = self.hand.choice([name, f"Rack {self.made}", *waters, *waters])
        shared = {} if water == name else {"system": water}
        self.write("vessel", name=name, zone=zone, **BOX, **shared)
        self.tanks[name] = Tank(water, water, zone)

    def group(self) -> None:
        self.made += 1
        name, into = f"G{self.made}", self.hand.choice(list(self.tanks))
        stage, kind = self.hand.choice(STAGES), self.hand.choice(VARIETIES)
        count = self.hand.randint(1, 4)
        self.write("group", name=name, count=str(count), variety=kind, into=into, stage=stage)
        self.fish[name] = (into, count, stage, kind)

    def move(self) -> None:
        name = self.any_fish()
        into, count, stage, kind = self.fish[name]
        to = self.hand.choice([v for v in self.tanks if v != into])
        some = self.hand.randint(1, count)
        self.made += 1
        part = f"M{self.made}"
        split = {"count": str(some), "new_name": part} if some < count else {}
        self.write("move", subject=name, to=to, **split)
        self.fish[part if split else name] = (to, some if split else count, stage, kind)
        if split:
            self.fish[name] = (into, count - some, stage, kind)

    def gone(self) -> None:
        name = self.any_fish()
        into, count, stage, kind = self.fish[name]
        some = self.hand.randint(1, count)
        if self.hand.random() < 0.5:
            self.write("death", subject=name, count=str(some))
        else:
            self.write("leave", subject=name, count=str(some), **{"as": "sold"})
        self.fish[name] = (into, count - some, stage, kind)
        if some == count:
            del self.fish[name]

    def apart(self) -> None:
        """Isolates a vessel that shares its water, or lets one in again."""
        alone = [n for n, t in self.tanks.items() if t.water != t.home]
        shared = [
            n for n, t in self.tanks.items()
            if t.water == t.home and sum(o.water == t.water for o in self.tanks.values()) > 1
        ]  # fmt: skip
        if not alone + shared:
            return
        name = self.hand.choice(alone + shared)
        tank = self.tanks[name]
        if name in alone:
            self.write("isolate", vessel=name, rejoin=True)
            tank.water = tank.home
        else:
            self.write("isolate", vessel=name)
            tank.water = f"{name} apart"

    def read(self) -> None:
        name = self.hand.choice(list(self.tanks))
        what, unit = self.hand.choice((("temp", "C"), ("oxygen", "mg/L")))
        value, half = self.hand.randint(5, 30), self.hand.choice((0.0, 0.5, 2.0))
        self.write("reading", subject=name, **{what: f"{value} {unit} +/- {half} {unit}"})
        self.tanks[name].read[what] = (value - half, value + half)

    def any_fish(self) -> str:
        return self.hand.choice(list(self.fish))

    def act(self) -> None:
        todo = [self.vessel, self.group, self.group, self.read, self.read, self.apart]
        if self.fish and len(self.tanks) > 1:
            todo += [self.move, self.move, self.gone]
        self.hand.choice(todo if self.tanks else [self.vessel])()

    # walked a second time, vessel by vessel

    def walk(self, water: str) -> tuple[set[str], set[str], dict[str, Ends]]:
        """Stages, kinds, and the ends of what was read wherever something lives."""
        stages: set[str] = set()
        kinds: set[str] = set()
        lived, all_ = [], []
        for name, tank in self.tanks.items():
            if tank.water != water:
                continue
            all_.append(tank)
            here = [f for f in self.fish.values() if f[0] == name]
            for _, _, stage, kind in here:
                stages.add(stage)
                kinds.add(kind)
            if tank.zone in ("eggs", "fry"):
                stages.add(tank.zone)
            if here or tank.zone in ("eggs", "fry"):
                lived.append(tank)
        ends = {}
        for what in ("temp", "oxygen"):
            read = [t.read.get(what) for t in lived or all_]
            known = [r for r in read if r is not None]
            if len(known) == len(read):
                ends[what] = (min(low for low, _ in known), max(high for _, high in known))
        return stages, kinds, ends

    def check(self, treatments: list[Treatment]) -> int:
        seen = 0
        for water in {t.water for t in self.tanks.values()}:
            stages, kinds, ends = self.walk(water)
            named = next(n for n, t in self.tanks.items() if t.water == water)
            vessel = next(v for v in self.book.facts.of_kind(Vessel) if v.name == named)
            system = self.book.facts.system_of(vessel)
            assert {self.book.facts.vessel(v).name for v in system.vessels} == {
                n for n, t in self.tanks.items() if t.water == water
            }
            treatment = self.hand.choice(treatments)
            course = self.hand.choice(treatment.courses)
            base = DoseRequest(treatment, self.book.now, course.name)
            request = room_request(self.book, system, base, course, Notes())
            assert set(request.stages) == stages
            youngest = [s for s in STAGES if s in stages][:1]
            assert [s for s in STAGES if s in request.stages][:1] == youngest
            assert set(request.kinds) == kinds
            for what in ("temp", "oxygen"):
                found = request.readings.get(what)
                told = None if found is None else (found.low, found.high)
                wanted = ends.get(what)
                assert told == (None if wanted is None else tuple(map(Decimal, map(repr, wanted))))
            barred = bool(stages - set(course.stages)) or any(
                part.hard and word in kind
                for part in treatment.sensitive for word in part.kinds for kind in kinds
            )  # fmt: skip
            codes = {b.code for b in check_given(request)}
            if treatment.status not in ("vet only", "not advised") and not course.by_vet:
                assert ("life-stage" in codes) is barred, (course.name, stages, kinds)
            seen += barred
        return seen


def play(path: Path, seed: int) -> int:
    desk = Desk(path, clock=Clock(BEGAN), keeper="Ana")
    new_room(desk, {"time_zone": "Europe/Lisbon"})
    with at_work(desk, write=True) as book:
        hands = Hands(book, Random(seed))
        treatments = list(book.shelf.treatments.values())
        treatments = [t for t in treatments if t.courses]
        barred = 0
        for _ in range(HANDS):
            hands.act()
            barred += hands.check(treatments)
        return barred


@pytest.mark.usefixtures("quick_files")
def test_a_dose_is_judged_for_the_most_sensitive_thing_it_reaches(tmp_path: Path) -> None:
    barred = [play(tmp_path / f"{seed}.db", seed) for seed in range(ROOMS)]
    assert sum(barred) > ROOMS, "something was there to be barred by"


@pytest.mark.full
@pytest.mark.usefixtures("quick_files")
def test_the_same_of_many_rooms(tmp_path: Path) -> None:
    for seed in range(1000, 1300):
        play(tmp_path / f"{seed}.db", seed)
