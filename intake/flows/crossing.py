"""From a bag to a vessel: the readings of both, and the ways across side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.things import Bag, Box, ReadingFact, Vessel
from intake.flows.facts.volumes import litres
from intake.science.acclimation import Acclimation, acclimate
from intake.science.acclimation_readings import BagReading, Reading, VesselReading
from intake.science.problem import Problem
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


def bag_reading(book: Book, box: Box, bag: Bag) -> BagReading:
    """What was read of a bag, and how long it was closed."""
    shipment = book.facts.shipment(box.shipment)
    read = bag.content.get("read", {})
    until = bag.opened or book.now
    hours = (until - shipment.packed).total_seconds() / 3600 if shipment.packed else None
    volume = bag.content.get("volume")
    fish = bag.content.get("fish")
    return BagReading(
        ph=_kept(read, "ph"),
        kh_meq_l=_kept(read, "kh"),
        temp_c=_kept(read, "temp"),
        tan_n_mg_l=_kept(read, "tan"),
        salt_g_l=_kept(read, "salt"),
        volume_l=float(volume["value"]) if volume else None,
        hours_packed=max(0.0, hours) if hours is not None else None,
        fish_count=int(fish) if fish else None,
        gasping=bool(bag.content.get("gasping")),
    )


def vessel_reading(book: Book, vessel: Vessel) -> VesselReading | Problem:
    """The newest readings of a vessel; pH, KH and temperature it cannot do without."""
    system = book.facts.system_of(vessel)
    found = {n: _fact(system.readings.get(n)) for n in ("ph", "kh", "tan", "salt", "gh")}
    found["temp"] = _fact(vessel.readings.get("temp"))
    missing = [n for n in ("temp", "ph", "kh") if found[n] is None]
    if missing:
        names = " and ".join(missing)
        hint = f"intake record reading '{vessel.name}' with --{' --'.join(missing)}"
        return Problem(
            "unit-missing", f"{vessel.name} has no reading of {names}", hint, "--vessel"
        )
    ph, kh, temp = found["ph"], found["kh"], found["temp"]
    assert ph is not None
    assert kh is not None
    assert temp is not None
    return VesselReading(
        ph=ph,
        kh_meq_l=kh,
        temp_c=middle(temp),
        tan_n_mg_l=found["tan"],
        salt_g_l=middle(found["salt"]) if found["salt"] is not None else None,
        gh_meq_l=middle(found["gh"]) if found["gh"] is not None else 0.0,
        volume_l=litres(vessel)[0] or None,
    )


def middle(reading: Reading) -> float:
    """The likely value of a reading."""
    return reading.nominal if isinstance(reading, Span) else reading


def worked_out(book: Book, box: Box, bag: Bag, vessel: Vessel) -> Acclimation | Problem:
    """The ways from this bag into this vessel, side by side."""
    water = vessel_reading(book, vessel)
    if isinstance(water, Problem):
        return water
    return acclimate(bag_reading(book, box, bag), water, book.shelf.water.acclimation())


def way_keys(a: Acclimation) -> dict[str, Any]:
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
            }
            for o in a.options
        ],
        "choice": a.choice,
        "reason": a.reason,
    }
