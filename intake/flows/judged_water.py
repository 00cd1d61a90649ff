"""Water tests held against the targets of the youngest that lives in the water."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from decimal import Decimal

from intake.flows.desk import Book
from intake.flows.facts.things import ReadingFact, System
from intake.flows.kits import doubted
from intake.science.ammonia import PH_RANGE, TEMP_RANGE_C, nh3_n_mg_l
from intake.science.band import OUTSIDE, UNDECIDED, Ends, as_nitrite, decide
from intake.science.figures import beyond, figure
from intake.science.kit import DILUTE
from intake.science.quarantine import WaterJudged
from intake.science.water_checks import WATER_FRESH_DAYS

Read = Mapping[str, ReadingFact]
NEEDED = {"tan": "TAN", "ph": "pH", "temp": "temperature", "no2": "nitrite"}
"""What a test has to tell before it can be judged, and its name."""
TESTED = ("tan", "no2", "ph")
"""What makes a reading a water test."""
FRESH = timedelta(days=WATER_FRESH_DAYS)


def waters(book: Book, system: System, since: datetime) -> Iterator[WaterJudged]:
    """Every test of ammonia or nitrite against the targets of the youngest stage present.

    What a test did not read again counts from the tests of the days before it.
    """
    stages = {a.stage for a in book.facts.occupants(system.vessels)} or {"adult"}
    for entry, at, fresh in tests_of(system, since):
        judged, said = judge_water(book, system, fresh, stages)
        yield WaterJudged(at, entry, judged, said)


def tests_of(system: System, since: datetime) -> Iterator[tuple[int, datetime, Read]]:
    """Every test of ammonia, nitrite or pH: its entry, when, and what was fresh by then."""
    by_entry: dict[int, dict[str, ReadingFact]] = {}
    known: dict[str, ReadingFact] = {}
    for r in system.history:
        known[r.quantity] = r
        if r.at >= since:
            # All that an entry read counts for it, in whatever order it was written down.
            by_entry.setdefault(r.entry, {}).update(known)
    for entry, read in by_entry.items():
        own = [r for r in read.values() if r.entry == entry]
        if not any(r.quantity in TESTED for r in own):
            continue
        at = max(r.at for r in own)
        yield entry, at, {name: r for name, r in read.items() if at - r.at <= FRESH}


def judge_water(book: Book, system: System, read: Read, stages: set[str]) -> tuple[str, str]:
    """ok, not, undecided or unknown, and why, against the strictest targets of these stages."""
    off, unsure = [], []
    for quantity, ends in (("nh3_n", nh3_ends(read)), ("no2", nitrite_ends(read))):
        highs = [
            x.high
            for s in sorted(stages)
            if (x := book.shelf.water.limit(s, quantity)) is not None and x.high is not None
        ]
        if ends is None or not highs:
            continue
        verdict = decide(ends, None, min(highs))
        if verdict == OUTSIDE:
            worst = ends.value if ends.high is None else ends.high
            off.append(f"{quantity} {beyond(worst, min(highs))} over {figure(min(highs))}")
        elif verdict == UNDECIDED:
            unsure.append(_cannot(quantity, ends, min(highs), read))
    if off:
        return "not", "; ".join(off)
    unsure += list(
        dict.fromkeys(w for n in NEEDED if n in read if (w := _doubt(book, system, read[n])))
    )
    if unsure:
        return "undecided", "; ".join(unsure)
    missing = [word for name, word in NEEDED.items() if _value(read.get(name)) is None]
    if missing:
        return "unknown", f"{', '.join(missing)} not read in {WATER_FRESH_DAYS} days"
    return "ok", ""


def _doubt(book: Book, system: System, reading: ReadingFact) -> str:
    why = doubted(book, system, reading)
    return f"{NEEDED[reading.quantity]}: {why}" if why else ""


def _value(reading: ReadingFact | None) -> float | None:
    return None if reading is None else reading.value


def ends_of(reading: ReadingFact | None) -> Ends | None:
    """A reading between its ends, None where it was not read."""
    if reading is None or reading.value is None:
        return None
    return Ends(reading.low, reading.value, reading.high)


def nitrite_ends(read: Read) -> Ends | None:
    """Nitrite [mg/L as NO2], whatever its kit counts it as."""
    found = ends_of(read.get("no2"))
    return None if found is None else as_nitrite(found, read["no2"].unit)


def nh3_ends(read: Read, but: str = "") -> Ends | None:
    """NH3 [mg/L as N] at the ends of TAN, pH and temperature, None if one of them is missing.

    `but` is a reading whose likely value is taken for its ends. No pH ends below 4 or over 11
    and no water below 0 or over 50 C: there the share of NH3 moves no more.
    """
    each = []
    for name, bounds in (("tan", None), ("ph", PH_RANGE), ("temp", TEMP_RANGE_C)):
        ends = ends_of(read.get(name))
        if ends is None:
            return None
        ends = Ends(ends.value, ends.value, ends.value) if name == but else ends
        each.append(ends if bounds is None else ends.within(*bounds))
    tan, ph, temp = each
    known_low = tan.low is not None and ph.low is not None and temp.low is not None
    known_high = tan.high is not None and ph.high is not None and temp.high is not None
    return Ends(
        nh3_n_mg_l(tan.low or 0.0, ph.low or 0.0, temp.low or 0.0) if known_low else 0.0,
        nh3_n_mg_l(tan.value, ph.value, temp.value),
        nh3_n_mg_l(tan.high or 0.0, ph.high or 0.0, temp.high or 0.0) if known_high else None,
    )


def _cannot(quantity: str, ends: Ends, limit: Decimal, read: Read) -> str:
    """That the reading cannot decide, and what would."""
    if quantity == "no2":
        said = ends.text("mg/L as NO2")
        would = f"a nitrite kit with finer steps at {figure(limit)}"
        if "as" not in read["no2"].unit:
            would = "saying whether it is counted as N or NO2, or " + would
        return f"the kit cannot decide: nitrite {said}, limit {figure(limit)}; {would} would"
    said = ends.text("mg/L as N")
    return f"the kit cannot decide: NH3 {said}, limit {figure(limit)}; {_would(read)} would"


def _would(read: Read) -> str:
    """The reading that, taken better, brings the high end of NH3 down most."""
    if read["tan"].high is None:
        return f"the sample diluted, 1 part in {DILUTE},"
    tops = {}
    for name in ("tan", "ph", "temp"):
        found = nh3_ends(read, name)
        tops[name] = float("inf") if found is None or found.high is None else found.high
    best = min(tops, key=lambda name: tops[name])
    return {
        "tan": "a TAN kit with finer steps there",
        "ph": "a pH meter",
        "temp": "a better thermometer",
    }[best]
