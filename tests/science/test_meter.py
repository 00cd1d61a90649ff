"""Meters of a salt step: compensated or not, ppm with a factor, and how far they can be off."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from intake.science.meter import METER_SHARE, MeterError, half_of, read_error, read_meter
from intake.science.problem import Problem, Refused
from intake.science.quantity import Quantity
from intake.science.spread import Size
from intake.science.volume import true_volume
from tests.science.vessels import found

DATA = Path(__file__).resolve().parents[1] / "data" / "volume_by_salt.csv"
READ = {"salt": Size(150.0), "before": Size(334.9), "after": Size(1321.0)}
"""150 g of dried salt, compensated; the published curve at both readings gives 304 L."""


def _raw(us_cm_25c: float, temp_c: float, slope: float = 0.0195) -> Size:
    return Size(us_cm_25c * (1 + slope * (temp_c - 25)))


def test_an_uncompensated_meter_says_the_same_with_its_temperatures() -> None:
    plain = found(true_volume("by-salt", READ))
    raw = {
        "salt": READ["salt"],
        "before": _raw(334.9, 14),
        "after": _raw(1321.0, 19),
        "before_temp": Size(14.0),
        "after_temp": Size(19.0),
    }
    warm = found(true_volume("by-salt", raw))
    assert warm.volume_l == pytest.approx(plain.volume_l, rel=1e-9)
    # 1.9 to 2.0 % per degree: the slope's own doubt comes on top of the curve's.
    assert warm.high_l > plain.high_l
    for slope in (0.019, 0.02):
        other = raw | {"before": _raw(334.9, 14, slope), "after": _raw(1321.0, 19, slope)}
        moved = found(true_volume("by-salt", other)).volume_l
        assert warm.low_l <= moved <= warm.high_l


@pytest.mark.parametrize("factor", [0.5, 0.64, 0.7])
def test_ppm_is_a_factor_of_the_conductivity(factor: float) -> None:
    ppm = {"before": Size(334.9 * factor), "after": Size(1321.0 * factor), "factor": Size(factor)}
    told = found(true_volume("by-salt", READ | ppm, salt_readings="ppm"))
    assert told.volume_l == pytest.approx(found(true_volume("by-salt", READ)).volume_l)


def test_ppm_without_its_factor_is_told_why() -> None:
    wrong = true_volume("by-salt", READ, salt_readings="ppm")
    assert isinstance(wrong, Problem)
    assert wrong.path == "--factor"
    assert all(factor in wrong.text for factor in ("0.5", "0.64", "0.7"))


@pytest.mark.parametrize(
    ("more", "sort", "path"),
    [
        ({"factor": Size(0.5)}, "conductivity", "--factor"),
        ({"factor": Size(0.05)}, "ppm", "--factor"),
        ({"before_temp": Size(18.0)}, "conductivity", "--after-temp"),
        ({"after_temp": Size(18.0)}, "conductivity", "--before-temp"),
        ({"before_temp": Size(18.0), "after_temp": Size(18.0)}, "salt", "--before-temp"),
        # Warmed so far that it reads more without a grain of salt in it.
        ({"before_temp": Size(5.0), "after_temp": Size(34.0), "after": Size(600.0)},
         "conductivity", "--after"),
    ],
)  # fmt: skip
def test_what_does_not_go_together(more: dict[str, Size], sort: str, path: str) -> None:
    wrong = true_volume("by-salt", READ | more, salt_readings=sort)
    assert isinstance(wrong, Problem)
    assert wrong.path == path


def test_beyond_the_slope_s_range_is_refused() -> None:
    with pytest.raises(Refused) as no:
        true_volume("by-salt", READ | {"before_temp": Size(40.0), "after_temp": Size(20.0)})
    assert no.value.code == "not-in-range"


def test_simulated_waters_are_within_two_per_cent() -> None:
    with DATA.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert len(rows) == 5
    for row in rows:
        for raw_c in (None, 12.0):
            before, after = float(row["EC25_before"]), float(row["EC25_after"])
            sizes = {"salt": Size(float(row["true_dose_g_L"]) * 100)}
            if raw_c is None:
                sizes |= {"before": Size(before), "after": Size(after)}
            else:
                sizes |= {"before": _raw(before, raw_c), "after": _raw(after, raw_c)}
                sizes |= {"before_temp": Size(raw_c), "after_temp": Size(raw_c)}
            assert found(true_volume("by-salt", sizes)).volume_l == pytest.approx(100, rel=0.02)


def test_a_meter_reads_three_sorts_and_no_hydrometer() -> None:
    for text, unit, value in (
        ("0.5 g/L", "g/L", 0.5),
        ("1.2 mS/cm", "uS/cm", 1200),
        ("668 ppm", "ppm", 668),
        ("668 PPM +/- 10 ppm", "ppm", 668),
    ):
        read = read_meter(text)
        assert isinstance(read, Quantity), text
        assert (read.canonical, float(read.value or 0)) == (unit, value)
    for text in ("1.002 SG", "<500 uS/cm", "unreadable", "668", "668 ppb"):
        assert isinstance(read_meter(text), Problem), text


def test_how_far_a_meter_can_be_off() -> None:
    both = read_error("1 % + 5 uS/cm")
    assert both == MeterError(5.0, "uS/cm", 0.01)
    assert both.half(1000) == pytest.approx(15)
    read = read_meter("1000 uS/cm")
    assert isinstance(read, Quantity)
    assert half_of(read, both)[0] == pytest.approx(15)
    assert half_of(read, MeterError(0.1, "g/L"))[0] == pytest.approx(1000 * METER_SHARE)
    assert half_of(read, None)[0] == pytest.approx(1000 * METER_SHARE)
    stated = read_meter("1000 +/- 3 uS/cm")
    assert isinstance(stated, Quantity)
    assert half_of(stated, both) == (3.0, "")
    assert isinstance(read_error("5 uS/cm + 1 g/L"), Problem)
    assert isinstance(read_error("good"), Problem)
