"""Where something is wrong: the vessel, its water and its oxygen, as far as the room knows."""

from __future__ import annotations

from dataclasses import dataclass, replace

from intake.flows.change_here import Here, here
from intake.flows.desk import Book
from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import share_of
from intake.flows.notes import Notes
from intake.flows.oxygen_here import OxygenHere, oxygen_here
from intake.flows.read_waters import OLD, chlorine_of, limits_for, readings_of
from intake.science.change_advice import ChangeAdvice
from intake.science.change_limits import ChangeLimits
from intake.science.limits import allowed
from intake.science.oxygen_use import TARGET_MG_L
from intake.science.problem import Refused
from intake.science.span import Span, as_span

A_THIRD = 1.0 / 3.0
"""Share of the water changed first when something is wrong. Common practice."""

CHLORINE = ("chlorine", "combined")

EACH_L = 100.0
"""Where no vessel is known, amounts are told for so much water [L]."""


@dataclass(frozen=True, slots=True)
class Place:
    """What is known of where something is wrong.

    Parameters
    ----------
    vessel
        Its name, "" where none is known: amounts are then for `EACH_L`.
    volume_l
        Its own water [L].
    water
        One of `intake.science.rescue.WATERS`.
    known, advice
        Its readings, and what changing a third of it for tap water would do; None where nobody
        read it.
    chlorine_mg_l
        Of the tap [mg/L], None where it was not read.
    chlorine_sure
        Whether free and combined chlorine were both read today: a test for free chlorine shows
        nothing of chloramine, and what is in the tap changes from day to day.
    target_mg_l
        Oxygen the fish are kept at [mg/L].
    """

    vessel: str
    volume_l: Span
    limits: ChangeLimits
    water: str = "unread"
    known: Here | None = None
    advice: ChangeAdvice | None = None
    chlorine_mg_l: float | None = None
    chlorine_sure: bool = False
    oxygen: OxygenHere | None = None
    target_mg_l: float = TARGET_MG_L

    @property
    def third_share(self) -> float:
        """A third, or less where less is changed at once at the most."""
        return min(A_THIRD, self.limits.largest_share)


def nowhere(limits: ChangeLimits) -> Place:
    """No vessel is known."""
    return Place("", as_span(EACH_L), limits)


def place_of(book: Book, vessel: Vessel, notes: Notes) -> Place:
    """What is known of a vessel. It never refuses: what cannot be worked out is said."""
    system = book.facts.system_of(vessel)
    limits = limits_for(book, system)
    volume, low, high = share_of(system, [book.facts.vessel(v) for v in system.vessels], vessel)
    read = [book.facts.tap[name] for name in CHLORINE if name in book.facts.tap]
    place = Place(
        vessel.name,
        Span(low, volume, high),
        limits,
        chlorine_mg_l=sum(chlorine_of(book)) if read else None,
        chlorine_sure=len(read) == len(CHLORINE) and all(book.now - r.at <= OLD for r in read),
        oxygen=_oxygen(book, vessel, notes),
        target_mg_l=book.shelf.water.oxygen_target_mg_l(
            {a.stage for a in book.facts.occupants([vessel.id])}
        ),
    )
    try:
        known = here(book, system, vessel, book.now, notes)
        if known is None:
            return place
        found = readings_of(book, system, vessel)
        fresh = all(n in found and book.now - found[n].at <= OLD for n in ("ph", "tan"))
        return _judged(place, known, fresh=fresh)
    except Refused as why:
        notes.assume(f"its water cannot be worked out: {why.text}")
        return place


def _oxygen(book: Book, vessel: Vessel, notes: Notes) -> OxygenHere | None:
    try:
        return oxygen_here(book, vessel, notes)
    except Refused as why:
        notes.assume(f"oxygen not worked out: {why.text}")
        return None


def _judged(place: Place, known: Here, *, fresh: bool) -> Place:
    """The place with what changing its water would do; `fresh` are its pH and TAN of today.

    Raises
    ------
    NotInRange, ImpossibleWater
        Readings that are no water.
    """
    advice = known.advice(place.third_share)
    air = advice.now_open_air.nh3_n_mg_l.high
    told = not known.tap.pretended or allowed(air, None, place.limits.nh3_n_mg_l)
    water = "plain" if fresh and told else "unread"
    return replace(
        place,
        water="raises-ammonia" if _raises(advice, place.limits) else water,
        known=known,
        advice=advice,
    )


def _raises(advice: ChangeAdvice, limits: ChangeLimits) -> bool:
    """Whether a change for tap water may bring NH3 over its limit, and over what it is."""
    if advice.crash or advice.acid_untested:
        return True
    after = advice.likely
    if after is None or allowed(after.nh3_n_mg_l.high, None, limits.nh3_n_mg_l):
        return False
    return not allowed(after.nh3_n_mg_l.high, None, advice.now.nh3_n_mg_l.high)
