"""What can be picked on each line of a dose, a due one first."""

from __future__ import annotations

from dataclasses import dataclass, replace

from intake.flows.views.dose import DoseAsk, DoseChoices, DoseView
from intake.flows.views.parts import Care


@dataclass(frozen=True, slots=True)
class Choice:
    """One line to pick; `into` puts it into what is asked. A `due` one leaves nothing to ask."""

    words: str
    detail: str
    treatment: str = ""
    course: str = ""
    vessel: str = ""
    task: str = ""
    due: bool = False

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


def choices_for(choices: DoseChoices, line: int) -> list[Choice]:
    """The lines for what (0) and where (1)."""
    if line == 1:
        return [
            Choice(
                v.vessel,
                f"{v.volume.text} {v.volume.unit}, {v.occupants}, {v.zone}",
                vessel=v.vessel,
            )
            for v in choices.vessels
        ]
    due = [
        Choice(
            f"● {d.title} into {d.vessel}",
            d.when,
            d.treatment,
            d.course,
            d.vessel,
            d.task,
            due=True,
        )
        for d in choices.due
    ]
    rest = [
        Choice(
            f"{t.title}, {course}" if course else t.title,
            f"{t.status}; {said}" if said else t.status,
            t.treatment,
            course,
        )
        for t in choices.treatments
        for course, said in (t.courses or (("", t.note),))
    ]
    return [*due, *rest]


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
