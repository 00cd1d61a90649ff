"""Working out water: ammonia, mixtures, oxygen, salt, ways across. No room is needed."""

from __future__ import annotations

from typing import Any

from intake.flows.crossing import span_of, way_keys
from intake.flows.desk import load_protocols
from intake.flows.names import unknown
from intake.flows.reading_options import Reading, Typed
from intake.flows.usage import Usage
from intake.science.acclimation import acclimate
from intake.science.acclimation_readings import BagReading, VesselReading
from intake.science.ammonia import (
    as_nh3_mg_l,
    nh3_fraction,
    nh3_n_mg_l,
    pka_ammonia,
)
from intake.science.dechlorination import tan_freed_n_mg_l, thiosulfate_g
from intake.science.figures import figure
from intake.science.kit import DILUTE, dilution_text
from intake.science.oxygen import pressure_atm, saturation_mg_l
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, read_quantity
from intake.science.salt import (
    conductivity_at_25c,
    conductivity_us_cm_25c,
    gravity_sg_20c,
    percent_w_v,
    salt_g_l_from_conductivity,
    salt_g_l_from_gravity,
)
from intake.science.show import show
from intake.science.span import Span, as_span

DECHLORINATORS = ("thiosulfate-pentahydrate", "thiosulfate-anhydrous")
AIRS = ("still", "aerated")
HPA_PER_ATM = 1013.25


def _ends(q: Quantity) -> tuple[float | None, float, float | None]:
    low = None if q.low is None else float(q.low)
    return low, float(q.value or 0), None if q.high is None else float(q.high)


def _fraction(ph: float | None, temp_c: float | None) -> float | None:
    return None if ph is None or temp_c is None else nh3_fraction(ph, temp_c)


def _nh3(tan_n_mg_l: float | None, ph: float | None, temp_c: float | None) -> float | None:
    if tan_n_mg_l is None or ph is None or temp_c is None:
        return None
    return nh3_n_mg_l(tan_n_mg_l, ph, temp_c)


def ammonia(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water ammonia`: uncorrected Emerson, bands by their ends."""
    r = Reading(typed)
    tan, ph, temp = r.tan(), r.quantity("ph", "ph"), r.quantity("temp", "temperature")
    r.quantity("salt", "salt")
    r.need("tan", "ph", "temp")
    r.stop_if_faulty()
    assert tan is not None
    assert ph is not None
    assert temp is not None
    if "salt" in typed:
        r.notes.assumptions.append("salt lowers it a little; tables and limits leave that out")
    t, p, c = _ends(tan), _ends(ph), _ends(temp)
    if t[2] is not None and None in (p[2], c[2]):
        r.notes.warn("kit-cannot-show", "a band has no upper end")
    told = off_the_chart(r, tan)
    fraction, nh3 = nh3_fraction(p[1], c[1]), nh3_n_mg_l(t[1], p[1], c[1])
    low, high = _nh3(t[0], p[0], c[0]), _nh3(t[2], p[2], c[2])
    r.notes.because.append(
        f"{figure(fraction * 100, 3)} % of {show(t[1], 'mg/L')} is NH3 at pH {figure(p[1])}, "
        f"{figure(c[1])} C"
    )
    return {
        "fraction": fraction,
        "fraction_low": _fraction(p[0], c[0]),
        "fraction_high": _fraction(p[2], c[2]),
        "pka": pka_ammonia(c[1]),
        "pka_low": None if c[2] is None else pka_ammonia(c[2]),
        "pka_high": None if c[0] is None else pka_ammonia(c[0]),
        "tan_n_mg_l": t[1],
        "tan_n_mg_l_low": t[0],
        "tan_n_mg_l_high": t[2],
        "nh3_n_mg_l": nh3,
        "nh3_n_mg_l_low": low,
        "nh3_n_mg_l_high": high,
        "nh3_mg_l": as_nh3_mg_l(nh3),
        "nh3_mg_l_low": None if low is None else as_nh3_mg_l(low),
        "nh3_mg_l_high": None if high is None else as_nh3_mg_l(high),
        "dilute": told,
        **r.notes.as_keys(),
    }


def off_the_chart(r: Reading, tan: Quantity | None) -> dict[str, Any] | None:
    """How a TAN sample over the top of its chart is to be thinned, None where it is not."""
    if tan is None or tan.value is None or tan.high is not None:
        return None
    parts = DILUTE * int(str(r.typed.get("diluted", "1")))
    told = dilution_text(parts)
    r.notes.warn("kit-cannot-show", f"tan {tan.text} has no upper end: {told}")
    return {"parts": parts, "text": told}


def oxygen(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water oxygen`: it falls with temperature, salt and height."""
    r = Reading(typed)
    if "altitude" in typed and "pressure" in typed:
        raise Usage("water oxygen takes --altitude or --pressure, not both")
    temp, salt = r.ends("temp", "temperature"), r.ends("salt", "salt")
    altitude, pressure = r.quantity("altitude", "altitude"), r.quantity("pressure", "pressure")
    r.need("temp")
    r.stop_if_faulty()
    assert temp is not None
    atm = Span(1.0, 1.0, 1.0)
    if altitude is not None:
        height = span_of(altitude, "altitude")
        assert height is not None
        h = as_span(height)
        atm = Span(pressure_atm(h.high), pressure_atm(h.nominal), pressure_atm(h.low))
    elif pressure is not None:
        atm = as_span(span_of(pressure, "pressure") or 0.0).map(lambda hpa: hpa / HPA_PER_ATM)
    else:
        r.notes.assumptions.append("at sea level")
    salty = salt or Span(0.0, 0.0, 0.0)
    return {
        "saturation_mg_l": saturation_mg_l(temp.nominal, salty.nominal, atm.nominal),
        "saturation_mg_l_low": saturation_mg_l(temp.high, salty.high, atm.low),
        "saturation_mg_l_high": saturation_mg_l(temp.low, salty.low, atm.high),
        **r.notes.as_keys(),
    }


def salt(text: str, typed: Typed) -> dict[str, Any]:
    """The answer of `intake water salt`: one reading in every way it can be said."""
    found = read_quantity(text, "saltiness")
    if isinstance(found, Problem):
        raise Unreadable(found.placed("SALT"))
    r = Reading({**typed, "reading": text})
    value, temp = r.ends("reading", "saltiness"), r.ends("temp", "temperature")
    r.need("reading", "temp")
    r.problems = [x.placed("SALT") if x.path == "--reading" else x for x in r.problems]
    r.stop_if_faulty()
    assert value is not None
    if temp is not None and found.canonical != "uS/cm":
        r.notes.assumptions.append("--temp says nothing more here, only of a conductivity")
    g_l = _salt_g_l(value, found.canonical, temp)
    keys: dict[str, float] = {}
    for name, span in (
        ("g_l", g_l),
        ("conductivity_us_cm_25c", g_l.map(conductivity_us_cm_25c)),
        ("sg_20c", g_l.map(gravity_sg_20c)),
        ("percent", g_l.map(percent_w_v)),
    ):
        keys |= {name: span.nominal, f"{name}_low": span.low, f"{name}_high": span.high}
    return {**keys, **r.notes.as_keys()}


def _salt_g_l(value: Span, unit: str, temp: Span | None) -> Span:
    """Salt [g/L] of a gravity, a conductivity (raw where a temperature is given) or itself."""
    if unit == "SG":
        return value.map(salt_g_l_from_gravity)
    if unit != "uS/cm":
        return value
    if temp is not None:  # the warmer the water was, the less a raw reading is at 25 C
        value = Span(
            conductivity_at_25c(value.low, temp.high),
            conductivity_at_25c(value.nominal, temp.nominal),
            conductivity_at_25c(value.high, temp.low),
        )
    return value.map(salt_g_l_from_conductivity)


def dechlorinate(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water dechlorinate`."""
    r = Reading(typed)
    if typed["using"] not in DECHLORINATORS:
        found = unknown(str(typed["using"]), DECHLORINATORS, "known here")
        r.problems.append(found.placed("--using"))
    # Too little leaves chlorine in the water, so what has ends counts by its high end.
    water, free = r.one("volume", "volume", high=True), r.one("free", "chlorine", high=True)
    bound = r.one("combined", "chlorine", high=True) or 0.0
    r.need("free", "combined")
    r.stop_if_faulty()
    assert water is not None
    assert free is not None
    amount = thiosulfate_g(water, free + bound, str(typed["using"]))
    r.notes.because.append("dosed for the weakest of its reactions; test for chlorine afterwards")
    return {
        "amount_g": amount,
        "tan_freed_n_mg_l": tan_freed_n_mg_l(bound),
        **r.notes.as_keys(),
    }


def crossing(typed: Typed) -> dict[str, Any]:
    """The answer of `intake acclimate`: a bag against a vessel, the ways across side by side."""
    r = Reading(typed)
    tan = r.tan("bag_tan")
    bag = BagReading(
        ph=_span(r, "bag_ph", "ph"),
        kh_meq_l=_span(r, "bag_kh", "alkalinity"),
        temp_c=_span(r, "bag_temp", "temperature"),
        tan_n_mg_l=span_of(tan, "tan"),
        salt_g_l=_span(r, "bag_salt", "salt"),
        volume_l=_number(r.quantity("bag_volume", "volume")),
        hours_packed=_number(r.quantity("hours_packed", "number")),
        fish_mass_g=_number(r.quantity("fish_mass", "mass")),
        fish_count=_whole(r.quantity("fish", "count", zero_ok=False)),
    )
    vessel = VesselReading(
        ph=_span(r, "vessel_ph", "ph"),
        kh_meq_l=_span(r, "vessel_kh", "alkalinity"),
        temp_c=_span(r, "vessel_temp", "temperature"),
        tan_n_mg_l=_span(r, "vessel_tan", "tan"),
        salt_g_l=_span(r, "vessel_salt", "salt"),
        volume_l=r.one("vessel_volume", "volume"),
    )
    drip, air = r.quantity("drip", "flow"), str(typed.get("air", "still"))
    if air not in AIRS:
        r.problems.append(unknown(air, AIRS, "how the bag's water is kept").placed("--air"))
    r.stop_if_faulty()
    told = off_the_chart(r, tan)
    if told is not None and isinstance(bag.tan_n_mg_l, Span):
        r.notes.assume(f"bag TAN taken up to {figure(bag.tan_n_mg_l.high)} mg/L as N")
    limits = load_protocols().water.acclimation()
    found = acclimate(
        bag,
        vessel,
        limits,
        drip_ml_min=None if drip is None else float(drip.value or 0) * 1000,
        air=air,
    )
    r.notes.assumptions += found.assumed
    r.notes.warnings += found.warnings
    r.notes.because += [found.reason, *(b for b in found.because if b != found.reason)]
    return {**way_keys(found, limits, air), "dilute": told, **r.notes.as_keys()}


def _span(r: Reading, name: str, kind: str) -> Span | float | None:
    """A reading with its ends, and what is taken for an end it does not have."""
    found = r.quantity(name, kind)
    what = name.rpartition("_")[2]
    span = span_of(found, what)
    if found is not None and span is not None and (found.low is None or found.high is None):
        end = "under" if found.low is None else "over"
        words = name.replace("_", " ")
        r.notes.warn("kit-cannot-show", f"{words} {found.text}: nothing is known {end} that")
        if isinstance(span, Span) and found.high is None:
            unit = f" {found.canonical}".rstrip()
            r.notes.assume(f"{words} taken up to {figure(span.high)}{unit}")
    return span


def _number(q: Quantity | None) -> float | None:
    return None if q is None else float(q.value or 0)


def _whole(q: Quantity | None) -> int | None:
    return None if q is None else int(q.value or 0)
