"""The water of a bag beside the water waiting for it, row by row."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.things import Kit, ReadingFact, Vessel
from intake.flows.jobs.receive_bag import OnHand, read_of, shown
from intake.flows.jobs.receive_ways import assumed_texts
from intake.flows.jobs.words import MEQ_PER_DEGREE, reading_shown
from intake.flows.judged_water import ends_of
from intake.flows.kits import doubt_of
from intake.flows.views.receive import Compared, Doubt
from intake.science.acclimation_readings import Known
from intake.science.band import Ends
from intake.science.kit import DILUTE, dilution_text
from intake.science.problem import Problem
from intake.science.show import show

SAID_AT_MOST = 30
"""Letters there is room for beside the two waters on the narrowest full screen."""


def compared(book: Book, it: OnHand, vessel: Vessel, known: Known | Problem) -> list[Compared]:
    """The two waters, row by row."""
    system = book.facts.system_of(vessel)
    there = {n: system.readings.get(n) for n in ("ph", "tan", "kh", "salt")}
    there["temp"] = vessel.readings.get("temp")
    taken = {} if isinstance(known, Problem) else assumed_texts(known)
    rows = []
    for name, label, roomy in (
        ("temp", "temperature", False), ("ph", "pH", False), ("tan", "TAN", False),
        ("kh", "KH", True), ("salt", "salt", True),
    ):  # fmt: skip
        here = shown(it.bag, name, taken.get(name, "").split(" from ")[0])
        if name == "salt" and read_of(it.bag, name) is None and there[name] is None:
            continue
        said = _said(it, name, there[name], there)
        rows.append(
            Compared(label, here, reading_shown(book, there[name], system=system), said, roomy)
        )
    return rows


def _said(
    it: OnHand, name: str, fact: ReadingFact | None, there: dict[str, ReadingFact | None]
) -> str:
    here, waits = _span(read_of(it.bag, name)), ends_of(fact)
    if waits is None or here is None:
        return ""
    if name in ("temp", "ph"):
        words = ("C warmer", "C colder") if name == "temp" else ("higher", "lower")
        first = _apart(here, waits, *words)
        return first if name == "temp" else _with_kh(it, first, there["kh"])
    return _times(here, waits) if name == "tan" else ""


def _with_kh(it: OnHand, first: str, kh: ReadingFact | None) -> str:
    bag_kh = shown(it.bag, "kh")
    if bag_kh.text == "?" or kh is None or kh.value is None:
        return first
    both = f"{first}; KH {bag_kh.text}, {show(kh.value / MEQ_PER_DEGREE, '', digits=2)} dKH"
    return both if len(both) <= SAID_AT_MOST else first


def _span(kept: dict[str, Any] | None) -> Ends | None:
    if kept is None or kept["value"] is None:
        return None
    return Ends(kept["low"], float(kept["value"]), kept["high"])


def _apart(here: Ends, waits: Ends, more: str, less: str) -> str:
    """How far the vessel lies from the bag, from the least to the most the readings leave."""
    if None in (here.low, here.high, waits.low, waits.high):
        return ""
    low, high = (waits.low or 0.0) - (here.high or 0.0), (waits.high or 0.0) - (here.low or 0.0)
    near, far = sorted((abs(low), abs(high)))
    if high - low < 0.05:
        word = more if high > 0 else less
        return f"vessel {far:.1f} {word}" if far >= 0.05 else "the same"
    if low < 0 < high:
        unit = more.rpartition(" ")[0]
        return f"within {far:.1f} {unit}".rstrip() + " either way"
    return f"vessel {near:.1f} to {far:.1f} {more if high > 0 else less}"


def _times(here: Ends, waits: Ends) -> str:
    """How many times more ammonia one water holds than the other, at least."""
    exact = here.low == here.high and waits.low == waits.high
    tail = "times more" if exact else "times more or over"
    for whose, more, less in (("bag", here, waits), ("vessel", waits, here)):
        if more.low and less.high and more.low >= less.high:
            return f"{whose} {show(more.low / less.high, '', digits=2)} {tail}"
    return ""


def kit_doubts(book: Book, it: OnHand) -> Iterator[Doubt]:
    """What the kits of a bag's readings leave open at the top, or are not to be trusted with."""
    for name, what in (("temp", "bag temperature"), ("ph", "bag pH"), ("tan", "bag TAN"),
                       ("kh", "bag KH")):  # fmt: skip
        kept = read_of(it.bag, name)
        if kept is None or kept["value"] is None:
            continue
        kit = book.facts.things.get(int(str(kept.get("kit", 0))))
        doubt = doubt_of(book, kit, it.bag.since) if isinstance(kit, Kit) else None
        if doubt is not None:
            yield Doubt(what, shown(it.bag, name).text, doubt[1], name)
        if kept["high"] is None and name == "tan":
            yield Doubt(what, shown(it.bag, name).text, dilution_text(DILUTE, "the bag's"), name)
        elif kept["high"] is None or kept["low"] is None:
            told = "a kit or meter that goes further tells the rest"
            yield Doubt(what, shown(it.bag, name).text, told, name)
