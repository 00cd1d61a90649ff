"""What lies ahead of a vessel, as its screen shows it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class HoursBar:
    """Hours without air: the careful end and the far one, None: no end.

    `short` says that the careful end is shorter than a night.
    """

    label: str
    said: str  # "25 to 144 h"
    low_h: float | None
    high_h: float | None
    short: bool = False


@dataclass(frozen=True, slots=True)
class ForecastView:
    """One vessel: hours without air as bars under `head`, then facts as (label, text)."""

    vessel: str
    head: str  # "hours without air until 5 mg/L of oxygen"
    bars: tuple[HoursBar, ...]
    facts: tuple[tuple[str, str], ...]
    because: str
