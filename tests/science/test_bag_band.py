"""The ends of a way across: what any water the readings allow may do lies between them."""

from __future__ import annotations

from itertools import product

import pytest

from intake.science.acclimation import Acclimation, acclimate
from intake.science.acclimation_options import Outcome, Plan, outcome
from intake.science.acclimation_readings import BagReading, Known, Pair
from intake.science.acclimation_rule import DRIP, DRIP_WITH_BINDER, FLOAT_AND_LIFT
from intake.science.bag_band import band
from intake.science.bag_courses import KH_HALF_DKH, PH_HALF
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.span import Span
from tests.science.bags import LIMITS, bag, vessel

EXACT = bag(17, 6.4, 5, 8.0, 1.0)
THERE = vessel(20, 8.0, 6)
SPREAD = BagReading(
    ph=Span(6.1, 6.4, 6.9),
    kh_meq_l=Span(2 * MEQ_L_PER_DKH, 5 * MEQ_L_PER_DKH, 9 * MEQ_L_PER_DKH),
    temp_c=17.0,
    tan_n_mg_l=Span(4.0, 8.0, 14.0),
    salt_g_l=1.0,
    volume_l=2.0,
    hours_packed=20.0,
    fish_mass_g=100.0,
)


def asked(reading: BagReading) -> Acclimation:
    return acclimate(reading, THERE, LIMITS)


@pytest.mark.parametrize("name", ["float-and-lift", "drip", "drip-with-binder", "match-water"])
def test_the_middle_is_the_way_itself_and_lies_between_the_ends(name: str) -> None:
    answer = asked(SPREAD)
    option = answer.option(name)
    found = band(option, answer.known, LIMITS, "still")
    assert [m.minute for m in found] == [m.minute for m in option.curve]
    for minute, own in zip(found, option.curve, strict=True):
        assert minute.nh3_n_mg_l.nominal == own.water.nh3_n_mg_l
        assert minute.ph.nominal == own.water.ph
        assert minute.nh3_n_mg_l.low < minute.nh3_n_mg_l.high


def test_its_highest_end_is_the_peak_the_limits_are_judged_at() -> None:
    answer = asked(SPREAD)
    for name in (FLOAT_AND_LIFT, DRIP):
        option = answer.option(name)
        most = max(m.nh3_n_mg_l.high for m in band(option, answer.known, LIMITS, "still"))
        assert most == pytest.approx(option.peak_nh3_n_mg_l_high, rel=0.01)


def test_a_binder_that_does_nothing_is_in_the_band() -> None:
    answer = asked(SPREAD)
    option, plain = answer.option(DRIP_WITH_BINDER), answer.option(DRIP)
    found = band(option, answer.known, LIMITS, "still", plain.plan)
    assert found[-1].nh3_n_mg_l.high == pytest.approx(plain.peak_nh3_n_mg_l_high, rel=0.01)
    alone = band(option, answer.known, LIMITS, "still")
    assert alone[-1].nh3_n_mg_l.high < found[-1].nh3_n_mg_l.high / 10


def test_readings_without_an_error_are_off_by_what_a_meter_can_be() -> None:
    answer = asked(EXACT)
    found = band(answer.option(FLOAT_AND_LIFT), answer.known, LIMITS, "still")
    # NH3 is nearly proportional to 10^pH this far below the pKa.
    assert found[0].nh3_n_mg_l.high / found[0].nh3_n_mg_l.nominal == pytest.approx(
        10**PH_HALF, rel=0.01
    )
    assert found[0].ph.low == pytest.approx(6.4 - PH_HALF)


def test_every_water_and_half_time_in_between_stays_inside() -> None:
    answer = asked(EXACT)
    option = answer.option(DRIP)
    found = band(option, answer.known, LIMITS, "still")
    for ph, kh, half in product((-PH_HALF, 0.0, PH_HALF), (-KH_HALF_DKH, 0.0, KH_HALF_DKH),
                                (15.0, 22.0, 40.0, 90.0, 120.0)):  # fmt: skip
        other = asked(bag(17, 6.4 + ph, 5 + kh, 8.0, 1.0))
        path = outcome(other.known.nominal, option.plan, half, answer.known).curve
        for minute, own in zip(found, path, strict=True):
            # Between two of the half-times that are run the extreme lies a trifle outside.
            assert own.water.nh3_n_mg_l <= minute.nh3_n_mg_l.high * 1.005
            assert own.water.nh3_n_mg_l >= minute.nh3_n_mg_l.low * 0.995


def test_a_bag_kept_shut_is_run_five_times_and_an_open_one_twenty_five(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    answer = asked(SPREAD)
    runs: list[Outcome] = []

    def counted(pair: Pair, plan: Plan, half_time_min: float, known: Known) -> Outcome:
        runs.append(outcome(pair, plan, half_time_min, known))
        return runs[-1]

    monkeypatch.setattr("intake.science.bag_band.outcome", counted)
    band(answer.option(FLOAT_AND_LIFT), answer.known, LIMITS, "still")
    assert len(runs) == 5
    runs.clear()
    band(answer.option(DRIP), answer.known, LIMITS, "still")
    assert len(runs) == 25
