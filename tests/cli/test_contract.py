"""The command line from outside: keys, exit codes, options, and what the room answers."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import pytest

from tests.cli.ask import Answer, Room, ask, run

BOX = "box --length 100cm --width 50cm --depth 40cm"
"""200 L, and by the default doubt of 0.5 cm a side 3.35 L more or less (GUM, first order)."""
FORMALIN = "dose formalin --volume 100L --oxygen '8 mg/L' --temp 20C"


def codes(answer: Answer) -> list[str]:
    return [w["code"] for w in answer["warnings"]]


SHAPES = [
    (BOX, 200.0),
    ("round --diameter 1m --depth 50cm", 392.699),
    ("round --girth 3.14159265m --depth 50cm", 392.699),
    ("oval --length 120cm --width 70cm --depth 35cm", 230.907),
    ("racetrack --length 120cm --width 70cm --depth 35cm", 257.196),
    ("polygon --sides 4 --across 50cm --depth 40cm", 100.0),
    ("lshape --length 100cm --width 80cm --cut-length 40cm --cut-width 30cm --depth 45cm", 306.0),
    ("outline --points '0,0 120,0 120,60 60,90 0,60' --unit cm --depth 50cm", 450.0),
    ("outline --points '-60,0 60,0 60,60 0,90 -60,60' --unit cm --depth 50cm", 450.0),
    ("drum --diameter 60cm --length 100cm --depth 30cm", 141.372),
    ("bowl --diameter 30cm --depth 15cm", 7.0686),
    ("slices --slice '60cm x 40cm x 10cm' --slice 50cmx35cmx10cm", 41.5),
    ("levels --table '10cm:60L 20cm:131L' --depth 20cm", 131.0),
    ("metered --bucket 10L --count 12", 120.0),
    ("flow --rate '5 L/min' --time '20 min'", 100.0),
    ("by-salt --salt 100g --before '0 g/L' --after '1 g/L'", 100.0),
    ("box --length 100cm --width 50cm --depths '30cm 50cm'", 200.0),
    (BOX + " --floor-length 100cm --floor-width 50cm", 200.0),
    (BOX + " --connected 20L", 220.0),
    (BOX + " --gravel 10L --void 0.5", 195.0),
    (BOX + " --rock-mass 5kg --rock-density '2.5 g/mL'", 198.0),
]
"""Litres by solid geometry."""


@pytest.mark.parametrize(("line", "litres"), SHAPES)
def test_volume_of_every_shape(line: str, litres: float) -> None:
    code, a = ask("volume " + line)
    assert code == 0
    assert a["volume_l"] == pytest.approx(litres, rel=1e-5)
    assert a["volume_l_low"] <= a["volume_l"] <= a["volume_l_high"]
    assert set(a) >= {"gross_l", "displaced_l", "connected_l", "method", "doubt_from"}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (BOX, "0.5 cm"),
        ("metered --bucket 10L --count 12", "bucket is taken to 2 %"),
        ("flow --rate '5 L/min' --time '20 min'", "rate is taken to 2 %"),
        (BOX + " --gravel 10L", "gravel is taken to 20 %"),
        (BOX + " --displaced 10L", "displaced is taken to 20 %"),
    ],
)
def test_a_doubt_nobody_stated_is_named(line: str, said: str) -> None:
    _, a = ask("volume " + line)
    assert any(said in text for text in a["assumptions"])


def test_a_stated_doubt_wins() -> None:
    exact = " ".join(f"{o} '{v} +/- 0cm'" for o, v in pairs_of(BOX))
    _, a = ask(f"volume box {exact}")
    assert a["volume_l_low"] == a["volume_l"] == a["volume_l_high"]
    assert not any("0.5 cm" in text for text in a["assumptions"])
    _, inches = ask("volume box --length '36 in' --width '15 in' --depth '15 in +/- 0.2'")
    assert inches["gross_l"] == pytest.approx(36 * 15 * 15 * 2.54**3 / 1000)


def pairs_of(line: str) -> list[tuple[str, str]]:
    words = shlex.split(line)[1:]
    return list(zip(words[::2], words[1::2], strict=True))


WATER = [
    ("water ammonia --tan '2 mg/L as N' --ph 8 --temp 25C",
     {"fraction", "pka", "tan_n_mg_l", "nh3_n_mg_l", "nh3_mg_l", "nh3_n_mg_l_low",
      "nh3_n_mg_l_high", "nh3_mg_l_low", "nh3_mg_l_high", "fraction_low", "fraction_high",
      "pka_low", "pka_high", "tan_n_mg_l_low", "tan_n_mg_l_high"}),
    ("water blend --a-ph 7 --a-kh '2 dKH' --a-temp 20C --a-tan '2 mg/L as N' --b-ph 8.2 "
     "--b-kh '107 mg/L CaCO3' --b-temp '72 F' --share 0.5",
     {"ph", "temp_c", "alk_meq_l", "dic_mmol_l", "co2_mg_l", "tan_n_mg_l", "nh3_n_mg_l",
      "nh3_activity_n_mg_l", "aired", "at_b_co2"}),
    ("water oxygen --temp 20C --salt '3 g/L' --altitude '300 m'", {"saturation_mg_l"}),
    ("water salt '5694 uS/cm'", {"g_l", "conductivity_us_cm_25c", "sg_20c", "percent"}),
    ("water dechlorinate --volume 100L --free '1 mg/L' --combined '1 mg/L' "
     "--using thiosulfate-pentahydrate", {"amount_g", "tan_freed_n_mg_l"}),
]  # fmt: skip


@pytest.mark.parametrize(("line", "keys"), WATER)
def test_water_answers_have_every_key(line: str, keys: set[str]) -> None:
    code, a = ask(line)
    assert code == 0
    assert set(a) >= keys | {"assumptions", "warnings", "because"}


def test_blend_tells_the_open_states_too() -> None:
    _, a = ask(WATER[1][0])
    assert set(a["aired"]) == {"ph", "co2_mg_l", "nh3_n_mg_l"}
    assert set(a["at_b_co2"]) == {"ph", "nh3_n_mg_l"}


def test_bands_bound_and_open_ends_stay_open() -> None:
    line = "water ammonia --tan '0.5..1 mg/L as N' --ph 7.4..7.8 --temp 25C"
    _, a = ask(line)
    assert a["nh3_n_mg_l_low"] < a["nh3_n_mg_l"] < a["nh3_n_mg_l_high"]
    assert (a["tan_n_mg_l_low"], a["tan_n_mg_l_high"]) == (0.5, 1.0)
    _, above = ask("water ammonia --tan '>8 mg/L as N' --ph 8 --temp 25C")
    assert above["tan_n_mg_l_high"] is above["nh3_n_mg_l_high"] is None
    assert above["fraction_high"] == above["fraction"]
    assert "kit-cannot-show" in codes(above)
    _, below = ask("water ammonia --tan '8 mg/L as N' --ph '<8.8' --temp 25C")
    assert below["fraction_low"] is below["nh3_n_mg_l_low"] is None
    assert below["nh3_n_mg_l_high"] == below["nh3_n_mg_l"]


def test_tan_is_told_as_nitrogen_and_undiluted() -> None:
    # Ratios of molar masses: N 14.007, NH3 17.031, NH4 18.039 (IUPAC 2021).
    for basis, mass in (("N", 14.007), ("NH3", 17.031), ("NH4", 18.039)):
        line = f"water ammonia --tan '2 mg/L as {basis}' --diluted 4 --ph 8 --temp 25C"
        _, a = ask(line)
        assert a["tan_n_mg_l"] == pytest.approx(8 * 14.007 / mass, rel=1e-3)


def test_chlorine_that_may_be_more_is_met_in_full() -> None:
    using = "--using thiosulfate-anhydrous"
    _, band = ask(f"water dechlorinate --volume 100L --free '1..2 mg/L' {using}")
    _, full = ask(f"water dechlorinate --volume 100L --free '2 mg/L' {using}")
    assert band["amount_g"] == full["amount_g"]
    code, _ = ask(f"water dechlorinate --volume 100L --free '>2 mg/L' {using}")
    assert code == 1


ACROSS = "acclimate --vessel-ph 8.2 --vessel-kh '8 dKH' --vessel-temp 22C"
BAG = (
    " --bag-ph 6.8 --bag-kh '6 dKH' --bag-temp 20C --bag-tan '5 mg/L as N' --bag-volume 4L"
    " --bag-salt '1 g/L' --hours-packed 24 --fish-mass 100g --fish 4"
)


def test_acclimate_has_every_key() -> None:
    code, a = ask(ACROSS + BAG + " --drip '20 mL/min' --air aerated --vessel-volume 200L")
    assert code == 0
    assert set(a) >= {
        "nh3_now_n_mg_l", "nh3_likely_n_mg_l", "nh3_opened_n_mg_l", "worst_blend",
        "ph_step_total", "ph_step_after_co2", "salt_step_g_l", "alkalinity_ratio", "float_min",
        "options", "choice", "reason",
    }  # fmt: skip
    names = [o["name"] for o in a["options"]]
    assert names == ["float-and-lift", "drip", "drip-with-binder", "match-water"]
    assert a["choice"] in names
    for option in a["options"]:
        assert set(option) >= {
            "name", "peak_nh3_n_mg_l", "exposure_mg_h_l", "fastest_temp_c_per_h",
            "fastest_ph_per_h", "minutes", "breaks", "steps",
        }  # fmt: skip


def test_every_way_across_has_its_course_with_both_ends() -> None:
    _, a = ask(ACROSS + BAG)
    for option in a["options"]:
        curve = option["curve"]
        assert [m["min"] for m in curve][:2] == [0, 5]
        assert curve[-1]["min"] == option["minutes"]
        for m in curve:
            assert set(m) == {
                "min", "temp_c", "ph", "ph_low", "ph_high",
                "nh3_n_mg_l", "nh3_n_mg_l_low", "nh3_n_mg_l_high",
            }  # fmt: skip
            assert m["ph_low"] <= m["ph"] <= m["ph_high"]
            assert m["nh3_n_mg_l_low"] <= m["nh3_n_mg_l"] <= m["nh3_n_mg_l_high"]
    drip = a["options"][1]
    # The end of a rising drip is its peak, as it is judged.
    assert drip["curve"][-1]["nh3_n_mg_l"] == pytest.approx(drip["peak_nh3_n_mg_l"], rel=1e-6)


def test_a_bag_nobody_read_is_told_as_a_range() -> None:
    code, a = ask(ACROSS + " --bag-ph unreadable")
    assert code == 0
    assert a["nh3_now_n_mg_l_low"] < a["nh3_now_n_mg_l_high"]
    assert any("not read" in text for text in a["assumptions"])


USAGE = [
    "", "nonsense", "dose", "dose salt", "volume", "volume box --length 1m", "water",
    "water oxygen", "room", "record", "record nothing", "plan standard --start 2026-03-01",
    "record look", "correct", "demo", "acclimate --vessel-ph 8", "contacts X", "rescue",
    "forecast",
    "volume box --leng 1m --width 1m --depth 1m",
    "volume box --length 1m --length 1m --width 1m --depth 1m",
    "volume outline --points '0,0 1,0 1,1' --depth 1m",
    "dose salt --volume 1L --volume 2L", "dose salt --volume 10L --dry-run",
    "today --room a --room b", "today --at", "today --json", "room set",
    "record feed X --amount 1g --note -x",
]  # fmt: skip


@pytest.mark.parametrize("line", USAGE)
def test_usage(line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("INTAKE_ROOM", str(tmp_path / "none.db"))
    code, answer = ask(line)
    assert code == 2, answer


@pytest.mark.parametrize(
    "line",
    [
        "water dechlorinate --volume 1L --free '1 mg/L' --using sugar",
        ACROSS + " --air on",
        "dose salt --volume 10L --stage baby",
        "dose salt --volume 10L --course stpped",
        "dose slat --volume 10L",
        "dose salt --volume 10L --with 'nonsense:2 mg/L'",
        "plan standrd --start 2026-03-01 --temp 20C",
        "plan standard --start 2026-03-01 --temp 20C --for lice",
    ],
)
def test_a_word_that_is_not_known(line: str) -> None:
    code, answer = ask(line)
    assert (code, answer["problems"][0]["code"]) == (1, "no-such-name")
    assert answer["problems"][0]["hint"]


def test_options_in_any_way_they_may_be_written() -> None:
    one = "water oxygen --temp=20C"
    _, first = ask(one)
    for line in ("--quiet water oxygen --temp 20C", "water oxygen --temp '68 F' --quiet"):
        assert ask(line)[1] == first
    assert (
        run("--json", "water", "oxygen", "--temp", "20C")[1]
        == run("water", "oxygen", "--temp", "20C", "--json")[1]
    )
    for cold in ("--temp -5C", "--temp '-5 C'", "--temp=-5C"):
        code, answer = ask("water oxygen " + cold)
        assert (code, answer["refused"]["code"]) == (3, "not-in-range")
        assert answer["refused"]["value"] == -5.0


def test_talk_and_data_stay_apart() -> None:
    code, out, err = run("water", "oxygen", "--temp", "20C")
    assert (code, "at sea level" in err, "sea" in out) == (0, True, False)
    code, out, err = run("water", "oxygen", "--temp", "20C", "--quiet")
    assert (code, err) == (0, "")
    assert "9.09" in out
    sizes = ("--length", "120cm", "--width", "40cm", "--depth", "2cm")
    code, out, err = run("volume", "box", *sizes, "--quiet")
    assert (code, "care     volume-doubtful" in err) == (0, True)
    assert not {"assumed", "because"} & {line.split()[0] for line in err.splitlines()}
    code, out, err = run("water", "oxygen", "--temp", "20C", "--json")
    assert (code, err) == (0, "")
    code, out, err = run("water", "oxygen", "--temp", "20")
    assert (code, out) == (1, "")
    assert "unit-missing" in err


PLAIN = [
    "volume " + BOX + " --gravel 10L", FORMALIN + " --tool 0.1mL", ACROSS + BAG, WATER[1][0],
    "plan standard --start 2026-03-01 --temp 20C --for gill-flukes --with praziquantel",
    "dose salt --volume '100 L +/- 20 L' --target '5 g/L'", "dose formalin --volume 10L",
    "check", "--help", "record --help", "volume --help", "record vessel --help",
]  # fmt: skip


@pytest.mark.parametrize("line", PLAIN)
def test_plain_answers_fit_eighty_columns(line: str) -> None:
    code, out, err = run(*shlex.split(line))
    assert code in (0, 3)
    for text in (out + err).splitlines():
        assert len(text) <= 80 or " " not in text.strip(), text


def test_folding_cuts_no_amount_unit_or_word() -> None:
    _, out, _ = run(*shlex.split(FORMALIN + " --tool 0.1mL"))
    _, answer = ask(FORMALIN + " --tool 0.1mL")
    flat = " ".join(out.split())
    for key in ("before", "during", "after", "stop_signs", "handling", "cautions"):
        for text in answer[key]:
            assert " ".join(text.split()) in flat
    assert "1.5 mL" in out.splitlines()[0]


DOSE_KEYS = {
    "treatment", "course", "target", "target_unit", "basis", "volume_l", "volume_l_low",
    "volume_l_high", "already", "amount", "amount_unit", "measured", "steps",
    "rounding_percent", "low", "usual", "high", "hard_limit", "reaches", "repeat", "cautions",
    "handling", "before", "during", "after", "stop_signs", "stock", "protocol",
}  # fmt: skip


@pytest.mark.parametrize(
    "line",
    ["dose salt --volume 100L", FORMALIN, "dose praziquantel --volume 100L",
     "dose praziquantel --course feed --fish-mass 100g --ration '1 %'"],
)  # fmt: skip
def test_dose_has_every_key(line: str) -> None:
    code, a = ask(line)
    assert code == 0
    assert set(a) >= DOSE_KEYS
    assert set(a["protocol"]) == {"path", "version", "sha256"}
    assert a["measured"] is a["rounding_percent"] is None
    assert any("usual one" in text for text in a["assumptions"])


def test_a_dose_is_target_less_what_is_there() -> None:
    line = "dose salt --volume 100L --target '3 g/L' --already '1 g/L' --tool 1g"
    _, a = ask(line)
    assert (a["amount"], a["measured"], a["steps"], a["already"]) == (200.0, 200.0, 200, 1.0)
    assert any("exact" in text for text in a["assumptions"])
    _, percent = ask("dose salt --volume 100L --target '0.3 %'")
    assert percent["target"] == 3.0
    _, there = ask("dose salt --volume 100L --target '2 g/L' --already '3 g/L'")
    assert there["amount"] == 0.0


def test_the_cut_at_the_smallest_likely_volume() -> None:
    _, a = ask("dose salt --volume '100 L +/- 20 L' --target '5 g/L'")
    assert a["amount"] == pytest.approx(5.0 * 80)  # the hard limit in 80 L
    assert "volume-doubtful" in codes(a)


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("dose salt --volume 100L --target '5.00000001 g/L'", "over-hard-limit"),
        ("dose praziquantel --volume 100L --target '7 mg/L'", "over-hard-limit"),
        (FORMALIN + " --target '26 uL/L'", "over-hard-limit"),
        (
            FORMALIN.replace("20C", "22C") + " --course short-bath --target '200 uL/L'",
            "over-hard-limit",
        ),
        ("dose formalin --volume 100L --temp 20C", "reading-missing"),
        ("dose formalin --volume 100L --oxygen '8 mg/L'", "reading-missing"),
        (FORMALIN.replace("8 mg", "4 mg"), "out-of-condition"),
        (FORMALIN.replace("8 mg/L", "4..6 mg/L"), "out-of-condition"),
        (FORMALIN.replace("20C", "26.8C"), "out-of-condition"),
        (FORMALIN + " --with 'potassium-permanganate:2 mg/L'", "never-mix"),
        (FORMALIN + " --strength '10 % w/w'", "strength-mismatch"),
        ("dose praziquantel --volume 100L --strength '50 %'", "strength-mismatch"),
        (FORMALIN + " --tool 1g", "cannot-measure"),
        ("dose praziquantel --volume 10L --tool 0.1g", "cannot-measure"),
        (FORMALIN + " --stage fry", "life-stage"),
        ("dose salt --volume 100L --stage eggs", "life-stage"),
        ("dose salt --fish-mass 100g", "wrong-route"),
        ("dose praziquantel --course feed --volume 100L", "wrong-route"),
        ("dose salt --volume 1mL", "volume-unknown"),
    ],
)
def test_refusals_of_a_dose(line: str, code: str) -> None:
    found, answer = ask(line)
    assert (found, answer["refused"]["code"]) == (3, code)
    if code in ("over-hard-limit", "out-of-condition"):
        assert isinstance(answer["refused"]["limit"], float)
        assert answer["refused"]["source"]
    if code == "cannot-measure":
        assert answer["refused"]["way_out"]


def test_a_small_amount_comes_with_a_stock() -> None:
    _, answer = ask("dose praziquantel --volume 10L --tool 0.1g")
    assert "stock" in answer["refused"]["way_out"]


def test_limits_let_their_own_end_through() -> None:
    for line in (
        "dose salt --volume 100L --target '5 g/L'",
        FORMALIN + " --target '25 uL/L'",
        FORMALIN.replace("20C", "26.7C"),
        FORMALIN.replace("8 mg", "5 mg"),
    ):
        assert ask(line)[0] == 0, line


def test_strengths_say_how_they_are_meant() -> None:
    code, answer = ask(FORMALIN + " --strength '37 %'")
    assert (code, answer["problems"][0]["code"]) == (1, "ambiguous-unit")
    for strength in ("37 % w/w", "37 % w/v", "396 mg/mL", "37 g/100 mL"):
        assert ask(FORMALIN + f" --strength '{strength}'")[0] == 0
    _, powder = ask("dose praziquantel --volume 100L --strength '98 %' --tool 0.01g")
    assert powder["amount"] == pytest.approx(0.2 / 0.98)
    assert (powder["measured"], powder["steps"]) == (0.2, 20)
    assert powder["rounding_percent"] == pytest.approx(-2.0)


def test_plan_dates_and_repeats() -> None:
    code, a = ask("plan standard --start 2026-03-01 --temp 20C")
    assert (code, a["earliest_release"]) == (0, "2026-03-31")
    assert all(set(t) == {"date", "from", "to", "task", "because"} for t in a["tasks"])
    # Zhang et al. 2015: the second treatment a week after the first at 20 C.
    _, flukes = ask("plan standard --start 2026-03-01 --temp 20C --for gill-flukes")
    treats = [t["date"] for t in flukes["tasks"] if t["task"].startswith("Treat against")]
    assert treats[:2] == ["2026-03-04", "2026-03-11"]
    assert flukes["earliest_release"] > a["earliest_release"]
    hatch = next(p for p in flukes["life_cycle"] if p["part"] == "last-hatch")
    assert hatch["longest_days"] == pytest.approx(7, abs=0.05)
    assert set(hatch) == {"part", "longest_days", "shortest_days", "source", "mark"}
    assert a["life_cycle"] == []
    code, cold = ask("plan standard --start 2026-03-01 --temp 7C --for white-spot")
    assert (code, cold["refused"]["code"]) == (3, "not-in-range")
    _, soon = ask(
        "plan standard --start 2026-03-01 --temp 20C --for white-spot --with praziquantel"
    )
    assert {"early", "cannot-cover", "not-named"} <= set(codes(soon))
    line = "plan standard --start 2026-03-01 --temp 24C --for gill-flukes --with"
    _, slow = ask(f"{line} trichlorfon")
    assert any("Trichlorfon cannot cover 24 C" in w["text"] for w in slow["warnings"])
    assert [t["task"] for t in slow["tasks"] if "Treat against" in t["task"]] == [
        "Treat against gill-flukes with Trichlorfon, course long-bath, the first time"
    ]
    _, able = ask(f"{line} praziquantel")
    assert slow["earliest_release"] >= able["earliest_release"]
    _, salt = ask("plan standard --start 2026-03-01 --temp 20C --for white-spot --with salt")
    assert "cannot-cover" not in codes(salt)
    assert any(t["task"].startswith("Keep salt at its strength") for t in salt["tasks"])
    _, dip = ask("plan standard --start 2026-03-01 --temp 20C --for white-spot --with "
                 "formalin-malachite")  # fmt: skip
    assert "cannot-cover" in codes(dip)
    _, chill = ask("plan standard --start 2026-03-01 --temp 12C")
    assert any("warm day" in text for text in chill["because"])


def test_the_shipped_protocols_read() -> None:
    code, answer = ask("check")
    assert (code, answer["problems"]) == (0, [])


def test_demo_room_opens(tmp_path: Path) -> None:
    path = tmp_path / "demo.db"
    code, _ = ask("demo", "--out", str(path))
    assert code == 0
    for line in ("today", "tasks", "room show", "verify --replay"):
        code, answer = ask(line, "--room", str(path))
        assert code == 0, line
    assert answer["ok"] is True
    code, again = ask("demo", "--out", str(path))
    assert code == 4
    assert again["problems"][0]["path"]


def test_json_of_an_answer_is_one_object(tmp_path: Path) -> None:
    it = Room(tmp_path / "room.db")
    name = "\u91d1\u9b5a"
    it.at("2026-03-01 09:00", f"record vessel {name} {BOX}")
    _, out, _ = run("room", "show", "--json", "--room", str(it.path))
    assert out.isascii()
    assert json.loads(out)["vessels"][0]["name"] == name


def test_blend_tells_the_ends_of_every_output_where_a_reading_has_them() -> None:
    plain = ("water blend --a-ph 6.6 --a-kh '4 dKH' --a-temp 16C --a-tan '4 mg/L as N'"
             " --b-ph 7.8 --b-kh '6 dKH' --b-temp 20C --share 0.5")  # fmt: skip
    _, exact = ask(plain)
    assert not [key for key in exact if key.endswith(("_low", "_high"))]
    _, band = ask(plain.replace("6.6", "6.4..6.8").replace("'6 dKH'", "'6 dKH +/- 1 dKH'"))
    for state in (band, band["aired"], band["at_b_co2"]):
        named = {k for k, v in state.items() if isinstance(v, float)}
        for key in {k for k in named if not k.endswith(("_low", "_high"))}:
            assert state[f"{key}_low"] <= state[key] <= state[f"{key}_high"], key
    assert band["ph_low"] < exact["ph"] < band["ph_high"]
    assert band["aired"]["nh3_n_mg_l_low"] < band["aired"]["nh3_n_mg_l_high"]
    _, open_ = ask(plain.replace("'4 mg/L as N'", "'>8 mg/L as N'"))
    assert open_["tan_n_mg_l_high"] is open_["aired"]["nh3_n_mg_l_high"] is None
    assert open_["tan_n_mg_l_low"] == 4.0
    assert codes(open_) == ["kit-cannot-show"]


def test_oxygen_and_salt_are_told_between_the_ends_of_their_readings() -> None:
    # Benson & Krause 1984 at 19, 20 and 21 C, 1 atm: 9.276, 9.092, 8.914 mg/L.
    _, a = ask("water oxygen --temp '20 C +/- 1 C'")
    ends = [a[f"saturation_mg_l{e}"] for e in ("_low", "", "_high")]
    assert ends == pytest.approx([8.914, 9.092, 9.276], abs=2e-3)
    _, high = ask("water oxygen --temp 20C --altitude '300 m +/- 50 m'")
    assert high["saturation_mg_l_low"] < high["saturation_mg_l"] < high["saturation_mg_l_high"]
    # 1018 and 1992 uS/cm at 25 C are 0.5 and 1 g/L NaCl.
    _, s = ask("water salt '1018..1992 uS/cm'")
    assert (s["g_l_low"], s["g_l_high"]) == pytest.approx((0.5, 1.0), rel=2e-3)
    code, _ = ask("water oxygen --temp '>20 C'")
    assert code == 1


def test_a_plan_takes_the_nights_from_the_low_end_and_the_days_from_the_high() -> None:
    line = "plan standard --start 2026-03-10 --for gill-flukes --with praziquantel"
    _, band = ask(f"{line} --temp '20 C +/- 2 C'")
    _, apart = ask(f"{line} --temp 22C --night 18C")
    assert band["tasks"] == apart["tasks"]
    assert "nights as warm as the days, 18 to 22 C" in band["assumptions"]
