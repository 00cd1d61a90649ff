"""A drug dosed from a vet's own figures; every amount worked out here by hand."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.dose_tasks import dose_tasks
from intake.flows.doses import system_named
from intake.flows.dosing import dose_anywhere, dose_in_room
from intake.flows.record import Said, record
from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.amount import StatedStrength
from intake.science.dose import Direction, DoseRequest, WaterVolume
from intake.science.dosing import plan_dose
from intake.science.drug_names import is_antibiotic
from intake.science.problem import Refused, Unreadable
from intake.science.treatment import Treatment
from tests.flows.job_rooms import put, small_desk, then

pytestmark = pytest.mark.usefixtures("quick_files")

T0 = "2026-11-05 08:00"
BOX = {
    "shape": "box",
    "length": "100 cm +/- 0 cm",
    "width": "50 cm +/- 0 cm",
    "depth": "40 cm +/- 0 cm",
    "height": "60 cm",
}  # 200 L
FEED = {
    "words": "oxytetracycline, 75 mg/kg in the feed once a day for ten days",
    "treatment": "oxytetracycline",
    "target": "75 mg/kg/d",
    "days": "10",
    "every": "1 d",
}
BATH = {
    "words": "enrofloxacin 5 mg/L as a bath",
    "treatment": "enrofloxacin",
    "target": "5 mg/L",
    "days": "3",
}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub of 200 L with six fish of 50 g."""
    desk = small_desk(tmp_path)
    put(desk, T0, "vessel", name="Tub", **BOX)
    put(desk, T0, "group", name="Six", count="6", variety="ryukin", mass="50 g", into="Tub")
    return desk


def said(desk: Desk, typed: dict[str, str], moment: str = T0, /, **more: str) -> int:
    return put(desk, moment, "direction", vet="Dr Vaz", **{**typed, **more})


def offer(desk: Desk, moment: str = T0, treatment: str = "vet-directed", /, **typed: str) -> Any:
    asked = {"vessel": "Tub", "treatment": treatment, "strength": "20 % w/w", **typed}
    return dose_in_room(then(desk, moment), asked)


def refused(desk: Desk, moment: str = T0, treatment: str = "vet-directed", /, **typed: str) -> Any:
    with pytest.raises(Refused) as told:
        offer(desk, moment, treatment, **typed)
    return told.value


def give(desk: Desk, moment: str, amount: str, strength: str = "20 % w/w", **more: str) -> Any:
    typed = {"system": "Tub", "treatment": "vet-directed", "amount": amount, "strength": strength}
    return record(then(desk, moment), "dose", {**typed, **more})


def test_into_the_feed_by_the_mass_of_the_fish(desk: Desk) -> None:
    """300 g of fish at 75 mg/kg are 22.5 mg; of a powder of 20 % that is 112.5 mg.

    At 1 % of their mass they eat 3 g, so a kilogram of feed holds 7.5 g of the drug.
    """
    said(desk, FEED)
    answer = offer(desk, ration="1 %")
    assert answer["title"] == "oxytetracycline"
    assert (answer["course"], answer["amount"], answer["amount_unit"]) == ("feed", 0.1125, "g")
    assert answer["feed_g_per_kg"] == 7.5
    assert answer["hard_limit"] == 75
    assert (answer["repeat"]["every_h"], answer["repeat"]["times"]) == (24, 10)
    assert answer["direction"]["vet"] == "Dr Vaz"
    assert answer["direction"]["words"] == FEED["words"]
    assert any(
        text.startswith("Dr Vaz, Thu 5 Nov 08:00: ") and FEED["words"] in text
        for text in answer["because"]
    )


def test_into_the_water_by_its_true_volume(desk: Desk) -> None:
    """200 L at 5 mg/L are 1 g: 10 mL of a liquid of 100 mg/mL, 1.25 g of a powder of 80 %."""
    said(desk, BATH)
    assert offer(desk, strength="100 mg/mL")["amount"] == 10
    assert offer(desk, strength="80 % w/w")["amount"] == 1.25
    assert offer(desk, strength="80 % w/w")["course"] == "bath"
    put(desk, T0, "level", vessel="Tub", depth="20 cm +/- 0 cm")
    assert offer(desk, strength="100 mg/mL")["amount"] == 5


def test_the_smallest_likely_water_cuts_it(desk: Desk) -> None:
    said(desk, BATH)
    put(desk, T0, "vessel", name="Odd", **{**BOX, "depth": "40 cm +/- 2 cm"})
    answer = offer(desk, vessel="Odd", strength="100 mg/mL")
    assert answer["amount"] == pytest.approx(9.5)
    assert "volume-doubtful" in [w["code"] for w in answer["warnings"]]


@pytest.mark.parametrize("name", ["oxytetracycline", "vet-directed", "kanamycin", "Penicillin G"])
def test_without_a_direction_there_is_no_dose(desk: Desk, name: str) -> None:
    told = refused(desk, T0, name)
    assert told.code == "vet-only"
    assert "intake record direction" in told.way_out


@pytest.mark.parametrize("place", [{"volume": "200 L"}, {"fish_mass": "300 g"}])
def test_without_a_room_there_is_no_direction(place: dict[str, str]) -> None:
    for course in ("bath", "feed"):
        asked = {"treatment": "vet-directed", "course": course, "strength": "20 % w/w", **place}
        with pytest.raises(Refused) as told:
            dose_anywhere({**asked, "target": "5 mg/L" if course == "bath" else "5 mg/kg/d"})
        assert told.value.code == "vet-only"


@pytest.mark.parametrize(
    "name",
    [
        "oxytetracycline", "doxycycline", "kanamycin", "neomycin", "gentamicin", "amikacin",
        "enrofloxacin", "oxolinic acid", "florfenicol", "erythromycin", "amoxicillin",
        "ceftazidime", "sulfadiazine", "trimethoprim", "nitrofurazone", "nifurpirinol",
        "Kanamycin sulfate", "an antibiotic",
    ],
)  # fmt: skip
def test_drugs_against_bacteria_are_known_by_name(name: str) -> None:
    assert is_antibiotic(name)


def test_what_is_none_of_them(desk: Desk) -> None:
    with at_work(desk) as book:
        assert not [name for name in book.shelf.treatments if is_antibiotic(name)]
    for name in ("emamectin", "copper sulphate", "sulfite-conditioner", "thiosulfate", "heat"):
        assert not is_antibiotic(name)
    with pytest.raises(Unreadable):
        offer(desk, T0, "moonlight")


def test_the_strength_is_always_that_of_the_label(desk: Desk) -> None:
    said(desk, BATH)
    asked = {"vessel": "Tub", "treatment": "vet-directed"}
    with pytest.raises(Refused) as told:
        dose_in_room(then(desk, T0), asked)
    assert told.value.code == "strength-mismatch"
    put(desk, T0, "product", treatment="vet-directed", strength="50 % w/w", name="Florfenicol")
    with pytest.raises(Refused):
        dose_in_room(then(desk, T0), asked)  # another drug's bottle
    put(desk, T0, "product", treatment="vet-directed", strength="50 % w/w",
        name="Enrofloxacin powder")  # fmt: skip
    answer = dose_in_room(then(desk, T0), asked)
    assert (answer["amount"], answer["product"]["name"]) == (2.0, "Enrofloxacin powder")
    assert refused(desk, strength="5 % w/w").code == "strength-mismatch"


def test_the_time_between_doses_is_the_vets(desk: Desk) -> None:
    """Once a day: under 18 h is refused, under 24 h is early."""
    said(desk, FEED)
    give(desk, T0, "0.1125 g")
    assert refused(desk, "2026-11-06 01:59").code == "too-soon"
    early = offer(desk, "2026-11-06 02:00")
    assert "early" in [w["code"] for w in early["warnings"]]
    assert "early" not in [w["code"] for w in offer(desk, "2026-11-06 08:00")["warnings"]]
    with pytest.raises(Refused):
        give(desk, "2026-11-05 12:00", "0.1125 g")


def test_the_doses_of_the_course_are_tasks_until_it_is_over(desk: Desk) -> None:
    said(desk, FEED)
    for day in range(5, 15):
        give(desk, f"2026-11-{day:02} 08:00", "0.1125 g")
        with at_work(then(desk, f"2026-11-{day:02} 09:00")) as book:
            told = [t.task for t in dose_tasks(book, system_named(book, "Tub"))]
        assert told == ([f"oxytetracycline: dose {day - 3} of 10"] if day < 14 else [])
    told_late = refused(desk, "2026-11-15 08:00")
    assert told_late.code == "vet-only"
    assert "ended Sun 15 Nov 08:00" in told_late.way_out


def test_more_than_the_vet_said_is_refused(desk: Desk) -> None:
    said(desk, BATH)
    assert refused(desk, target="6 mg/L").code == "over-hard-limit"
    with pytest.raises(Refused) as told:
        give(desk, T0, "11 mL", "100 mg/mL")
    assert (told.value.code, told.value.limit) == ("over-hard-limit", 5)
    give(desk, T0, "10 mL", "100 mg/mL")
    assert offer(desk, "2026-11-06 08:00", strength="100 mg/mL")["amount"] == 0


def test_every_other_check_holds(desk: Desk) -> None:
    said(desk, BATH)
    put(desk, T0, "fish", name="Fry", variety="ryukin", stage="fry", into="Tub")
    assert refused(desk, strength="100 mg/mL").code == "life-stage"


def test_two_drugs_are_kept_apart(desk: Desk) -> None:
    said(desk, FEED)
    said(desk, BATH)
    give(desk, T0, "10 mL", "100 mg/mL", drug="enrofloxacin", course="bath")
    feed = offer(desk, "2026-11-05 09:00", "oxytetracycline")
    assert (feed["course"], feed["amount"]) == ("feed", 0.1125)
    again = offer(desk, "2026-11-06 09:00", "enrofloxacin", strength="100 mg/mL")
    assert (again["course"], again["already"], again["amount"]) == ("bath", 5, 0)
    said(desk, BATH, "2026-11-05 10:00", treatment="florfenicol", target="4 mg/L",
         words="florfenicol 4 mg/L")  # fmt: skip
    answer = offer(desk, "2026-11-05 10:01", strength="100 mg/mL")
    assert (answer["title"], answer["amount"]) == ("florfenicol", 8)
    assert "other-drug" in [w["code"] for w in answer["warnings"]]


def test_a_void_direction_takes_its_doses_figures_away_too(desk: Desk) -> None:
    number = said(desk, FEED)
    give(desk, T0, "0.1125 g")
    told = correct(then(desk, T0), number, {}, Said(why="withdrawn"), void=True)
    assert len(told["affected"]) == 1
    assert refused(desk, "2026-11-06 08:00").code == "vet-only"
    with at_work(then(desk, "2026-11-06 08:00")) as book:
        assert dose_tasks(book, system_named(book, "Tub")) == []


def test_what_went_in_anyway_is_never_refused(desk: Desk) -> None:
    typed = {"system": "Tub", "treatment": "vet-directed", "amount": "5 g"}
    answer = record(then(desk, T0), "given", {**typed, "course": "bath"}, Said(why="in a hurry"))
    assert "vet-only" in [b["code"] for b in answer["broke"]]


def test_what_has_a_protocol_without_a_course_is_dosed_by_its_own_name(desk: Desk) -> None:
    """Tricaine: 200 L x 50 mg/L are 10 g."""
    assert refused(desk, T0, "tricaine").code == "vet-only"
    said(desk, BATH, treatment="tricaine", target="50 mg/L", words="tricaine 50 mg/L")
    answer = offer(desk, T0, "tricaine", strength="100 % w/w")
    assert (answer["title"], answer["treatment"], answer["amount"]) == (
        "tricaine", "vet-directed", 10,
    )  # fmt: skip


@lru_cache(maxsize=1)
def by_vet() -> Treatment:
    return load_shelf([shipped_protocols()])[0].treatments["vet-directed"]


LABELS = st.tuples(
    st.decimals(Decimal("0.5"), Decimal(100), places=1), st.sampled_from(["% w/w", "mg/mL"])
)


@given(
    st.decimals(Decimal("0.1"), Decimal(200), places=2),
    st.decimals(Decimal(1), Decimal(2000), places=1),
    LABELS,
)
def test_any_label_by_fractions(
    target: Decimal, size: Decimal, label: tuple[Decimal, str]
) -> None:
    """Milligrams wanted over milligrams in a gram or millilitre, in exact fractions."""
    treatment = by_vet()
    strength = StatedStrength(*label)
    per_unit = Fraction(label[0]) * (10 if label[1] == "% w/w" else 1)
    for course, wanted in (
        ("bath", Fraction(target) * Fraction(size)),
        ("feed", Fraction(target) * Fraction(size) / 1000),
    ):
        direction = Direction("Dr Vaz", "so", "vet-directed", target, course, "a drug")
        request = DoseRequest(
            treatment, datetime(2026, 11, 5, tzinfo=UTC), course,
            volume=WaterVolume(size, size, size), fish_mass_g=size, strength=strength,
            direction=direction,
        )  # fmt: skip
        exact = wanted / per_unit
        if not Fraction(1, 10_000) <= exact <= 1_000_000:
            continue
        answer = plan_dose(request)
        assert abs(Fraction(answer.amount) / exact - 1) < Fraction(1, 10**9)
        assert answer.amount_unit == ("g" if label[1] == "% w/w" else "mL")
