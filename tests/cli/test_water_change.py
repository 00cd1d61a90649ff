"""intake water change: how much to change, what it makes, and the crash it never proposes."""

from __future__ import annotations

import re
from math import log10

import pytest

from tests.cli.ask import Answer, ask, run

CRASH = (
    "water change --volume 300L --ph 5.9 --kh '0.4 dKH' --temp 20C --tan '6 mg/L as N' "
    "--tap-ph 7.8 --tap-kh '8 dKH'"
)
ORDINARY = (
    "water change --volume 200L --feed '5 g/d' --protein '35 %' --kh '4 dKH' --temp 20C "
    "--limit '0.02 mg/L as N'"
)


def codes(answer: Answer) -> set[str]:
    return {w["code"] for w in answer["warnings"]}


def fraction(ph: float, temp_c: float) -> float:
    """Source: Emerson et al. 1975."""
    return float(1 / (1 + 10 ** (0.09018 + 2729.92 / (temp_c + 273.15) - ph)))


def test_the_contracts_keys_are_there() -> None:
    code, a = ask(f"{ORDINARY} --ph 7.4 --percent 30")
    assert code == 0
    assert set(a) >= {
        "tan_per_day_mg_l", "change_percent_per_day", "hours_to_limit", "after", "kh_days_left",
    }  # fmt: skip
    assert set(a["after"]) >= {"ph", "tan_n_mg_l", "nh3_n_mg_l", "nh3_n_mg_l_worst"}
    assert a["tan_per_day_mg_l"] == pytest.approx(5 * 0.35 * 0.092 / 200 * 1000)


@pytest.mark.parametrize(("ph", "percent"), [(7.0, 16), (7.4, 40), (7.8, 98)])
def test_worked_shares(ph: float, percent: float) -> None:
    # Worked by hand: 5 g a day of 35 % protein in 200 L at 20 C, NH3 at most 0.02 mg/L as N.
    _, a = ask(f"{ORDINARY} --ph {ph}")
    assert a["change_percent_per_day"] == pytest.approx(percent, abs=0.6)
    assert a["change_percent_each"] <= 50
    total = a["changes_per_day"] * a["change_percent_each"]
    assert total == pytest.approx(a["change_percent_per_day"])


def test_what_is_impossible_says_what_else() -> None:
    _, a = ask(f"{ORDINARY} --ph 8.0")
    assert a["change_percent_per_day"] is None
    assert any("cut the feed to 65 %" in text and "filter" in text for text in a["because"])
    _, other = ask(f"{ORDINARY} --ph 8.2 --tap-ph 8.2 --tap-kh '4 dKH' --tap-tan '0.4 mg/L as N'")
    assert other["change_percent_per_day"] is None
    assert any("use other water" in text for text in other["because"])


def test_kh_left_by_hand() -> None:
    # 0.805 mg N a day takes 0.805 x 7.14 = 5.75 mg/L CaCO3; 3 dKH are 53.5.
    _, a = ask(f"{ORDINARY} --ph 7.4")
    assert a["kh_days_to_low"] == pytest.approx(53.5 / 5.75, rel=0.01)
    assert a["kh_days_left"] == pytest.approx(4 * 17.848 / 5.75, rel=0.01)
    assert a["kh_days_to_low"] < a["kh_days_to_crash"] < a["kh_days_left"]


def test_hours_by_hand() -> None:
    # 0.02 / 0.0098, the printed share at pH 7.4 and 20 C, less 0.5, over 0.805 a day.
    _, a = ask(f"{ORDINARY} --ph 7.4 --tan '0.5 mg/L as N'")
    assert a["hours_to_limit"] == pytest.approx((0.02 / 0.0098 - 0.5) / 0.805 * 24, rel=0.02)
    assert a["next_change_h"] == a["hours_to_limit"]


def test_half_the_water_of_a_crash_is_warned_of_at_the_nh3_it_makes() -> None:
    code, a = ask(f"{CRASH} --percent 50")
    assert code == 0
    assert "ph-crash" in codes(a)
    assert a["change_percent_per_day"] is None
    # By hand: 4.2 dKH in open air at 20 C. CO2 is 420e-6 x 10^-1.406 mol/L, pK1 6.381, and the
    # activity of a charge in 0.0017 mol/L is 0.955: pH = 6.381 + log(0.955 x 1.46 / 0.0165),
    # 0.04 meq/L of 1.50 being carbonate.
    ph = 6.381 + log10(0.955 * 1.46 / (420e-6 * 10**-1.406 * 1000))
    by_hand = 3.0 * fraction(ph, 20)
    assert a["after"]["nh3_n_mg_l_worst"] == pytest.approx(by_hand, rel=0.05)
    # Source: PHREEQC 3 with phreeqc.dat, the two mixed and held at 420 uatm: pH 8.308.
    assert a["after"]["ph_open_air"] == pytest.approx(8.308, abs=0.005)
    assert a["after"]["nh3_n_mg_l_worst"] == pytest.approx(0.2233, rel=0.01)
    assert a["after"]["nh3_n_mg_l_worst"] > 10 * a["limit_n_mg_l"]
    told = next(w["text"] for w in a["warnings"] if w["code"] == "ph-crash")
    assert "0.22 mg/L as N" in told


def test_the_soft_water_way_is_recommended() -> None:
    _, a = ask(f"{CRASH} --percent 50")
    text = " ".join(a["do"])
    assert re.search(r"142.5 L of rain or reverse osmosis water, 7.5 L of tap water", text)
    assert "at most 1 dKH a day" in text
    assert "8.99 g of sodium bicarbonate a day" in text
    assert "no more: strong air alone takes it to pH 7.3" in text
    steps = a["instead"]["steps"]
    at_rest = a["now"]["nh3_n_mg_l_open_air"]
    assert all(s["nh3_n_mg_l_worst"] <= max(0.02, at_rest) for s in steps)
    assert all(s["nh3_n_mg_l"] <= 0.02 for s in steps)
    assert steps[-1]["kh_meq_l"] == pytest.approx(4 * 0.356634)


@pytest.mark.parametrize("more", ["", "--percent 5", "--percent 100", "--percent 0"])
def test_no_share_of_tap_water_is_ever_proposed_in_a_crash(more: str) -> None:
    _, a = ask(f"{CRASH} --feed '5 g/d' {more}")
    assert "ph-crash" in codes(a)
    assert a["change_percent_per_day"] is None
    assert a["change_percent_now"] is None
    assert a["hours_to_limit"] is None
    assert a["instead"]["change_percent"] <= 50


def test_acid_water_nobody_tested_for_ammonia_asks_for_the_test() -> None:
    line = "water change --volume 300L --ph 6.2 --kh '1 dKH' --temp 20C --tap-ph 7.8 --tap-kh 8dKH"
    _, a = ask(f"{line} --feed '2 g/d' --percent 50")
    assert "ph-crash" in codes(a)
    assert a["change_percent_per_day"] is None
    assert "test total ammonia" in a["warnings"][0]["text"]


def test_bands_are_judged_at_the_end_that_harms() -> None:
    _, low = ask(f"{ORDINARY} --ph 7.4 --tan '0.5 mg/L as N'")
    _, band = ask(f"{ORDINARY} --ph 7.2..7.6 --tan '0.25..1 mg/L as N'")
    _, high = ask(f"{ORDINARY} --ph 7.6 --tan '1 mg/L as N'")
    assert band["hours_to_limit"] == pytest.approx(high["hours_to_limit"])
    assert band["hours_to_limit"] < low["hours_to_limit"]
    assert band["change_percent_per_day"] == pytest.approx(
        high["change_percent_per_day"], rel=0.02
    )
    assert (
        band["now"]["nh3_n_mg_l_low"] < low["now"]["nh3_n_mg_l"] < band["now"]["nh3_n_mg_l_high"]
    )


def test_a_band_with_an_open_end_never_hides_a_crash() -> None:
    _, a = ask(
        "water change --volume 300L --ph '<6' --kh '<1 dKH' --temp 20C --tan '>8 mg/L as N' "
        "--percent 40 --tap-ph 7.8 --tap-kh '8 dKH'"
    )
    assert "ph-crash" in codes(a)


def test_chloramine_brings_its_ammonia_and_asks_for_thiosulfate() -> None:
    # 2 mg/L of chloramine leave 0.40 mg/L of ammonia as N; 20 L at 2.5 mg/L take 0.35 g.
    line = "water change --volume 100L --ph 7.4 --kh '5 dKH' --temp 20C --tan '0 mg/L as N'"
    _, a = ask(f"{line} --percent 20 --tap-chlorine '0.5 mg/L' --tap-chloramine '2 mg/L'")
    assert a["after"]["tan_n_mg_l"] == pytest.approx(0.2 * 0.395)
    assert a["thiosulfate_pentahydrate_g"] == pytest.approx(20 * 2.5 * 7.0 / 1000, rel=1e-3)
    assert "chlorine" in codes(a)
    code, _ = ask(f"{line} --percent 20 --tap-chloramine '>2 mg/L'")
    assert code == 1


def test_steps_of_temperature_and_salt_are_told() -> None:
    line = "water change --volume 100L --ph 7.4 --kh '5 dKH' --temp 22C --tan '0 mg/L as N'"
    _, a = ask(f"{line} --percent 40 --tap-temp 12C --salt '3 g/L'")
    assert a["after"]["temp_c"] == pytest.approx(18)
    assert "temperature-step" in codes(a)
    assert a["after"]["salt_g_l"] == pytest.approx(1.8)
    _, mild = ask(f"{line} --percent 20 --tap-temp 12C")
    assert "temperature-step" not in codes(mild), "2 C is the most, and allowed itself"


def test_after_equals_the_blend_of_the_same_waters() -> None:
    _, a = ask(
        "water change --volume 100L --ph 7.1 --kh '3 dKH' --temp 20C --tan '1 mg/L as N' "
        "--tap-ph 7.9 --tap-kh '7 dKH' --tap-temp 20C --percent 35"
    )
    _, b = ask(
        "water blend --a-ph 7.9 --a-kh '7 dKH' --a-temp 20C --b-ph 7.1 --b-kh '3 dKH' "
        "--b-temp 20C --b-tan '1 mg/L as N' --share 0.65"
    )
    assert a["after"]["ph_mixed"] == pytest.approx(b["ph"], abs=1e-9)
    assert a["after"]["ph"] == pytest.approx(b["at_b_co2"]["ph"], abs=1e-9)
    assert a["after"]["nh3_n_mg_l"] == pytest.approx(b["at_b_co2"]["nh3_n_mg_l"])
    assert a["after"]["ph_open_air"] == pytest.approx(b["aired"]["ph"], abs=1e-9)
    assert a["after"]["kh_meq_l"] == pytest.approx(b["alk_meq_l"])


BAD = [
    ("--volume 0L --ph 7 --kh 4dKH --temp 20C", 1, "--volume"),
    ("--volume 100L --ph 15 --kh 4dKH --temp 20C", 1, "--ph"),
    ("--volume 100L --ph 7 --kh 4 --temp 20C", 1, "--kh"),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --tan '2 mg/L'", 1, "--tan"),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --feed '5 g'", 1, "--feed"),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --feed '1,5 g/d'", 1, "--feed"),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --protein '130 %'", 1, "--protein"),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --percent 130", 1, "--percent"),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --percent -5", 1, "--percent"),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --limit '0.02 mg/L'", 1, "--limit"),
    ("--volume 100L --ph unreadable --kh 4dKH --temp 20C", 1, "--ph"),
    ("--volume 100L --ph 7 --kh 4dKH --temp -5C", 3, ""),
    ("--volume 100L --ph 9.5 --kh 0.1dKH --temp 20C --tan '8 mg/L as N'", 3, ""),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --tap-ph 7", 2, ""),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --tap-kh 7dKH", 2, ""),
    ("--volume 100L --ph 7 --kh 4dKH", 2, ""),
    ("--volume 100L --ph 7 --kh 4dKH --temp 20C --perc 30", 2, ""),
]  # fmt: skip


@pytest.mark.parametrize(("line", "code", "path"), BAD)
def test_bad_input_is_named_and_nothing_worked_out(line: str, code: int, path: str) -> None:
    found, a = ask(f"water change {line}")
    assert found == code, a
    if path:
        assert path in {p["path"] for p in a["problems"]}


def test_every_problem_of_a_line_is_told_at_once() -> None:
    _, a = ask("water change --volume 0L --ph 15 --kh 4 --temp 20 --tan '2 mg/L' --percent 101")
    paths = {p["path"] for p in a["problems"]}
    assert paths == {"--volume", "--ph", "--kh", "--temp", "--tan", "--percent"}


def test_it_never_says_safe_and_reads_as_text() -> None:
    code, out, err = run("water", "change", "--volume", "300L", "--ph", "5.9", "--kh", "0.4dKH",
                         "--temp", "20C", "--tan", "6 mg/L as N", "--percent", "50")  # fmt: skip
    assert code == 0
    assert "safe" not in (out + err).lower()
    assert "0.02 mg/L as N" in out
    assert "ph-crash" in err
