"""Where a bag stands on the list, which has the most urgent first."""

from __future__ import annotations

from collections.abc import Sequence

from intake.flows.views.receive import BagLine, ReceiveView


def place(bags: Sequence[BagLine], of: ReceiveView | None) -> int | None:
    """Where that bag stands; None where it does not, or is settled."""
    if of is None:
        return None
    waits = (n for n, bag in enumerate(bags) if bag.step != "settled")
    return next((n for n in waits if (bags[n].box, bags[n].bag) == (of.box, of.bag)), None)


def after(bags: Sequence[BagLine], of: ReceiveView) -> BagLine | None:
    """The next bag that still needs something, round to the first; None where it is the only."""
    waits = [bag for bag in bags if bag.step != "settled"]
    at = place(waits, of)
    if at is None:
        return waits[0] if waits else None
    return waits[(at + 1) % len(waits)] if len(waits) > 1 else None
