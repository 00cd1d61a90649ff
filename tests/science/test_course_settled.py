"""Figures that follow a reading or a vet, limits of other readings, and heat."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from intake.science.course_parts import PerReading, Rate, Source
from intake.science.course_settled import by_amount, by_vet, directed, repeat_hours, settled_course
from intake.science.dose import Direction, DoseRequest
from intake.science.dose_checks import hard_limit
from intake.science.dosing import judge_amount, plan_dose
from intake.science.heating import plan_raise
from intake.science.ledger import Residue
from intake.science.problem import Refused
from intake.science.treatment import Course, Repeat, Sensitive, Treatment
from tests.science.doses import NOW, READ, D, bound, formalin, litres, reading, salt

CHLORINE = PerReading("chlorine", D(1), "high", D(6), needed=False, source=READ)


def with_course(treatment: Treatment, **changes: object) -> Treatment:
    """The treatment with its first course changed, as its only one."""
    course = treatment.courses[0]
    made = {name: getattr(course, name) for name in Course.__dataclass_fields__} | changes
    return replace(treatment, courses=(Course(**made),))


def ask(treatment: Treatment, **more: object) -> DoseRequest:
    made = DoseRequest(treatment, NOW, volume=litres("100"))
    for name, given in more.items():
        made = replace(made, **{name: given})  # type: ignore[arg-type]
    return made


def thiosulfate(needed: bool = False) -> Treatment:
    """7 mg of it for each mg of chlorine: stoichiometry of its weakest reaction."""
    return with_course(
        salt(), unit="mg/L", low=D(2), usual=D(7), high=D(7), bounds=(bound("40", "mg/L"),),
        per=replace(CHLORINE, needed=needed), adds=True,
    )  # fmt: skip


def test_a_dose_for_each_mg_of_chlorine_takes_the_high_end_of_its_reading() -> None:
    readings = {"chlorine": reading("1", half="0.5")}
    answer = plan_dose(ask(thiosulfate(), readings=readings))
    assert (answer.low, answer.usual, answer.high) == (D(3), D("10.5"), D("10.5"))
    assert answer.amount == D("1.05")  # g: 10.5 mg/L in 100 L


@pytest.mark.parametrize(
    ("readings", "needed", "code"),
    [
        ({}, True, "reading-missing"),
        ({"chlorine": reading("1", hours=7)}, True, "reading-stale"),
        ({"chlorine": replace(reading("1"), high=None)}, True, "reading-missing"),
        ({}, False, "reading-missing"),
    ],
)
def test_without_that_reading_it_is_refused(
    readings: dict[str, object], needed: bool, code: str
) -> None:
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(thiosulfate(needed), readings=readings))
    assert refusal.value.code == code


def test_a_target_asked_for_stands_where_the_reading_is_not_needed() -> None:
    assert plan_dose(ask(thiosulfate(), target=D(14))).amount == D("1.4")
    with pytest.raises(Refused):
        plan_dose(ask(thiosulfate(needed=True), target=D(14)))


def test_far_more_than_the_reading_asks_for_is_a_slip_whatever_the_limit() -> None:
    """Ten times the least of it, 2 mg for each mg of chlorine, is over two and a half times 7."""
    readings = {"chlorine": reading("1")}
    assert plan_dose(ask(thiosulfate(), readings=readings, target=D("17.5"))).amount == D("1.75")
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(thiosulfate(), readings=readings, target=D(20)))
    assert (refusal.value.code, refusal.value.limit) == ("over-hard-limit", 17.5)
    with pytest.raises(Refused):
        judge_amount(ask(thiosulfate(), readings=readings), D(2), "g")
    assert judge_amount(ask(thiosulfate(), readings=readings), D("1.75"), "g").amount
    nothing = {"chlorine": reading("0")}
    assert plan_dose(ask(thiosulfate(), readings=nothing, target=D(20))).amount == 2


def test_a_figure_that_follows_a_reading_over_the_limit_is_refused() -> None:
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(thiosulfate(), readings={"chlorine": reading("6")}))
    assert (refusal.value.code, refusal.value.limit) == ("over-hard-limit", 40.0)


def test_a_course_that_adds_adds_whatever_is_there_and_its_limit_holds_both() -> None:
    there = Residue(20.0, 10.0, 30.0)
    readings = {"chlorine": reading("1")}
    answer = plan_dose(ask(thiosulfate(), readings=readings, already=there))
    assert answer.amount == D("0.7")
    assert (answer.result, answer.result_high) == (D(27), D(37))
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(thiosulfate(), readings=readings, already=Residue(20.0, 10.0, 33.5)))
    assert refusal.value.code == "over-hard-limit"
    with pytest.raises(Refused):
        judge_amount(ask(thiosulfate(), readings=readings, already=there), D("1.1"), "g")


def test_a_course_by_a_vet_takes_its_figures_from_the_direction() -> None:
    treatment = replace(
        with_course(salt(), by_vet=True, low=D(0), usual=D(0), high=D(0), bounds=(), sources=()),
        status="vet only",
    )
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(treatment))
    assert refusal.value.code == "vet-only"
    said = Direction("Dr Fin", "two grams a litre", "salt", D(2))
    answer = plan_dose(ask(treatment, direction=said))
    assert (answer.usual, answer.hard_limit, answer.amount) == (D(2), D(2), D(200))
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(treatment, direction=said, target=D("2.1")))
    assert refusal.value.code == "over-hard-limit"


SAID = Direction("Dr Fin", "two grams a litre", "salt", D(2), every_h=D(24), lasts_h=D(120))


def by_a_vet() -> Treatment:
    return with_course(salt(), by_vet=True, low=D(0), usual=D(0), high=D(0), bounds=())


@pytest.mark.parametrize(
    ("said", "course", "holds"),
    [
        (None, None, False),
        (SAID, None, True),
        (replace(SAID, treatment="formalin"), None, False),
        (replace(SAID, course="support"), None, True),
        (replace(SAID, course="support"), "support", True),
        (replace(SAID, course="dip"), "support", False),
        (replace(SAID, course="support"), "dip", False),
        (SAID, "dip", True),
    ],
)
def test_a_direction_holds_for_its_treatment_and_its_course_only(
    said: Direction | None, course: str | None, holds: bool
) -> None:
    request = ask(by_a_vet(), direction=said, course=course)
    assert directed(request) is holds
    if course != "dip":
        assert settled_course(request).usual == (2 if holds else 0)


@pytest.mark.parametrize(
    ("lasts", "times"), [("120", 5), ("119", 4), ("24", 1), ("5", 1), (None, 0)]
)
def test_a_direction_is_repeated_as_often_as_its_days_hold(lasts: str | None, times: int) -> None:
    """Daily for five days are five doses, none sooner than 18 h after the last."""
    held = by_vet(
        by_a_vet().courses[0], replace(SAID, lasts_h=None if lasts is None else D(lasts))
    )
    assert held.repeat is not None
    assert held.interval is not None
    assert (held.repeat.every_h, held.repeat.times) == (D(24), times)
    assert (held.interval.not_before_h, held.interval.usual_every_h) == (D(18), D(24))


def test_a_reading_too_old_to_count_scales_nothing() -> None:
    """Chlorine read 6 h ago counts, a second later only the target that was asked for holds."""
    at_age, late = reading("2", hours=6), reading("2", hours=6 + 1 / 3600)
    fresh = ask(thiosulfate(), readings={"chlorine": at_age}, target=D(5))
    assert settled_course(fresh).usual == 14
    stale = ask(thiosulfate(), readings={"chlorine": late}, target=D(5))
    assert settled_course(stale).usual == 5


def test_a_needed_reading_that_is_missing_never_makes_the_target_the_range() -> None:
    asked = ask(thiosulfate(needed=True), target=D(30))
    assert settled_course(asked).usual == 7
    assert settled_course(ask(thiosulfate())).usual == 7
    assert settled_course(ask(thiosulfate(), target=D(30))).usual == 30


@pytest.mark.parametrize(("ph", "limit"), [("6.4", 5), ("6.99", 5), ("7.0", 20), ("8.2", 20)])
def test_a_limit_that_holds_under_a_ph(ph: str, limit: int) -> None:
    treatment = with_course(
        formalin(),
        bounds=(bound("20", "uL/L"), bound("5", "uL/L", quantity="ph", below=D("7.0"))),
    )
    request = ask(treatment, readings={"ph": reading(ph)})
    assert hard_limit(request, treatment.courses[0]).value == limit
    unread = ask(treatment, readings={})
    assert hard_limit(unread, treatment.courses[0]).value == 5


def test_a_limit_until_one_fish_was_tried() -> None:
    treatment = with_course(
        formalin(), bounds=(bound("20", "uL/L"), bound("6", "uL/L", untried=True))
    )
    for tried, limit in ((None, 6), (False, 6), (True, 20)):
        request = ask(treatment, tried=tried)
        assert hard_limit(request, treatment.courses[0]).value == limit


@pytest.mark.parametrize(
    ("temp", "hours"), [("10", 240), ("14", 192), ("18", 144), ("25", 96), ("26", 48), ("9", 48)]
)
def test_the_time_between_doses_lies_between_the_rows(temp: str, hours: int) -> None:
    """10 d at 10 C, 6 d at 18 C, 4 d at 25 C: a British product leaflet."""
    rows = ((D(10), D(240)), (D(18), D(144)), (D(25), D(96)))
    repeat = Repeat(D(48), 3, READ, by_temperature=rows)
    course = replace(salt().courses[0], repeat=repeat)
    assert repeat_hours(course, reading(temp)) == hours
    assert repeat_hours(course, None) == 48


def test_kinds_that_do_not_stand_it_refuse_or_warn_by_words_in_their_variety() -> None:
    hard = Sensitive(("tench", "orfe"), True, "they die of it", READ)
    soft = Sensitive(("ryukin",), False, "weaker than others", READ)
    treatment = replace(salt(), sensitive=(hard, soft))
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(treatment, kinds=("Golden Orfe",)))
    assert refusal.value.code == "life-stage"
    warned = plan_dose(ask(treatment, kinds=("red Ryukin",))).warnings
    assert ("test-fish-first", "weaker than others (a source)") in [
        (w.code, w.text) for w in warned
    ]
    assert not plan_dose(ask(treatment, kinds=("lionhead",))).warnings


def heat() -> Treatment:
    return replace(
        with_course(
            salt(), name="raise", route="heat", unit="C", low=D(26), usual=D(28), high=D(30),
            bounds=(bound("30", "C"),), rate=Rate(D(1), D(2), Source("a rule", "common practice")),
        ),
        id="heat", strengths=(), basis="none",
    )  # fmt: skip


def test_heat_goes_up_by_the_day_and_never_by_more_than_its_rate() -> None:
    raised = plan_raise(ask(heat(), readings={"temp": reading("21.5")}))
    assert [r.to_c for r in raised.rises] == [D("23.5"), D("25.5"), D("27.5"), D(28)]
    days = [r.at_utc - NOW for r in raised.rises]
    assert days == [timedelta(days=n) for n in range(4)]


@pytest.mark.parametrize(
    ("target", "temp", "code"),
    [("30.5", "22", "over-hard-limit"), (None, None, "reading-missing")],
)
def test_heat_is_refused_over_its_limit_and_without_a_temperature(
    target: str | None, temp: str | None, code: str
) -> None:
    readings = {} if temp is None else {"temp": reading(temp)}
    asked = None if target is None else Decimal(target)
    with pytest.raises(Refused) as refusal:
        plan_raise(ask(heat(), target=asked, readings=readings))
    assert refusal.value.code == code


def test_nothing_is_weighed_for_heat() -> None:
    with pytest.raises(Refused) as refusal:
        plan_dose(ask(heat()))
    assert refusal.value.code == "wrong-route"


def test_where_equipment_is_cleaned_nothing_may_live() -> None:
    treatment = with_course(salt(), route="clean", stages=())
    assert plan_dose(ask(treatment)).amount == D(200)
    with pytest.raises(Refused, match="empty vessels and tools only") as refusal:
        plan_dose(ask(treatment, stages=("adult",)))
    assert refusal.value.code == "life-stage"


def test_the_plain_course_is_left_as_it_is() -> None:
    assert settled_course(ask(salt())) == salt().courses[0]


def test_an_amount_stands_for_its_target_only_where_the_reading_may_be_missing() -> None:
    """1 g in 100 L is 10 mg/L; a target typed, a needed reading or no water leave it alone."""
    assert by_amount(ask(thiosulfate()), D(1)).target == 10
    assert by_amount(ask(thiosulfate(), target=D(3)), D(1)).target == 3
    for left in (
        ask(thiosulfate(needed=True)),
        ask(salt()),
        ask(thiosulfate(), volume=None),
        ask(thiosulfate(), volume=litres("0")),
        ask(thiosulfate(), course="dip"),
    ):
        assert by_amount(left, D(1)) is left
