"""Fish in a bucket of their own: no water of the room, a clock of its own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from intake.flows.facts.things import Thing

NEVER = datetime.max.replace(tzinfo=UTC)


@dataclass(slots=True)
class Bath(Thing):
    """A bath or dip, from `since` until they were lifted out; None: they are in it.

    `ends` is the moment by the clock at which they are due out, `longest` the one its course
    allows at most. `animals` were in it, of groups perhaps only some.
    """

    treatment: str = ""
    course: str = ""
    animals: tuple[int, ...] = ()
    who: str = ""
    drug: str = ""
    ends: datetime = NEVER
    longest: datetime = NEVER
    stopped: str = ""
    broke: tuple[dict[str, Any], ...] = ()

    def lift(self, at: datetime) -> None:
        """They are out at that time; what said so first stays."""
        if self.until is None or at < self.until:
            self.until = max(at, self.since)
