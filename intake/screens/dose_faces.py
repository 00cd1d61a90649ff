"""The four faces of Dose, the keys of each, and what can be measured on the way."""

from __future__ import annotations

from intake.flows.views.dose import DoseView
from intake.screens.question import HELP_KEY
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.quantity_field import Asked

CHOOSE, READ, REFUSED, DONE = "choose", "read", "refused", "done"

CANCEL_KEY = Foot("escape", "esc", "Cancel")

FEET = {
    CHOOSE: (
        Foot("up", "↑ ↓", "Move"),
        Foot("enter", "enter", "Take"),
        Foot("backspace", "backspace", "Line"),
        CANCEL_KEY,
        HELP_KEY,
    ),
    READ: (
        Foot("tab", "tab", "Move"),
        CANCEL_KEY,
        Foot("h", "h", "How"),
        Foot("r", "r", "Reason"),
        Foot("e", "e", "Target"),
        Foot("g", "g", "Given"),
        HELP_KEY,
    ),
    REFUSED: (
        Foot("e", "e", "Target"),
        Foot("v", "v", "Vessel"),
        Foot("m", "m", "Measure"),
        Foot("h", "h", "How"),
        Foot("g", "g", "Given"),
        CANCEL_KEY,
        HELP_KEY,
    ),
    DONE: (Foot("escape", "esc", "Round"), HELP_KEY),
}

VET_STOPS = ("vet-only", "not-advised")
VET_FEET = (
    Foot("d", "d", "Direct"),
    Foot("p", "p", "Bottle"),
    Foot("v", "v", "Vessel"),
    Foot("g", "g", "Given"),
    CANCEL_KEY,
    HELP_KEY,
)
"""Where only a vet's direction opens the way, or a label that is not known yet."""


def feet_of(face: str, view: DoseView | None) -> tuple[Foot, ...]:
    """The keys of a face; where a vet's words or a label are what is missing, theirs."""
    stops = () if view is None or face != REFUSED else view.stops
    if any(stop.code in (*VET_STOPS, "strength-mismatch") for stop in stops):
        return VET_FEET
    return FEET[face]


MEASURES = {
    "temp": Asked("temp", "temperature", "temperature", "C"),
    "ph": Asked("ph", "pH", "ph"),
    "tan": Asked("tan", "TAN", "tan", "mg/L as N"),
    "kh": Asked("kh", "KH", "alkalinity", "dKH"),
    "gh": Asked("gh", "GH", "hardness", "dGH"),
    "oxygen": Asked("oxygen", "oxygen", "oxygen", "mg/L"),
    "no2": Asked("no2", "nitrite", "no2", "mg/L as NO2"),
    "salt": Asked("salt", "salt", "salt", "g/L"),
    "chlorine": Asked("chlorine", "chlorine", "chlorine", "mg/L"),
    "demand": Asked("demand", "permanganate demand", "demand", "mg/L"),
}

WHY_CHOOSE = (
    "a dose the calendar asks for comes first; then every treatment with its status.",
    "the amount follows the true water at today's line, and its doubt the limits.",
    "enter alone takes the usual target; another one is typed with its unit.",
)
