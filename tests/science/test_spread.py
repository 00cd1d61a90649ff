from __future__ import annotations

import math
import random
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat, umath  # type: ignore[import-untyped]

from intake.science.spread import Size, propagate

Values = Mapping[str, float]
K95 = 1.959964
"""Normal half-width at 95 %, JCGM 100:2008 table G.1."""


def _bent(s: Values) -> float:
    return s["a"] ** 2 * math.sqrt(s["b"]) / s["c"] + 5 * s["b"]


def _volume(s: Values) -> float:
    return math.pi / 4 * s["a"] ** 2 * s["b"] - s["c"]


def test_published_box_of_60_by_45_by_30_cm() -> None:
    # 81.0 +/- 3.5 L and, at 3 cm deep, 8.1 +/- 2.7 L: the uncertainties package, 1 cm on each.
    def box(s: Values) -> float:
        return s["l"] * s["w"] * s["d"] / 1000

    deep = propagate(box, {"l": Size(60, 1), "w": Size(45, 1), "d": Size(30, 1)})
    shallow = propagate(box, {"l": Size(60, 1), "w": Size(45, 1), "d": Size(3, 1)})

    assert deep.value == pytest.approx(81.0)
    assert deep.half == pytest.approx(3.5, abs=0.05)
    assert shallow.half == pytest.approx(2.7, abs=0.05)
    assert shallow.largest() == "d"


@pytest.mark.filterwarnings("ignore:Using UFloat objects with std_dev==0")
@given(
    a=st.floats(1, 500),
    b=st.floats(1, 500),
    c=st.floats(1, 500),
    ha=st.floats(0, 0.2),
    hb=st.floats(0, 0.2),
    hc=st.floats(0, 0.2),
)
def test_agrees_with_the_uncertainties_package(
    a: float, b: float, c: float, ha: float, hb: float, hc: float
) -> None:
    sizes = {"a": Size(a, ha * a), "b": Size(b, hb * b), "c": Size(c, hc * c)}
    u, v, w = (ufloat(s.value, s.half) for s in sizes.values())
    theirs = u**2 * umath.sqrt(v) / w + 5 * v

    ours = propagate(_bent, sizes)

    assert ours.value == _bent({"a": a, "b": b, "c": c})
    assert ours.half == pytest.approx(theirs.std_dev, rel=1e-6, abs=1e-9)
    assert ours.low == ours.value - ours.half
    assert ours.high == ours.value + ours.half


def test_shares_are_those_of_the_uncertainties_package() -> None:
    sizes = {"a": Size(120, 1.0), "b": Size(40, 1.0), "c": Size(5000, 900)}
    u = {name: ufloat(s.value, s.half, tag=name) for name, s in sizes.items()}
    theirs = math.pi / 4 * u["a"] ** 2 * u["b"] - u["c"]
    parts = {var.tag: part**2 for var, part in theirs.error_components().items()}

    ours = propagate(_volume, sizes)

    assert sum(ours.shares.values()) == pytest.approx(1)
    for name, share in ours.shares.items():
        assert share == pytest.approx(parts[name] / theirs.std_dev**2, rel=1e-6)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_covers_95_percent_of_draws(seed: int) -> None:
    # JCGM 101:2008: draw every size from its own distribution and count what falls inside.
    sizes = {"a": Size(120, 2.0), "b": Size(40, 1.0), "c": Size(20_000, 4000)}
    draw = random.Random(seed)
    spread = propagate(_volume, sizes)

    hits = sum(
        spread.low
        <= _volume({n: draw.gauss(s.value, s.half / K95) for n, s in sizes.items()})
        <= spread.high
        for _ in range(10_000)
    )

    assert 0.943 <= hits / 10_000 <= 0.98


def test_nothing_in_doubt_names_nothing() -> None:
    spread = propagate(_volume, {"a": Size(120), "b": Size(40), "c": Size(0)})

    assert spread.half == 0
    assert spread.low == spread.value == spread.high
    assert spread.largest() == ""
    assert set(spread.shares.values()) == {0.0}


def test_names_joined_in_a_group_add_up() -> None:
    sizes = {"d.1": Size(10, 1), "d.2": Size(10, 1), "w": Size(10, 1.2)}
    spread = propagate(lambda s: s["d.1"] + s["d.2"] + s["w"], sizes)

    assert spread.largest() == "w"
    assert spread.largest(lambda name: name.partition(".")[0]) == "d"


def test_a_size_of_zero_may_still_be_in_doubt() -> None:
    spread = propagate(lambda s: 3 * s["x"], {"x": Size(0, 2)})

    assert spread.value == 0
    assert spread.half == pytest.approx(6)


@pytest.mark.parametrize(
    "size", [Size(math.nan, 1), Size(math.inf), Size(1, math.nan), Size(1, -0.1)]
)
def test_what_is_no_number_is_refused(size: Size) -> None:
    assert not size.readable
    with pytest.raises(ValueError, match=r"x is"):
        propagate(lambda s: s["x"], {"x": size})
