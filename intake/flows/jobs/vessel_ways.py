"""The ways a vessel's water was found, and whether they agree."""

from __future__ import annotations

from intake.flows.desk import Book
from intake.flows.facts.things import Vessel
from intake.flows.jobs.words import day_text, with_doubt
from intake.flows.views.vessels import Gauged
from intake.science.show import show
from intake.science.volume import SHAPES, TrueVolume

METHODS = {"metered": "fill", "flow": "flow", "by-salt": "salt", "levels": "marks"}
"""What each way is called; everything else is the tape."""


def ways_of(book: Book, vessel: Vessel, found: TrueVolume | None) -> tuple[Gauged, ...]:
    """Each way the volume was found, the one that counts first."""
    if found is None:
        return ()
    volume = with_doubt(found.volume_l, found.low_l, found.high_l, "L")
    return (Gauged(METHODS.get(vessel.shape, "tape"), volume, _how(book, vessel)),)


def agreement(vessel: Vessel) -> tuple[str, str]:
    """Whether two ways agree, and by how much."""
    del vessel
    return "", ""


def _how(book: Book, vessel: Vessel) -> str:
    """``152 x 76 cm, 128 x 60 cm at the floor, measured Fri 14 Nov``."""
    s = {name: size.value for name, size in vessel.sizes.items()}
    day = day_text(vessel.since.astimezone(book.facts.zone).date())
    if vessel.shape == "metered":
        return f"{show(s['count'], '')} buckets of {show(s['bucket'], 'L', digits=4)} on {day}"
    if vessel.shape == "flow":
        return f"{show(s['rate'], 'L/min')} for {show(s['time'], 'min')} on {day}"
    if vessel.shape == "by-salt":
        return f"{show(s['salt'], 'g')} of salt on {day}"
    parts = [_across(s, "")]
    for start, where in (("middle_", "half way up"), ("floor_", "at the floor")):
        size = _across(s, start)
        parts += [f"{size} {where}"] if size else []
    text = ", ".join(p for p in parts if p) or SHAPES[vessel.shape].how.rstrip(".").lower()
    return f"{text}, measured {day}" if vessel.id else text


def _across(s: dict[str, float], start: str) -> str:
    names = ("length", "width", "diameter", "across", "girth")
    found = [show(s[start + n], "") for n in names if start + n in s]
    return f"{' x '.join(found)} cm" if found else ""
