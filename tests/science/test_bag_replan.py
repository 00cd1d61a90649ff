"""When an opened bag is lifted: pure cases against the arithmetic."""

from __future__ import annotations

from dataclasses import replace

import pytest

from intake.science.bag_courses import Band, OpenBag
from intake.science.bag_fit import Fitted, Point
from intake.science.bag_replan import lift_by, nh3_read_n_mg_l
from intake.science.span import Span

ONE = Span(1.0, 1.0, 1.0)


BAG = OpenBag(
    ph=Span(6.9, 7.0, 7.1),
    kh_dkh=Span(3.0, 4.0, 5.0),
    tan_n_mg_l=Span(3.0, 4.0, 5.0),
    temp_c=20.0,
    salt_g_l=0.0,
    volume_l=5.0,
    fish_kg=0.0,
    vessel_ph=Span(7.7, 7.8, 7.9),
    vessel_kh_dkh=Span(5.0, 6.0, 7.0),
    vessel_temp_c=20.0,
    vessel_tan_n_mg_l=0.0,
    vessel_salt_g_l=0.0,
    drip_l_min=0.1,
    minutes=60,
    half_time_min=Span(6.0, 60.0, 250.0),
)


def found(*highs: float) -> Fitted:
    """One minute in ten, the likely value half of the high end."""
    bands = tuple(
        Band(10 * n, 20.0, Span(7.0, 7.0, 7.0), Span(0.0, high / 2, high))
        for n, high in enumerate(highs)
    )
    return Fitted(ONE, ONE, ONE, 60.0, bands, ONE, True, ())


def test_the_last_minute_under_the_limit_by_the_high_end() -> None:
    course = found(0.01, 0.02, 0.03, 0.05, 0.06, 0.11, 0.12)
    lift = lift_by(course, 10.0, 60.0, 0.05, None)
    assert (lift.minute, lift.latest) == (30.0, 40.0)
    assert lift.over is not None
    assert (lift.over.minute, lift.over.nh3_n_mg_l.high) == (40, 0.06)


def test_at_the_limit_is_allowed_to_the_end() -> None:
    lift = lift_by(found(0.01, 0.05, 0.05), 0.0, 20.0, 0.05, None)
    assert (lift.minute, lift.over) == (20.0, None)


def test_what_was_over_before_the_reading_is_over() -> None:
    assert lift_by(found(0.09, 0.02, 0.03), 10.0, 20.0, 0.05, None).over is None


def test_over_at_the_reading_is_now() -> None:
    assert lift_by(found(0.01, 0.06, 0.12), 10.0, 20.0, 0.05, None).minute == 10.0


@pytest.mark.parametrize(
    ("read", "latest"), [(Span(0.01, 0.04, 0.06), 20.0), (Span(0.04, 0.06, 0.08), 10.0)]
)
def test_a_reading_that_is_over_the_limit_itself_wins_over_every_course(
    read: Span, latest: float
) -> None:
    lift = lift_by(found(0.01, 0.01, 0.01), 10.0, 20.0, 0.05, read)
    assert lift.over is not None
    assert (lift.minute, lift.latest, lift.over.nh3_n_mg_l) == (10.0, latest, read)


def test_nh3_of_a_reading_by_hand() -> None:
    """5 L of TAN 4 with 2.5 L of none dripped in is 2.667 mg/L; at pH 8 and 20 C 3.82 % of it is
    NH3 (Emerson et al. 1975, table).
    """
    read = nh3_read_n_mg_l(BAG, Point(25.0, ph=8.0, temp_c=20.0))
    assert read is not None
    assert read.nominal == pytest.approx(4 * 5 / 7.5 * 0.0382, rel=0.005)
    assert read.low < read.nominal < read.high
    assert nh3_read_n_mg_l(BAG, Point(25.0, temp_c=20.0)) is None


def test_fish_and_a_vessel_with_ammonia_add_to_it() -> None:
    """100 g for an hour give off 0.5 mg N; 6 L of 0.5 mg/L bring 3 mg: 20 + 3.5 mg in 11 L."""
    clean = nh3_read_n_mg_l(BAG, Point(60.0, ph=8.0, temp_c=20.0))
    more = nh3_read_n_mg_l(
        replace(BAG, fish_kg=0.1, vessel_tan_n_mg_l=0.5), Point(60.0, ph=8.0, temp_c=20.0)
    )
    assert clean is not None
    assert more is not None
    assert more.nominal / clean.nominal == pytest.approx(23.5 / 20.0)
