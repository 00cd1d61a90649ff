"""What the because line says after a write, and when there was none."""

from __future__ import annotations

from intake.flows.views.parts import Recorded
from intake.science.problem import Refused, Unreadable


def recorded_text(recorded: Recorded) -> str:
    """The sentence after a write: when, how to take it back, what comes next."""
    said = f"recorded {recorded.at}, key u corrects it"
    more = [*recorded.warnings, recorded.next_text]
    tail = " · ".join(text for text in more if text)
    return f"{said} · {tail}" if tail else said


def no_text(no: Refused | Unreadable) -> str:
    """What kept it from being done, as one sentence."""
    if isinstance(no, Refused):
        way = f" {no.way_out.rstrip('.').capitalize()}." if no.way_out else ""
        return f"{no.text.rstrip('.')}.{way}"
    problem = no.problems[0]
    hint = f"; {problem.hint}" if problem.hint else ""
    return f"{problem.text}{hint}."
