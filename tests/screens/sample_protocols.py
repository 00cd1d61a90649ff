"""Sample protocol files: a shipped one, one of the keeper's own, one with a problem."""

from __future__ import annotations

from intake.flows.views.protocols import Effect, ProtocolLine, ProtocolsView, ProtocolText
from intake.science.problem import Problem

LINES = (
    ProtocolLine("treatments/salt", "common practice", "2 courses", "", 0, "salt.yaml"),
    ProtocolLine(
        "treatments/praziquantel", "label", "1 course", "yours since 12 Nov", 0, "p.yaml"
    ),
    ProtocolLine("treatments/formalin", "vet only", "no", "", 0, "formalin.yaml"),
    ProtocolLine("treatments/malachite-green", "not advised", "no", "", 0, "m.yaml"),
    ProtocolLine("plans/standard", "", "3 systems", "", 1, "standard.yaml"),
)
PROTOCOLS = ProtocolsView(
    LINES, 41, 1, 1, "every dose keeps the file it was worked out with, whatever changes here."
)
TEXT = "id: praziquantel\ncourses:\n  long-bath:\n    low: 2 mg/L\n"


def opened(id: str, text: str = TEXT) -> ProtocolText:
    wrong = "temprature" in text or id == "plans/standard"
    shown = "plan: standard\n  temprature: 19 C\n" if id == "plans/standard" else text
    problem = Problem(
        "unknown-word",
        "unknown word: temprature",
        "did you mean temperature?",
        "plans/standard.yaml",
        2,
        3,
    )
    return ProtocolText(
        id=id,
        path=f"{id}.yaml",
        text=shown,
        shipped_text=TEXT,
        problems=(problem,) if wrong else (),
        sample="praziquantel on a tub of 100 L, 19 C",
        effects=()
        if id == "plans/standard"
        else (
            Effect("amount", "0.20 g", "0.25 g", "25 % more", "care"),
            Effect("hard limit, mg/L", "6", "6", "same"),
            Effect("days between doses", "7", "5", "shorter", "care"),
        ),
        limit_moved="6" in text,
        writable=True,
        because="yours has the same id in your own folder, and that one wins.",
    )
