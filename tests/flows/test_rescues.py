"""Rescues: nothing asked first, amounts of this vessel, no tap change where it makes ammonia."""

from __future__ import annotations

import shlex
from itertools import pairwise
from pathlib import Path

import pytest

from intake.flows.desk import Desk
from intake.flows.forms.every import FORMS
from intake.flows.jobs import shell
from intake.flows.rescues import rescue
from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.ammonia import nh3_fraction
from intake.science.blend import water_from_reading
from intake.science.oxygen import saturation_mg_l
from intake.science.ph_crash import BICARBONATE_G_PER_MOL
from intake.science.problem import Unreadable
from intake.science.rescue import WATERS, Rescue
from intake.science.water_change import after_change
from tests.flows.job_rooms import put, small_desk, then
from tests.flows.test_change_here import CRASHED, READ, read, tap

NOW = "2026-11-20 12:00"
SHIPPED: dict[str, Rescue] = dict(load_shelf([shipped_protocols()])[0].rescues)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub of 300 L with ten fish of 37.5 g."""
    made = small_desk(tmp_path)
    put(made, "2026-11-05 09:00", "vessel", name="Tub", shape="box", length="100 cm +/- 0.001 cm",
        width="60 cm +/- 0.001 cm", depth="50 cm +/- 0.001 cm")  # fmt: skip
    for n in range(10):
        put(made, "2026-11-05 10:00", "fish", name=f"F{n}", into="Tub", mass="37.5 g",
            variety="ryukin", source="Ana")  # fmt: skip
    return then(made, NOW)


def test_no_vessel_needs_no_room(tmp_path: Path) -> None:
    answer = rescue(Desk(tmp_path / "none.db"), "gasping")
    assert answer["do"][0].startswith("Air on full")
    assert "33.3 L of each 100 L" in answer["do"][1]
    assert any("hold 909 mg" in text for text in answer["amounts"]["said"])  # 9.092 mg/L at 20 C
    assert not (tmp_path / "none.db").exists()


def test_amounts_are_those_of_the_vessel(desk: Desk) -> None:
    read(desk, {**READ, "oxygen": "4 mg/L"})
    tap(desk, chlorine="1 mg/L")
    answer = rescue(desk, "gasping", "Tub")
    amounts = answer["amounts"]
    assert answer["water"] == "plain"
    assert (amounts["volume_l"], amounts["change_l"]) == (pytest.approx(300), pytest.approx(100))
    assert amounts["change_most_l"] == pytest.approx(150)
    assert amounts["oxygen_mg_l"] == 4
    assert amounts["saturation_mg_l"] == pytest.approx(saturation_mg_l(20))
    # Yamanaka 2013: 103 mg/kg/h at 37.5 g and 20 C, all at rest; thrice that at the other end.
    assert amounts["oxygen_use_mg_h_low"] == pytest.approx(103 * 0.375, rel=0.005)
    assert amounts["oxygen_use_mg_h_high"] == pytest.approx(3 * 103 * 0.375, rel=0.005)
    assert amounts["oxygen_hours"] == 0.0, "4 mg/L is under the 5 it is counted down to"
    assert amounts["thiosulfate_g"] == pytest.approx(0.1 * 7, rel=0.2)
    assert "Change 100 L, 150 L at most" in answer["do"][1]
    assert "intake record change Tub --volume '100 L'" in answer["then_record"]


@pytest.mark.parametrize(
    ("when", "chlorine", "amount"),
    [
        # A test for free chlorine shows no chloramine: none of it says little of the tap.
        ("2026-11-20 09:00", {"chlorine": "0 mg/L"}, None),
        ("2026-11-01 09:00", {"chlorine": "0 mg/L", "combined": "0 mg/L"}, None),
        ("2026-11-20 09:00", {"chlorine": "0 mg/L", "combined": "0 mg/L"}, 0.0),
        # 7 mg of the pentahydrate for each mg of total chlorine (FAO, Hach): 100 L at 2 mg/L.
        ("2026-11-20 09:00", {"chlorine": "0.5 mg/L", "combined": "1.5 mg/L"}, 1.4),
        ("2026-11-20 09:00", {"chlorine": "2 mg/L"}, 1.4),
    ],
)
def test_a_tap_has_no_chlorine_only_where_both_kinds_were_read_today(
    desk: Desk, when: str, chlorine: dict[str, str], amount: float | None
) -> None:
    put(then(desk, when), when, "reading", subject="tap", **chlorine)
    amounts = rescue(then(desk, NOW), "gasping", "Tub")["amounts"]
    told = " ".join(amounts["said"])
    if amount is None:
        assert "thiosulfate_g" not in amounts
        assert "water conditioner by its label" in told
    else:
        assert amounts["thiosulfate_g"] == pytest.approx(amount, rel=0.01)
    assert ("not both read today" in told) == (amount is None or len(chlorine) == 1)


def test_gasping_in_a_crash_proposes_no_tap_change(desk: Desk) -> None:
    tap(desk)
    read(desk, CRASHED)
    answer = rescue(desk, "gasping", "Tub")
    assert answer["water"] == "raises-ammonia"
    assert answer["do"][0].startswith("Air on full"), "air is never held back"
    assert not any(text.startswith("Change") for text in answer["do"])
    assert answer["amounts"]["change_l"] is None
    assert "thiosulfate_g" not in answer["amounts"]
    assert "intake record change Tub --volume Q" in answer["then_record"]


def test_the_crash_is_told_with_the_nh3_it_forbids_and_the_way_out(desk: Desk) -> None:
    # 300 L, pH 5.9, KH 0.4 dKH, TAN 6, 20 C; tap pH 7.8, KH 8.
    tap(desk)
    read(desk, CRASHED)
    answer = rescue(desk, "ph-crash", "Tub")
    kh = 0.356634
    pool, new = water_from_reading(5.9, 0.4 * kh, 20, 6), water_from_reading(7.8, 8 * kh, 20, 0)
    worst = after_change(pool, new, 0.5).worst
    assert answer["amounts"]["tap_change_nh3_n_mg_l"] == pytest.approx(worst.nh3_n_mg_l)
    assert worst.nh3_n_mg_l == pytest.approx(worst.tan_n_mg_l * nh3_fraction(worst.ph, 20))
    assert worst.nh3_n_mg_l > 10 * answer["amounts"]["limit_n_mg_l"]
    instead = answer["amounts"]["instead"]
    assert instead["bicarbonate_per_day_g"] == pytest.approx(300 * kh * 84.007 / 1000, rel=1e-3)
    assert pytest.approx(84.007, abs=0.01) == BICARBONATE_G_PER_MOL
    assert instead["soft_l"] > instead["tap_l"] >= 0
    text = " ".join(answer["do"])
    assert "rain or reverse osmosis water" in text
    assert text.index("rain or reverse") < text.index("sodium bicarbonate a day")


def test_bicarbonate_is_never_for_more_than_one_degree_a_day(desk: Desk) -> None:
    tap(desk)
    read(desk, CRASHED)
    steps = rescue(desk, "ph-crash", "Tub")["amounts"]["instead"]["steps"]
    raised = [s for s in steps if not s["change_l"]]
    assert raised
    assert all(s["bicarbonate_g"] <= 300 * 0.356634 * 84.007 / 1000 + 1e-6 for s in raised)
    hours = [s["after_h"] for s in raised]
    assert all(b - a >= 24 for a, b in pairwise(hours))


@pytest.mark.parametrize(
    ("readings", "when", "water"),
    [
        (None, "", "unread"),
        ({"ph": "7.4", "temp": "20 C"}, "2026-11-20 11:00", "unread"),
        ({k: v for k, v in READ.items() if k != "tan"}, "2026-11-20 11:00", "unread"),
        (READ, "2026-11-18 11:00", "unread"),
        (READ, "2026-11-20 11:00", "plain"),
        (CRASHED, "2026-11-15 11:00", "raises-ammonia"),
        ({"ph": "6.3", "kh": "2 dKH", "temp": "20 C"}, "2026-11-20 11:00", "raises-ammonia"),
    ],
)
def test_what_was_not_read_today_is_never_taken_as_plain(
    desk: Desk, readings: dict[str, str] | None, when: str, water: str
) -> None:
    tap(desk)
    if readings:
        read(desk, readings, when)
    for name in SHIPPED:
        answer = rescue(desk, name, "Tub")
        assert answer["water"] == water
        assert len(answer["do"]) >= 3


def test_a_hard_tap_over_water_with_ammonia_is_not_proposed(desk: Desk) -> None:
    put(desk, "2026-11-19 09:00", "reading", subject="tap", ph="8.6", kh="10 dKH", temp="20 C")
    read(desk, {"ph": "7.1", "kh": "3 dKH", "temp": "20 C", "tan": "4 mg/L as N"})
    answer = rescue(desk, "ph-crash", "Tub")
    assert answer["water"] == "raises-ammonia"
    assert len(answer["do"]) > 2, "there is a way out although it is no crash"


def test_without_figures_of_the_tap_ammonia_in_the_vessel_leaves_it_unread(desk: Desk) -> None:
    read(desk, {"ph": "7.4", "kh": "4 dKH", "temp": "20 C", "tan": "2 mg/L as N"})
    assert rescue(desk, "gasping", "Tub")["water"] == "unread"


def test_a_name_nobody_describes_is_told_with_those_there_are(desk: Desk) -> None:
    with pytest.raises(Unreadable) as told:
        rescue(desk, "chlorine")
    assert told.value.problems[0].code == "no-such-name"
    assert "gasping" in told.value.problems[0].hint
    with pytest.raises(Unreadable) as told:
        rescue(desk, "gasping", "Tubb")
    assert (told.value.problems[0].path, "Tub" in told.value.problems[0].hint) == (
        "--vessel",
        True,
    )


def test_files_that_do_not_read_take_away_amounts_only(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "own"
    (own / "rescues").mkdir(parents=True)
    (own / "water.yaml").write_text("version: [", encoding="utf-8")
    (own / "rescues" / "gasping.yaml").write_text("id: gasping\n", encoding="utf-8")
    monkeypatch.setenv("INTAKE_PROTOCOLS", str(own))
    answer = rescue(desk, "gasping", "Tub")
    assert answer["do"][0].startswith("Air on full")
    assert any("your own gasping cannot be read" in text for text in answer["assumptions"])
    assert shell.wrong(desk, "Tub", "gasping").do[0].startswith("Air on full")
    assert shell.wrong(Desk(tmp_path / "none.db"), "Tub", "gasping").do[0].startswith("Air on")
    text = (shipped_protocols() / "rescues" / "gasping.yaml").read_text(encoding="utf-8")
    mine = text.replace("Air on full.", "Both pumps on.")
    (own / "rescues" / "gasping.yaml").write_text(mine, encoding="utf-8")
    assert rescue(desk, "gasping")["do"][0].startswith("Both pumps on.")


@pytest.mark.parametrize("found", SHIPPED.values(), ids=list(SHIPPED))
def test_every_water_has_something_to_do_and_what_is_written_down_exists(found: Rescue) -> None:
    for water in WATERS:
        assert sum(step.is_for(water) for step in found.do) >= 3
    for record in found.then_record:
        intake, word, kind, *rest = shlex.split(record.command)
        assert (intake, word) == ("intake", "record")
        options = {f.name.replace("_", "-") for f in FORMS[kind].fields}
        assert {x[2:] for x in rest if x.startswith("--")} <= options
