"""Every shipped protocol loads clean, and its limits are those of the published figures."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import Shelf, check, load_shelf
from intake.science.acclimation_limits import AcclimationLimits
from intake.science.change_limits import ChangeLimits
from intake.science.course_parts import MARKS, Source
from intake.science.signs import SIGN_GROUPS
from intake.science.targets import THRESHOLDS
from intake.science.treatment import Course, Treatment

SHIPPED = shipped_protocols()


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    return load_shelf([SHIPPED])[0]


def course(shelf: Shelf, treatment: str, name: str) -> Course:
    found = shelf.treatments[treatment].course(name)
    assert found is not None
    return found


def hard(found: Course) -> dict[tuple[Decimal | None, Decimal | None], Decimal]:
    return {(b.above, b.below): b.value for b in found.bounds if b.hard and not b.untried}


ALWAYS = (None, None)


def test_every_shipped_file_loads_clean() -> None:
    assert load_shelf([SHIPPED])[1] == []
    assert check([SHIPPED]) == []
    for path in SHIPPED.rglob("*.yaml"):
        assert check([path]) == []


def test_what_scripts_may_rely_on_is_there(shelf: Shelf) -> None:
    courses = {id: [c.name for c in t.courses] for id, t in shelf.treatments.items()}
    assert courses["salt"] == ["support", "stepped", "bath", "dip"]
    assert courses["formalin"] == ["long-bath", "short-bath", "eggs"]
    assert courses["praziquantel"] == ["long-bath", "bath", "feed"]
    assert shelf.plans["standard"].days == 30
    for id, treatment in shelf.treatments.items():
        assert Path(treatment.path).stem == id


def sources(treatment: Treatment) -> Iterator[Source | None]:
    yield from (s.source for s in treatment.strengths)
    yield from (h.source for h in treatment.handling)
    if treatment.half_life_high_h is not None:
        yield treatment.half_life_source
    if treatment.solubility_g_l is not None:
        yield treatment.solubility_source
    if treatment.crowded_over_g_l is not None:
        yield treatment.crowded_source
    for each in treatment.courses:
        assert len(each.sources) == (0 if each.by_vet else 3)
        yield from each.sources
        yield each.stage_source
        yield from (bound.source for bound in each.bounds)
        yield from (condition.source for condition in each.conditions)
        yield from (part.source for part in (each.repeat, each.interval) if part is not None)
        if each.duration_max_h is not None:
            yield each.duration_source
        if each.steps:
            yield each.steps_source


def test_every_number_says_where_it_comes_from(shelf: Shelf) -> None:
    found = [s for t in shelf.treatments.values() for s in sources(t)]
    found += [s.source for s in shelf.signs.values()]
    found += [p.source for p in shelf.never_mix]
    found += [x.source for limits in shelf.water.stages.values() for x in limits]
    found += [t.source for t in shelf.water.thresholds.values()]
    for plan in shelf.plans.values():
        found += [*plan.sources, plan.restarts.source]
        found += [step.source for step in plan.steps]
        found += [rule.source for rule in plan.checks]
    assert len(found) > 150
    for source in found:
        assert source is not None
        assert source.text.strip()
        assert source.mark in MARKS


def test_usual_is_inside_the_range_and_under_every_hard_limit(shelf: Shelf) -> None:
    for treatment in shelf.treatments.values():
        for each in treatment.courses:
            limits = hard(each)
            if each.by_vet:
                assert {each.low, each.usual, each.high} == {Decimal(0)}
                assert not limits
                continue
            assert ALWAYS in limits, (treatment.id, each.name)
            assert each.low <= each.usual <= each.high <= limits[ALWAYS]
            assert each.usual < min(b.value for b in each.bounds if b.hard)


def test_the_label_and_the_vet_come_first_in_every_treatment(shelf: Shelf) -> None:
    for treatment in shelf.treatments.values():
        assert "label" in treatment.cautions[0]
        assert "vet" in treatment.cautions[0]
        assert any("aw" in c and "ocal" in c for c in treatment.cautions)
        for each in treatment.courses:
            assert each.before
            assert each.stop_signs


def test_nothing_shipped_promises_safety_or_a_cure() -> None:
    for path in SHIPPED.rglob("*.yaml"):
        words = path.read_text("utf-8").lower().replace("safety", "")
        assert " safe " not in words, path
        assert "cured" not in words, path


def test_salt_stays_far_from_what_kills_goldfish(shelf: Shelf) -> None:
    """Goldfish put into salt at once: 96-h LC50 10.96 g/L, all alive at 8 g/L (iasj 90258).

    Comets tolerated 1 to 5 g/L and none died up to 3 (Lawson & Alake 2011); dips of 30 g/L for
    10 min at most (UF/IFAS VM86, Merck Veterinary Manual).
    """
    for name in ("support", "stepped"):
        assert hard(course(shelf, "salt", name)) == {ALWAYS: Decimal(5)}
    assert course(shelf, "salt", "support").high == Decimal(3)
    assert max(b.value for b in course(shelf, "salt", "bath").bounds) < Decimal("10.96")
    dip = course(shelf, "salt", "dip")
    assert hard(dip) == {ALWAYS: Decimal(30)}
    assert dip.duration_max_h is not None
    assert dip.duration_max_h * 60 == pytest.approx(Decimal(10))
    steps = course(shelf, "salt", "stepped").steps
    assert [s.target for s in steps] == [Decimal(n) for n in (1, 2, 3, 4, 5)]
    assert [s.after_h for s in steps] == [Decimal(n) for n in (0, 12, 24, 36, 48)]


def test_salt_is_weighed_as_it_is(shelf: Shelf) -> None:
    """620 g in 310 L are 2 g/L."""
    salt = shelf.treatments["salt"]
    usual = salt.usual_strength
    assert (usual.value, usual.unit, usual.counts_as) == (Decimal(100), "% w/w", Decimal(1))
    assert course(shelf, "salt", "support").usual * 310 / usual.counts_as == Decimal(620)
    assert salt.counts_as(course(shelf, "salt", "support")) == "support"
    assert salt.counts_as(course(shelf, "salt", "stepped")) == "treatment"
    assert salt.masks


def test_formalin_keeps_to_the_us_label_and_to_the_stricter_warm_limit(shelf: Shelf) -> None:
    """FDA table in Merck 2014/2019: 25 uL/L prolonged, 250 uL/L for 60 min, eggs 2000 for 15 min.

    UF/IFAS VM-77: 150 uL/L above 21 C, not above 26.7 C (80 F), oxygen 5 mg/L or more.
    """
    assert hard(course(shelf, "formalin", "long-bath")) == {ALWAYS: Decimal(25)}
    short = course(shelf, "formalin", "short-bath")
    assert hard(short) == {ALWAYS: Decimal(250), (Decimal(21), None): Decimal(150)}
    eggs = course(shelf, "formalin", "eggs")
    assert hard(eggs) == {ALWAYS: Decimal(2000)}
    assert (short.duration_max_h, eggs.duration_max_h) == (Decimal(1), Decimal("0.25"))
    assert eggs.stages == ("eggs",)
    for name in ("long-bath", "short-bath", "eggs"):
        conditions = {c.quantity: c for c in course(shelf, "formalin", name).conditions}
        assert conditions["oxygen"].low == Decimal(5)
        assert conditions["temp"].high == Decimal("26.7")
        assert (Decimal(80) - 32) * 5 / 9 - conditions["temp"].high < Decimal("0.05")
        assert all(c.hard and c.evidence == "measured" for c in conditions.values())


def test_formalin_counts_the_product_and_never_looks_gentle(shelf: Shelf) -> None:
    """Adult goldfish were harmed at the therapeutic dose (Intorre et al. 2007, JAVMA 231:590)."""
    formalin = shelf.treatments["formalin"]
    assert (formalin.basis, formalin.margin, formalin.from_label) == (
        "product-volume",
        "narrow",
        True,
    )
    assert {s.counts_as for s in formalin.strengths} == {Decimal(1)}
    assert min(s.value for s in formalin.strengths) == Decimal(37)
    assert {code for code, _ in formalin.always_warn} >= {"test-fish-first", "oxygen", "biofilter"}
    goldfish_lc50_ul_l = Decimal(35) / Decimal("0.40")  # 35 mg/L formaldehyde, EnviroTox 2.0
    long_bath = course(shelf, "formalin", "long-bath")
    assert max(b.value for b in long_bath.bounds) * 3 < goldfish_lc50_ul_l
    (handling,) = formalin.handling
    assert handling.signal == "Danger"
    assert "permanganate" in handling.storage
    assert "bleach" in handling.storage


def test_praziquantel_stays_under_a_third_of_the_zebrafish_lc50(shelf: Shelf) -> None:
    """Zebrafish 96-h LC50 30.4 mg/L (Zuskova et al. 2022); 3 h at 10 mg/L (Schmahl 1985).

    Feed 75 mg/kg/d for 6 d (Forwood 2013); cleared at 60 g of fish per litre, failed at 120
    (Mitchell & Darwish 2009).
    """
    lc50_mg_l = Decimal("30.4")
    assert max(b.value for b in course(shelf, "praziquantel", "long-bath").bounds) < lc50_mg_l / 5
    bath = course(shelf, "praziquantel", "bath")
    assert hard(bath) == {ALWAYS: Decimal(10)}
    assert max(b.value for b in bath.bounds) < lc50_mg_l / 3
    assert bath.duration_max_h == Decimal(3)
    feed = course(shelf, "praziquantel", "feed")
    assert (feed.unit, feed.low, feed.high) == ("mg/kg/d", Decimal(50), Decimal(75))
    assert [s.mark for s in feed.sources] == ["from memory", "from memory", "published"]
    prazi = shelf.treatments["praziquantel"]
    assert (prazi.crowded_over_g_l, prazi.solubility_g_l) == (Decimal(60), Decimal("0.1"))
    long_bath = course(shelf, "praziquantel", "long-bath")
    assert long_bath.interval is not None
    assert long_bath.interval.usual_every_h == Decimal(7 * 24)
    assert set(prazi.removed_by) == {"carbon", "uv", "ozone"}


def test_the_dangerous_pairs_are_refused_and_the_disputed_one_warns(shelf: Shelf) -> None:
    pairs = {frozenset((p.first, p.second)): p.hard for p in shelf.never_mix}
    for other in (
        "potassium-permanganate",
        "hydrogen-peroxide",
        "chloramine-t",
        "hypochlorite",
        "ammonia-binder",
        "sulfite-conditioner",
    ):
        assert pairs[frozenset(("formalin", other))] is True
    assert pairs[frozenset(("formalin", "salt"))] is False
    assert pairs[frozenset(("formalin", "praziquantel"))] is False


def test_signs_cover_every_group_and_carry_what_is_mistaken_for_them(shelf: Shelf) -> None:
    assert len(shelf.signs) >= 30
    assert {s.group for s in shelf.signs.values()} == set(SIGN_GROUPS)
    for id in ("gasping", "bottom-sitting", "clamped-fins", "rubbing", "white-grains"):
        assert id in shelf.signs
    assert any("tubercles" in t for t in shelf.signs["white-grains"].look_like)
    assert any("telescope" in t for t in shelf.signs["popeye"].look_like)
    assert any("pearlscale" in t for t in shelf.signs["raised-scales"].look_like)
    assert {s.id for s in shelf.signs.values() if s.grave} == {
        "ulcer",
        "raised-scales",
        "patchy-gills",
    }
    assert [s.id for s in shelf.signs.values() if s.nervous] == ["spinning"]
    for sign in shelf.signs.values():
        urgent = [sign.most_urgent(grade) for grade in (1, 2, 3)]
        assert None not in urgent
        assert len(set(sign.grades)) == 3


def test_gasping_asks_for_a_water_test_at_every_grade(shelf: Shelf) -> None:
    assert all("test-water" in do for do in shelf.signs["gasping"].urgency)
    assert "call-vet" in shelf.signs["gasping"].urgency[2]


def test_water_targets_are_the_published_ones_and_fry_get_the_stricter(shelf: Shelf) -> None:
    """Texas Parks & Wildlife 0.02 and UF/IFAS FA16 0.05 mg/L un-ionised ammonia.

    Veterinary chapter, table 11.1: pH 6.0 to 8.4, nitrite under 0.2, oxygen from 5 mg/L.
    """
    water = shelf.water
    nh3 = water.limit("adult", "nh3_n")
    assert nh3 is not None
    assert (nh3.high, nh3.brief_high) == (Decimal("0.02"), Decimal("0.05"))
    young = water.limit("fry", "nh3_n")
    assert young is not None
    assert young.high is not None
    assert young.high <= Decimal("0.02") * Decimal("0.57") / Decimal("1.61")
    ph = water.limit("adult", "ph")
    assert ph is not None
    assert (ph.low, ph.high) == (Decimal("6.0"), Decimal("8.4"))
    for stage in ("eggs", "hatchlings", "fry", "juvenile", "adult"):
        oxygen = water.limit(stage, "oxygen")
        assert oxygen is not None
        assert oxygen.low == Decimal(5)
        kh = water.limit(stage, "kh")
        assert kh is not None
        assert kh.low is not None
        assert kh.low * Decimal("50.04") == pytest.approx(Decimal(70))
        for quantity in ("temp", "no2", "no3", "chlorine", "gh"):
            assert water.limit(stage, quantity) is not None


def test_shipped_thresholds_are_the_defaults_of_the_rule(shelf: Shelf) -> None:
    across = {t.limit for n, t in THRESHOLDS.items() if n in shelf.water.thresholds and t.limit}
    assert across == set(AcclimationLimits.__dataclass_fields__)
    assert shelf.water.acclimation() == AcclimationLimits()
    changing = {t.change for n, t in THRESHOLDS.items() if n in shelf.water.thresholds}
    assert changing - {""} == set(ChangeLimits.__dataclass_fields__)
    assert shelf.water.change() == ChangeLimits()
