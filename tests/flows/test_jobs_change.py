"""What the change screen foretells, against what the record of that change answers."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.flows.desk import Desk, at_work
from intake.flows.facts import Facts
from intake.flows.jobs import RoomJobs
from intake.flows.record import record
from tests.flows.job_rooms import put, small_desk, then

NOW = "2026-11-20 12:00"
READ = {"ph": "7.4", "kh": "4 dKH", "temp": "20 C", "tan": "0.5 mg/L as N"}
CRASHED = {"ph": "5.9", "kh": "0.4 dKH", "temp": "20 C", "tan": "6 mg/L as N"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = small_desk(tmp_path)
    for name in ("Tub", "Twin"):
        put(made, "2026-11-05 09:00", "vessel", name=name, shape="box", length="100 cm",
            width="60 cm", depth="50 cm", system="Pair")  # fmt: skip
    put(made, "2026-11-19 09:00", "reading", subject="tap", ph="7.8", kh="8 dKH", temp="12 C",
        tan="0 mg/L as N")  # fmt: skip
    return made


def rows(desk: Desk, **typed: str) -> dict[str, tuple[str, str]]:
    view = RoomJobs(then(desk, NOW)).change_foretold("Tub", typed)
    return {label: (now, after) for label, now, after in view.rows}


@pytest.mark.parametrize("typed", [{"volume": "60 L"}, {"volume": "30 %", "temp": "18 C"}])
def test_what_is_foretold_is_what_the_record_answers(desk: Desk, typed: dict[str, str]) -> None:
    put(desk, "2026-11-20 11:00", "reading", subject="Tub", **READ)
    seen = rows(desk, **typed)
    name = "percent" if typed["volume"].endswith("%") else "volume"
    given = {**typed, name: typed["volume"]}
    if name == "percent":
        del given["volume"]
    after = record(then(desk, NOW), "change", {"subject": "Tub", **given})["after"]
    assert seen["pH"][1].startswith(f"{after['ph']:.3g}, in open air {after['ph_open_air']:.3g}")
    assert seen["temperature"][1] == f"{after['temp_c']:.3g} C"
    assert seen["TAN, mg/L as N"][1] == f"{after['tan_n_mg_l']:.2g}"
    assert f"at most {after['nh3_n_mg_l_worst']:.2g}" in seen["NH3, mg/L as N"][1]


def test_nothing_typed_shows_the_water_as_it_stands(desk: Desk) -> None:
    put(desk, "2026-11-20 11:00", "reading", subject="Tub", **READ)
    seen = rows(desk)
    assert seen["pH"] == ("7.4", "")
    assert seen["next change due"][0] == "no feed recorded"
    assert rows(desk, volume="6 x") == seen, "what cannot be read foretells nothing"


def test_the_crash_is_shown_before_anything_is_typed(desk: Desk) -> None:
    put(desk, "2026-11-20 11:00", "reading", subject="Tub", **CRASHED)
    jobs = RoomJobs(then(desk, NOW))
    view = jobs.change_foretold("Tub", {})
    assert view.crash
    assert "air alone 0.047 mg/L as N" in view.cares[0]
    assert any("rain or reverse osmosis water" in text for text in view.do)
    asked = jobs.change_foretold("Tub", {"volume": "50 %"})
    assert asked.cares[0].startswith("pH crash: 25 % of this water"), "half of one of two tubs"
    soft = jobs.change_foretold("Tub", {"volume": "50 %", "kh": "0.4 dKH"})
    assert "up to 0.035" in soft.cares[0]
    assert jobs.change("Tub", {"volume": "50 %"}).entry, "never held back"


def test_without_readings_it_says_which_are_missing(desk: Desk) -> None:
    view = RoomJobs(then(desk, NOW)).change_foretold("Tub", {"volume": "50 %"})
    assert view.rows == ()
    assert "no reading of ph, kh, temp" in view.because


def test_readings_that_are_no_water_are_said(desk: Desk) -> None:
    off = {**READ, "ph": "9.5", "kh": "0.1 dKH", "tan": "8 mg/L as N"}
    put(desk, "2026-11-20 11:00", "reading", subject="Tub", **off)
    view = RoomJobs(then(desk, NOW)).change_foretold("Tub", {"volume": "50 %"})
    assert "no such water" in view.because


def test_feed_and_tap_go_through_the_same_forms(desk: Desk) -> None:
    jobs = RoomJobs(then(desk, NOW))
    assert jobs.feed("Tub", {"amount": "5 g", "protein": "36"}).entry
    typed = {"ph": "7.6", "chlorine": "0.2 mg/L", "combined": "1 mg/L"}
    assert jobs.room_add("tap", typed).entry
    with at_work(then(desk, NOW)) as book:
        facts: Facts = book.facts
        vessel = facts.vessel_named("Tub")
        assert vessel is not None
        assert [f.amount_g for f in vessel.feeds] == [5.0]
        assert facts.tap["combined"].value == 1.0
        assert facts.tap["kh"].value == pytest.approx(8 * 0.356634), "what was tested before stays"
    told = next(k for k in jobs.room_things() if k.kind == "tap")
    assert told.there.startswith("pH 7.6, KH 8 dKH")
