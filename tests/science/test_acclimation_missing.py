"""What was not read never makes the advice milder than any reading it may have been."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from intake.science.acclimation import Acclimation, acclimate
from intake.science.acclimation_gaps import (
    HOURS_PACKED,
    KH_DKH,
    LOADING_G_L,
    PH_LONG,
    PH_SHORT,
    SALT_G_L,
    VESSEL_KH_DKH,
    VESSEL_PH,
    VESSEL_TEMP_C,
)
from intake.science.acclimation_readings import BagReading, VesselReading
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.span import Span
from tests.science.bags import STRICTER, bag, vessel

BAGS = [
    bag(20, 6.8, 4, 0.3, hours=1.0, fish_g=60),
    bag(18, 6.4, 3, 4.0, 1.0, hours=5.0),
    bag(16, 6.1, 2, 12.0, 2.0, hours=30.0),
    bag(24, 7.4, 8, 1.0, hours=1.5),
]
VESSELS = [vessel(20, 7.8, 6), vessel(22, 8.3, 10), vessel(19, 7.2, 3)]
CASES = list(product(range(len(BAGS)), range(len(VESSELS))))


def _inside(span: Span, times: float = 1.0) -> list[float]:
    """Five readings from one end of a range to the other."""
    return [times * (span.low + (span.high - span.low) * n / 4) for n in range(5)]


def _milder(less: Acclimation, exact: Acclimation, *, ranked: bool) -> list[str]:
    """In what an answer with something missing is milder than one with everything read."""
    told = []
    if ranked and STRICTER[less.choice] < STRICTER[exact.choice]:
        told.append(f"{less.choice} for {exact.choice}")
    if less.choice == "drip" != exact.choice:
        told.append(f"drip for {exact.choice}")
    for name in ("nh3_now_n_mg_l", "nh3_opened_n_mg_l"):
        if getattr(less, f"{name}_high") < getattr(exact, name) * (1 - 1e-9):
            told.append(name)
        if getattr(less, f"{name}_low") > getattr(exact, name) * (1 + 1e-9):
            told.append(f"{name}_low")
    return told


@pytest.mark.parametrize(("b", "v"), CASES)
@pytest.mark.parametrize(
    ("name", "readings"),
    [
        ("kh_meq_l", _inside(KH_DKH, MEQ_L_PER_DKH)),
        ("salt_g_l", _inside(SALT_G_L)),
        ("hours_packed", _inside(HOURS_PACKED)),
    ],
)
def test_a_bag_reading_missing(b: int, v: int, name: str, readings: list[float]) -> None:
    here, there = BAGS[b], VESSELS[v]
    changes: dict[str, Any] = {name: None}
    less = acclimate(replace(here, **changes), there)
    for value in readings:
        exact = acclimate(replace(here, **{name: value}), there)  # type: ignore[arg-type]
        assert not _milder(less, exact, ranked=True), value


@pytest.mark.parametrize(("b", "v"), CASES)
def test_fish_that_were_not_weighed(b: int, v: int) -> None:
    here, there = BAGS[b], VESSELS[v]
    less = acclimate(replace(here, fish_mass_g=None), there)
    for grams in _inside(LOADING_G_L, 2.0):  # in the 2 L of the bag
        exact = acclimate(replace(here, fish_mass_g=grams), there)
        assert not _milder(less, exact, ranked=True), grams
        assert less.drip_peak_n_mg_l >= exact.drip_peak_n_mg_l * (1 - 1e-9), grams
        peaks = zip(less.options, exact.options, strict=True)
        assert all(a.peak_nh3_n_mg_l_high >= b.peak_nh3_n_mg_l * (1 - 1e-9) for a, b in peaks)


@pytest.mark.parametrize(("b", "v"), CASES)
def test_the_bag_s_ph_missing(b: int, v: int) -> None:
    here, there = BAGS[b], VESSELS[v]
    less = acclimate(replace(here, ph=None), there)
    long = here.hours_packed is not None and here.hours_packed > 8
    for ph in _inside(PH_LONG if long else PH_SHORT):
        exact = acclimate(replace(here, ph=ph), there)
        assert not _milder(less, exact, ranked=True), ph


@pytest.mark.parametrize(("b", "v"), CASES)
def test_the_bag_s_temperature_missing(b: int, v: int) -> None:
    here, there = BAGS[b], VESSELS[v]
    assert isinstance(there.temp_c, float | int)
    less = acclimate(replace(here, temp_c=None), there)
    assert less.choice == "float-and-lift"
    for temp_c in _inside(Span(there.temp_c - 10, there.temp_c, there.temp_c + 5)):
        exact = acclimate(replace(here, temp_c=temp_c), there)
        assert not _milder(less, exact, ranked=True), temp_c
        assert less.float_min >= exact.float_min


@pytest.mark.parametrize(("b", "v"), CASES)
@pytest.mark.parametrize("hours", [1.0, 6.0, 30.0])
def test_the_bag_s_ammonia_missing(b: int, v: int, hours: float) -> None:
    # 2 to 8 mg N/kg/h, to 16 over 20 C, from 20 to 100 g/L of fish: what it may have come to.
    here, there = replace(BAGS[b], hours_packed=hours), VESSELS[v]
    less = acclimate(replace(here, tan_n_mg_l=None, fish_mass_g=None), there)
    assert less.choice != "drip"
    assert isinstance(here.temp_c, float | int)
    high = 16.0 if here.temp_c > 20 else 8.0
    made = Span(2.0 * 20 * hours / 1000, 5.0 * 50 * hours / 1000, high * 100 * hours / 1000)
    for tan in _inside(made):
        exact = acclimate(replace(here, tan_n_mg_l=tan), there)
        assert not _milder(less, exact, ranked=True), tan


@pytest.mark.parametrize("b", range(len(BAGS)))
@pytest.mark.parametrize(
    ("name", "readings"),
    [
        ("ph", _inside(VESSEL_PH)),
        ("kh_meq_l", _inside(VESSEL_KH_DKH, MEQ_L_PER_DKH)),
        ("temp_c", _inside(VESSEL_TEMP_C)),
    ],
)
def test_a_vessel_reading_missing(b: int, name: str, readings: list[float]) -> None:
    here, there = BAGS[b], VESSELS[0]
    changes: dict[str, Any] = {name: None}
    less = acclimate(here, replace(there, **changes))
    assert any(f"vessel {word}" in text for text in less.assumed for word in ("pH", "KH", "temp"))
    for value in readings:
        exact = acclimate(here, replace(there, **{name: value}))
        assert not _milder(less, exact, ranked=True), value


def test_no_kit_at_all_still_gets_a_careful_answer() -> None:
    nothing = VesselReading(None, None, None)
    for here in (BagReading(), BagReading(hours_packed=2.0, fish_count=3),
                 BagReading(hours_packed=40.0, fish_mass_g=60.0)):  # fmt: skip
        answer = acclimate(here, nothing)
        assert answer.choice == "float-and-lift"
        assert answer.float_min == 60
        assert answer.most_useful is not None
        assert answer.most_useful.reading.startswith(("bag", "vessel"))
        assert any(answer.most_useful.reading in text for text in answer.because)
        for word in ("bag temperature", "bag pH", "bag KH", "bag TAN", "vessel temperature",
                     "vessel pH", "vessel KH"):  # fmt: skip
            assert any(text.startswith(f"{word} not read") for text in answer.assumed), word


def test_a_count_alone_says_little_of_the_loading() -> None:
    # Neither weighed nor measured: the loading of a shipping bag, not 3 times 30 g in 1.8 L.
    here = BagReading(6.4, 1.4, 18.0, None, 0.0, None, 30.0, None, 3)
    answer = acclimate(here, VESSELS[0])
    assert any(
        "1.2 to 24 mg/L as N from 30 h packed with 20 to 100 g/L" in text
        for text in answer.assumed
    )
    assert Span(20.0, 50.0, 100.0) == LOADING_G_L


def test_the_reading_named_narrows_more_than_any_other() -> None:
    here, there = replace(BAGS[1], tan_n_mg_l=None, kh_meq_l=None), VESSELS[0]
    answer = acclimate(here, there)
    useful = answer.most_useful
    assert useful is not None
    widths = {}
    for word, name in (("bag TAN", "tan_n_mg_l"), ("bag KH", "kh_meq_l")):
        taken = 4.0 * 3.75 / 4 if name == "tan_n_mg_l" else 4 * MEQ_L_PER_DKH
        if name == "tan_n_mg_l":
            taken = 5.0 * 5.0 * 50.0 / 1000
        one = acclimate(replace(here, **{name: taken}), there)  # type: ignore[arg-type]
        widths[word] = one.nh3_opened_n_mg_l_high - one.nh3_opened_n_mg_l_low
    assert useful.reading == min(widths, key=lambda w: widths[w])
    assert acclimate(BAGS[1], there).most_useful is None


def test_bands_of_the_vessel_s_water_are_judged_at_the_end_that_harms() -> None:
    here = BAGS[0]
    wide = replace(VESSELS[0], temp_c=Span(15.0, 20.0, 26.0))
    answer = acclimate(here, wide)
    assert answer.choice == "match-water"
    assert "5.0 C colder" in answer.reason
    exact = acclimate(here, VESSELS[0])
    assert answer.option("float-and-lift").minutes > exact.option("float-and-lift").minutes
    salty = acclimate(here, replace(VESSELS[0], salt_g_l=Span(2.0, 3.0, 4.0)))
    assert salty.choice in ("match-water", "float-and-lift")
    assert "salt-step" in salty.option("float-and-lift").breaks
    assert "salt-step" not in acclimate(
        here, replace(VESSELS[0], salt_g_l=3.0)
    ).option("float-and-lift").breaks  # fmt: skip


def test_a_gap_a_kit_cannot_be_sure_of_is_not_dripped() -> None:
    here = replace(BAGS[0], ph=6.7)
    assert acclimate(here, VESSELS[0]).choice == "drip"
    assert acclimate(replace(here, ph=Span(6.5, 6.7, 6.9)), VESSELS[0]).choice == "float-and-lift"
