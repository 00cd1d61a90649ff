"""A list of treatments longer than the letters is folded, and nothing in it is lost."""

from __future__ import annotations

from intake.flows.views.dose import DoseAsk, DoseChoices, DoseDue, TreatmentChoice
from intake.screens.dose_choice import Choice, choices_for
from intake.screens.widgets.options import LETTERS

KINDS = ("support", "treatment", "vet", "cleaning")
DUE = DoseDue("task", "t1", "Treatment 1", "bath", "Tub", "due 19:00")


def many(count: int, courses: int = 3) -> DoseChoices:
    treatments = tuple(
        TreatmentChoice(
            f"t{n}",
            f"Treatment {n}",
            "label",
            tuple((f"course{m}", "1 g/L") for m in range(n % (courses + 1))),
            kind=KINDS[n % len(KINDS)],
        )
        for n in range(count)
    )
    return DoseChoices((DUE,), treatments, (), ())


def reached(choices: DoseChoices, opened: tuple[str, ...] = ()) -> list[Choice]:
    """Every line that can be taken, however deep it is folded."""
    found: list[Choice] = []
    for choice in choices_for(choices, 0, opened):
        found += reached(choices, (*opened, choice.opens)) if choice.opens else [choice]
    return found


def test_a_short_list_is_not_folded() -> None:
    assert not any(c.opens for c in choices_for(many(10), 0))


def test_every_course_of_a_long_list_is_reached_once_and_the_due_dose_comes_first() -> None:
    choices = many(40)
    told = reached(choices)
    assert told[0].due
    asked = [c.into(DoseAsk()) for c in told[1:]]
    want = [
        (t.treatment, course)
        for t in choices.treatments
        for course, _ in (t.courses or (("", ""),))
    ]
    assert sorted((a.treatment, a.course) for a in asked) == sorted(want)


def test_a_fold_has_a_letter_for_every_line() -> None:
    choices = many(80)
    for opened in ((), *((kind,) for kind in KINDS)):
        assert len(choices_for(choices, 0, opened)) <= len(LETTERS)
