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
    assert ours.low <= ours.value <= ours.high


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


@given(a=st.floats(1, 500), b=st.floats(1, 500), ha=st.floats(0.01, 30), hb=st.floats(0.01, 30))
def test_ends_of_a_straight_function_are_the_half_width_away(
    a: float, b: float, ha: float, hb: float
) -> None:
    spread = propagate(lambda s: 3 * s["a"] - 2 * s["b"], {"a": Size(a, ha), "b": Size(b, hb)})

    assert spread.half == pytest.approx(math.hypot(3 * ha, 2 * hb), rel=1e-6)
    assert spread.high - spread.value == pytest.approx(spread.half, rel=1e-6)
    assert spread.value - spread.low == pytest.approx(spread.half, rel=1e-6)


@pytest.mark.parametrize(("rise", "half"), [(0.5, 0.2), (0.2, 0.1), (0.1, 0.06)])
def test_ends_of_a_quotient_are_those_of_its_rise(rise: float, half: float) -> None:
    # 100 / (a - b): the difference is normal, its 95 % ends are exact, and so are the quotient's.
    sizes = {"a": Size(1 + rise, half * math.sqrt(0.5)), "b": Size(1, half * math.sqrt(0.5))}
    spread = propagate(lambda s: 100 / (s["a"] - s["b"]), sizes)

    assert spread.low == pytest.approx(100 / (rise + half), rel=1e-6)
    assert spread.high == pytest.approx(100 / (rise - half), rel=1e-6)
    assert spread.value - spread.low < spread.half < spread.high - spread.value


def test_ends_of_a_square_are_those_of_its_root() -> None:
    spread = propagate(lambda s: max(s["x"], 0.0) ** 2, {"x": Size(1, 0.8)})

    assert spread.low == pytest.approx(0.04)
    assert spread.high == pytest.approx(3.24)


def test_a_value_without_end_has_no_high_end() -> None:
    def quotient(s: Values) -> float:
        return 1 / s["x"] if s["x"] > 0 else math.inf

    assert propagate(quotient, {"x": Size(1, 1.0)}).high == math.inf
    assert propagate(quotient, {"x": Size(1, 0.9)}).high == pytest.approx(10)


def test_sizes_of_one_error_are_off_together() -> None:
    sizes = {"a.1": Size(10, 1), "a.2": Size(20, 2), "b": Size(5, 2)}
    apart = propagate(lambda s: s["a.1"] + s["a.2"] + s["b"], sizes)
    as_one = propagate(
        lambda s: s["a.1"] + s["a.2"] + s["b"], sizes, lambda name: name.partition(".")[0]
    )

    assert apart.half == pytest.approx(3)
    assert as_one.half == pytest.approx(math.hypot(3, 2))
    assert as_one.high == pytest.approx(35 + math.hypot(3, 2))
    assert as_one.shares == {"a": pytest.approx(9 / 13), "b": pytest.approx(4 / 13)}


def test_one_error_that_takes_back_what_it_adds_is_no_doubt() -> None:
    # Two readings of one scale: the difference does not see the scale's own error.
    sizes = {"before": Size(10, 1), "after": Size(30, 1)}

    def rise(s: Values) -> float:
        return s["after"] - s["before"]

    assert propagate(rise, sizes, lambda _: "scale").half == pytest.approx(0, abs=1e-9)
    assert propagate(rise, sizes).half == pytest.approx(math.sqrt(2))
