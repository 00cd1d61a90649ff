"""From a bag to a vessel: the readings of both, and the ways across side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from functools import lru_cache
from typing import Any

from intake.flows.crossing_open import AIR, kept_open
from intake.flows.desk import Book
from intake.flows.facts.things import Bag, Box, ReadingFact, Vessel
from intake.flows.facts.volumes import litres
from intake.science.acclimation import Acclimation, acclimate
from intake.science.acclimation_limits import AcclimationLimits
from intake.science.acclimation_readings import BagReading, Reading, VesselReading
from intake.science.acclimation_rule import DRIP, DRIP_WITH_BINDER
from intake.science.acclimation_steps import last_step, timed_step
from intake.science.bag_band import band
from intake.science.bag_courses import Band
from intake.science.quantity import Quantity
from intake.science.span import Span

WIDEST = {"tan": 50.0, "kh": 10.0, "ph": 9.0}
"""Where a band is open upwards, how far it is taken: TAN [mg/L as N], KH [meq/L], pH. Common
practice: well past what was seen in bags."""


def span(low: float | None, value: float | None, high: float | None, what: str) -> Reading | None:
    """A reading with its ends as the science takes it; None where nothing was read."""
    if value is None:
        return None
    bottom = 0.0 if low is None else low
    top = max(WIDEST.get(what, value), value) if high is None else high
    return value if bottom == top else Span(bottom, value, top)


def span_of(q: Quantity | None, what: str) -> Reading | None:
    """A typed quantity as the science takes it."""
    if q is None or q.value is None:
        return None
    low = None if q.low is None else float(q.low)
    high = None if q.high is None else float(q.high)
    return span(low, float(q.value), high, what)


def _kept(read: Mapping[str, Any], name: str) -> Reading | None:
    kept = read.get(name)
    return None if kept is None else span(kept["low"], kept["value"], kept["high"], name)


def _fact(reading: ReadingFact | None) -> Reading | None:
    if reading is None:
        return None
    return span(reading.low, reading.value, reading.high, reading.quantity)


def hours_packed(book: Book, box: Box, bag: Bag, at: datetime | None = None) -> float | None:
    """How long a bag was closed until it was opened or its way was chosen, else until `at` or
    now [h, to a tenth]; None where nobody knows when it was packed.
    """
    packed = bag.packed or book.facts.shipment(box.shipment).packed
    if packed is None or "hours_packed" in bag.not_read:
        return None
    until = bag.opened or at or bag.chosen_at or book.now
    return max(0.0, round((until - packed).total_seconds() / 3600, 1))


def bag_reading(book: Book, box: Box, bag: Bag, at: datetime | None = None) -> BagReading:
    """What was read of a bag, and how long it was closed."""
    read = bag.content.get("read", {})
    volume = bag.content.get("volume")
    fish = bag.content.get("fish")
    return BagReading(
        ph=_kept(read, "ph"),
        kh_meq_l=_kept(read, "kh"),
        temp_c=_kept(read, "temp"),
        tan_n_mg_l=_kept(read, "tan"),
        salt_g_l=_kept(read, "salt"),
        volume_l=float(volume["value"]) if volume else None,
        hours_packed=hours_packed(book, box, bag, at),
        fish_count=int(fish) if fish else None,
        gasping=bool(bag.content.get("gasping")),
    )


def vessel_reading(book: Book, vessel: Vessel) -> VesselReading:
    """The newest readings of a vessel; None where it was never read."""
    system = book.facts.system_of(vessel)
    found = {n: _fact(system.readings.get(n)) for n in ("ph", "kh", "tan", "salt", "gh")}
    return VesselReading(
        ph=found["ph"],
        kh_meq_l=found["kh"],
        temp_c=_fact(vessel.readings.get("temp")),
        tan_n_mg_l=found["tan"],
        salt_g_l=found["salt"],
        gh_meq_l=middle(found["gh"]) if found["gh"] is not None else 0.0,
        volume_l=litres(vessel)[0] or None,
    )


def middle(reading: Reading) -> float:
    """The likely value of a reading."""
    return reading.nominal if isinstance(reading, Span) else reading


def worked_out(
    book: Book, box: Box, bag: Bag, vessel: Vessel, at: datetime | None = None
) -> Acclimation:
    """The ways from this bag into this vessel, side by side."""
    water = vessel_reading(book, vessel)
    return _side_by_side(bag_reading(book, box, bag, at), water, book.shelf.water.acclimation())


@lru_cache(maxsize=32)
def _side_by_side(
    bag: BagReading, vessel: VesselReading, limits: AcclimationLimits
) -> Acclimation:
    return acclimate(bag, vessel, limits)


EVERY_MIN = 5
"""How far apart the foretold readings are kept [min]."""


def as_foretold(
    a: Acclimation, chosen: str, limits: AcclimationLimits, *, temp_read: bool, there_read: bool
) -> dict[str, Any]:
    """The way chosen as it is foretold, to be kept with the choice: what a restart goes on from.

    `bag_c` and `there_c` are the bag and the water it floats in, None where it was not read. A
    row of `foretold` is minute, temperature, then pH and NH3, each likely, low and high.
    """
    way = a.option(chosen)
    first, last = way.curve[0].water.temp_c, way.curve[-1].water.temp_c
    kept: dict[str, Any] = {
        "minutes": way.minutes,
        "steps": list(way.steps),
        "timed": timed_step(way.steps),
        "last": last_step(way.steps),
        "bag_c": first if temp_read else None,
        "there_c": last + way.temp_step_c if there_read else None,
        "aim_c": limits.temp_step_c,
        "least_min": limits.float_min_min,
        "longest_min": limits.float_max_min,
        "foretold": [_row(m) for m in _every_few(_band(a, chosen, limits, AIR))],
        "peak_nh3_n_mg_l": way.peak_nh3_n_mg_l_high,
    }
    bag = kept_open(a, chosen, limits)
    return kept if bag is None else kept | {"open": bag}


def _band(a: Acclimation, name: str, limits: AcclimationLimits, air: str) -> tuple[Band, ...]:
    """What the fish may meet at every minute; a binder may do nothing."""
    without = a.option(DRIP).plan if name == DRIP_WITH_BINDER else None
    return band(a.option(name), a.known, limits, air, without)


def _every_few(minutes: tuple[Band, ...]) -> Iterator[Band]:
    for m in minutes:
        if m.minute % EVERY_MIN == 0 or m is minutes[-1]:
            yield m


def _row(m: Band) -> list[float]:
    ph, nh3 = m.ph, m.nh3_n_mg_l
    return [
        m.minute,
        round(m.temp_c, 2),
        *(round(v, 2) for v in (ph.nominal, ph.low, ph.high)),
        *(float(f"{v:.3g}") for v in (nh3.nominal, nh3.low, nh3.high)),
    ]


def way_keys(a: Acclimation, limits: AcclimationLimits, air: str) -> dict[str, Any]:
    """The keys of the answer of `intake acclimate`."""
    ends = {}
    for name in ("nh3_now_n_mg_l", "nh3_likely_n_mg_l", "nh3_opened_n_mg_l"):
        ends[name] = getattr(a, name)
        ends[f"{name}_low"] = getattr(a, f"{name}_low")
        ends[f"{name}_high"] = getattr(a, f"{name}_high")
    return {
        **ends,
        "worst_blend": {"share": a.worst_blend.share, "nh3_n_mg_l": a.worst_blend.nh3_n_mg_l},
        "ph_step_total": a.ph_step_total,
        "ph_step_after_co2": a.ph_step_after_co2,
        "salt_step_g_l": a.salt_step_g_l,
        "alkalinity_ratio": a.alkalinity_ratio,
        "float_min": a.float_min,
        "options": [
            {
                "name": o.name,
                "peak_nh3_n_mg_l": o.peak_nh3_n_mg_l,
                "exposure_mg_h_l": o.exposure_mg_h_l,
                "fastest_temp_c_per_h": o.fastest_temp_c_per_h,
                "fastest_ph_per_h": o.fastest_ph_per_h,
                "minutes": o.minutes,
                "breaks": list(o.breaks),
                "steps": list(o.steps),
                "peak_nh3_n_mg_l_low": o.peak_nh3_n_mg_l_low,
                "peak_nh3_n_mg_l_high": o.peak_nh3_n_mg_l_high,
                "possible": o.possible,
                "assumes": list(o.assumes),
                "curve": _curve(_band(a, o.name, limits, air)),
            }
            for o in a.options
        ],
        "choice": a.choice,
        "reason": a.reason,
        "most_useful": None if a.most_useful is None else a.most_useful.reading,
    }


def _curve(minutes: tuple[Band, ...]) -> list[dict[str, float]]:
    """Every few minutes of a way across, with what readings and gas exchange leave open."""
    return [
        {
            "min": m.minute,
            "temp_c": m.temp_c,
            "ph": m.ph.nominal,
            "ph_low": m.ph.low,
            "ph_high": m.ph.high,
            "nh3_n_mg_l": m.nh3_n_mg_l.nominal,
            "nh3_n_mg_l_low": m.nh3_n_mg_l.low,
            "nh3_n_mg_l_high": m.nh3_n_mg_l.high,
        }
        for m in _every_few(minutes)
    ]
