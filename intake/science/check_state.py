"""What one release check answers, and what every check looks at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from intake.science.counters import Counters
from intake.science.quarantine import Look, QuarantineFacts
from intake.science.restarts import local_day


@dataclass(frozen=True, slots=True)
class CheckState:
    """One release check: `state` is open, met or passed-by-reason.

    `earliest` is the first day on which it can be met, None where the record gives no day: the
    check is met without one, or nothing was recorded for it yet. `entries` are the entries the
    evidence rests on, `to_do` what an open check asks for next, `cannot` why the readings
    themselves decide nothing.
    """

    check: str
    state: str
    evidence: str
    earliest: date | None = None
    cannot: str = ""
    entries: tuple[int, ...] = ()
    to_do: str = ""


@dataclass(frozen=True, slots=True)
class Known:
    """What every check looks at: the facts up to now, the counters, and day 0."""

    facts: QuarantineFacts
    now_utc: datetime
    count: Counters
    day_0: date

    def day(self, at_utc: datetime) -> date:
        """The local date of an instant."""
        return local_day(at_utc, self.facts.time_zone)

    @property
    def today(self) -> date:
        """The local date of now."""
        return self.count.today

    def looks(self) -> list[Look]:
        """Looks made so far, oldest first."""
        made = [x for x in self.facts.looks if x.at_utc <= self.now_utc]
        return sorted(made, key=lambda x: (x.at_utc, x.entry))


def state_of(ok: bool) -> str:
    """The word of a check that nobody passed by a reason."""
    return "met" if ok else "open"


def numbers(entries: tuple[int, ...], most: int = 4) -> str:
    """Entries in words, the newest few of many: "entry 7", "entries 3, 7", "... and 9 more"."""
    if not entries:
        return ""
    told = ", ".join(str(n) for n in entries[-most:])
    more = f" and {len(entries) - most} before" if len(entries) > most else ""
    return f"{'entry' if len(entries) == 1 else 'entries'} {told}{more}"
