"""The answered ends against 10,000 draws of the true sizes, for every shape and gauging.

JCGM 101:2008: draw every size from its own normal distribution (half-width over 1.96), work out
the water of each draw by a formula of the test's own, and count what falls between the ends.
"""

from __future__ import annotations

import numpy as np
import pytest

from intake.science.spread import Size
from intake.science.volume import SHAPES, Inside, Lists
from tests.science.true_water import Case


def _taped(half: float = 0.5, **sizes: float) -> dict[str, Size]:
    """Lengths read off a tape of 1 cm steps."""
    return {name: Size(value, half) for name, value in sizes.items()}


def _cm(*values: float, half: float = 0.5) -> list[Size]:
    return [Size(value, half) for value in values]


def _corners(*corners: tuple[float, float]) -> Lists:
    return {"points": [(Size(x, 0.5), Size(y, 0.5)) for x, y in corners]}


def _slabs(*slabs: tuple[float, float, float]) -> Lists:
    return {"slices": [(Size(a, 0.5), Size(b, 0.5), Size(c, 0.5)) for a, b, c in slabs]}


def _marks(*marks: tuple[float, float]) -> Lists:
    return {"levels": [(Size(depth, 0.5), Size(litres, 0.02 * litres)) for depth, litres in marks]}


FULL = Inside(
    gravel_l=Size(12, 2.4),
    rock_g=Size(9000, 1800),
    displaced_l=Size(3, 0.6),
    connected_l=Size(40, 0.8),
)
LEVELS = _marks((10, 60), (20, 131), (30, 208), (38, 275), (45, 335.5))
KINKED = _marks((5, 5), (10, 10), (15, 100), (20, 190))
TRACK = _taped(length=152, width=76, floor_length=128, floor_width=60, depth=46)
SALT: Lists = {"salt_readings": "salt"}
STEP = {"salt": Size(150, 1)}

CASES = (
    Case("box", "box", _taped(length=91.4, width=45.7, depth=37)),
    Case("box full of things", "box", _taped(length=91.4, width=45.7, depth=37), inside=FULL),
    Case(
        "box tapered",
        "box",
        _taped(length=60, width=40, floor_length=50, floor_width=28, depth=30),
    ),
    Case(
        "box bulged",
        "box",
        _taped(length=60, width=40, middle_length=66, middle_width=44, depth=30),
    ),
    Case("box wider below", "box", _taped(length=50, width=40, floor_length=60, depth=30)),
    Case("shallow box", "box", _taped(length=60, width=45, depth=2)),
    Case("box hardly wet", "box", _taped(length=60, width=45) | {"depth": Size(1.0, 1.5)}),
    Case("tiny box", "box", _taped(length=8, width=6, depth=5)),
    Case(
        "box far under its mark",
        "box",
        _taped(length=60, width=40, floor_length=30, depth=40),
        today=Size(3, 0.5),
    ),
    Case("box sloping", "box", _taped(length=100, width=50), {"depths": _cm(30, 42, 54)}),
    Case(
        "box sloping, half dry",
        "box",
        _taped(length=100, width=50),
        {"depths": _cm(30, 42, 54)},
        today=Size(24, 0.5),
    ),
    Case(
        "box sloping by nothing",
        "box",
        _taped(length=100, width=50),
        {"depths": _cm(30, 30, 30)},
        today=Size(20, 0.5),
    ),
    Case(
        "box sloping, leaning",
        "box",
        _taped(length=100, width=50, floor_length=80),
        {"depths": _cm(30, 42, 54)},
        FULL,
    ),
    Case("round", "round", _taped(diameter=100, depth=37)),
    Case("round by girth", "round", _taped(girth=314, depth=37)),
    Case("round tapered", "round", _taped(diameter=100, floor_diameter=72, depth=46), inside=FULL),
    Case("barrel", "round", _taped(diameter=50, middle_diameter=60, floor_diameter=48, depth=80)),
    Case("funnel", "round", _taped(diameter=60, depth=50) | {"floor_diameter": Size(0, 1)}),
    Case(
        "funnel nearly empty",
        "round",
        _taped(diameter=60, floor_diameter=1, depth=50),
        today=Size(3, 0.5),
    ),
    Case("bucket", "round", _taped(diameter=28, floor_diameter=24, depth=22)),
    Case("oval", "oval", _taped(length=132, width=81, floor_length=110, floor_width=70, depth=34)),
    Case("oval sloping", "oval", _taped(length=132, width=81), {"depths": _cm(20, 30)}, FULL),
    Case("racetrack", "racetrack", TRACK, inside=FULL),
    Case("racetrack lower", "racetrack", TRACK, today=Size(38, 0.5)),
    Case("racetrack nearly round", "racetrack", _taped(length=90.4, width=90, depth=40)),
    Case("racetrack quite round", "racetrack", _taped(1.0, length=90, width=90, depth=80)),
    Case("polygon", "polygon", _taped(across=100, floor_diameter=80, depth=40), {"sides": 6}),
    Case(
        "polygon of three",
        "polygon",
        _taped(across=60, middle_diameter=66, depth=40),
        {"sides": 3},
    ),
    Case("bow", "bow", _taped(length=91, width=38, bow=12, depth=45)),
    Case(
        "bow tapered",
        "bow",
        _taped(length=91, width=38, bow=12, floor_length=80, floor_width=33, depth=45),
        inside=FULL,
    ),
    Case("bow hardly", "bow", _taped(length=91, width=38, bow=3, depth=45)),
    Case("lshape", "lshape", _taped(length=120, width=90, cut_length=50, cut_width=35, depth=30)),
    Case(
        "lshape tapered",
        "lshape",
        _taped(
            length=120,
            width=90,
            cut_length=50,
            cut_width=35,
            floor_length=112,
            floor_width=82,
            depth=30,
        ),
    ),
    Case(
        "outline",
        "outline",
        _taped(depth=40),
        _corners((0, 0), (120, 0), (120, 60), (60, 90), (0, 60)),
    ),
    Case(
        "outline hooked",
        "outline",
        _taped(depth=40),
        _corners((0, 0), (80, 0), (80, 20), (30, 25), (35, 70), (5, 60)),
    ),
    Case(
        "outline tapered",
        "outline",
        _taped(depth=40, floor_length=105, floor_width=80),
        _corners((0, 0), (120, 0), (120, 60), (60, 90), (0, 60)),
    ),
    Case("drum half full", "drum", _taped(diameter=58, length=88, depth=30)),
    Case("drum nearly full", "drum", _taped(diameter=58, length=88, depth=57.5)),
    Case("drum full", "drum", _taped(1.0, diameter=58, length=88, depth=58)),
    Case("drum hardly wet", "drum", _taped(diameter=58, length=88, depth=1.5)),
    Case("small drum nearly full", "drum", _taped(diameter=20, length=30, depth=19.5)),
    Case("bowl", "bowl", _taped(diameter=30, depth=22), inside=Inside(gravel_l=Size(1, 0.2))),
    Case("bowl shallow", "bowl", _taped(diameter=30, depth=2)),
    Case("bowl hardly wet", "bowl", _taped(diameter=30, depth=1)),
    Case("bowl full", "bowl", _taped(diameter=30, depth=29.8)),
    Case("slices", "slices", {}, _slabs((60, 40, 10), (70, 50, 5), (80, 60, 9)), FULL),
    Case(
        "slices at a step", "slices", {}, _slabs((60, 40, 10), (120, 80, 5)), today=Size(10, 0.5)
    ),
    Case("metered", "metered", {"bucket": Size(10.03, 0.2), "count": Size(38)}),
    Case(
        "metered with a sump", "metered", {"bucket": Size(10, 0.2), "count": Size(8)}, inside=FULL
    ),
    Case("flow", "flow", {"rate": Size(12, 0.24), "time": Size(31.5, 0.25)}),
    Case("flow hardly known", "flow", {"rate": Size(12, 3), "time": Size(31.5, 8)}),
    Case("salt", "by-salt", STEP | {"before": Size(0.2, 0.05), "after": Size(0.7, 0.05)}, SALT),
    Case(
        "salt, small rise",
        "by-salt",
        STEP | {"before": Size(0.2, 0.1), "after": Size(0.5, 0.1)},
        SALT,
    ),
    Case(
        "salt, hardly a rise",
        "by-salt",
        STEP | {"before": Size(0.2, 0.1), "after": Size(0.38, 0.1)},
        SALT,
    ),
    Case("conductivity", "by-salt", STEP | {"before": Size(335, 7), "after": Size(1321, 26)}),
    Case(
        "conductivity, curve alone",
        "by-salt",
        {"salt": Size(150), "before": Size(335), "after": Size(1321)},
    ),
    Case(
        "conductivity, small rise",
        "by-salt",
        STEP | {"before": Size(335, 20), "after": Size(435, 20)},
    ),
    Case(
        "conductivity, end of the curve",
        "by-salt",
        STEP | {"before": Size(9000, 180), "after": Size(10_670, 200)},
    ),
)

TABLES = (
    Case("levels", "levels", _taped(depth=25), LEVELS, Inside(displaced_l=Size(5, 1))),
    Case("levels at a mark", "levels", _taped(depth=20), LEVELS),
    Case("levels at a kink", "levels", _taped(depth=10), KINKED),
    Case("levels at the last mark", "levels", _taped(depth=45), LEVELS),
    Case("levels under the first mark", "levels", _taped(depth=2), LEVELS),
)


def _covered(case: Case, seed: int) -> float:
    answer, water_l = case.answer(), np.maximum(case.water_l(seed), 0.0)
    assert np.median(water_l) == pytest.approx(answer.volume_l, rel=0.1)
    return float(np.mean((answer.low_l <= water_l) & (water_l <= answer.high_l)))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_ends_cover_95_percent_of_draws(case: Case) -> None:
    assert 0.943 <= _covered(case, 20) <= 0.98


@pytest.mark.slow
@pytest.mark.parametrize("case", TABLES, ids=lambda case: case.name)
def test_the_ends_of_a_table_cover_95_percent_of_draws(case: Case) -> None:
    assert 0.943 <= _covered(case, 20) <= 0.98


def test_every_shape_is_drawn() -> None:
    assert {case.shape for case in (*CASES, *TABLES)} == set(SHAPES)
