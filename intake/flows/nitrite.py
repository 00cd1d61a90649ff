"""Nitrite of a water, and the chloride against it. No room is needed."""

from __future__ import annotations

from typing import Any

from intake.flows.desk import load_protocols
from intake.flows.reading_options import Reading, Typed
from intake.science.band import NO2_PER_N, Ends, as_nitrite
from intake.science.limits import allowed
from intake.science.nitrite import CHLORIDE_PER_NITRITE, against_nitrite
from intake.science.show import show
from intake.science.span import Span

_NONE = Span(0.0, 0.0, 0.0)


def nitrite(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water nitrite`: judged at the most nitrite and the least chloride."""
    r = Reading(typed)
    read, ends = r.quantity("no2", "no2"), r.ends("no2", "no2")
    salt, more = r.ends("salt", "salt"), r.ends("chloride", "concentration")
    water = r.one("volume", "volume")
    r.need("no2")
    r.stop_if_faulty()
    assert read is not None
    assert ends is not None
    counted = as_nitrite(Ends(ends.low, ends.nominal, ends.high), read.unit)
    assert counted.low is not None
    assert counted.high is not None
    no2 = Span(counted.low, counted.value, counted.high)
    if read.basis not in ("N", "NO2"):
        r.notes.assume("nitrite counted as NO2 at least and as N at most: the kit says which")
    for name, given in (("salt", salt), ("chloride", more)):
        if given is None:
            r.notes.assume(f"{name} not read: none")
    found = against_nitrite(no2, salt or _NONE, more or _NONE)
    _say(r, no2, found.salt_needed_g_l, (salt or _NONE).high)
    return {
        "nitrite_mg_l": no2.nominal,
        "nitrite_mg_l_low": no2.low,
        "nitrite_mg_l_high": no2.high,
        "nitrite_n_mg_l": no2.nominal / NO2_PER_N,
        "chloride_mg_l": found.chloride_mg_l.nominal,
        "chloride_mg_l_low": found.chloride_mg_l.low,
        "chloride_mg_l_high": found.chloride_mg_l.high,
        "chloride_per_nitrite": found.ratio,
        "salt_needed_g_l": found.salt_needed_g_l,
        "salt_needed_g": None if water is None else found.salt_needed_g_l * water,
        **r.notes.as_keys(),
    }


def _say(r: Reading, no2: Span, needed_g_l: float, salt_g_l: float) -> None:
    r.notes.because.append(
        f"chloride at {CHLORIDE_PER_NITRITE:.0f} times the nitrite by weight protects for a time;"
        " the nitrite itself goes by changes of water and a filter that is cycled"
    )
    support = load_protocols().treatments["salt"].course("support")
    if support is not None and not allowed(needed_g_l + salt_g_l, None, float(support.high)):
        r.notes.warn(
            "over-usual",
            f"with {show(no2.high, 'mg/L')} nitrite that is more salt than"
            f" {show(float(support.high), support.unit)}: change water first, and look at the salt"
            " protocol for what lives there",
        )
