"""What the clock brings whatever screen is open: what is over, told once; a clock set back."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from intake.flows.views.parts import Timer

LATE_S = 60
"""From here on it is said how late a bell is [s]. Common practice."""
BACK_S = 60
"""A clock that goes back by more was set [s]. Common practice."""


def over(timers: Iterable[Timer], now: datetime) -> list[Timer]:
    """What is over, what ends before what is only to be read, the oldest first."""
    found = [t for t in timers if t.ends <= now.timestamp()]
    return sorted(found, key=lambda t: (t.reading, t.ends))


def ended_text(timer: Timer, now: datetime) -> str:
    """When it was over by the clock of the room; with its day where that is not today."""
    ended = now.fromtimestamp(timer.ends, now.tzinfo)
    return f"{ended:%H:%M}" if ended.date() == now.date() else f"{ended:%a %H:%M}"


class Watch:
    """Remembers what was told, so that a bell rings once for each end."""

    def __init__(self) -> None:
        self._told: set[tuple[str, str]] = set()
        self._seen: datetime | None = None

    def look(self, timers: Iterable[Timer], now: datetime) -> str:
        """What to ring for and say now; "" where there is nothing new."""
        last, self._seen = self._seen, now
        if last is not None and (last - now).total_seconds() > BACK_S:
            minutes = (last - now).total_seconds() / 60
            return (
                f"the clock of this machine went back {minutes:.0f} min: what is recorded keeps"
                " its order. A bag on its way: go by another clock."
            )
        ended = over(timers, now)
        new = [t for t in ended if (t.word, t.where) not in self._told]
        self._told = {(t.word, t.where) for t in ended}
        if not new:
            return ""
        more = f" + {len(new) - 1} more" if len(new) > 1 else ""
        return f"{new[0].where}: {new[0].word} {ended_text(new[0], now)}{_late(new[0], now)}{more}"


def _late(timer: Timer, now: datetime) -> str:
    late_s = now.timestamp() - timer.ends
    if late_s <= LATE_S:
        return ""
    return f", told {_span(late_s / 60)} late: this machine slept, or intake was shut."


def _span(minutes: float) -> str:
    if minutes < 120:
        return f"{minutes:.0f} min"
    hours = minutes / 60
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"
