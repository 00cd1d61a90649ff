"""Bag readings that are missing, given as bands, or impossible."""

from __future__ import annotations

from dataclasses import replace

import pytest

from intake.science.acclimation import acclimate
from intake.science.acclimation_readings import BagReading, VesselReading
from intake.science.ammonia import NotInRange, nh3_n_mg_l
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.carbonate import ImpossibleWater
from intake.science.span import Span
from tests.science.bags import LIMITS, STRICTER, bag, vessel


def without(reading: BagReading, name: str) -> BagReading:
    return replace(reading, **{name: None})  # type: ignore[arg-type]


def test_missing_readings_are_named_and_widen_the_answer() -> None:
    full = BagReading(6.4, 5 * MEQ_L_PER_DKH, 17, 8, 1, 2.0, 20, 100)
    there = vessel(20, 8.0, 6)
    exact = acclimate(full, there)
    assert exact.assumed == ()
    assert exact.nh3_now_n_mg_l_low == exact.nh3_now_n_mg_l_high == exact.nh3_now_n_mg_l
    for name, word in (
        ("ph", "pH"),
        ("kh_meq_l", "KH"),
        ("temp_c", "temperature"),
        ("tan_n_mg_l", "TAN"),
    ):
        answer = acclimate(without(full, name), there)
        assert any(f"bag {word} not read" in text for text in answer.assumed), name
        assert answer.nh3_opened_n_mg_l_low <= answer.nh3_opened_n_mg_l
        assert answer.nh3_now_n_mg_l_low < answer.nh3_now_n_mg_l_high or name == "kh_meq_l"
        peak = answer.option("drip")
        assert peak.peak_nh3_n_mg_l_low <= peak.peak_nh3_n_mg_l <= peak.peak_nh3_n_mg_l_high
    for name, word in (("salt_g_l", "salt"), ("volume_l", "water"), ("fish_mass_g", "fish")):
        answer = acclimate(without(full, name), there)
        assert any(word in text for text in answer.assumed), name
    assert any("vessel TAN" in t for t in acclimate(full, VesselReading(8.0, 2.1, 20)).assumed)


@pytest.mark.parametrize(("temp_c", "low", "high"), [(18, 3, 12), (24, 3, 24)])
def test_ammonia_from_hours_and_loading(temp_c: float, low: float, high: float) -> None:
    # Worked: 100 g in 2 L for 30 h makes 3 to 12 mg/L as N, to 24 above 20 C.
    here = BagReading(6.4, 5 * MEQ_L_PER_DKH, temp_c, None, 0, 2.0, 30, 100)
    answer = acclimate(here, vessel(20, 8.0, 6))
    assert answer.nh3_now_n_mg_l_low == pytest.approx(nh3_n_mg_l(low, 6.4, temp_c))
    assert answer.nh3_now_n_mg_l_high == pytest.approx(nh3_n_mg_l(high, 6.4, temp_c))


def test_fish_counted_and_not_weighed() -> None:
    here = replace(bag(17, 6.4, 5, 8), fish_mass_g=None, fish_count=3)
    assert any("30 g each" in text for text in acclimate(here, vessel(20, 8, 6)).assumed)


def test_bands_of_a_reading_hold_every_reading_inside() -> None:
    there = vessel(20, 8.0, 6)
    ph, kh, tan = Span(6.2, 6.4, 6.6), Span(1.0, 1.5, 2.0), Span(4.0, 8.0, 12.0)
    wide = acclimate(BagReading(ph, kh, 17, tan, 1, 2.0, 5, 100), there)
    for a in (ph.low, ph.nominal, ph.high):
        for b in (kh.low, kh.nominal, kh.high):
            for c in (tan.low, tan.nominal, tan.high):
                one = acclimate(BagReading(a, b, 17, c, 1, 2.0, 5, 100), there)
                for name in ("nh3_now_n_mg_l", "nh3_likely_n_mg_l", "nh3_opened_n_mg_l"):
                    low, high = getattr(wide, f"{name}_low"), getattr(wide, f"{name}_high")
                    assert low * (1 - 1e-9) <= getattr(one, name) <= high * (1 + 1e-9)
                assert one.drip_peak_n_mg_l <= wide.drip_peak_n_mg_l * (1 + 1e-9)
                assert one.worst_blend.nh3_n_mg_l <= wide.worst_blend.nh3_n_mg_l_high * (1 + 1e-9)
                assert STRICTER[one.choice] <= STRICTER[wide.choice]


def test_a_corner_that_is_no_water_is_left_out_and_said() -> None:
    # KH 0.1 with pH 8.0 and TAN 20 cannot be.
    here = BagReading(8.0, Span(0.05, 2.0, 3.0), 20, 20.0, 0, 2.0, 5, 100)
    answer = acclimate(here, vessel(20, 8.0, 6))
    assert any("no such water" in text for text in answer.assumed)


def test_an_impossible_bag_is_refused() -> None:
    with pytest.raises(ImpossibleWater):
        acclimate(bag(20, 8.5, 0.1, 20), vessel(20, 8.0, 6))


@pytest.mark.parametrize(
    "wrong",
    [{"ph": 3.0}, {"temp_c": 40.0}, {"salt_g_l": 9.0}, {"volume_l": 0.0}, {"hours_packed": -1.0},
     {"fish_mass_g": -1.0}],
)  # fmt: skip
def test_readings_outside_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(NotInRange):
        acclimate(replace(bag(17, 6.4, 5, 8), **wrong), vessel(20, 8, 6))  # type: ignore[arg-type]


def test_an_open_ph_band_is_cut_to_what_can_be_worked_out() -> None:
    here = replace(bag(17, 6.4, 5, 8), ph=Span(0.0, 6.0, 6.0))
    answer = acclimate(here, vessel(20, 8.0, 6))
    assert any("bag pH band taken within 4 to 10.5" in text for text in answer.assumed)
    assert answer.nh3_now_n_mg_l_low == pytest.approx(nh3_n_mg_l(8, 4.0, 17))
    with pytest.raises(NotInRange):
        acclimate(replace(here, ph=Span(0.0, 3.0, 6.0)), vessel(20, 8.0, 6))


def test_limits_cut_down_to_nothing_still_give_an_answer() -> None:
    limits = replace(LIMITS, float_min_min=0, drip_min=0, co2_half_time_fast_min=0.001)
    answer = acclimate(bag(18, 6.4, 5, 8), vessel(18, 8.0, 6), limits)
    assert answer.float_min == 0
    assert answer.option("float-and-lift").fastest_temp_c_per_h == 0.0
    assert answer.option("drip").minutes == 1
