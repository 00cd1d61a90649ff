from __future__ import annotations

import random
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from intake.science.problem import Refused
from intake.science.spread import Size
from intake.science.volume import Inside, at_depth, compare, true_volume
from intake.science.volume.gauging import MOST_US_CM
from tests.science.vessels import US_GAL_L, exact, found, refused, rows, taped

TABLE = [(10.0, 60.0), (20.0, 131.0), (30.0, 208.0), (38.0, 275.0), (45.0, 335.5)]


def _marks(table: list[tuple[float, float]], half: float = 0.0) -> list[tuple[Size, Size]]:
    return [(Size(depth), Size(litres, half)) for depth, litres in table]


def test_a_mark_of_the_table_is_itself() -> None:
    for depth, litres in TABLE:
        answer = found(true_volume("levels", exact(depth=depth), levels=_marks(TABLE)))
        assert answer.volume_l == pytest.approx(litres)


@pytest.mark.parametrize("with_floor", [False, True])
@pytest.mark.parametrize("first", [(4.0, 19.0), (10.0, 60.0)])
def test_table_against_scipys_monotone_curve(first: tuple[float, float], with_floor: bool) -> None:
    interpolate = pytest.importorskip("scipy.interpolate")
    marks = [first, *TABLE[1:]]
    depths, litres = zip((0.0, 0.0), *marks, strict=True)
    curve = interpolate.PchipInterpolator(depths, litres)
    table = [(0.0, 0.0), *marks] if with_floor else marks

    for depth in (0.5, 3.3, 9.99, 10.01, 14.0, 25.0, 29.0, 33.3, 44.0, 45.0):
        answer = found(true_volume("levels", exact(depth=depth), levels=_marks(table)))
        assert answer.volume_l == pytest.approx(float(curve(depth)), rel=1e-9)


@given(
    steps=st.lists(st.tuples(st.floats(1, 10), st.floats(1, 90)), min_size=2, max_size=7),
    shares=st.tuples(st.floats(0.001, 1), st.floats(0.001, 1)),
)
def test_more_depth_is_never_less_water(
    steps: list[tuple[float, float]], shares: tuple[float, float]
) -> None:
    table, depth, litres = [(0.0, 0.0)], 0.0, 0.0
    for rise_cm, rise_l in steps:
        depth, litres = depth + rise_cm, litres + rise_l
        table.append((depth, litres))
    assume(max(d for d, _ in steps) <= depth / 2)
    low, high = sorted(depth * share for share in shares)
    lines = [
        found(true_volume("levels", exact(depth=at), levels=_marks(table))).volume_l
        for at in (low, high)
    ]

    assert lines[0] <= lines[1] + 1e-9
    between = [(a, b) for (da, a), (db, b) in pairwise(table) if da <= high <= db]
    assert between[0][0] - 1e-9 <= lines[1] <= between[0][1] + 1e-9


def test_below_the_first_mark_is_said() -> None:
    low = found(true_volume("levels", exact(depth=5), levels=_marks(TABLE)))
    high = found(true_volume("levels", exact(depth=10), levels=_marks(TABLE)))

    assert any("below the first mark" in text for text in low.assumptions)
    assert not any("below the first mark" in text for text in high.assumptions)
    assert 0 < low.volume_l < 60


def test_nothing_is_read_above_the_last_mark() -> None:
    with pytest.raises(Refused) as recorded:
        true_volume("levels", exact(depth=45.01), levels=_marks(TABLE))
    with pytest.raises(Refused) as today:
        at_depth("levels", exact(depth=30), Size(45.01), levels=_marks(TABLE))
    for caught in (recorded.value, today.value):
        assert caught.code == "not-in-range"
        assert (caught.limit, caught.value, caught.unit) == (45.0, 45.01, "cm")


@pytest.mark.parametrize(
    ("table", "word"),
    [
        ([(10, 60)], "one mark"),
        ([(10, 60), (10, 80)], "10 cm"),
        ([(10, 60), (9, 80)], "9 cm"),
        ([(10, 60), (20, 60)], "60 L"),
        ([(10, 60), (20, 50)], "50 L"),
        ([(10, 0), (20, 50)], "0 L"),
        ([(10, 60), (20, 131), (60, 480)], "between 20 cm and 60 cm"),
    ],
)
def test_a_table_that_does_not_rise_or_has_a_gap_is_refused(
    table: list[tuple[float, float]], word: str
) -> None:
    problem = refused(true_volume("levels", exact(depth=12), levels=_marks(table)))

    assert (problem.code, problem.path) == ("out-of-range", "--table")
    assert word in problem.text


def test_a_table_of_two_marks_is_straight_between_them() -> None:
    # Down to a mark at the floor nothing is added below; one wide step alone is no gap.
    table = _marks([(0, 4), (30, 94)])
    wide = _marks([(10, 60), (60, 480)])

    assert found(true_volume("levels", exact(depth=10), levels=table)).volume_l == pytest.approx(
        34
    )
    assert found(true_volume("levels", exact(depth=60), levels=wide)).volume_l == pytest.approx(
        480
    )


def test_doubt_of_a_table() -> None:
    answer = found(true_volume("levels", exact(depth=25), levels=_marks(TABLE, 3.0)))
    shaky = found(true_volume("levels", {"depth": Size(25, 1)}, levels=_marks(TABLE, 3.0)))

    assert answer.doubt_from == "table"
    # The litres of one bucket are off together: between two marks as much as at them.
    assert answer.high_l - answer.volume_l == pytest.approx(3.0)
    assert shaky.doubt_from == "depth"


def test_buckets_and_flow() -> None:
    buckets = found(true_volume("metered", {"bucket": Size(10.03, 0.16), "count": Size(38)}))
    flow = found(true_volume("flow", {"rate": Size(12, 0.24), "time": Size(31.5, 0.1)}))

    assert buckets.volume_l == pytest.approx(381.14)
    assert buckets.high_l - buckets.volume_l == pytest.approx(38 * 0.16)
    assert buckets.doubt_from == "bucket"
    assert flow.volume_l == pytest.approx(378)
    assert flow.doubt_from == "rate"


@pytest.mark.parametrize("row", rows("volume_by_salt.csv"), ids=lambda r: r["true_dose_g_L"])
def test_volume_by_salt_is_within_2_percent_of_simulated_water(row: dict[str, str]) -> None:
    true_l = 300.0
    sizes = exact(
        salt=float(row["true_dose_g_L"]) * true_l,
        before=float(row["EC25_before"]),
        after=float(row["EC25_after"]),
    )

    answer = found(true_volume("by-salt", sizes))

    assert answer.volume_l == pytest.approx(true_l, rel=0.02)
    assert answer.low_l <= true_l <= answer.high_l
    # One constant factor for every reading is the published shortcut: worse, and it shows.
    shortcut_l = sizes["salt"].value / (0.486e-3 * (sizes["after"].value - sizes["before"].value))
    assert abs(answer.volume_l - true_l) < abs(shortcut_l - true_l)


def test_150_g_in_a_tub_of_300_litres() -> None:
    # 334.9 -> 1321.0 uS/cm at 25 C is 0.4933 g/L more, 304 L (simulated truth 300).
    answer = found(true_volume("by-salt", exact(salt=150, before=334.9, after=1321.0)))

    assert answer.volume_l == pytest.approx(304, abs=0.5)
    assert answer.doubt_from == "salt"


def test_published_pond_of_40_lb_of_salt() -> None:
    # 40 lb of salt raised a pond from 0.60 to 1.10 ppt: 9,600 US gal published, 10,000 metered.
    sizes = exact(salt=40 * 453.59237, before=0.60, after=1.10)

    answer = found(true_volume("by-salt", sizes, salt_readings="salt"))

    assert answer.volume_l / US_GAL_L == pytest.approx(9600, rel=0.002)
    assert answer.volume_l / US_GAL_L == pytest.approx(10_000, rel=0.05)


def test_salt_that_does_not_show_or_shows_too_much_is_refused() -> None:
    same = refused(true_volume("by-salt", exact(salt=150, before=500, after=500)))
    assert (same.code, same.path) == ("out-of-range", "--after")
    with pytest.raises(Refused) as caught:
        true_volume("by-salt", exact(salt=150, before=500, after=MOST_US_CM + 0.1))
    assert caught.value.code == "not-in-range"
    assert (
        found(true_volume("by-salt", exact(salt=150, before=500, after=MOST_US_CM - 0.1))).volume_l
        > 0
    )
    odd = refused(true_volume("by-salt", exact(salt=1, before=1, after=2), salt_readings="SG"))
    assert odd.code == "wrong-kind"


def test_doubt_at_the_ends_of_the_salt_curve() -> None:
    sizes = {"salt": Size(1500, 1), "before": Size(0, 20), "after": Size(MOST_US_CM, 20)}
    answer = found(true_volume("by-salt", sizes))

    assert answer.volume_l == pytest.approx(1500 / 5.844, rel=2e-3)
    assert 0.019 < (answer.high_l - answer.volume_l) / answer.volume_l < 0.025


def test_the_salt_curve_ends_with_its_published_readings() -> None:
    # 0.1 mol/L is 10,674 uS/cm at 25 C, the last published reading.
    assert 0.999 * 10_674 <= MOST_US_CM <= 1.002 * 10_674


def test_gauged_water_counted_twice_is_said() -> None:
    sizes = exact(salt=150, before=334.9, after=1321.0)
    answer = found(true_volume("by-salt", sizes, Inside(connected_l=Size(20))))
    filled = exact(bucket=10, count=30)
    gravel = found(true_volume("metered", filled, Inside(displaced_l=Size(2))))

    assert any("twice" in warn.text for warn in answer.warnings)
    assert any("later" in warn.text for warn in gravel.warnings)
    assert not found(true_volume("metered", filled)).warnings


def test_two_ways_agree_inside_their_doubts() -> None:
    # 372 +/- 11 L by tape and 381 +/- 6 L by bucket: 9 L apart where 12.5 L is allowed.
    tape = found(true_volume("metered", {"bucket": Size(372, 11), "count": Size(1)}))
    fill = found(true_volume("metered", {"bucket": Size(381, 6), "count": Size(1)}))

    both = compare(tape, fill)

    assert both.gap_l == pytest.approx(9)
    assert both.normalised == pytest.approx(0.72, abs=0.01)
    assert both.agree
    assert both.smaller is tape
    assert not both.warnings


@pytest.mark.parametrize(
    ("other", "warned"), [(11.4, False), (11.5, False), (11.6, True), (8.6, True)]
)
def test_two_ways_over_15_percent_apart_are_doubtful(other: float, warned: bool) -> None:
    wide = found(true_volume("metered", {"bucket": Size(10, 3), "count": Size(10)}))
    second = found(true_volume("metered", {"bucket": Size(other, 3), "count": Size(10)}))

    both = compare(wide, second)

    assert both.agree
    assert bool(both.warnings) is warned
    assert both.smaller.volume_l == pytest.approx(min(100, other * 10))


def test_two_ways_apart_by_just_what_is_allowed_agree() -> None:
    tape = found(true_volume("metered", {"bucket": Size(100, 3), "count": Size(1)}))
    fill = found(true_volume("metered", {"bucket": Size(105, 4), "count": Size(1)}))
    more = found(true_volume("metered", {"bucket": Size(105.01, 4), "count": Size(1)}))

    assert compare(tape, fill).normalised == 1
    assert compare(tape, fill).agree
    assert not compare(tape, more).agree


def test_two_exact_ways_that_differ_do_not_agree() -> None:
    one = found(true_volume("box", exact(length=50, width=40, depth=50)))
    two = found(true_volume("metered", exact(bucket=10, count=10.1)))

    assert not compare(one, two).agree
    assert [warn.code for warn in compare(one, two).warnings] == ["volume-doubtful"]
    assert compare(one, one).agree
    assert compare(one, one).normalised == 0


@pytest.mark.parametrize("seed", [21, 22])
def test_doubt_by_salt_covers_95_percent_of_draws(seed: int) -> None:
    sizes = taped(15.0, before=334.9, after=1321.0) | {"salt": Size(150, 1)}
    answer = found(true_volume("by-salt", sizes))
    draw = random.Random(seed)
    hits = 0
    for _ in range(2_000):
        drawn = {n: Size(draw.gauss(s.value, s.half / 1.959964)) for n, s in sizes.items()}
        curve = draw.gauss(1, 0.02 / 1.959964)
        volume_l = found(true_volume("by-salt", drawn)).volume_l * curve
        hits += answer.low_l <= volume_l <= answer.high_l

    assert 0.935 <= hits / 2_000 <= 0.98


@pytest.mark.parametrize(("tape_l", "allowed_l"), [(1500, 1811.4), (400, 314.7)])
def test_two_ways_are_compared_by_the_sides_that_face_each_other(
    tape_l: float, allowed_l: float
) -> None:
    # A rise of 0.2 +/- 0.14 g/L from 150 g is 750 L, 439 to 2,561: wide above, narrow below.
    readings = {"before": Size(0.2, 0.1), "after": Size(0.4, 0.1), "salt": Size(150)}
    salt = found(true_volume("by-salt", readings, salt_readings="salt"))
    tape = found(true_volume("metered", {"bucket": Size(tape_l, 50), "count": Size(1)}))

    both = compare(tape, salt)

    assert both.normalised == pytest.approx(abs(tape_l - 750) / allowed_l, rel=1e-3)
    assert both.agree is (tape_l > 750)
