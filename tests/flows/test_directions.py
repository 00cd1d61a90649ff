"""What a vet directed lifts what it was said for, and nothing else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.directions import not_in_force
from intake.flows.doses import course_named, system_named, treatment_named
from intake.flows.dosing import dose_in_room
from intake.flows.facts.things import Person
from intake.flows.history import history
from intake.flows.record import Said, record
from intake.science.problem import Refused, Unreadable
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
SAID: dict[str, Any] = {
    "vet": "Dr Vaz",
    "words": "8 mg/L of praziquantel, and look again after a week",
    "treatment": "praziquantel",
    "target": "8 mg/L",
    "days": "7",
}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A tub with a group, a tub of its own, and two tubs that share their water."""
    desk = small_desk(tmp_path)
    put(desk, T0, "vessel", name="Tub", **BOX)
    put(desk, T0, "vessel", name="Other", **BOX)
    put(desk, T0, "vessel", name="Left", system="Yard", **BOX)
    put(desk, T0, "vessel", name="Right", system="Yard", **BOX)
    put(desk, T0, "group", name="Six", count="6", variety="ryukin", mass="50 g", into="Tub")
    put(desk, T0, "fish", name="Olga", variety="oranda", mass="90 g", into="Other")
    return desk


def said(desk: Desk, moment: str = T0, /, **changed: Any) -> dict[str, Any]:
    typed = {k: v for k, v in {**SAID, **changed}.items() if v is not None}
    return record(then(desk, moment), "direction", typed)


def limit(desk: Desk, moment: str, vessel: str, treatment: str = "praziquantel") -> float:
    """The hard limit that holds for its first course there."""
    asked = {"vessel": vessel, "treatment": treatment}
    found: float = dose_in_room(then(desk, moment), asked)["hard_limit"]
    return found


def codes(answer: dict[str, Any]) -> list[str]:
    return [w["code"] for w in answer["warnings"]]


def test_the_target_is_read_back_and_the_vet_is_known_from_then_on(desk: Desk) -> None:
    answer = said(desk)
    assert answer["read_back"] == "8 mg/L: eight"
    assert answer["through"] == "praziquantel"
    assert (answer["target"], answer["target_unit"]) == (8.0, "mg/L")
    assert answer["until"] == "2026-11-12T08:00:00Z"
    assert codes(answer) == ["new-person"]
    with at_work(desk) as book:
        assert [(p.name, p.role) for p in book.facts.of_kind(Person)] == [("Dr Vaz", "vet")]
    assert "new-person" not in codes(said(desk))


def test_a_seller_directs_nothing(desk: Desk) -> None:
    put(desk, T0, "person", name="Dr Vaz", role="seller")
    with pytest.raises(Unreadable, match="recorded as a seller, not as a vet"):
        said(desk)


def test_a_number_the_vet_did_not_say_is_warned_of(desk: Desk) -> None:
    assert "not-in-words" in codes(said(desk, target="80 mg/L"))
    assert "not-in-words" not in codes(said(desk, target="8000 mcg/L", words="8000 mcg/L"))


def test_it_lifts_the_limit_of_its_course_for_its_days(desk: Desk) -> None:
    assert limit(desk, T0, "Tub") == 6  # the protocol's own
    said(desk)
    for moment, held in [
        (T0, 8), ("2026-11-12 07:59", 8), ("2026-11-12 08:00", 6), ("2026-11-20 08:00", 6),
    ]:  # fmt: skip
        assert limit(desk, moment, "Tub") == held, moment
    asked = {"vessel": "Tub", "treatment": "praziquantel", "course": "bath"}
    assert dose_in_room(then(desk, T0), asked)["hard_limit"] == 10
    offered = dose_in_room(then(desk, T0), {"vessel": "Tub", "treatment": "praziquantel"})
    assert offered["target"] == 8
    assert offered["amount"] == 1.6
    because = next(text for text in offered["because"] if text.startswith("Dr Vaz"))
    assert because == f'Dr Vaz, Thu 5 Nov 08:00: "{SAID["words"]}"'


def test_it_does_not_count_before_it_was_said(desk: Desk) -> None:
    said(desk, "2026-11-06 08:00")
    typed = {"system": "Tub", "treatment": "praziquantel", "amount": "1.6 g", "strength": "100 %"}
    late = Said(when="2026-11-05 12:00", why="written down late")
    with pytest.raises(Refused, match="hard limit is 6 mg/L"):
        record(then(desk, "2026-11-06 09:00"), "dose", typed, late)
    record(then(desk, "2026-11-06 09:00"), "dose", typed)


def test_a_void_one_lifts_nothing_and_can_come_back(desk: Desk) -> None:
    number = said(desk)["entry"]
    again = Said(why="the vet took it back")
    correct(desk, number, {}, again, void=True)
    assert limit(desk, T0, "Tub") == 6
    correct(desk, number, {"target": "7 mg/L", "words": "7 mg/L"}, Said(why="7, not 8"))
    assert limit(desk, T0, "Tub") == 7


def test_a_correction_names_the_doses_that_rest_on_it(desk: Desk) -> None:
    number = said(desk)["entry"]
    dose = put(desk, "2026-11-05 09:00", "dose", system="Tub", treatment="praziquantel",
               amount="1.6 g", strength="100 %")  # fmt: skip
    put(desk, "2026-11-05 09:00", "dose", system="Other", treatment="salt", amount="200 g")
    told = correct(then(desk, "2026-11-05 10:00"), number, {}, Said(why="withdrawn"), void=True)
    assert [a["entry"] for a in told["affected"]] == [dose]


@pytest.mark.parametrize(
    ("subject", "held"),
    [
        (None, {"Tub": 8, "Other": 8, "Left": 8}),
        ("Tub", {"Tub": 8, "Other": 6, "Left": 6}),
        ("Six", {"Tub": 8, "Other": 6, "Left": 6}),
        ("Olga", {"Tub": 6, "Other": 8, "Left": 6}),
        ("Yard", {"Tub": 6, "Other": 6, "Left": 8}),
        ("Left", {"Tub": 6, "Other": 6, "Left": 6}),  # a dose there reaches Right as well
    ],
)
def test_another_subjects_direction_lifts_nothing(
    desk: Desk, subject: str | None, held: dict[str, float]
) -> None:
    answer = said(desk, subject=subject)
    assert {vessel: limit(desk, T0, vessel) for vessel in held} == held
    assert ("other-subject" in codes(answer)) == (subject == "Left")


def test_a_fish_beside_others_that_were_not_meant(desk: Desk) -> None:
    said(desk, subject="Six")
    put(desk, T0, "fish", name="Guest", variety="oranda", into="Tub")
    assert limit(desk, T0, "Tub") == 6


def test_fish_taken_out_of_the_group_that_was_meant(desk: Desk) -> None:
    said(desk, subject="Six")
    record(then(desk, T0), "move", {"subject": "Six", "count": "2", "to": "Right"},
           Said(why="room"))  # fmt: skip
    assert limit(desk, T0, "Tub") == 8
    assert limit(desk, T0, "Right") == 8


def test_the_newest_that_holds_counts(desk: Desk) -> None:
    said(desk)
    said(desk, "2026-11-06 08:00", target="7 mg/L", words="rather 7", days="2")
    assert limit(desk, "2026-11-05 09:00", "Tub") == 8
    assert limit(desk, "2026-11-06 09:00", "Tub") == 7
    assert limit(desk, "2026-11-08 09:00", "Tub") == 8


def test_no_direction_lifts_a_ceiling(desk: Desk) -> None:
    answer = said(desk, target="40 mg/L", words="40")
    assert "over-ceiling" in codes(answer)
    with pytest.raises(Refused) as told:
        limit(desk, T0, "Tub")
    assert (told.value.code, told.value.limit) == ("over-hard-limit", 10)


def test_for_ten_days_where_nobody_says(desk: Desk) -> None:
    answer = said(desk, days=None)
    assert answer["until"] == "2026-11-15T08:00:00Z"
    assert any("10 days" in text for text in answer["assumptions"])


@pytest.mark.parametrize(
    ("changed", "code", "option"),
    [
        ({"target": "8"}, "unit-missing", "--target"),
        ({"target": "6..8 mg/L"}, "not-a-number", "--target"),
        ({"target": "8 mg/L +/- 1 mg/L"}, "not-a-number", "--target"),
        ({"target": "50 mg/kg"}, "wrong-kind", "--target"),
        ({"target": "8 uL/L"}, "wrong-kind", "--target"),
        ({"target": "0 mg/L"}, "out-of-range", "--target"),
        ({"days": "0"}, "out-of-range", "--days"),
        ({"days": "700"}, "out-of-range", "--days"),
        ({"course": "dip"}, "no-such-name", "--course"),
        ({"treatment": "copper sulphate", "target": "1 mg/L"}, "no-such-name", "--treatment"),
        ({"treatment": "formaldehyde", "target": "30 mg/L"}, "no-such-name", "--treatment"),
        ({"subject": "Nobody"}, "no-such-name", "--subject"),
    ],
)
def test_what_is_typed_wrong(desk: Desk, changed: dict[str, str], code: str, option: str) -> None:
    with pytest.raises(Unreadable) as told:
        said(desk, **changed)
    assert (told.value.problems[0].code, told.value.problems[0].path) == (code, option)


def test_it_stands_in_the_history_of_its_vet_and_its_fish(desk: Desk) -> None:
    said(desk, subject="Six")
    for name in ("Dr Vaz", "Six"):
        kinds = [e["kind"] for e in history(desk, name)["entries"]]
        assert "direction" in kinds, name


@pytest.mark.parametrize(
    ("changed", "moment", "why"),
    [
        ({}, "2026-11-05 09:00", ""),
        ({}, "2026-11-13 09:00", "ended Thu 12 Nov 08:00"),
        ({"course": "bath"}, T0, "is for the course bath"),
        ({"subject": "Olga"}, T0, "is for Olga alone, and this dose reaches others"),
    ],
)
def test_why_one_that_was_recorded_is_none_here(
    desk: Desk, changed: dict[str, str], moment: str, why: str
) -> None:
    said(desk, **changed)
    with at_work(then(desk, moment)) as book:
        treatment = treatment_named(book.shelf, "praziquantel")
        course = course_named(treatment, None)
        told = not_in_force(book, system_named(book, "Tub"), treatment, course, book.now)
    assert told == (f"Dr Vaz's direction of Thu 5 Nov 08:00 {why}" if why else "")
