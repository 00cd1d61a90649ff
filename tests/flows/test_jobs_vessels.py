"""Vessels on the screens: the volumes of the command, drawings that hold them, measuring."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from intake.flows.correct import correct
from intake.flows.desk import Desk
from intake.flows.dosing import dose_in_room
from intake.flows.history import history
from intake.flows.jobs import RoomJobs
from intake.flows.one_volume import volume
from intake.flows.record import Said, record
from intake.flows.rooms import show_room, verify
from intake.flows.sizes import options
from intake.flows.views.vessels import VesselView
from intake.science.problem import Refused, Unreadable
from intake.science.volume import SHAPES
from tests.flows.job_rooms import demo_desk, put, small_desk, then

NOON = "2026-11-16 12:00"
MEASURED: dict[str, dict[str, str]] = {
    "box": {"length": "100 cm", "width": "40 cm", "depth": "30 cm"},
    "round": {"girth": "300 cm", "depth": "30 cm", "floor-diameter": "80 cm"},
    "oval": {"length": "100 cm", "width": "60 cm", "depth": "30 cm"},
    "racetrack": {"length": "150 cm", "width": "70 cm", "depth": "45 cm", "floor-length": "130 cm",
                  "floor-width": "60 cm", "gravel": "12 L", "height": "50 cm"},
    "polygon": {"sides": "8", "across": "100 cm", "depth": "30 cm"},
    "bow": {"length": "100 cm", "width": "40 cm", "bow": "10 cm", "depth": "30 cm"},
    "lshape": {"length": "100 cm", "width": "80 cm", "cut-length": "40 cm", "cut-width": "30 cm",
               "depth": "30 cm"},
    "outline": {"points": "0,0 120,0 120,60 60,90 0,60", "depth": "30 cm"},
    "drum": {"diameter": "60 cm", "length": "90 cm", "depth": "35 cm"},
    "bowl": {"diameter": "60 cm", "depth": "40 cm"},
    "slices": {"slice": "60cm x 40cm x 10cm; 70cm x 50cm x 10cm"},
    "levels": {"table": "10cm:60L 20cm:131L 30cm:208L", "depth": "25 cm", "gravel": "5 L"},
    "metered": {"bucket": "10 L", "count": "38"},
    "flow": {"rate": "10 L/min", "time": "38 min"},
    "by-salt": {"salt": "300 g", "before": "500 uS/cm", "after": "2000 uS/cm"},
}  # fmt: skip


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> RoomJobs:
    return RoomJobs(demo_desk(tmp_path_factory.mktemp("room")))


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    desk = small_desk(tmp_path)
    put(desk, "2026-11-04 09:00", "vessel", name="Tub", shape="racetrack", length="152 cm",
        width="76 cm", floor_length="128 cm", floor_width="60 cm", depth="46 cm", height="50 cm",
        gravel="30 L")  # fmt: skip
    return then(desk, NOON)


def litres(text: str) -> float:
    return float(text.replace(",", "").removesuffix(" L"))


def test_each_vessel_has_the_volume_of_the_command(demo: RoomJobs) -> None:
    told = {v["name"]: v for v in show_room(demo.desk)["vessels"]}
    shown = demo.vessels().vessels
    assert {v.vessel for v in shown} == set(told)
    for line in shown:
        view, own = demo.vessel(line.vessel), told[line.vessel]
        half = own["volume_l_high"] - own["volume_l"]
        assert float(view.digits) == pytest.approx(own["volume_l"], abs=half / 5)
        assert litres(view.half_text.removeprefix("± ")) == pytest.approx(half, rel=0.06)
        assert litres(view.limits_use) <= own["volume_l_low"]
        assert litres(view.limits_use) == pytest.approx(own["volume_l_low"], rel=0.01)
        assert view.limits_use.removesuffix(" L") == view.range_text.split(" to ")[0]
        assert line.volume.text == f"{view.digits} {view.half_text}".removesuffix(" L")


def test_the_sum_of_what_is_taken_off_adds_up(desk: Desk) -> None:
    view = RoomJobs(desk).vessel("Tub")
    *parts, (label, total) = view.taken_off
    assert label == "true water today"
    assert sum(litres(v) for _, v in parts) == pytest.approx(litres(total), abs=0.11)
    assert parts[1] == ("gravel, 30 L x 62 %", "-18.6 L")
    assert "38 % of it water" in view.because


def volume_sizes(shape: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """What was typed, as the command takes it: no rim, each slice an option of its own."""
    known = {s.name for s in options()}
    named = {k.replace("-", "_"): v for k, v in typed.items()}
    found: dict[str, Any] = {k: v for k, v in named.items() if k in known}
    if shape == "slices":
        found["slice"] = typed["slice"].split("; ")
    return found


@pytest.mark.parametrize("shape", MEASURED)
def test_a_sketch_with_all_sizes_is_the_volume_of_the_command(desk: Desk, shape: str) -> None:
    told = volume(SHAPES[shape], volume_sizes(shape, MEASURED[shape]))
    view = RoomJobs(desk).vessel_sketch("New", shape, MEASURED[shape])
    half = told["volume_l_high"] - told["volume_l"]
    assert float(view.digits) == pytest.approx(told["volume_l"], abs=half / 5)
    assert litres(view.limits_use) <= told["volume_l_low"]


@pytest.mark.parametrize("shape", MEASURED)
def test_a_sketch_grows_as_it_is_typed_and_never_fails(desk: Desk, shape: str) -> None:
    jobs = RoomJobs(desk)
    sizes = list(MEASURED[shape].items())
    for n in range(len(sizes)):
        view = jobs.vessel_sketch("New", shape, dict(sizes[:n]))
        needed = {q.field for q in jobs.sizes(shape) if q.needed}
        if needed - {k for k, _ in sizes[:n]}:
            assert view.digits == "?"
            assert "still needed" in view.because
    for text in ("1", "-5 cm", "10..20 cm", "0 cm", "9e9 cm", "x"):
        for field in MEASURED[shape]:
            view = jobs.vessel_sketch("New", shape, {**MEASURED[shape], field: text})
            assert view.because


def test_a_sketch_of_sizes_that_do_not_fit_says_why(desk: Desk) -> None:
    typed = {"length": "40 cm", "width": "90 cm", "depth": "30 cm"}
    view = RoomJobs(desk).vessel_sketch("New", "racetrack", typed)
    assert (view.digits, view.range_text, view.limits_use) == ("?", "", "")
    assert "under the width" in view.because


def area(points: tuple[tuple[float, float], ...]) -> float:
    ends = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in ends)) / 2


PLANS = ("box", "round", "oval", "racetrack", "polygon", "bow", "lshape", "outline")


@pytest.mark.parametrize("shape", PLANS)
def test_the_water_between_the_drawn_outlines_is_the_volume(desk: Desk, shape: str) -> None:
    """Areas of the drawn plan at floor, middle and line, by Kepler's barrel rule."""
    from intake.drawing.outlines import from_above
    from intake.flows.desk import at_work
    from intake.flows.jobs.vessel_sizes import as_typed
    from intake.science.volume.asked import Asked

    typed = {k: v for k, v in MEASURED[shape].items() if k != "gravel"}
    with at_work(desk) as book:
        vessel, _ = as_typed(book, "New", shape, typed)
    asked = Asked(SHAPES[shape], vessel.sizes, vessel.inside, **vessel.lists)
    values = {n: s.value for n, s in asked.flat().items()}
    depth = values["depth"]
    floor, middle, top = (area(from_above(shape, values, h)) for h in (0, depth / 2, depth))
    drawn = depth * (floor + 4 * middle + top) / 6 / 1000
    assert drawn == pytest.approx(asked.gross_l(values), rel=0.01)


def test_the_cross_section_is_to_scale(desk: Desk) -> None:
    profile = RoomJobs(desk).vessel("Tub").profile
    assert profile is not None
    assert profile.outline[0] == (0.0, 128.0)
    assert profile.outline[-1] == pytest.approx((50.0, 128 + 24 / 46 * 50))
    assert (profile.depth_cm, profile.rim_cm) == (46.0, 50.0)
    assert (profile.length_waterline_cm, profile.length_floor_cm) == (152.0, 128.0)
    # 30 L lie level on a floor of 128 x 60 cm with half-round ends
    floor_cm2 = 68 * 60 + math.pi * 30**2
    assert profile.gravel_cm == pytest.approx(30_000 / floor_cm2, rel=0.04)
    assert profile.gravel_cm < 30_000 / floor_cm2  # it widens upwards


@pytest.mark.parametrize("shape", ["bowl", "drum"])
def test_what_is_round_is_drawn_round(desk: Desk, shape: str) -> None:
    profile = RoomJobs(desk).vessel_sketch("New", shape, MEASURED[shape]).profile
    assert profile is not None
    for height, width in profile.outline[1:]:
        assert (width / 2) ** 2 + (30 - height) ** 2 == pytest.approx(30**2)
    heights = [h for h, _ in profile.outline]
    assert all(b - a < 2 for a, b in pairwise(heights))


def test_moving_the_line_shows_before_it_is_saved(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    lower = jobs.waterline("Tub", "40 cm")
    assert lower.depth_text == "40 cm"
    assert len(history(desk, "Tub")["entries"]) == 1
    answer = record(desk, "level", {"vessel": "Tub", "depth": "40 cm"})
    assert float(lower.digits) == pytest.approx(answer["volume_l"], abs=0.06)
    assert jobs.vessel("Tub") == lower


def test_a_cm_of_line_is_what_moving_it_a_cm_changes(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    up, down = (float(jobs.waterline("Tub", d).digits) for d in ("46.5 cm", "45.5 cm"))
    per = jobs.vessel("Tub").per_cm
    assert float(per.removeprefix("each cm of line is ").removesuffix(" L")) == pytest.approx(
        up - down, abs=0.11
    )


@pytest.mark.parametrize(
    ("depth", "code"),
    [("40", "unit-missing"), ("60 cm", "out-of-range"), ("0 cm", "out-of-range")],
)
def test_a_line_that_cannot_be_is_a_problem_and_nothing_is_written(
    desk: Desk, depth: str, code: str
) -> None:
    jobs = RoomJobs(desk)
    for ask in (jobs.waterline, jobs.waterline_record):
        with pytest.raises(Unreadable) as no:
            ask("Tub", depth)
        assert no.value.problems[0].code == code
        assert no.value.problems[0].path in ("--depth", "--height")
    assert len(history(desk, "Tub")["entries"]) == 1


def test_recording_a_line_is_the_command(desk: Desk) -> None:
    told = RoomJobs(desk).waterline_record("Tub", "40 cm")
    entry = history(desk, "Tub")["entries"][-1]
    assert (entry["entry"], entry["kind"]) == (told.entry, "level")


def test_gravel_shows_before_it_is_saved_and_is_then_a_correction(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    less = jobs.gravel("Tub", "10 L")
    assert len(history(desk, "Tub")["entries"]) == 1
    told = jobs.vessel_record("Tub", "", {"gravel": "10 L"})
    rows = history(desk, "Tub")["entries"]
    assert (rows[-1]["entry"], rows[-1]["corrects"]) == (told.entry, rows[0]["entry"])
    assert jobs.vessel("Tub") == less
    none = jobs.gravel("Tub", "0 L")
    assert none.profile is not None
    assert none.profile.gravel_cm == 0
    assert "nothing is taken off" in none.because
    jobs.vessel_record("Tub", "", {"gravel": "0 L"})
    assert jobs.vessel("Tub").shape == "racetrack, tapered"


@pytest.mark.parametrize("shape", SHAPES)
def test_what_is_asked_of_a_shape_is_what_it_takes(desk: Desk, shape: str) -> None:
    asked = RoomJobs(desk).sizes(shape)
    own = [s for s in SHAPES[shape].sizes if s.name != "trade"]
    assert [q.field for q in asked][: len(own)] == [s.option for s in own]
    needed = {q.field for q in asked if q.needed}
    assert {s.option for s in own if s.required} <= needed
    assert needed <= set(MEASURED[shape])
    assert all(len(q.ask) <= 22 for q in asked)  # beside a field, with its unit
    sizes = volume_sizes(shape, {k: v for k, v in MEASURED[shape].items() if k in needed})
    if shape != "round":  # across or once around: either will do
        assert volume(SHAPES[shape], sizes)["volume_l"] > 0
    told = RoomJobs(desk).vessel_record("New", shape, MEASURED[shape])
    assert told.entry


def test_measuring_again_corrects_the_vessel_and_keeps_what_is_inside(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    told = jobs.vessel_record("Tub", "box", MEASURED["box"])
    view = jobs.vessel("Tub")
    assert history(desk, "Tub")["entries"][-1]["corrects"] is not None
    assert view.taken_off[0] == ("full at the line", "120.0 L")
    assert view.taken_off[1] == ("gravel, 30 L x 62 %", "-18.6 L")
    assert "measured again" in told.text
    assert verify(desk, replay=True)["projections_match"]


def test_a_new_vessel_may_bring_its_name_and_zone(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    jobs.vessel_record("", "box", {**MEASURED["box"], "name": "Shelf", "zone": "fry"})
    assert [v.zone for v in jobs.vessels().vessels if v.vessel == "Shelf"] == ["fry"]


@pytest.mark.parametrize(
    ("name", "shape", "typed", "code"),
    [
        ("Shelf", "box", {"length": "50 cm", "width": "30 cm"}, "unit-missing"),
        ("", "box", MEASURED["box"], "out-of-range"),
        ("Shelf", "cube", {}, "no-such-name"),
        ("Shelf", "box", {**MEASURED["box"], "width": "30"}, "unit-missing"),
        ("Shelf", "racetrack", {**MEASURED["box"], "width": "120 cm"}, "out-of-range"),
        ("Tub", "metered", {"bucket": "10 L"}, "unit-missing"),
    ],
)
def test_a_vessel_that_cannot_be_is_told_and_nothing_is_written(
    desk: Desk, name: str, shape: str, typed: Mapping[str, str], code: str
) -> None:
    jobs = RoomJobs(desk)
    before = verify(desk)["entries"]
    with pytest.raises(Unreadable) as no:
        jobs.vessel_record(name, shape, typed)
    assert no.value.problems[0].code == code
    assert verify(desk)["entries"] == before


def test_a_line_is_not_moved_in_a_vessel_known_only_by_filling(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    jobs.vessel_record("Pail", "metered", MEASURED["metered"])
    view = jobs.vessel("Pail")
    assert (view.profile, view.plan, view.per_cm, view.depth_text) == (None, None, "", "")
    assert view.gauged[0].method == "fill"
    assert view.gauged[0].said == "38 buckets of 10 L on Mon 16 Nov"
    with pytest.raises(Unreadable) as no:
        jobs.waterline("Pail", "10 cm")
    assert no.value.problems[0].code == "wrong-kind"


# the water found another way


def gauged(jobs: RoomJobs, count: int) -> VesselView:
    jobs.vessel_record("Tub", "metered", {"bucket": "10.03 L", "count": str(count)})
    return jobs.vessel("Tub")


def test_gauging_keeps_the_sizes_and_says_that_both_agree(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    before = jobs.vessel("Tub")
    after = gauged(jobs, 37)
    assert (after.digits, after.profile, after.range_text) == (
        before.digits,
        before.profile,
        before.range_text,
    )
    assert [g.method for g in after.gauged] == ["tape", "fill"]
    assert after.gauged[1].said == "37 buckets of 10.03 L on Mon 16 Nov, same line"
    assert after.agreement == "they agree"
    # ISO 13528: the gap over the root of both half-widths squared
    tape, fill = (tuple(map(float, g.volume.text.split(" ± "))) for g in after.gauged)
    normalised = abs(tape[0] - fill[0]) / math.hypot(tape[1], fill[1])
    assert float(after.agreement_said.split()[0]) == pytest.approx(normalised, abs=0.03)


def test_where_two_ways_differ_limits_use_the_smaller(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    low = litres(jobs.vessel("Tub").limits_use)
    view = gauged(jobs, 33)
    assert view.agreement == "they differ"
    assert litres(view.limits_use) == pytest.approx(33 * 10.03 * 0.98, abs=1)
    assert litres(view.limits_use) < low - 30
    told = next(v for v in show_room(desk)["vessels"] if v["name"] == "Tub")
    assert told["volume_l_low"] == pytest.approx(33 * 10.03 * 0.98, rel=1e-6)


def test_a_dose_is_cut_to_what_passes_in_the_smaller_water(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    ask = {"treatment": "salt", "course": "support", "vessel": "Tub"}
    before = dose_in_room(desk, ask)
    gauged(jobs, 33)
    after = dose_in_room(desk, ask)
    assert after["volume_l"] == before["volume_l"]
    assert after["volume_l_low"] == pytest.approx(33 * 10.03 * 0.98, rel=1e-6)
    assert after["result_high"] > before["result_high"]


def test_a_gauging_moves_with_the_line(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    gauged(jobs, 33)
    before, after = jobs.vessel("Tub"), jobs.waterline("Tub", "40 cm")
    fell = float(before.digits) - float(after.digits)
    assert litres(before.limits_use) - litres(after.limits_use) == pytest.approx(fell, abs=2)
    assert after.gauged[1].said.endswith("line then 46 cm")


def test_a_gauging_shows_before_it_is_saved(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    some = jobs.vessel_sketch("Tub", "metered", {"bucket": "10.03 L"})
    assert "still needed: how many buckets. How many buckets went in." in some.because
    assert some.digits == jobs.vessel("Tub").digits
    drawn = jobs.vessel_sketch("Tub", "metered", {"bucket": "10.03 L", "count": "33"})
    assert len(history(desk, "Tub")["entries"]) == 1
    saved = gauged(jobs, 33)
    assert (drawn.gauged, drawn.agreement_said, drawn.limits_use) == (
        saved.gauged,
        saved.agreement_said,
        saved.limits_use,
    )


def test_only_the_newest_gauging_of_a_way_counts_and_one_may_be_taken_back(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    gauged(jobs, 33)
    assert len(gauged(jobs, 37).gauged) == 2
    last = history(desk, "Tub")["entries"][-1]["entry"]
    jobs.correct_void(last, "counted twice")
    assert jobs.vessel("Tub").gauged[1].said.startswith("33 buckets")


def test_a_gauging_is_corrected_like_any_entry(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    gauged(jobs, 33)
    entry = history(desk, "Tub")["entries"][-1]["entry"]
    correct(desk, entry, {"count": "37"}, Said(why="counted again"))
    assert jobs.vessel("Tub").gauged[1].said.startswith("37 buckets")
    assert jobs.vessel("Tub").agreement == "they agree"
    assert verify(desk, replay=True)["projections_match"]


def test_a_salt_step_beyond_the_published_curve_is_refused_not_drawn(desk: Desk) -> None:
    jobs = RoomJobs(desk)
    typed = {"salt": "300 g", "before": "500 uS/cm", "after": "900000 uS/cm"}
    assert jobs.vessel_sketch("Tub", "by-salt", typed).because
    assert jobs.vessel_sketch("New", "by-salt", typed).because
    with pytest.raises((Refused, Unreadable)):
        jobs.vessel_record("Tub", "by-salt", typed)
    assert len(history(desk, "Tub")["entries"]) == 1
