"""A tank by what it is sold as, recorded and corrected."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.flows import rooms
from intake.flows.correct import correct
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.record import Said, record
from intake.flows.usage import Usage
from intake.science.problem import Unreadable
from tests.flows.job_rooms import small_desk

IN = 2.54
TYPED = {"name": "Rack 1", "shape": "box", "trade": "40 breeder", "wall": "0.25 in"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return small_desk(tmp_path)


def litres(desk: Desk) -> float:
    return float(rooms.show_room(desk)["vessels"][0]["volume_l"])


def test_a_size_as_sold_stands_for_the_outside_and_nothing_else(desk: Desk) -> None:
    told = record(desk, "vessel", {**TYPED, "depth": "14 in"})
    inside_l = (36 - 0.5) * (18 - 0.5) * 14 * IN**3 / 1000
    assert litres(desk) == pytest.approx(inside_l)
    assert any("sold as 40 US gal; that figure is never used" in a for a in told["assumptions"])


def test_what_is_typed_stands_before_the_size_as_sold_and_can_be_corrected(desk: Desk) -> None:
    told = record(desk, "vessel", {**TYPED, "depth": "14 in", "length": "35 in"})
    assert litres(desk) == pytest.approx(34.5 * 17.5 * 14 * IN**3 / 1000)
    correct(desk, told["entry"], {"wall": "0.5 in"}, Said(why="calipers"))
    assert litres(desk) == pytest.approx(34 * 17 * 14 * IN**3 / 1000)
    correct(desk, told["entry"], {}, Said(why="as sold"), clear=("length",))
    assert litres(desk) == pytest.approx(35 * 17 * 14 * IN**3 / 1000)
    correct(desk, told["entry"], {"trade": "29"}, Said(why="the other one"))
    assert litres(desk) == pytest.approx(29 * 11 * 14 * IN**3 / 1000)


def test_the_glass_is_asked_and_the_depth_is_measured(desk: Desk) -> None:
    with pytest.raises(Usage, match=r"--wall.*0.25 in.*0.375 in"):
        record(desk, "vessel", {k: v for k, v in TYPED.items() if k != "wall"} | {"depth": "9 in"})
    with pytest.raises(Usage, match="--depth"):
        record(desk, "vessel", TYPED)
    with pytest.raises(Unreadable, match="is over the wall"):
        record(desk, "vessel", {**TYPED, "depth": "17 in"})
    with pytest.raises(Unreadable) as wrong:
        record(desk, "vessel", {**TYPED, "trade": "40 breder", "depth": "14 in"})
    assert "40 breeder" in wrong.value.problems[0].hint


def test_vessels_says_that_the_sizes_are_outside(desk: Desk) -> None:
    record(desk, "vessel", {**TYPED, "length": "36 in", "width": "18 in", "depth": "14 in"})
    said = RoomJobs(desk).vessel("Rack 1").gauged[0].said
    assert "91.4 x 45.7 cm, outside walls of 0.635 cm" in said
