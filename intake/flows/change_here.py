"""A change of a room's own water: its readings, its tap, its feed, and what a share would do."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from intake.flows.change_words import after_keys, next_text, say, say_feed
from intake.flows.chlorine_words import say_chlorine
from intake.flows.crash_words import plan_lines
from intake.flows.desk import Book
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import waters
from intake.flows.feeding import Feeding, feeding
from intake.flows.notes import Notes
from intake.flows.read_waters import (
    NEEDED,
    NewWater,
    chlorine_of,
    limits_for,
    new_water,
    readings_of,
    water_read,
)
from intake.science.change_advice import ChangeAdvice, ReadWater, advise, changed
from intake.science.change_limits import ChangeLimits
from intake.science.nitrification import tan_per_day_n_mg_l
from intake.science.problem import Refused
from intake.science.span import Span

TREATED = timedelta(hours=24)
"""How long before a change thiosulfate counts as meant for it. Common practice."""
CHLORINES = {"chlorine": "free chlorine", "combined": "combined chlorine"}
"""What a test of the tap tells of chlorine: a test for the free kind shows no chloramine."""


@dataclass(frozen=True, slots=True)
class Here:
    """What is known of a water of the room that is to be changed.

    Parameters
    ----------
    water, tap
        As read.
    volume_l
        Water in the system [L].
    fed, made_n_mg_l
        A day's feed and the ammonia it makes [mg/L as N], None where none was written down.
    limits
        What it is judged with.
    """

    water: ReadWater
    tap: ReadWater
    volume_l: Span
    fed: Feeding | None
    made_n_mg_l: float | None
    limits: ChangeLimits

    def advice(self, share: float | None = None) -> ChangeAdvice:
        """All that can be said of changing it, and of a change of this share (0 to 1).

        Raises
        ------
        NotInRange, ImpossibleWater
        """
        return advise(
            self.water,
            self.tap,
            self.limits,
            tan_per_day_n_mg_l=self.made_n_mg_l,
            volume_l=self.volume_l.nominal,
            share=share,
        )


def here(
    book: Book,
    system: System,
    vessel: Vessel | None,
    at: datetime,
    notes: Notes,
    new: NewWater | None = None,
) -> Here | None:
    """What is known of a water of the room; None, and said, where readings are missing."""
    found, new = readings_of(book, system, vessel), new or NewWater()
    water = water_read(found, at, notes)
    if water is None:
        lacks = [n for n in NEEDED if n not in found or found[n].at > at]
        notes.assume(f"pH and ammonia not worked out: no reading of {', '.join(lacks)}")
        return None
    tap = new_water(book, water, notes, new)
    volume_l, low, high = waters(book.facts, system)
    fed = feeding(book.facts, [book.facts.vessel(v) for v in system.vessels], at)
    made = None
    if fed is not None and low > 0.0:
        made = tan_per_day_n_mg_l(fed.grams_a_day, fed.protein_share, low)
    return Here(water, tap, Span(low, volume_l, high), fed, made, limits_for(book, system))


def foretell(
    book: Book,
    system: System,
    vessel: Vessel | None,
    at: datetime,
    share: float,
    notes: Notes,
    new: NewWater,
) -> dict[str, Any]:
    """What a change of this share (0 to 1) of a system does, as keys; notes tell it.

    It never refuses: readings that are no water are said, and nothing is worked out.
    """
    _say_chlorine(book, system, at, share, new, notes)
    known = here(book, system, vessel, at, notes, new)
    if known is None:
        return {"after": None}
    try:
        advice = known.advice(share)
    except Refused as why:
        notes.assume(f"pH and ammonia after it not worked out: {why.text}")
        return {"after": None}
    say(notes, advice, known.limits, share, known.fed.grams_a_day if known.fed else None)
    keys: dict[str, Any] = {"after": after_keys(advice), "limit_n_mg_l": known.limits.nh3_n_mg_l}
    if known.fed is not None and known.made_n_mg_l is not None:
        notes.assumptions += known.fed.assumed
        say_feed(notes, known.fed, known.made_n_mg_l, known.volume_l.low)
    later = after_share(known, advice, share)
    if later is not None and (text := next_text(later)):
        keys |= {"next_change_h": later.next_change_h, "kh_days_left": later.kh_days_left}
        keys["kh_days_to_low"] = later.kh_days_to_low
        notes.because.append(f"the next change is due {text}")
    if advice.plan is not None:
        keys["do"] = list(plan_lines(advice.plan))
    return keys


def after_share(known: Here, advice: ChangeAdvice, share: float) -> ChangeAdvice | None:
    """What can be said of the water once it is changed; None in a crash."""
    if advice.crash or advice.likely is None:
        return None
    then = changed(known.water, known.tap, share, advice.likely.ph)
    return replace(known, water=then).advice()


def _say_chlorine(
    book: Book, system: System, at: datetime, share: float, new: NewWater, notes: Notes
) -> None:
    """Warns where the tap has chlorine in it and nobody said that it was taken out."""
    chlorine = sum(chlorine_of(book))
    dosed = (d for d in system.doses if d.treatment == "thiosulfate")
    if new.dechlorinated or any(at - d.at <= TREATED for d in dosed):
        return
    if chlorine:
        say_chlorine(notes, chlorine, waters(book.facts, system)[2] * share)
    unread = [words for name, words in CHLORINES.items() if name not in book.facts.tap]
    if unread:
        notes.assume(f"{' and '.join(unread)} of the tap not read: water conditioner by its label")
