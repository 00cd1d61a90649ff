"""Shipped treatments of worms, lice, water, heat and equipment beside the published figures."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal as D
from typing import Any

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.amount import StatedStrength
from intake.science.ceilings import ceiling
from intake.science.conditions import Reading
from intake.science.dose import Direction, DoseAnswer, DoseRequest, WaterVolume
from intake.science.dosing import check_given, judge_amount, plan_dose
from intake.science.heating import plan_raise
from intake.science.problem import Refused
from intake.science.treatment import Course

SHELF = load_shelf([shipped_protocols()])[0].treatments
NOW = datetime(2026, 11, 25, 18, 40, tzinfo=UTC)
DIRECTED = ("metronidazole", "emamectin", "trichlorfon")
KILLS_CRUSTACEANS = ("diflubenzuron", "lufenuron", "emamectin", "trichlorfon")
EQUIPMENT = ("hypochlorite", "peroxymonosulfate", "benzalkonium", "ethanol")
WATER = ("thiosulfate", "bicarbonate", "sulfite-conditioner", "ammonia-binder")
GRAMS_IN_POUND = D("453.59237")


def course(treatment: str, name: str) -> Course:
    found = SHELF[treatment].course(name)
    assert found is not None
    return found


def hard(found: Course) -> dict[tuple[D | None, D | None], D]:
    return {(b.above, b.below): b.value for b in found.bounds if b.hard}


ALWAYS = (None, None)


def request(id_: str, name: str, **more: Any) -> DoseRequest:
    volume = more.pop("volume", "100")
    read = {k: Reading(D(v), D(v), D(v), NOW) for k, v in more.pop("read", {}).items()}
    if id_ in DIRECTED:
        more["direction"] = Direction("A vet", "as the file says", id_)
    if "strength" in more:
        value, unit = more["strength"].split(" ", 1)
        more["strength"] = StatedStrength(D(value), unit)
    litres = None if volume is None else WaterVolume(D(volume), D(volume), D(volume))
    return DoseRequest(SHELF[id_], NOW, name, volume=litres, readings=read, **more)


def dose(id_: str, name: str, **more: Any) -> DoseAnswer:
    return plan_dose(request(id_, name, **more))


def refused(id_: str, name: str, **more: Any) -> Refused:
    with pytest.raises(Refused) as caught:
        dose(id_, name, **more)
    return caught.value


def test_the_courses_scripts_may_rely_on() -> None:
    names = {id_: [c.name for c in SHELF[id_].courses] for id_ in SHELF}
    assert names["levamisole"] == names["metronidazole"] == ["bath", "feed"]
    assert names["fenbendazole"] == ["feed"]
    assert names["praziquantel"] == ["long-bath", "bath", "feed"]
    for id_ in KILLS_CRUSTACEANS:
        assert names[id_] == ["long-bath"]
    for id_ in WATER:
        assert names[id_] == ["water"]
    for id_ in EQUIPMENT:
        assert names[id_] == ["clean"]
    assert names["heat"] == ["raise"]
    assert names["clove-oil"] == names["tricaine"] == []


def test_worm_feeds_are_the_printed_grams_in_a_pound_at_one_two_and_three_per_cent() -> None:
    """UF/IFAS nematode circular: levamisole 1.8, fenbendazole 1.14 g in a pound of feed.

    mg per kg of fish is 10 x the ration [%] x g per kg of feed.
    """
    for id_, grams, figures in (
        ("levamisole", D("1.8"), [D(n) for n in (40, 40, 80, 120)]),
        ("fenbendazole", D("1.14"), [D(n) for n in (25, 50, 50, 75)]),
    ):
        of_feed = grams / GRAMS_IN_POUND * 1000
        feed = course(id_, "feed")
        assert [feed.low, feed.usual, feed.high, hard(feed)[ALWAYS]] == figures
        for ration, told in ((1, feed.low), (2, feed.high), (3, hard(feed)[ALWAYS])):
            assert told == pytest.approx(of_feed * 10 * ration, rel=D("0.01"))
        assert "ration" in feed.note


def test_levamisole_keeps_to_the_printed_bath_and_asks_for_two_weeks() -> None:
    """UF/IFAS nematode circular: 2 mg/L for 24 h, again after 2 to 3 weeks."""
    bath = course("levamisole", "bath")
    assert (bath.usual, bath.high, hard(bath)[ALWAYS]) == (D("1.8"), D(2), D(2))
    assert bath.duration_max_h == 24
    assert bath.repeat is not None
    assert bath.repeat.every_h == 14 * 24
    assert dose("levamisole", "bath", read={"temp": 20}).amount == D("0.18")
    assert refused("levamisole", "bath", target=D(20), read={"temp": 20}).code == (
        "over-hard-limit"
    )
    fed = dose("levamisole", "feed", volume=None, fish_mass_g=D(500), ration_percent=D(1))
    assert (fed.amount, fed.feed_g_per_kg) == (D("0.02"), D(4))


def test_fenbendazole_is_drawn_from_its_suspension() -> None:
    """500 g of fish at 50 mg/kg/d are 25 mg, 0.25 mL of a suspension of 100 mg/mL."""
    fed = dose("fenbendazole", "feed", volume=None, fish_mass_g=D(500), ration_percent=D(2))
    assert (fed.amount, fed.amount_unit, fed.feed_g_per_kg) == (D("0.25"), "mL", D("2.5"))


def test_metronidazole_waits_for_a_vet_and_stays_under_what_is_printed() -> None:
    """UF/IFAS CIR716 in a copy: 5 mg/L on alternate days, 50 mg/kg/d for five days."""
    assert SHELF["metronidazole"].status == "vet only"
    assert hard(course("metronidazole", "bath")) == {ALWAYS: D("6.6")}
    assert hard(course("metronidazole", "feed")) == {ALWAYS: D(50)}
    assert dose("metronidazole", "bath").amount == D("0.5")
    fed = dose("metronidazole", "feed", volume=None, fish_mass_g=D(500))
    assert fed.amount == D("0.0225")


def test_what_stops_moulting_is_counted_by_what_is_in_it() -> None:
    """UF/IFAS FA185 relayed: 0.066 mg/L; Mayer 2013: 409.8 mg in 1,000 US gal, five weeks."""
    assert hard(course("diflubenzuron", "long-bath")) == {ALWAYS: D("0.066")}
    warm = {"temp": 20}
    quarter = dose("diflubenzuron", "long-bath", target=D("0.066"), read=warm)
    assert quarter.amount == D("0.0066") * 4  # of a powder of 25 %
    bath = course("lufenuron", "long-bath")
    gallons_l = D("3785.411784")
    assert bath.usual == pytest.approx(D("409.8") / gallons_l, rel=D("0.003"))
    assert hard(bath) == {ALWAYS: D("0.12")}
    assert bath.repeat is not None
    assert (bath.repeat.times, bath.repeat.every_h) == (5, D(168))
    tub = dose("lufenuron", "long-bath", volume="3785.411784", read=warm)
    assert tub.amount == pytest.approx(D("0.4098"), rel=D("0.003"))


@pytest.mark.parametrize("id_", KILLS_CRUSTACEANS)
def test_where_shrimp_live_it_is_refused(id_: str) -> None:
    water = {"temp": 20, "ph": 7}
    assert dose(id_, "long-bath", read=water).amount > 0
    stopped = refused(id_, "long-bath", read=water, kinds=("Cherry shrimp",))
    assert stopped.code == "life-stage"
    assert "stream" in " ".join([*SHELF[id_].cautions, *course(id_, "long-bath").after])


@pytest.mark.parametrize("id_", DIRECTED)
def test_without_a_direction_nothing_is_worked_out(id_: str) -> None:
    name = SHELF[id_].courses[0].name
    with pytest.raises(Refused) as caught:
        plan_dose(DoseRequest(SHELF[id_], NOW, name, volume=WaterVolume(D(9), D(9), D(9))))
    assert caught.value.code == "vet-only"


def test_trichlorfon_is_cut_where_the_water_is_warm() -> None:
    """Lin 2003, silver perch: half die at 2.91 mg/L at 20 C and at 0.92 mg/L at 30 C."""
    limits = hard(course("trichlorfon", "long-bath"))
    assert limits == {ALWAYS: D("0.75"), (20, None): D("0.5"), (25, None): D("0.3")}
    halfway = (D("2.91") * D("0.92")).sqrt()
    assert limits[ALWAYS] < D("2.91") / 3
    assert limits[(D(20), None)] < halfway / 3
    assert limits[(D(25), None)] < D("0.92") / 3
    water = {"temp": 27, "ph": 7}
    assert dose("trichlorfon", "long-bath", read=water).amount == D("0.03125")  # of 80 %
    over = refused("trichlorfon", "long-bath", target=D("0.5"), read=water)
    assert (over.code, over.limit) == ("over-hard-limit", 0.3)
    assert refused("trichlorfon", "long-bath", read={"temp": 29, "ph": 7}).code == (
        "out-of-condition"
    )
    for id_ in ("trichlorfon", "emamectin"):
        top = ceiling(id_, "mg/L", course(id_, "long-bath").duration_max_h, ("adult",))
        assert top is not None
        assert max(hard(course(id_, "long-bath")).values()) <= top.value
    assert dose("emamectin", "long-bath", read={"temp": 20}).amount == D("0.4")  # mL of 10 mg/mL


def test_sleep_is_described_and_never_worked_out() -> None:
    for id_ in ("clove-oil", "tricaine"):
        treatment = SHELF[id_]
        assert (treatment.status, treatment.courses, treatment.strengths) == ("vet only", (), ())
        assert any("Ask a vet" in text for text in treatment.cautions)
        with pytest.raises(Refused) as caught:
            plan_dose(DoseRequest(treatment, NOW, None))
        assert caught.value.code == "vet-only"
    told = " ".join(SHELF["tricaine"].disagree)
    assert "10 to 1,000 mg/L" in told
    assert "330" not in told


def test_thiosulfate_is_seven_parts_of_crystals() -> None:
    """Hach TE213 and FAO x3980e Annex 7: 7.0 of the pentahydrate; 1.57 as strong without water."""
    water = course("thiosulfate", "water")
    assert (water.low, water.usual, water.adds) == (D(2), D(7), True)
    assert dose("thiosulfate", "water", read={"chlorine": 2}).amount == D("1.4")
    stock = dose("thiosulfate", "water", read={"chlorine": 2}, strength="10 % w/v")
    assert (stock.amount, stock.amount_unit) == (D(14), "mL")
    assert refused("thiosulfate", "water", read={"chlorine": 10}).code == "over-hard-limit"
    crystals, without_water = D("248.18"), D("158.11")
    assert crystals / without_water == pytest.approx(D("1.57"), rel=D("0.001"))
    assert "1.57" in " ".join(SHELF["thiosulfate"].cautions)
    assert dose("thiosulfate", "water", target=D(14)).amount == D("1.4")


def test_thiosulfate_that_was_measured_needs_no_reading_of_chlorine() -> None:
    asked = request("thiosulfate", "water")
    judged = judge_amount(asked, D(2), "g")
    assert judged.result == 20
    assert not {"over-usual", "under-usual"} & {w.code for w in judged.warnings}
    assert check_given(asked, D(2), "g") == ()
    assert [b.code for b in check_given(asked, D(6), "g")] == ["over-hard-limit"]
    with pytest.raises(Refused) as caught:
        judge_amount(asked, D(6), "g")
    assert caught.value.code == "over-hard-limit"
    with pytest.raises(Refused) as caught:
        judge_amount(request("ammonia-binder", "water"), D(2), "g")
    assert caught.value.code == "reading-missing"


def test_bicarbonate_is_an_equivalent_of_84_grams() -> None:
    """NaHCO3 84.01 g/mol; 50 mg/L CaCO3 in 100 L is 8.4 g; club dose 2 lb in 1,000 gallons."""
    water = course("bicarbonate", "water")
    assert water.asked_as is not None
    assert water.asked_as.comes_to / water.asked_as.each == D("84.01")
    a_day = 20 / D("50.04") * D("84.01")
    assert water.usual == pytest.approx(a_day, rel=D("0.001"))
    club = 2 * GRAMS_IN_POUND * 1000 / D("3785.411784")
    assert hard(water) == {ALWAYS: pytest.approx(club, rel=D("0.005"))}
    asked = 50 / D("50.04") * D("84.01")
    assert dose("bicarbonate", "water", target=asked).amount == pytest.approx(
        D("8.4"), rel=D("0.001")
    )
    unread = {w.code for w in dose("bicarbonate", "water").warnings}
    assert "biofilter" in unread
    assert "biofilter" not in {
        w.code for w in dose("bicarbonate", "water", read={"tan": 0}).warnings
    }
    assert refused("bicarbonate", "water", target=D(336)).code == "over-hard-limit"


def test_three_kinds_of_conditioner_by_their_stoichiometry() -> None:
    """Sulfite 126.04 to Cl2 70.906; binder 134.09 to N 14.007, four times (US patent 4666610).

    31 mg for each mg of ammonia (koi, Iran J Fish Sci) is the same four times.
    """
    sulfite = course("sulfite-conditioner", "water")
    assert sulfite.low >= D("126.04") / D("70.906")
    taken = SHELF["sulfite-conditioner"].oxygen_taken
    assert taken is not None
    assert taken.takes_mg_l / taken.each >= D("31.998") / (2 * D("126.04"))
    assert hard(sulfite)[ALWAYS] / taken.each * taken.takes_mg_l <= 2
    binder = course("ammonia-binder", "water")
    assert binder.usual == pytest.approx(4 * D("134.09") / D("14.007"), rel=D("0.001"))
    assert binder.usual == pytest.approx(31 * D("17.031") / D("14.007"), rel=D("0.02"))
    assert dose("ammonia-binder", "water", read={"tan": 1}).amount == pytest.approx(
        D("3.83") / D("0.98")
    )
    assert refused("ammonia-binder", "water").code == "reading-missing"
    for id_ in ("ammonia-binder", "sulfite-conditioner"):
        assert SHELF[id_].from_label
        assert "kit-cannot-show" in {code for code, _ in SHELF[id_].always_warn}


def test_heat_rises_by_one_degree_a_day_and_ends_at_thirty() -> None:
    water = {"temp": 20, "oxygen": 8}
    raised = plan_raise(request("heat", "raise", read=water))
    assert [r.to_c for r in raised.rises] == [D(c) for c in range(21, 29)]
    assert raised.rises[-1].at_utc - raised.rises[0].at_utc == timedelta(days=7)
    assert raised.hard_limit_c == 30
    with pytest.raises(Refused) as caught:
        plan_raise(request("heat", "raise", read=water, target=D(31)))
    assert caught.value.code == "over-hard-limit"
    with pytest.raises(Refused) as caught:
        plan_raise(request("heat", "raise", read={"temp": 20, "oxygen": 5}))
    assert caught.value.code == "out-of-condition"


@pytest.mark.parametrize(
    ("id_", "strength", "litres", "unit", "amount"),
    [
        # 200 mg/L in 20 L are 4 g of chlorine; 5.25 % w/v holds 52.5 mg/mL
        ("hypochlorite", "5.25 % w/v", "20", "mL", D(4000) / D("52.5")),
        ("hypochlorite", "12.5 % w/v", "20", "mL", D(32)),
        ("hypochlorite", "65 % w/w", "20", "g", D(4) / D("0.65")),
        ("peroxymonosulfate", "100 % w/w", "10", "g", D(100)),
        ("benzalkonium", "50 % w/v", "10", "mL", D(10)),
        ("ethanol", "96 % v/v", "1", "mL", D(700) / D("0.96")),
        ("ethanol", "70 % v/v", "1", "mL", D(1000)),
    ],
)
def test_equipment(id_: str, strength: str, litres: str, unit: str, amount: D) -> None:
    """Merck, Management of Fish: chlorine 200, QAC 500 mg/L; Mainous & Smith 2005: ethanol."""
    made = dose(id_, "clean", volume=litres, strength=strength, stages=())
    assert made.amount_unit == unit
    assert made.amount == pytest.approx(amount)
    assert refused(id_, "clean", volume=litres, strength=strength, stages=("adult",)).code == (
        "life-stage"
    )
    assert hard(course(id_, "clean"))[ALWAYS] < 10 * course(id_, "clean").usual
    told = " ".join([*SHELF[id_].cautions, *course(id_, "clean").against])
    assert "tuberculosis" in told
    if id_ != "ethanol":
        assert "not end fish tuberculosis" in told


def test_a_usual_dose_ten_times_over_is_refused_everywhere() -> None:
    for id_ in (*KILLS_CRUSTACEANS, "levamisole", "fenbendazole", "metronidazole", *EQUIPMENT):
        for each in SHELF[id_].courses:
            assert 10 * each.usual > hard(each)[ALWAYS], (id_, each.name)


def test_praziquantel_says_what_each_course_is_against() -> None:
    for each in SHELF["praziquantel"].courses:
        assert each.against
    assert any("39.9" in text and "30.4" in text for text in SHELF["praziquantel"].disagree)
