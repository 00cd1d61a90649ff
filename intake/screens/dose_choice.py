"""What can be picked on each line of a dose, a due one first.

A list with more lines than there are letters is folded: first by what it is for, then a
treatment with several courses into its courses.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from intake.flows.views.dose import (
    DoseAsk,
    DoseChoices,
    DoseDue,
    DoseView,
    TreatmentChoice,
)
from intake.flows.views.parts import Care
from intake.screens.widgets.options import LETTERS


@dataclass(frozen=True, slots=True)
class Choice:
    """One line to pick; `into` puts it into what is asked. A `due` one leaves nothing to ask.

    One that `opens` something shows what is folded in it and asks nothing yet.
    """

    words: str
    detail: str
    treatment: str = ""
    course: str = ""
    vessel: str = ""
    task: str = ""
    due: bool = False
    opens: str = ""

    def into(self, asked: DoseAsk) -> DoseAsk:
        """The ask with this answered."""
        if self.vessel and not self.treatment:
            return replace(asked, vessel=self.vessel)
        return replace(
            asked,
            treatment=self.treatment,
            course=self.course,
            vessel=self.vessel or asked.vessel,
            task=self.task,
        )


KINDS = {
    "support": "Salt, conditioners and other support",
    "treatment": "Treatments",
    "vet": "By a vet's direction only",
    "cleaning": "Cleaning of empty vessels and tools",
}
"""What a long list is folded by, in the order it is shown."""


def choices_for(choices: DoseChoices, line: int, opened: tuple[str, ...] = ()) -> list[Choice]:
    """The lines for what (0) and where (1); `opened` are the folds that were opened."""
    if line == 1:
        return [
            Choice(
                v.vessel,
                f"{v.volume.text} {v.volume.unit}, {v.occupants}, {v.zone}",
                vessel=v.vessel,
            )
            for v in choices.vessels
        ]
    due = [_due(d) for d in choices.due]
    every = [c for t in choices.treatments for c in _courses(t)]
    if len(due) + len(every) <= len(LETTERS):
        return [*due, *every]
    if not opened:
        return [*due, *_kinds(choices)]
    if len(opened) == 1:
        return [_folded(t) for t in choices.treatments if t.kind == opened[0]]
    return [c for t in choices.treatments if t.treatment == opened[1] for c in _courses(t)]


def _due(due: DoseDue) -> Choice:
    words = f"● {due.title} into {due.vessel}"
    return Choice(words, due.when, due.treatment, due.course, due.vessel, due.task, due=True)


def _courses(treatment: TreatmentChoice) -> list[Choice]:
    return [
        Choice(
            f"{treatment.title}, {course}" if course else treatment.title,
            f"{treatment.status}; {said}" if said else treatment.status,
            treatment.treatment,
            course,
        )
        for course, said in (treatment.courses or (("", treatment.note),))
    ]


def _kinds(choices: DoseChoices) -> list[Choice]:
    counts = Counter(t.kind for t in choices.treatments)
    return [
        Choice(f"{title} …", f"{counts[kind]} of them", opens=kind)
        for kind, title in KINDS.items()
        if counts[kind]
    ]


def _folded(treatment: TreatmentChoice) -> Choice:
    """A treatment in its fold; one with a single course is taken at once."""
    said = treatment.against or treatment.note or treatment.status
    if len(treatment.courses) < 2:
        course = treatment.courses[0][0] if treatment.courses else ""
        return Choice(treatment.title, said, treatment.treatment, course)
    return Choice(f"{treatment.title} …", said, opens=treatment.treatment)


def recordable(view: DoseView | None, asked: DoseAsk) -> bool:
    """Everything known, every reason picked, the packet's strength the one worked with."""
    if view is None or not view.ready:
        return False
    picked = dict(asked.soft)
    reasons = all(c.code in picked or c.reason or not c.reasons for c in view.cares)
    return reasons and (not view.asks_strength or view.strength_matches is True)


def asks_reason(view: DoseView | None, asked: DoseAsk) -> Care | None:
    """The care to pick a reason for: one without a reason first."""
    picked = dict(asked.soft)
    asking = [care for care in view.cares if care.reasons] if view else []
    return min(asking, key=lambda care: care.code in picked, default=None)
