"""A treatment counts as tried once a fish that met it lived through the next day."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from intake.flows.desk import at_work
from intake.flows.record import Said, record
from intake.flows.tried import tried
from tests.flows.furnished import BEGAN, desk_at

DAY_MIN = 24 * 60
SALT = {"system": "Tub", "treatment": "salt", "amount": "100 g"}


def _tried(path: Path, minutes: int, treatment: str = "salt", group: str = "Ryukins") -> bool:
    with at_work(desk_at(path, minutes)) as book:
        now = BEGAN + timedelta(minutes=minutes)
        animals = [a for a in book.facts.occupants(book.facts.things) if a.name == group]
        assert animals
        return tried(book, animals, treatment, now)


def test_a_dose_met_counts_once_a_day_has_gone(path: Path) -> None:
    record(desk_at(path), "dose", SALT)
    assert not _tried(path, DAY_MIN - 1)
    assert _tried(path, DAY_MIN)
    assert not _tried(path, DAY_MIN, "formalin")


def test_a_death_within_the_day_takes_it_back_a_later_one_does_not(path: Path) -> None:
    record(desk_at(path), "dose", SALT)
    record(desk_at(path, DAY_MIN + 1), "death", {"subject": "Ryukins", "how": "found"})
    assert _tried(path, DAY_MIN + 2)
    died = Said(when="2026-11-25 15:00", why="found on the floor, told only now")
    record(desk_at(path, DAY_MIN + 3), "death", {"subject": "Ryukins", "how": "found"}, died)
    assert not _tried(path, DAY_MIN + 4)


def test_fish_put_in_afterwards_have_not_met_it(path: Path) -> None:
    record(desk_at(path), "dose", SALT)
    new = {"name": "Oranda", "into": "Tub", "variety": "oranda"}
    record(desk_at(path, 1), "fish", new)
    assert _tried(path, DAY_MIN + 1)
    assert not _tried(path, DAY_MIN + 2, group="Oranda")
