"""The windows a room has served, as keys of an answer."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from intake.science.windows import Window


def window_keys(found: Iterable[Window]) -> list[dict[str, Any]]:
    """One object for every risk."""
    return [
        {
            "risk": w.risk,
            "low_c": w.low_c,
            "high_c": w.high_c,
            "days": w.days,
            "known_days": w.known_days,
            "asked_days": w.asked_days,
            "state": w.state,
            "said": w.said,
            "source": w.source.text,
            "mark": w.source.mark,
        }
        for w in found
    ]


def window_lines(keys: Iterable[dict[str, Any]]) -> list[str]:
    """The same for a person to read."""
    return [f"  window           {w['said']}" for w in keys]
