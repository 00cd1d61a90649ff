"""What lies ahead of a vessel: ranges where readings are missing, never silence."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.desk import Desk
from intake.flows.forecast import forecast
from intake.flows.jobs import forecast as screen
from intake.flows.record import Said
from intake.flows.rescues import rescue
from intake.paths import shipped_protocols
from intake.science.oxygen import pressure_atm, saturation_mg_l
from intake.science.oxygen_use import DANGER_MG_L, TARGET_MG_L
from intake.science.problem import Unreadable
from tests.flows.job_rooms import put, small_desk, then
from tests.flows.test_change_here import CRASHED, READ, read, tap

NOW = "2026-11-20 12:00"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub of 200 L with eight fish of 37.5 g."""
    made = small_desk(tmp_path)
    put(made, "2026-11-05 09:00", "vessel", name="Tub", shape="box", length="100 cm +/- 0.001 cm",
        width="50 cm +/- 0.001 cm", depth="40 cm +/- 0.001 cm")  # fmt: skip
    for n in range(8):
        put(made, "2026-11-05 10:00", "fish", name=f"F{n}", into="Tub", mass="37.5 g",
            variety="ryukin", source="Ana")  # fmt: skip
    return then(made, NOW)


def asked(desk: Desk, **typed: str) -> dict[str, Any]:
    return forecast(desk, "Tub", typed)


def said(answer: dict[str, Any]) -> str:
    return " ".join([*answer["assumptions"], *answer["because"]])


def test_hours_are_oxygen_over_use(desk: Desk) -> None:
    read(desk, {**READ, "oxygen": "8 mg/L"})
    answer = asked(desk)
    # Yamanaka 2013: 103 mg/kg/h at 37.5 g and 20 C; 0.3 kg at rest use 31 mg an hour.
    resting = 103.3 * 0.3
    assert answer["oxygen_measured"] is True
    assert (answer["fish"], answer["fish_mass_g"]) == (8, 300)
    assert answer["oxygen_hours_high"] == pytest.approx(3 * 200 / resting, rel=0.005)
    assert answer["oxygen_hours_low"] == pytest.approx(3 * 200 / (3 * resting), rel=0.005)
    assert answer["oxygen_hours_low"] < answer["oxygen_hours"] < answer["oxygen_hours_high"]
    assert answer["oxygen_hours_to_danger_low"] == pytest.approx(
        5 / 3 * answer["oxygen_hours_low"]
    )


def test_nothing_read_gives_a_range_and_says_so(desk: Desk) -> None:
    answer = asked(desk)
    assert answer["oxygen_measured"] is False
    assert answer["temp_age_h"] is answer["kh_days_left"] is answer["next_change_h"] is None
    assert 0 < answer["oxygen_hours_low"] < answer["oxygen_hours_high"]
    for words in ("temperature not read", "oxygen not read", "no reading of ph, kh, temp",
                  "surface takes up no oxygen", "at sea level"):  # fmt: skip
        assert words in said(answer)
    read(desk, READ)
    known = asked(desk)
    assert answer["oxygen_hours_low"] < known["oxygen_hours_low"]
    assert known["oxygen_hours_high"] < answer["oxygen_hours_high"]


def test_a_temperature_read_days_ago_has_ends(desk: Desk) -> None:
    read(desk, READ, "2026-11-19 13:00")
    fresh = asked(desk)
    assert fresh["temp_c_low"] == fresh["temp_c_high"] == 20
    later = asked(then(desk, "2026-11-20 14:00"))
    assert (later["temp_c_low"], later["temp_c_high"]) == (17, 23)
    assert later["oxygen_hours_low"] < fresh["oxygen_hours_low"]
    assert later["oxygen_hours_high"] > fresh["oxygen_hours_high"]
    assert "read 25 h ago" in " ".join(later["assumptions"])


def test_a_warm_day_leaves_less(desk: Desk) -> None:
    read(desk, {**READ, "oxygen": "8 mg/L"})
    answer = asked(desk)
    assert [day["rise_c"] for day in answer["warm"]] == [3, 5]
    hours = [answer["oxygen_hours_low"], *(day["oxygen_hours_low"] for day in answer["warm"])]
    assert hours == sorted(hours, reverse=True)
    (one,) = asked(desk, warm="28 C")["warm"]
    assert one["temp_c"] == pytest.approx(28)
    share = 8 / saturation_mg_l(20)
    use = 3 * 8 * 37.5 * 0.0674 * 37.5**-0.193 * 2.718281828 ** (0.0562 * 28)
    expected = (share * saturation_mg_l(28) - 5) * 200 / use
    assert one["oxygen_hours_low"] == pytest.approx(expected, rel=1e-3)
    cold = asked(desk, warm="15 C")
    assert cold["warm"] == []
    assert "15 C is no warmer than it is" in said(cold)


def test_high_up_and_in_salt_it_holds_less(desk: Desk) -> None:
    read(desk, READ)
    plain, high = asked(desk), asked(desk, altitude="1500 m")
    assert high["saturation_mg_l"] == pytest.approx(saturation_mg_l(20, 0, pressure_atm(1500)))
    assert high["oxygen_hours_low"] < plain["oxygen_hours_low"]
    assert "at sea level" not in said(high)
    put(desk, "2026-11-20 11:30", "reading", subject="Tub", salt="3 g/L")
    salted = asked(desk)
    assert salted["saturation_mg_l"] == pytest.approx(saturation_mg_l(20, 3))
    # Goldfish in a salinity trial: 92 mg/kg/h in 3 g/L, 88 in fresh water.
    assert salted["oxygen_use_mg_h"] == pytest.approx(plain["oxygen_use_mg_h"] * 92 / 88)
    assert "3 g/L of salt" in said(salted)


def test_formalin_takes_what_its_protocol_says(desk: Desk) -> None:
    read(desk, {**READ, "oxygen": "9 mg/L"})
    before = asked(desk)
    put(desk, "2026-11-20 11:30", "given", Said(why="white spot"), system="Tub",
        treatment="formalin", amount="2 mL", strength="37 % w/w")  # fmt: skip
    answer = asked(desk)
    (takes,) = answer["treatments"]
    # UF/IFAS VM-77: 5 mg/L of formalin takes 1 mg/L; 2 mL in 200 L are 10 uL/L, about 10.8 mg/L.
    assert takes["oxygen_taken_mg_l"] == pytest.approx(10.8 / 5, rel=0.02)
    assert "VM-77" in takes["source"]
    assert answer["oxygen_hours_low"] < before["oxygen_hours_low"]
    assert answer["oxygen_hours_untreated_low"] == pytest.approx(before["oxygen_hours_low"])
    assert [w["code"] for w in answer["warnings"]] == ["oxygen"]
    assert any(bar.label == "without treatment" for bar in screen.view(desk, "Tub").bars)


def test_old_oxygen_counts_at_the_careful_end_only(desk: Desk) -> None:
    read(desk, READ)
    assumed = asked(desk)
    read(desk, {"oxygen": "6 mg/L"}, "2026-11-18 11:00")
    answer = asked(desk)
    assert (answer["oxygen_measured"], answer["oxygen_mg_l_low"]) == (False, 6)
    assert answer["oxygen_hours_low"] < assumed["oxygen_hours_low"]
    assert answer["oxygen_hours_high"] == assumed["oxygen_hours_high"]
    assert "was read" in said(answer)


def test_air_that_is_off_leaves_nothing_sure(desk: Desk) -> None:
    read(desk, READ)
    put(desk, "2026-11-20 10:00", "equipment", vessel="Tub", air="off")
    answer = asked(desk)
    assert (answer["oxygen_mg_l_low"], answer["oxygen_hours_low"]) == (0, 0)
    assert "its air was written down as off" in said(answer)
    put(desk, "2026-11-20 11:45", "equipment", vessel="Tub", air="on")
    assert asked(desk)["oxygen_hours_low"] > 0


def test_a_heavier_guess_for_fish_nobody_weighed(desk: Desk) -> None:
    read(desk, READ)
    weighed = asked(desk)
    put(desk, "2026-11-19 10:00", "fish", name="Big", into="Tub", variety="oranda", source="Ana")
    answer = asked(desk)
    assert answer["fish_mass_g_low"] < answer["fish_mass_g"] < answer["fish_mass_g_high"]
    assert answer["oxygen_hours_low"] < weighed["oxygen_hours_low"]
    assert "1 not weighed: by stage, adult" in said(answer)


def test_no_fish_means_no_hours_and_it_is_said(tmp_path: Path) -> None:
    made = small_desk(tmp_path)
    put(made, "2026-11-05 09:00", "vessel", name="Tub", shape="box", length="100 cm",
        width="50 cm", depth="40 cm")  # fmt: skip
    answer = forecast(then(made, NOW), "Tub", {})
    assert answer["oxygen_hours_low"] is None
    assert "no fish written down in Tub" in said(answer)
    assert screen.view(then(made, NOW), "Tub").bars == ()


def fed(desk: Desk) -> None:
    for day in range(14, 20):
        put(desk, f"2026-11-{day} 09:00", "feed", vessel="Tub", amount="2 g", protein="40 %")


def test_kh_and_the_next_change_follow_the_feed(desk: Desk) -> None:
    tap(desk)
    read(desk, READ, "2026-11-20 12:00")
    assert "no feed written down" in said(asked(desk))
    fed(desk)
    answer = asked(desk)
    # 2 g x 0.40 x 0.092 in 200 L (Timmons & Ebeling); 7.14 g CaCO3 for each g of N (US EPA 1975).
    made = 2 * 0.4 * 0.092 * 1000 / 200
    assert answer["tan_per_day_mg_l"] == pytest.approx(made, rel=1e-4)
    used = made * 7.14 / 50.04
    assert answer["kh_used_per_day_meq_l"] == pytest.approx(used, rel=0.003)
    assert answer["kh_days_left"] == pytest.approx(4 * 0.356634 / used, rel=0.003)
    assert answer["kh_days_to_low"] == pytest.approx(3 * 0.356634 / used, rel=0.003)
    assert 0 < answer["next_change_h"] <= 24 * answer["kh_days_to_low"]
    assert answer["next_change_l"] == pytest.approx(2 * answer["next_change_percent"])
    assert 0 < answer["next_change_percent"] <= 50


def test_a_change_of_shared_water_says_that_it_is_of_all_of_it(tmp_path: Path) -> None:
    made = small_desk(tmp_path)
    for name in ("Tub", "Other"):
        put(made, "2026-11-05 09:00", "vessel", name=name, shape="box", length="100 cm",
            width="50 cm", depth="40 cm", system="Duo")  # fmt: skip
    desk = then(made, NOW)
    tap(desk)
    read(desk, READ)
    fed(desk)
    answer = asked(desk)
    assert answer["volume_l"] == pytest.approx(200)
    assert answer["next_change_l"] == pytest.approx(4 * answer["next_change_percent"])
    assert "all of Duo, 400 L" in said(answer)


def test_days_since_the_readings_are_taken_off(desk: Desk) -> None:
    tap(desk)
    read(desk, READ, "2026-11-19 12:00")
    fed(desk)
    old = asked(desk)
    read(desk, READ, "2026-11-20 12:00")
    new = asked(desk)
    assert new["kh_days_left"] - old["kh_days_left"] == pytest.approx(1)
    assert new["next_change_h"] - old["next_change_h"] == pytest.approx(
        min(24, new["next_change_h"])
    )


def test_a_crash_sends_to_the_rescue_and_names_no_share(desk: Desk) -> None:
    tap(desk)
    read(desk, CRASHED)
    fed(desk)
    answer = asked(desk)
    assert answer["ph_crash"] is True
    assert answer["next_change_percent"] is answer["next_change_l"] is None
    assert answer["do"]
    told = screen.view(desk, "Tub")
    assert "pH crash" in dict(told.facts)["change"]
    assert "it is low already" in dict(told.facts)["KH"]


def test_too_little_already_is_no_time(desk: Desk) -> None:
    read(desk, {**READ, "oxygen": "4 mg/L"})
    bars = {bar.label: bar for bar in screen.view(desk, "Tub").bars}
    assert (bars["now"].said, bars["now"].short) == ("no time", True)
    assert "no time" not in bars["now, until 3 mg/L"].said


def test_a_name_that_is_no_vessel(desk: Desk) -> None:
    with pytest.raises(Unreadable) as told:
        forecast(desk, "Tab", {})
    assert told.value.problems[0].path == "VESSEL"


def test_the_levels_counted_down_to_are_those_of_the_water_file(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "own"
    own.mkdir()
    text = (shipped_protocols() / "water.yaml").read_text(encoding="utf-8")
    text = text.replace("at-least: 5 mg/L", "at-least: 6 mg/L")
    text = text.replace("name: oxygen-danger\n    value: 3", "name: oxygen-danger\n    value: 4")
    (own / "water.yaml").write_text(text, encoding="utf-8")
    read(desk, {**READ, "oxygen": "8 mg/L"})
    before = asked(desk)
    assert before["oxygen_target_mg_l"] == TARGET_MG_L
    assert before["oxygen_danger_mg_l"] == DANGER_MG_L
    monkeypatch.setenv("INTAKE_PROTOCOLS", str(own))
    after = asked(desk)
    assert (after["oxygen_target_mg_l"], after["oxygen_danger_mg_l"]) == (6, 4)
    assert after["oxygen_hours_low"] == pytest.approx(before["oxygen_hours_low"] * 2 / 3)
    told = rescue(desk, "gasping", "Tub")["amounts"]
    assert told["oxygen_hours_low"] == after["oxygen_hours_low"]
