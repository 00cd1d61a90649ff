"""Why an entry is taken back: a short list, since a reason is always stored."""

from __future__ import annotations

REASONS = (
    "pressed by mistake",
    "wrong vessel or fish",
    "wrong number",
    "looked again, it was otherwise",
    "written twice",
)

WHY = "nothing in the journal is removed: the entry stays visible, struck out, with the reason."


def reasons() -> tuple[tuple[str, str], ...]:
    """The reasons as (id, words)."""
    return tuple((reason, reason) for reason in REASONS)
