"""The keys of each face of Receive, and what a bare number means in its questions."""

from __future__ import annotations

from intake.screens.question import HELP_KEY
from intake.screens.widgets.footline import Foot

LIST = "list"

_BACK = Foot("escape", "esc", "Back")

FEET = {
    LIST: (
        Foot("down", "↑ ↓", "Bag"),
        Foot("enter", "enter", "Open"),
        Foot("n", "n", "Shipment"),
        Foot("b", "b", "Add bag"),
        Foot("c", "c", "Claim"),
        HELP_KEY,
    ),
    "read": (Foot("enter", "enter", "Next"), _BACK),
    "choose": (
        Foot("enter", "enter", "Choose"),
        Foot("e", "e", "Edit bag"),
        Foot("v", "v", "Vessel"),
        Foot("x", "x", "Doubts"),
        Foot("w", "w", "Why"),
        _BACK,
        HELP_KEY,
    ),
    "run": (
        Foot("g", "g", "Chart"),
        Foot("b", "b", "Next bag"),
        Foot("o", "o", "Bags"),
        Foot("w", "w", "Why"),
        Foot("x", "x", "Doubts"),
        _BACK,
        HELP_KEY,
    ),
    "settle": (
        Foot("enter", "enter", "Settle"),
        Foot("p", "p", "Print"),
        Foot("o", "o", "Other bag"),
        _BACK,
        HELP_KEY,
    ),
    "settled": (Foot("p", "p", "Print"), Foot("o", "o", "Other bag"), _BACK, HELP_KEY),
}

KEYS = (
    ("enter", "enter"),
    ("n", "new"),
    ("t", "checkpoint"),
    ("h", "hold"),
    ("e", "edit_bag"),
    ("o", "other_bag"),
    ("x", "doubts"),
    ("w", "why"),
    ("v", "vessel"),
    ("b", "next_bag"),
    ("c", "claim"),
    ("g", "chart"),
    ("p", "print"),
)

UNITS = {
    "temperature": "C",
    "tan": "mg/L as N",
    "alkalinity": "dKH",
    "volume": "L",
    "mass": "g",
    "salt": "g/L",
    "duration": "h",
}

SHIPMENT = (
    ("name", "what to call it", True),
    ("from", "who packed it", True),
    ("delivered", "when it came, like 2026-11-25 17:40", True),
    ("packed", "when it was packed, if you know", False),
    ("bags", "bags in each box, like 5, or 3, 2", False),
    ("claim-window", "hours to claim a loss, like 2 h", False),
)
