"""Working out water: ammonia, mixtures, oxygen, salt, ways across. No room is needed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from intake.flows.crossing import middle, span_of, way_keys
from intake.flows.desk import load_protocols
from intake.flows.notes import Notes
from intake.flows.usage import Usage
from intake.science.acclimation import acclimate
from intake.science.acclimation_readings import BagReading, VesselReading
from intake.science.ammonia import (
    as_nh3_mg_l,
    nh3_fraction,
    nh3_n_mg_l,
    pka_ammonia,
)
from intake.science.blend import Water, aired, at_co2, blend, water_from_reading
from intake.science.dechlorination import tan_freed_n_mg_l, thiosulfate_g
from intake.science.oxygen import pressure_atm, saturation_mg_l
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, dilute, read_quantity
from intake.science.salt import (
    conductivity_at_25c,
    conductivity_us_cm_25c,
    gravity_sg_20c,
    percent_w_v,
    salt_g_l_from_conductivity,
    salt_g_l_from_gravity,
)

Typed = Mapping[str, Any]
HPA_PER_ATM = 1013.25


@dataclass(slots=True)
class Reading:
    """Reads typed options one by one and keeps every problem."""

    typed: Typed
    problems: list[Problem] = field(default_factory=list)
    notes: Notes = field(default_factory=Notes)

    def quantity(self, name: str, kind: str, **how: Any) -> Quantity | None:
        """The quantity typed for an option, None where it is missing or cannot be read."""
        if name not in self.typed:
            return None
        found = read_quantity(str(self.typed[name]), kind, **how)
        if isinstance(found, Problem):
            self.problems.append(found.placed("--" + name.replace("_", "-")))
            return None
        if found.value is None:
            self.notes.warn("kit-cannot-show", f"{name.replace('_', ' ')} could not be read")
            return None
        return found

    def tan(self, name: str = "tan") -> Quantity | None:
        """Total ammonia, its dilution undone."""
        found = self.quantity(name, "tan")
        parts = self.quantity("diluted", "count", zero_ok=False)
        if found is None or parts is None:
            return found
        return dilute(found, int(parts.value or 1))

    def stop_if_faulty(self) -> None:
        """Raises Unreadable with every problem so far."""
        if self.problems:
            raise Unreadable(*self.problems)


def _ends(q: Quantity) -> tuple[float, float, float | None]:
    value = float(q.value or 0)
    low = value if q.low is None else float(q.low)
    return low, value, None if q.high is None else float(q.high)


def ammonia(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water ammonia`: uncorrected Emerson, bands by their ends."""
    r = Reading(typed)
    tan, ph, temp = r.tan(), r.quantity("ph", "ph"), r.quantity("temp", "temperature")
    r.quantity("salt", "salt")
    r.stop_if_faulty()
    if tan is None or ph is None or temp is None:
        raise Usage("water ammonia needs a --tan, --ph and --temp that could be read")
    if "salt" in typed:
        r.notes.assumptions.append("salt lowers it a little; tables and limits leave that out")
    t, p, c = _ends(tan), _ends(ph), _ends(temp)
    answer: dict[str, Any] = {
        "fraction": nh3_fraction(p[1], c[1]),
        "pka": pka_ammonia(c[1]),
        "tan_n_mg_l": t[1],
        "nh3_n_mg_l": nh3_n_mg_l(t[1], p[1], c[1]),
    }
    low = nh3_n_mg_l(t[0], p[0], c[0])
    open_end = None in (t[2], p[2], c[2])
    if open_end:
        r.notes.warn(
            "kit-cannot-show", "a band has no upper end: dilute the sample and read again"
        )
    high = None if open_end else nh3_n_mg_l(t[2] or 0.0, p[2] or 0.0, c[2] or 0.0)
    answer |= {
        "fraction_low": nh3_fraction(p[0], c[0]),
        "fraction_high": None if open_end else nh3_fraction(p[2] or 0.0, c[2] or 0.0),
        "pka_low": pka_ammonia(c[2] if c[2] is not None else c[1]),
        "pka_high": pka_ammonia(c[0]),
        "tan_n_mg_l_low": t[0],
        "tan_n_mg_l_high": t[2],
        "nh3_n_mg_l_low": low,
        "nh3_n_mg_l_high": high,
        "nh3_mg_l": as_nh3_mg_l(answer["nh3_n_mg_l"]),
        "nh3_mg_l_low": as_nh3_mg_l(low),
        "nh3_mg_l_high": None if high is None else as_nh3_mg_l(high),
    }
    said = f"{answer['fraction'] * 100:.3g} % of {t[1]:.3g} mg/L is NH3 at pH {p[1]:g}, {c[1]:g} C"
    r.notes.because.append(said)
    return {**answer, **r.notes.as_keys()}


def _water(r: Reading, side: str) -> Water | None:
    ph = r.quantity(f"{side}_ph", "ph")
    kh = r.quantity(f"{side}_kh", "alkalinity")
    temp = r.quantity(f"{side}_temp", "temperature")
    tan = r.quantity(f"{side}_tan", "tan")
    salt = r.quantity(f"{side}_salt", "salt")
    gh = r.quantity(f"{side}_gh", "hardness")
    if ph is None or kh is None or temp is None or r.problems:
        return None

    def number(q: Quantity | None) -> float:
        return 0.0 if q is None else float(q.value or 0)

    return water_from_reading(
        number(ph), number(kh), number(temp), number(tan), number(salt), number(gh)
    )


def mixture(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water blend`: what is conserved is mixed, pH is solved."""
    r = Reading(typed)
    share = r.quantity("share", "share")
    a, b = _water(r, "a"), _water(r, "b")
    r.stop_if_faulty()
    if a is None or b is None or share is None:
        raise Usage("water blend needs both waters' pH, KH and temperature that could be read")
    mixed = blend(a, b, float(share.value or 0))
    open_air, own = aired(mixed), at_co2(mixed, b.co2_mg_l)
    r.notes.because.append(
        f"closed, the mixture is pH {mixed.ph:.2f}; in balance with air it is {open_air.ph:.2f}"
    )
    return {
        "ph": mixed.ph,
        "temp_c": mixed.temp_c,
        "alk_meq_l": mixed.alk_meq_l,
        "dic_mmol_l": mixed.dic_mmol_l,
        "co2_mg_l": mixed.co2_mg_l,
        "tan_n_mg_l": mixed.tan_n_mg_l,
        "salt_g_l": mixed.salt_g_l,
        "nh3_n_mg_l": mixed.nh3_n_mg_l,
        "nh3_activity_n_mg_l": mixed.nh3_activity_n_mg_l,
        "aired": {
            "ph": open_air.ph,
            "co2_mg_l": open_air.co2_mg_l,
            "nh3_n_mg_l": open_air.nh3_n_mg_l,
        },
        "at_b_co2": {"ph": own.ph, "nh3_n_mg_l": own.nh3_n_mg_l},
        **r.notes.as_keys(),
    }


def oxygen(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water oxygen`."""
    r = Reading(typed)
    temp, salt = r.quantity("temp", "temperature"), r.quantity("salt", "salt")
    altitude, pressure = r.quantity("altitude", "altitude"), r.quantity("pressure", "pressure")
    r.stop_if_faulty()
    if temp is None or (altitude is not None and pressure is not None):
        raise Usage("water oxygen needs --temp, and --altitude or --pressure, not both")
    atm = 1.0
    if altitude is not None:
        atm = pressure_atm(float(altitude.value or 0))
    elif pressure is not None:
        atm = float(pressure.value or 0) / HPA_PER_ATM
    else:
        r.notes.assumptions.append("at sea level")
    found = saturation_mg_l(float(temp.value or 0), float(salt.value or 0) if salt else 0.0, atm)
    return {"saturation_mg_l": found, **r.notes.as_keys()}


def salt(text: str, typed: Typed) -> dict[str, Any]:
    """The answer of `intake water salt`: one reading in every way it can be said."""
    found = read_quantity(text, "saltiness")
    if isinstance(found, Problem):
        raise Unreadable(found.placed("SALT"))
    r = Reading(typed)
    temp = r.quantity("temp", "temperature")
    r.stop_if_faulty()
    value = float(found.value or 0)
    if found.canonical == "SG":
        g_l = salt_g_l_from_gravity(value)
    elif found.canonical == "uS/cm":
        at_25 = value if temp is None else conductivity_at_25c(value, float(temp.value or 0))
        g_l = salt_g_l_from_conductivity(at_25)
    else:
        g_l = value
    return {
        "g_l": g_l,
        "conductivity_us_cm_25c": conductivity_us_cm_25c(g_l),
        "sg_20c": gravity_sg_20c(g_l),
        "percent": percent_w_v(g_l),
        **r.notes.as_keys(),
    }


def dechlorinate(typed: Typed) -> dict[str, Any]:
    """The answer of `intake water dechlorinate`."""
    r = Reading(typed)
    water, free = r.quantity("volume", "volume"), r.quantity("free", "chlorine")
    combined = r.quantity("combined", "chlorine")
    r.stop_if_faulty()
    if water is None or free is None:
        raise Usage("water dechlorinate needs --volume and --free")
    bound = float(combined.value or 0) if combined else 0.0
    total = float(free.value or 0) + bound
    amount = thiosulfate_g(float(water.value or 0), total, str(typed["using"]))
    r.notes.because.append("dosed for the weakest of its reactions; test for chlorine afterwards")
    return {
        "amount_g": amount,
        "tan_freed_n_mg_l": tan_freed_n_mg_l(bound),
        **r.notes.as_keys(),
    }


def crossing(typed: Typed) -> dict[str, Any]:
    """The answer of `intake acclimate`: a bag against a vessel, the ways across side by side."""
    r = Reading(typed)
    bag = BagReading(
        ph=span_of(r.quantity("bag_ph", "ph"), "ph"),
        kh_meq_l=span_of(r.quantity("bag_kh", "alkalinity"), "kh"),
        temp_c=span_of(r.quantity("bag_temp", "temperature"), "temp"),
        tan_n_mg_l=span_of(r.tan("bag_tan"), "tan"),
        salt_g_l=span_of(r.quantity("bag_salt", "salt"), "salt"),
        volume_l=_number(r.quantity("bag_volume", "volume")),
        hours_packed=_number(r.quantity("hours_packed", "number")),
        fish_mass_g=_number(r.quantity("fish_mass", "mass")),
        fish_count=_whole(r.quantity("fish", "count", zero_ok=False)),
    )
    ph, kh = r.quantity("vessel_ph", "ph"), r.quantity("vessel_kh", "alkalinity")
    temp = r.quantity("vessel_temp", "temperature")
    tan, salt_ = r.quantity("vessel_tan", "tan"), r.quantity("vessel_salt", "salt")
    litres = r.quantity("vessel_volume", "volume")
    drip = r.quantity("drip", "flow")
    r.stop_if_faulty()
    vessel_ph, vessel_kh, vessel_t = span_of(ph, "ph"), span_of(kh, "kh"), span_of(temp, "temp")
    if vessel_ph is None or vessel_kh is None or vessel_t is None:
        raise Usage("acclimate needs the vessel's pH, KH and temperature")
    vessel = VesselReading(
        ph=vessel_ph,
        kh_meq_l=vessel_kh,
        temp_c=middle(vessel_t),
        tan_n_mg_l=span_of(tan, "tan"),
        salt_g_l=_number(salt_),
        volume_l=_number(litres),
    )
    found = acclimate(
        bag,
        vessel,
        load_protocols().water.acclimation(),
        drip_ml_min=None if drip is None else float(drip.value or 0) * 1000,
        air=str(typed.get("air", "still")),
    )
    r.notes.assumptions += found.assumed
    r.notes.warnings += found.warnings
    r.notes.because += [found.reason, *(b for b in found.because if b != found.reason)]
    return {**way_keys(found), **r.notes.as_keys()}


def _number(q: Quantity | None) -> float | None:
    return None if q is None else float(q.value or 0)


def _whole(q: Quantity | None) -> int | None:
    return None if q is None else int(q.value or 0)
