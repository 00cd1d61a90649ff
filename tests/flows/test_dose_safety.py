"""Whole histories of a room against a keeper's own book in fractions, and random hands at it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest

from intake.clock import Clock
from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work, rehearsed
from intake.flows.doses import system_named
from intake.flows.dosing import dose_in_room
from intake.flows.record import Said, record
from intake.flows.residues import answer
from intake.flows.rooms import new_room
from intake.science.problem import Refused
from tests.flows.dose_ledger import L_PER_CM, OwnBook, Water

BEGAN = datetime(2026, 3, 1, 8, 0, tzinfo=UTC)
EXACT = {"length": "100 cm +/- 0 cm", "width": "50 cm +/- 0 cm", "height": "160 cm +/- 0 cm"}
SALT_LIMIT = Fraction(5)  # support and stepped, protocols/treatments/salt.yaml
HISTORIES = 200
ALWAYS = 40
"""Histories that are always tried; all of them in `full`."""
STEPS = 12


class Room:
    """A room in the program and the same room in the keeper's own book."""

    def __init__(self, path: Path, seed: int, *, half_cm: str = "0") -> None:
        self.path, self.hand, self.now = path, Random(seed), BEGAN
        self.names: tuple[str, ...] = ("Tub", "Pool") if seed % 3 else ("Tub",)
        self.water = "Yard" if seed % 3 else "Tub"
        self.half = f" +/- {half_cm} cm"
        self.book = OwnBook(self.names)
        self.doses: dict[int, Fraction] = {}  # entries that brought salt, by what they brought
        self.changes: list[int] = []
        new_room(self.desk(), {"time_zone": "Europe/Lisbon"})
        for name in self.names:
            shared = {"system": "Yard"} if seed % 3 else {}
            sizes = {n: q.replace(" +/- 0 cm", self.half) for n, q in EXACT.items()}
            typed = {"name": name, "shape": "box", "depth": f"40 cm{self.half}", **sizes, **shared}
            record(self.desk(), "vessel", typed)

    def desk(self) -> Desk:
        return Desk(self.path, clock=Clock(self.now), keeper="Ana")

    def later(self) -> None:
        self.now += timedelta(minutes=self.hand.randint(1, 40 * 60))

    def put(self, kind: str, typed: dict[str, Any], when: datetime | None = None) -> int:
        said = Said(when=when.isoformat(), why="late") if when else Said()
        number: int = record(self.desk(), kind, typed, said)["entry"]
        return number

    def own(self) -> Water:
        return self.book.at(self.now)

    def told(self) -> dict[str, Any]:
        with at_work(self.desk()) as book:
            return answer(book, system_named(book, self.water))

    def salt(self) -> dict[str, float]:
        found: dict[str, dict[str, float]] = {s["treatment"]: s for s in self.told()["substances"]}
        return found.get("salt", {"now": 0.0, "low": 0.0, "high": 0.0})

    def when(self) -> datetime | None:
        """Now and then an entry is only written hours later."""
        age = self.now - BEGAN
        if self.hand.random() > 0.25 or age < timedelta(minutes=5):
            return None
        return self.now - timedelta(
            minutes=self.hand.randint(1, int(age.total_seconds() // 60) - 1)
        )


def level(room: Room) -> None:
    vessel, cm = room.hand.choice(room.names), room.hand.randint(25, 55)
    when = room.when()
    higher = cm * L_PER_CM > room.book.at(when or room.now).litres[vessel]
    by = room.hand.choice(("", *(("rain", "top-up") if higher else ("evaporation", "leak"))))
    typed = {"vessel": vessel, "depth": f"{cm} cm{room.half}", **({"by": by} if by else {})}
    entry = room.put("level", typed, when)
    room.book.add(when or room.now, entry, "level", vessel=vessel, cm=Fraction(cm), by=by)


def top_up(room: Room) -> None:
    vessel, litres = room.hand.choice(room.names), room.hand.randint(1, 15)
    when = room.when()
    rain = room.hand.random() < 0.3
    typed = {"vessel": vessel, "volume": f"{litres} L", **({"rain": True} if rain else {})}
    entry = room.put("top-up", typed, when)
    what = {"vessel": vessel, "litres": Fraction(litres), "rain": rain}
    room.book.add(when or room.now, entry, "top-up", **what)


def change(room: Room) -> None:
    hand, when = room.hand, room.when()
    way = hand.choice(("percent", "volume", "out-in", "to-depth"))
    whole = way != "to-depth" and hand.random() < 0.3
    vessel = "" if whole else hand.choice(room.names)
    salt = Fraction(hand.choice((0, 0, 1, 2)))
    typed = {"subject": vessel or room.water}
    what: dict[str, Any] = {"vessel": vessel, "salt": salt}
    if way in ("percent", "to-depth"):
        what["percent"] = Fraction(hand.randint(5, 80))
        typed["percent"] = f"{what['percent']} %"
    if way == "to-depth":
        what["cm"] = Fraction(hand.randint(30, 50))
        typed["to_depth"] = f"{what['cm']} cm{room.half}"
    if way == "volume":
        what["litres"] = Fraction(hand.randint(5, 90))
        typed["volume"] = f"{what['litres']} L"
    if way == "out-in":
        what |= {"out": Fraction(hand.randint(5, 60)), "in": Fraction(hand.randint(0, 60))}
        typed |= {"out": f"{what['out']} L", "in": f"{what['in']} L"}
    if salt:
        typed["salt"] = f"{salt} g/L"
    entry = room.put("change", typed, when)
    room.book.add(when or room.now, entry, way, **what)
    room.changes.append(entry)


def given(room: Room) -> None:
    grams, when = Fraction(room.hand.randint(1, 4000), 10), room.when()
    typed = {"system": room.water, "treatment": "salt", "amount": f"{float(grams)} g"}
    moment = when or room.now
    entry = record(
        room.desk(), "given", typed, Said(when=moment.isoformat(), why="it went in already")
    )["entry"]
    room.book.add(moment, entry, "dose", grams=grams)
    room.doses[entry] = grams


def tried_out(job: Callable[[], Any]) -> tuple[Any, str]:
    """What a job answered, or the code it was refused with."""
    try:
        return job(), ""
    except Refused as refused:
        return None, refused.code


def offered(room: Room) -> None:
    """What the program offers is what the keeper works out, and goes in when it may."""
    target = Fraction(room.hand.randint(5, 50), 10)
    typed = {"vessel": room.water, "treatment": "salt", "target": f"{float(target)} g/L"}
    own = room.own()
    wanted = max(Fraction(0), target - own.level) * own.all_l
    answered, refused = tried_out(lambda: dose_in_room(room.desk(), typed))
    if refused:
        assert (refused, own.level > SALT_LIMIT) == ("over-hard-limit", True)
        return
    assert answered["amount"] == pytest.approx(float(wanted), rel=1e-7, abs=1e-5)
    dry = {"system": room.water, "treatment": "salt", "amount": "5 g"}
    before = room.salt()
    if own.level < Fraction(49, 10):
        assert record(rehearsed(room.desk()), "dose", dry)["entry"] is None
    assert room.salt() == before
    put_in(room, Fraction(int(answered["amount"] * 1000), 1000), None)


def tried(room: Room) -> None:
    """Any amount at all, sometimes ten times too much, sometimes written late."""
    own = room.own()
    grams = Fraction(room.hand.randint(1, 15000), 10) * own.all_l / 200
    put_in(room, Fraction(round(grams * 10), 10), room.when())


def put_in(room: Room, grams: Fraction, when: datetime | None) -> None:
    if grams <= 0:
        return
    typed = {"system": room.water, "treatment": "salt", "amount": f"{float(grams)} g"}
    moment = when or room.now
    before = room.book.at(moment)
    entry, refused = tried_out(lambda: room.put("dose", typed, when))
    if refused:
        assert refused == "over-hard-limit"
        later = [e.at for e in room.book.events if e.at >= moment] + [room.now]
        probe = OwnBook(room.names, list(room.book.events))
        probe.add(moment, 2**40, "dose", grams=grams)
        assert max(probe.at(at).level for at in [moment, *later]) > SALT_LIMIT
        return
    room.book.add(moment, entry, "dose", grams=grams)
    room.doses[entry] = grams
    assert before.level + grams / before.all_l <= SALT_LIMIT * (1 + Fraction(1, 10**9))
    for at in [e.at for e in room.book.events if e.at >= moment] + [room.now]:
        assert room.book.at(at).level <= SALT_LIMIT * (1 + Fraction(1, 10**9))


def mended(room: Room) -> None:
    """A slip found later: an amount that was other, an entry that never was."""
    if room.doses and room.hand.random() < 0.5:
        entry = room.hand.choice(sorted(room.doses))
        if room.hand.random() < 0.4:
            correct(room.desk(), entry, {}, Said(why="never was"), void=True)
            room.book.void(entry)
            del room.doses[entry]
            return
        grams = Fraction(room.hand.randint(1, 3000), 10)
        correct(room.desk(), entry, {"amount": f"{float(grams)} g"}, Said(why="misread"))
        for event in room.book.events:
            if event.entry == entry:
                event.what["grams"] = grams
        room.doses[entry] = grams
    elif room.changes:
        entry = room.changes.pop(room.hand.randrange(len(room.changes)))
        correct(room.desk(), entry, {}, Said(why="never was"), void=True)
        room.book.void(entry)


HANDS: tuple[Callable[[Room], None], ...] = (
    level, top_up, change, change, given, offered, offered, tried, mended,
)  # fmt: skip


@pytest.mark.usefixtures("quick_files")
@pytest.mark.parametrize(
    "tens",
    [
        n if n < ALWAYS // 10 else pytest.param(n, marks=pytest.mark.full)
        for n in range(HISTORIES // 10)
    ],
)
def test_every_history_of_a_room_is_as_the_keeper_works_it_out(tens: int, tmp_path: Path) -> None:
    """The salt in the water and the volume, after every step of a history."""
    for seed in range(tens * 10, tens * 10 + 10):
        room = Room(tmp_path / f"{seed}.db", seed)
        for step in range(STEPS):
            room.later()
            hand = room.hand.choice(HANDS)
            hand(room)
            own, told, where = room.own(), room.told(), f"seed {seed} step {step} {hand.__name__}"
            assert told["volume_l"] == pytest.approx(float(own.all_l), rel=1e-7), where
            salt = room.salt()
            ends = {"now": own.level, "low": own.least, "high": own.level}
            for end, wanted in ends.items():
                assert salt[end] == pytest.approx(float(wanted), rel=1e-7, abs=1e-8), where
