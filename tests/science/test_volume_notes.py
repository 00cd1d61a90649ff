from __future__ import annotations

import pytest

from intake.science.spread import Size
from intake.science.volume import Lists, at_depth, true_volume
from tests.science.vessels import exact, found

LSHAPE = exact(length=120, width=90, cut_length=50, cut_width=35, depth=30)
BOW = exact(length=90, width=40, bow=10, depth=30)
SLABS: Lists = {"slices": [(Size(60), Size(40), Size(10))]}
CORNER = "missing corner"
ARC = "arc of a circle"
PROPORTION = "keeps its proportion"


@pytest.mark.parametrize(
    ("shape", "sizes", "more", "said", "unsaid"),
    [
        ("lshape", LSHAPE, {}, "inside the walls", CORNER),
        ("lshape", LSHAPE | exact(floor_width=80), {}, CORNER, ARC),
        ("bow", BOW, {}, ARC, PROPORTION),
        ("bow", BOW | exact(floor_width=30), {}, PROPORTION, CORNER),
        ("box", exact(length=60, width=40, depth=9, floor_width=30), {}, "straight", CORNER),
        ("box", exact(length=60, width=40, depth=9, middle_width=50), {}, "Simpson", "straight"),
        ("drum", exact(diameter=58, length=80, depth=30), {}, "ends flat", "ball"),
        ("bowl", exact(diameter=58, depth=30), {}, "part of a ball", "ends flat"),
        ("slices", {}, SLABS, "from the floor up", "ball"),
        ("metered", exact(bucket=10, count=9), {}, "empty before", "salt"),
        ("flow", exact(rate=10, time=9), {}, "nothing ran over", "salt"),
        ("by-salt", exact(salt=150, before=300, after=900), {}, "25 C", "empty before"),
        ("by-salt", exact(salt=150, before=1, after=2), {"salt_readings": "salt"}, "dry", "25 C"),
        (
            "outline",
            exact(depth=9),
            {"points": [(Size(x), Size(y)) for x, y in ((0, 0), (60, 0), (0, 40))]},
            "inside the walls",
            "outside",
        ),
    ],
)
def test_what_is_taken_for_granted_is_said(
    shape: str, sizes: dict[str, Size], more: Lists, said: str, unsaid: str
) -> None:
    text = " / ".join(found(true_volume(shape, sizes, **more)).assumptions)

    assert said in text
    assert unsaid not in text


def test_todays_line_is_said() -> None:
    sizes = exact(length=60, width=40, depth=30)

    assert any("27.5 cm" in text for text in found(at_depth("box", sizes, Size(27.5))).assumptions)
    assert not any("today" in text for text in found(true_volume("box", sizes)).assumptions)


def test_the_mean_of_several_depths_is_said() -> None:
    answer = found(
        true_volume("box", exact(length=60, width=40), depths=[Size(30), Size(42), Size(52)])
    )

    assert any("41.33 cm" in text for text in answer.assumptions)


@pytest.mark.parametrize(
    ("sizes", "method"),
    [
        ({}, "box"),
        ({"floor_length": 50.0}, "box, tapered"),
        ({"middle_length": 65.0}, "box, bulged"),
        ({"middle_length": 65.0, "floor_length": 50.0}, "box, bulged"),
    ],
)
def test_how_it_was_found(sizes: dict[str, float], method: str) -> None:
    answer = found(true_volume("box", exact(length=60, width=40, depth=30, **sizes)))

    assert answer.method == method
