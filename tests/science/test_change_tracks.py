"""What is followed of a water never holds less NH3 than the water that it truly is."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from intake.science.blend import Water, water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.change_advice import ReadWater
from intake.science.change_tracks import changed, later, most_nh3_n_mg_l, tracks_of
from intake.science.span import Span
from tests.science.simulated_changes import changed as truly_changed
from tests.science.simulated_changes import fed

ENDS = st.sampled_from([0.0, 0.0, 0.37, 1.0, 1.0])
"""Where in a span the truth lies: at its ends more often than between."""


def reads(tan: tuple[float, float]) -> st.SearchStrategy[ReadWater]:
    def of(low: float, value: float, more: float) -> Span:
        return Span(value * (1 - low), value, value * (1 + more))

    doubt = st.floats(0.0, 0.15)
    return st.builds(
        ReadWater,
        st.builds(lambda v, d: Span(v - d, v, v + d), st.floats(6.6, 8.4), doubt),
        st.builds(of, doubt, st.floats(0.6, 4.0), doubt),
        st.builds(lambda v, d: Span(v - d, v, v + d), st.floats(8.0, 27.0), doubt),
        st.builds(of, doubt, st.floats(*tan), doubt),
    )


@settings(max_examples=60, deadline=None)
@given(st.data(), reads((0.0, 2.0)), reads((0.0, 0.4)), st.floats(0.0, 0.25))
def test_no_water_inside_the_readings_holds_more(
    data: st.DataObject, water: ReadWater, tap: ReadWater, doubt: float
) -> None:
    """60 rooms, any five changes; the volume, too, is the same one all the way."""
    volume = Span(100.0 * (1 - doubt), 100.0, 100.0 * (1 + doubt))

    def inside(span: Span) -> float:
        return span.low + data.draw(ENDS) * (span.high - span.low)

    def truth(read: ReadWater) -> Water:
        return water_from_reading(*map(inside, (read.ph, read.kh_meq_l, read.temp_c, read.tan)))

    try:
        true, new = truth(water), truth(tap)
        tracks = tracks_of(water, tap, volume)
    except ImpossibleWater:
        assume(False)
    litres, co2, made = inside(volume), true.co2_mg_l, 90.0
    for percent in data.draw(st.lists(st.sampled_from([5, 25, 50]), min_size=1, max_size=5)):
        true = fed(true, co2, made * 0.5 / litres)
        tracks = later(tracks, 12.0, made)
        assert most_nh3_n_mg_l(tracks) >= true.nh3_n_mg_l * (1 - 1e-9)
        true, worst = truly_changed(true, new, percent / litres, co2)
        tracks, most = changed(tracks, float(percent))
        assert most >= worst * (1 - 1e-9)
        assert most_nh3_n_mg_l(tracks) >= true.nh3_n_mg_l * (1 - 1e-9)


def same(value: float) -> Span:
    return Span(value, value, value)


def test_without_any_doubt_it_is_the_water_itself() -> None:
    """One track, and what it says is what one water does: nothing is given away."""
    exact = ReadWater(same(7.4), same(1.8), same(22.0), same(0.8))
    tap = ReadWater(same(8.2), same(3.0), same(18.0), same(0.1))
    tracks = tracks_of(exact, tap, Span(200.0, 200.0, 200.0))
    assert len(tracks) == 1
    true, new = exact.nominal(), tap.nominal()
    co2 = true.co2_mg_l
    for _ in range(3):
        true, tracks = fed(true, co2, 0.3), later(tracks, 24.0, 60.0)
        assert most_nh3_n_mg_l(tracks) == pytest.approx(true.nh3_n_mg_l, rel=1e-9)
        true, worst = truly_changed(true, new, 0.4, co2)
        tracks, most = changed(tracks, 80.0)
        assert most == pytest.approx(worst, rel=1e-9)
