"""What a waterline that was read, a top-up or rain makes of a vessel and of its system's water."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from intake.flows.facts.happened import WaterEvent
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import SAME_L, fill_to, litres, water_of
from intake.science.ledger import Evaporated, Event, Flushed, Levelled, Regauged, ToppedUp
from intake.science.spread import Size

GONE = {"evaporation": "none", "leak": "all"}
"""What a fall with a known cause takes of what is dissolved; any other: nobody knows."""
CAUSES = ("evaporation", "rain", "top-up", "leak")
FALLS = ("evaporation", "leak")
"""The causes that lower a line; the others raise it."""
SAME_CM = 0.01
"""Lines nearer to each other than this are one and the same [cm]: far under any tape's step."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A vessel's line after an entry, what that did to the system's water, what ran over [L]."""

    depth: Size | None
    off_l: float
    depth_at: datetime | None
    events: tuple[tuple[Event, bool], ...]  # with whether new water was the tap's
    over_l: float = 0.0

    def put_on(self, vessel: Vessel) -> None:
        """Moves the vessel's line."""
        vessel.depth, vessel.off_l, vessel.depth_at = self.depth, self.off_l, self.depth_at

    def as_water(self, entry: int) -> list[WaterEvent]:
        """The events under the number of their entry."""
        return [WaterEvent(entry, event, tap=tap) for event, tap in self.events]


def line_read(
    system: System,
    vessels: Sequence[Vessel],
    vessel: Vessel,
    depth: Size | None,
    by: str,
    at: datetime,
) -> Moved:
    """The line of `vessel` read, among all `vessels` of its system.

    Parameters
    ----------
    depth
        From the floor up [cm], None for the mark.
    by
        One of `CAUSES`, "" where nobody knows why it moved.
    """
    line = depth or vessel.mark
    read = replace(vessel, depth=line, off_l=0.0)
    after = water_of(system, [read if v is vessel else v for v in vessels])
    event = Levelled(at, *after, gone=GONE.get(by, "perhaps"))
    return Moved(line, 0.0, at, ((event, by != "rain"),))


def topped_up(
    system: System,
    vessels: Sequence[Vessel],
    vessel: Vessel,
    added_l: float,
    at: datetime,
    *,
    rain: bool,
) -> Moved:
    """Water let into a vessel with none taken out [L].

    At the mark, what the keeper puts in had evaporated unseen: the water is the same as before.
    Anything else raises the line as far as the walls allow; over the rim it runs through.
    """
    if not rain and not under_mark(vessel):
        events = ((Evaporated(at, added_l), True), (ToppedUp(at, added_l), True))
        return Moved(vessel.depth, vessel.off_l, at, events)
    before_l = litres(vessel)[0]
    stays_l = min(added_l, max(0.0, rim_l(vessel) - before_l))
    over_l = added_l - stays_l
    filled = replace(vessel)
    fill_to(filled, before_l + stays_l)
    found: list[Event] = [ToppedUp(at, stays_l)]
    if over_l > SAME_L:
        found.append(Flushed(at, over_l, surely=False))
    if abs(litres(filled)[0] - before_l - stays_l) > SAME_L:
        all_l = water_of(system, [filled if v is vessel else v for v in vessels])
        found.append(Regauged(at, *all_l))
    # Only a line that is back at its mark was seen by whoever filled it up.
    seen = not rain and vessel.mark is not None and not under_mark(filled)
    line_at = at if seen else vessel.depth_at
    told = tuple((event, not rain) for event in found)
    return Moved(filled.depth, filled.off_l, line_at, told, max(0.0, over_l))


def under_mark(vessel: Vessel) -> bool:
    """Whether its water is known to be under the line it was recorded with."""
    if vessel.off_l < -SAME_L:
        return True
    if vessel.depth is None or vessel.mark is None:
        return False
    return vessel.depth.value < vessel.mark.value - SAME_CM


def rim_l(vessel: Vessel) -> float:
    """The water up to the rim [L]; without end where no height is known."""
    if vessel.height is None or vessel.depth is None:
        return float("inf")
    full = replace(vessel, depth=Size(vessel.height.value, vessel.depth.half), off_l=0.0)
    return litres(full)[0] or float("inf")
