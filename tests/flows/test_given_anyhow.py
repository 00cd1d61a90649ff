"""What no protocol doses is still written down when it happened; heat is nothing to weigh."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.desk import Desk, at_work
from intake.flows.doses import system_named
from intake.flows.record import Said, record
from intake.flows.residues import answer
from intake.science.problem import Refused, Unreadable
from tests.flows.job_rooms import put, small_desk, then

BOX = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm", "height": "60 cm"}
DAY = "2026-11-05 10:00"
pytestmark = pytest.mark.usefixtures("quick_files")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A room with a tub of 200 L."""
    desk = small_desk(tmp_path)
    put(desk, "2026-11-05 08:00", "vessel", name="Tub", **BOX)
    return desk


@pytest.mark.parametrize("kind", ["dose", "given"])
def test_heat_is_set_at_the_heater(desk: Desk, kind: str) -> None:
    typed = {"system": "Tub", "treatment": "heat", "amount": "10 g"}
    with pytest.raises(Unreadable) as wrong:
        record(then(desk, DAY), kind, typed, Said(why="asked for"))
    (problem,) = wrong.value.problems
    assert (problem.code, problem.path) == ("wrong-kind", "TREATMENT")
    assert "heater" in problem.hint


def test_what_only_a_vet_gives_is_refused_as_a_dose_and_counted_when_it_was_given(
    desk: Desk,
) -> None:
    typed = {"system": "Tub", "treatment": "tricaine", "amount": "1 g"}
    with pytest.raises(Refused) as refusal:
        record(then(desk, DAY), "dose", typed)
    assert refusal.value.code == "vet-only"
    told = record(then(desk, DAY), "given", typed, Said(why="poured in by a guest"))
    assert "vet-only" in {b["code"] for b in told["broke"]}
    with at_work(then(desk, DAY)) as book:
        substances: Any = answer(book, system_named(book, "Tub"))["substances"]
    (left,) = substances
    assert (left["treatment"], left["unit"]) == ("tricaine", "mg/L")
    assert left["now"] == pytest.approx(5, rel=1e-6)
