from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import product

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from intake.science.blend import MEQ_L_PER_DKH, Water, water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.change_advice import ReadWater
from intake.science.change_limits import ChangeLimits
from intake.science.change_planner import (
    CAP_TOO_SMALL,
    MEDICINE_TOO_THIN,
    OVER_LIMIT,
    TAP_TOO_HIGH,
    Ahead,
    plan_changes,
)
from intake.science.kept_medicine import Medicine
from intake.science.ledger import Filled, Ledger, Residue
from intake.science.span import Span
from tests.science.doses import NOW
from tests.science.simulated_changes import True_, ammonia, changed, fed, hours_of, medicine


def span(value: float, doubt: float = 0.0) -> Span:
    return Span(value - doubt, value, value + doubt)


def read(ph: float, dkh: float, temp: float, tan: float = 0.0, doubt: float = 0.0) -> ReadWater:
    kh = Span(*((dkh + d * doubt) * MEQ_L_PER_DKH for d in (-1, 0, 1)))
    tan_span = Span(max(0.0, tan - doubt * tan / 2), tan, tan + doubt * tan / 2)
    return ReadWater(span(ph, doubt / 5), kh, span(temp, doubt), tan_span)


def asked(
    *,
    water: ReadWater | None = None,
    tap: ReadWater | None = None,
    made_mg_d: float = 80.0,
    volume: Span | None = None,
    a_day: int = 1,
    days: int = 5,
    medicines: tuple[Medicine, ...] = (),
) -> Ahead:
    return Ahead(
        NOW,
        water or read(7.6, 5.0, 22.0, 0.2),
        tap or read(7.8, 5.0, 18.0),
        volume or span(200.0),
        made_mg_d,
        ChangeLimits(),
        tuple(n * 24.0 / a_day for n in range(days * a_day)),
        days * 24.0,
        medicines,
    )


def kept(
    level: Residue,
    volume: Span,
    *,
    way: str = "replace",
    low: float = 1.0,
    limit: float = 5.0,
    new: Residue | None = None,
    half_life: tuple[float, float] | None = None,
    until_h: float | None = None,
) -> Medicine:
    start = Filled(NOW, volume.nominal, volume.low, volume.high, level)
    low_h, high_h = half_life or (None, None)
    return Medicine(
        "salt", Ledger("g/L", start, (), low_h, high_h), low, limit, way,
        new or Residue(level.now, level.now, level.now),
        Residue(0.0, 0.0, 0.0),
        None if until_h is None else NOW + timedelta(hours=until_h),
    )  # fmt: skip


# -- what it answers ----------------------------------------------------------------------------


def test_no_change_where_none_is_needed() -> None:
    plan = plan_changes(asked(made_mg_d=0.0))
    assert plan.possible
    assert plan.changes == ()
    assert plan.nh3_end_n_mg_l == plan.nh3_most_n_mg_l < 0.02


def test_the_fewest_changes_and_then_the_smallest() -> None:
    """No schedule with one change fewer keeps it, nor one as long of smaller changes."""
    ahead = asked(made_mg_d=80.0, days=4)
    plan = plan_changes(ahead)
    assert plan.possible
    sizes = [c.percent for c in plan.changes]
    assert len(sizes) == 2
    assert len(set(sizes)) == 1
    found = [found for found in brute(ahead) if max(found) <= 50]
    assert min(sum(1 for p in f if p) for f in found) == len(sizes)
    assert not any(
        sum(1 for p in f if p) == len(sizes) and len({p for p in f if p}) == 1
        and max(f) < sizes[0] for f in found
    )  # fmt: skip


def test_over_the_limit_already_is_changed_at_once() -> None:
    plan = plan_changes(asked(water=read(8.0, 5.0, 22.0, 0.6), made_mg_d=10.0))
    assert plan.possible
    assert plan.changes[0].at_utc == NOW
    assert plan.changes[0].nh3_before_n_mg_l > 0.02 >= plan.changes[0].nh3_after_n_mg_l


@pytest.mark.parametrize(
    "tap",
    [read(7.6, 5.0, 22.0, 3.0), read(8.6, 20.0, 22.0, 0.8)],
    ids=["ammonia in the tap", "a hard tap with a little ammonia"],
)
def test_a_tap_that_is_over_by_itself(tap: ReadWater) -> None:
    plan = plan_changes(asked(water=read(7.6, 5.0, 22.0, 2.0), tap=tap))
    assert plan.failure == TAP_TOO_HIGH
    assert plan.changes == ()


def test_a_tap_without_ammonia_whose_ph_makes_every_change_worse() -> None:
    """Much ammonium at pH 6.8 and 1 dKH; a hard tap frees more NH3 than it carries away."""
    ahead = asked(water=read(6.9, 1.0, 22.0, 9.0), tap=read(8.4, 14.0, 22.0))
    plan = plan_changes(ahead)
    assert plan.failure == TAP_TOO_HIGH


def test_a_cap_that_is_too_small_still_tells_what_comes_nearest() -> None:
    plan = plan_changes(asked(made_mg_d=400.0))
    assert plan.failure == CAP_TOO_SMALL
    assert [c.percent for c in plan.changes] == [50] * 5
    assert plan_changes(asked(made_mg_d=400.0, a_day=4)).possible


def test_a_medicine_that_is_not_replaced_is_too_thin() -> None:
    volume = span(200.0)
    level = Residue(2.0, 2.0, 2.0)
    for way in ("next-dose-only", "by-colour", "ask"):
        course = kept(level, volume, way=way, low=1.9, new=Residue(0.0, 0.0, 0.0))
        plan = plan_changes(asked(made_mg_d=110.0, medicines=(course,)))
        assert (plan.failure, plan.medicine) == (MEDICINE_TOO_THIN, "salt")
        assert plan.changes[-1].levels[0][2].now < 1.9, "what ammonia needs is still told"
        over = replace(course, until_utc=NOW + timedelta(hours=1))
        assert plan_changes(asked(made_mg_d=100.0, medicines=(over,))).possible
    replaced = kept(level, volume, low=1.9)
    plan = plan_changes(asked(made_mg_d=110.0, medicines=(replaced,)))
    assert plan.possible
    assert {before.now for c in plan.changes for _, before, _ in c.levels} == {2.0}


def test_a_medicine_that_fades_is_held_up_until_it_falls_by_itself() -> None:
    """2 mg/L with a half-life of a day is under 1 after a day: changes wait for that."""
    fades = kept(
        Residue(2.0, 2.0, 2.0), span(200.0), way="ask", low=1.0, half_life=(24.0, 24.0),
        new=Residue(0.0, 0.0, 0.0),
    )  # fmt: skip
    later = plan_changes(asked(made_mg_d=80.0, medicines=(fades,)))
    assert later.possible
    assert later.changes[0].at_utc >= NOW + timedelta(hours=24)
    now = plan_changes(asked(water=read(7.6, 5.0, 22.0, 1.3), medicines=(fades,)))
    assert now.failure == MEDICINE_TOO_THIN


def test_the_moment_of_stirring_in_counts() -> None:
    """CO2 in the tub, none in the tap: for a moment the mix has a pH that it will not keep."""
    ahead = asked(water=read(7.0, 5.0, 22.0, 4.4), tap=read(9.2, 5.0, 22.0), made_mg_d=10.0)
    start = ahead.water.nominal()
    half, worst = changed(start, ahead.tap.nominal(), 0.5, start.co2_mg_l)
    assert worst > start.nh3_n_mg_l > 0.02 > half.nh3_n_mg_l
    plan = plan_changes(ahead)
    assert plan.failure == CAP_TOO_SMALL, (
        "it does not hold at once, and is no reason not to change"
    )
    assert plan.changes[0].nh3_after_n_mg_l == pytest.approx(worst)
    just = asked(water=read(7.0, 5.0, 22.0, 4.3), tap=read(9.2, 5.0, 22.0), made_mg_d=10.0)
    gently = plan_changes(just)
    assert gently.possible
    assert all(c.nh3_after_n_mg_l <= 0.02 for c in gently.changes)
    assert {c.percent for c in gently.changes} == {5}


def test_what_is_too_thin_by_itself_is_not_held_against_the_changes() -> None:
    faded = kept(Residue(0.5, 0.4, 0.6), span(200.0), way="ask", new=Residue(0.0, 0.0, 0.0))
    assert plan_changes(asked(made_mg_d=110.0, medicines=(faded,))).possible


@pytest.mark.parametrize(
    ("level", "new"),
    [
        (Residue(4.5, 4.0, 5.4), None),
        (Residue(4.5, 4.4, 4.6), Residue(4.8, 4.6, 5.1)),
    ],
    ids=["the smallest volume is over", "the tap's own salt takes it over"],
)
def test_keeping_it_up_would_pass_its_limit(level: Residue, new: Residue | None) -> None:
    salt = kept(level, span(200.0), new=new)
    plan = plan_changes(asked(made_mg_d=110.0, medicines=(salt,)))
    assert (plan.failure, plan.medicine) == (OVER_LIMIT, "salt")
    _, before, after = plan.changes[0].levels[0]
    assert after.high < before.high, "left out of the new water it comes down"
    assert plan_changes(asked(made_mg_d=0.0, medicines=(salt,))).possible, "nothing is changed"


def test_the_same_question_has_the_same_answer() -> None:
    ahead = asked(made_mg_d=140.0, volume=span(200.0, 15.0), a_day=2)
    assert plan_changes(ahead) == plan_changes(ahead)


# -- simulated hour by hour -----------------------------------------------------------------------


@st.composite
def rooms(draw: st.DrawFn) -> tuple[Ahead, True_, float]:
    """A room as it was read, one of the rooms it may truly be, and where its decay lies."""
    doubt = draw(st.sampled_from([0.0, 0.5]))
    number = st.floats
    water = read(
        draw(number(6.8, 8.2)), draw(number(2.0, 9.0)), draw(number(16.0, 26.0)),
        draw(number(0.0, 1.5)), doubt,
    )  # fmt: skip
    tap = read(
        draw(number(6.8, 8.4)), draw(number(1.0, 14.0)), draw(number(8.0, 26.0)),
        draw(st.sampled_from([0.0, 0.0, 0.1])), doubt,
    )  # fmt: skip
    litres = draw(number(60.0, 900.0))
    volume = span(litres, litres * draw(st.sampled_from([0.0, 0.03, 0.15])))
    level = draw(number(1.0, 4.0))
    way = draw(st.sampled_from(["replace", "replace", "ask"]))
    half_life = draw(st.sampled_from([None, (60.0, 400.0)]))
    ends = Residue(level, level * 0.97, level * 1.02)
    new = None if way == "replace" else Residue(0.0, 0.0, 0.0)
    low = draw(number(0.3, 1.0)) * level
    course = kept(ends, volume, way=way, low=low, new=new, half_life=half_life)
    ahead = asked(
        water=water, tap=tap, volume=volume, a_day=draw(st.sampled_from([1, 2])), days=4,
        made_mg_d=draw(number(0.05, 1.2)) * litres, medicines=(course,),
    )  # fmt: skip

    def inside(of: Span) -> float:
        return of.low + draw(number(0.0, 1.0)) * (of.high - of.low)

    def truly(of: ReadWater) -> tuple[float, float, float, float]:
        return inside(of.ph), inside(of.kh_meq_l), inside(of.temp_c), inside(of.tan)

    try:
        room = True_(
            water_from_reading(*truly(water)), water_from_reading(*truly(tap)), inside(volume)
        )
    except ImpossibleWater:
        room = True_(water.nominal(), tap.nominal(), litres)
    return ahead, room, draw(number(0.0, 1.0))


def check_hourly(room: tuple[Ahead, True_, float]) -> None:
    ahead, truth, lean = room
    plan = plan_changes(ahead)
    event(plan.failure or f"{min(len(plan.changes), 3)} changes")
    assert all(c.percent <= 50 for c in plan.changes)
    if not plan.possible:
        return
    for hour, nh3 in ammonia(ahead, truth, plan):
        assert nh3 <= ahead.limits.nh3_n_mg_l * (1 + 1e-9), hour
        assert nh3 <= plan.nh3_most_n_mg_l * (1 + 1e-9), hour
    course = ahead.medicines[0]
    start = course.ledger.start.level
    half_life = None
    if course.ledger.half_life_low_h and course.ledger.half_life_high_h:
        low_h, high_h = course.ledger.half_life_low_h, course.ledger.half_life_high_h
        half_life = low_h * (high_h / low_h) ** lean
    level = start.low + lean * (start.high - start.low)
    by_plan = medicine(
        ahead, level, half_life, truth.volume_l, course.new.now, hours_of(ahead, plan)
    )
    alone = dict(medicine(ahead, start.low, course.ledger.half_life_low_h, 1.0, 0.0, []))
    for hour, there in by_plan:
        assert there <= course.limit
        if alone.get(hour, 0.0) >= course.low:
            assert there >= course.low * (1 - 1e-9), hour


@settings(max_examples=20, deadline=None)
@given(rooms())
def test_a_schedule_keeps_both_limits_at_every_hour(room: tuple[Ahead, True_, float]) -> None:
    """20 rooms by default, 1,000 in `full`."""
    check_hourly(room)


@pytest.mark.full
@settings(max_examples=1000, deadline=None)
@given(rooms())
def test_a_schedule_keeps_both_limits_in_many_rooms(room: tuple[Ahead, True_, float]) -> None:
    check_hourly(room)


# -- "not possible" against every schedule there is ---------------------------------------------


def brute(ahead: Ahead, sizes: tuple[int, ...] = tuple(range(0, 51, 5))) -> list[tuple[int, ...]]:
    """Every schedule of these sizes that keeps NH3 and the first medicine, one after another.

    Only for a room without any doubt: one water, one tap, one volume, one level.
    """
    tap, start = ahead.tap.nominal(), ahead.water.nominal()
    co2, volume = start.co2_mg_l, ahead.volume_l.nominal
    limit = ahead.limits.nh3_n_mg_l
    waits = [b - a for a, b in zip(ahead.slots_h, (*ahead.slots_h[1:], ahead.end_h), strict=True)]
    level = low = 0.0
    if ahead.medicines and not ahead.medicines[0].replaced:
        level, low = ahead.medicines[0].ledger.start.level.now, ahead.medicines[0].low
    going: list[tuple[tuple[int, ...], Water, float]] = [((), start, 1.0)]
    for wait in waits:
        there: list[tuple[tuple[int, ...], Water, float]] = []
        for made, water, left in going:
            for size in sizes:
                share = size / 100.0
                then, worst = changed(water, tap, share, co2) if size else (water, 0.0)
                later = fed(then, co2, ahead.made_n_mg_d * wait / 24.0 / volume)
                now = max(worst, then.nh3_n_mg_l, later.nh3_n_mg_l)
                if now <= limit and level * left * (1 - share) >= low:
                    there.append(((*made, size), later, left * (1 - share)))
        going = there
    return [made for made, _, _ in going]


GRID = list(product((0.1, 0.8, 2.0), (20.0, 110.0, 260.0), (3.0, 12.0), (0.0, 0.1), (0.0, 0.6)))
"""Ammonia now, ammonia made, the tap's KH and ammonia, and how much of a medicine has to stay."""


def agreed(case: tuple[float, float, float, float, float], slots: int) -> str:
    tan, made, tap_dkh, tap_tan, low = case
    volume = span(200.0)
    course = kept(
        Residue(1.0, 1.0, 1.0), volume, way="ask", low=low, new=Residue(0.0, 0.0, 0.0)
    )  # fmt: skip
    ahead = asked(
        water=read(7.4, 4.0, 22.0, tan), tap=read(7.8, tap_dkh, 20.0, tap_tan), days=slots,
        made_mg_d=made, medicines=(course,) if low else (),
    )  # fmt: skip
    plan = plan_changes(ahead)
    found = brute(ahead, tuple(range(0, 51, 10)))
    if found:
        assert plan.possible, (case, found[0])
        assert len(plan.changes) <= min(sum(1 for p in f if p) for f in found), case
    elif brute(replace(ahead, medicines=()), tuple(range(0, 51, 10))):
        assert plan.possible or plan.failure == MEDICINE_TOO_THIN, case
    else:
        assert plan.possible or plan.failure in (TAP_TOO_HIGH, CAP_TOO_SMALL), case
    return plan.failure


def test_not_possible_is_so_by_every_schedule_of_a_grid() -> None:
    """All 216 schedules of three days for 72 rooms; 1,296 of four days for all in `full`."""
    assert {agreed(case, 3) for case in GRID} == {
        "", TAP_TOO_HIGH, CAP_TOO_SMALL, MEDICINE_TOO_THIN,
    }  # fmt: skip


@pytest.mark.full
@pytest.mark.parametrize("case", GRID)
def test_not_possible_is_so_by_every_longer_schedule(
    case: tuple[float, float, float, float, float],
) -> None:
    agreed(case, 4)
