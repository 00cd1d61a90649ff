"""What is taken for readings of a bag that are missing, and the waters that leaves."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import NamedTuple

from intake.science.acclimation_readings import BagReading, Known, Pair, VesselReading
from intake.science.ammonia import require_range
from intake.science.blend import MEQ_L_PER_DKH, water_from_reading
from intake.science.carbonate import PH_RANGE, ImpossibleWater
from intake.science.figures import figure
from intake.science.span import Span, as_span

LOADING_G_L = Span(20.0, 50.0, 100.0)
"""Fish to water in a bag [g/L]. Source: Amend et al. 1982, pet-fish bags 87-102 g/L, as the high
end; the rest from memory."""

FISH_MASS_G = 30.0
"""One fish where only a count is known [g]. Common practice."""

BAG_VOLUME_L = 2.0
"""Water in a bag where nothing is known of it [L]. Common practice."""

EXCRETION_MG_N_KG_H = Span(2.0, 5.0, 8.0)
"""Ammonia given off by unfed fish [mg N/kg/h]; from memory."""

EXCRETION_WARM_HIGH_MG_N_KG_H = 16.0
"""The high end above 20 C, where the last meal may be less than a day ago [mg N/kg/h].
Source: sea bream 15-20 h after a meal at 24 C, 10-16 mg N/kg/h (abstract); from memory for
goldfish."""

KH_DKH = Span(1.0, 4.0, 12.0)
"""KH of a bag nobody tested [dKH]. Common practice."""

PH_LONG = Span(5.8, 6.5, 7.3)
"""pH of a bag packed for long [h over 8]; assumed, no published goldfish bag was found."""

PH_SHORT = Span(5.8, 7.0, 8.2)
"""pH of a bag packed for less, or nobody knows how long; assumed."""

SALT_G_L = Span(0.0, 0.0, 3.0)
"""Salt in a bag nobody tested [g/L]. Common practice."""

HOURS_PACKED = 24.0
"""Hours since packing where nobody knows [h]. Common practice."""

LONG_H = 8.0

_End = Callable[[Span], float]


def _low(span: Span) -> float:
    return span.low


def _nominal(span: Span) -> float:
    return span.nominal


def _high(span: Span) -> float:
    return span.high


class _Gaps:
    """Fills gaps one by one and keeps in words what was taken."""

    def __init__(self, bag: BagReading, vessel: VesselReading) -> None:
        self.bag = bag
        self.vessel = vessel
        self.said: list[str] = []

    def load(self) -> tuple[float, float, Span]:
        """Water [L], fish [kg] and loading [g/L]."""
        mass_g, count = self.bag.fish_mass_g, self.bag.fish_count
        if mass_g is None and count is not None:
            mass_g = count * FISH_MASS_G
            self.said.append(f"fish not weighed: {figure(FISH_MASS_G)} g each")
        volume_l = self.bag.volume_l
        if volume_l is None:
            volume_l = BAG_VOLUME_L if mass_g is None else mass_g / LOADING_G_L.nominal
            volume_l = volume_l or BAG_VOLUME_L
            self.said.append(f"bag water not measured: {figure(volume_l, 2)} L")
        if mass_g is None:
            mass_g = LOADING_G_L.nominal * volume_l
            self.said.append(f"fish not weighed or counted: {figure(LOADING_G_L.nominal)} g/L")
            return volume_l, mass_g / 1000.0, LOADING_G_L
        return volume_l, mass_g / 1000.0, as_span(mass_g / volume_l)

    def temp_c(self) -> Span:
        """Bag temperature."""
        if self.bag.temp_c is not None:
            return as_span(self.bag.temp_c)
        there = self.vessel.temp_c
        taken = Span(min(there, max(4.0, there - 10.0)), there, max(there, min(32.0, there + 5.0)))
        self.said.append(
            f"bag temperature not read: {figure(taken.low)} to {figure(taken.high)} C"
        )
        return taken

    def ph(self) -> Span:
        """Bag pH."""
        if self.bag.ph is not None:
            return self.within_ph(as_span(self.bag.ph), "bag")
        hours = self.bag.hours_packed
        taken = PH_LONG if hours is not None and hours > LONG_H else PH_SHORT
        self.said.append(f"bag pH not read: {figure(taken.low)} to {figure(taken.high)}")
        return taken

    def within_ph(self, read: Span, whose: str) -> Span:
        """A pH band cut to where carbonate can be worked out; a plain pH is left to be refused."""
        low, high = PH_RANGE
        if (low <= read.low and read.high <= high) or not low <= read.nominal <= high:
            return read
        self.said.append(f"{whose} pH band taken within {figure(low)} to {figure(high)}")
        return Span(max(read.low, low), read.nominal, min(read.high, high))

    def kh_meq_l(self) -> Span:
        """Bag KH."""
        if self.bag.kh_meq_l is not None:
            return as_span(self.bag.kh_meq_l)
        self.said.append(f"bag KH not read: {figure(KH_DKH.low)} to {figure(KH_DKH.high)} dKH")
        return KH_DKH.map(lambda dkh: dkh * MEQ_L_PER_DKH)

    def tan_n_mg_l(self, loading_g_l: Span, temp_c: Span) -> Span:
        """Bag TAN: read, or what the fish give off in the hours packed."""
        if self.bag.tan_n_mg_l is not None:
            return as_span(self.bag.tan_n_mg_l)
        hours = self.bag.hours_packed
        if hours is None:
            hours = HOURS_PACKED
            self.said.append(f"hours packed not known: {figure(hours)} h")
        rate = EXCRETION_MG_N_KG_H
        high = EXCRETION_WARM_HIGH_MG_N_KG_H if temp_c.high > 20.0 else rate.high
        made = Span(
            rate.low * hours * loading_g_l.low / 1000.0,
            rate.nominal * hours * loading_g_l.nominal / 1000.0,
            high * hours * loading_g_l.high / 1000.0,
        )
        self.said.append(
            f"bag TAN not read: {figure(made.low, 2)} to {figure(made.high, 2)} mg/L as N"
            f" from {figure(hours)} h packed with {figure(loading_g_l.nominal, 3)} g/L of fish"
        )
        return made

    def salt_g_l(self) -> Span:
        """Bag salt."""
        if self.bag.salt_g_l is not None:
            return as_span(self.bag.salt_g_l)
        self.said.append(
            f"bag salt not read: {figure(SALT_G_L.low)} to {figure(SALT_G_L.high)} g/L"
        )
        return SALT_G_L

    def vessel_tan_n_mg_l(self) -> Span:
        """Vessel TAN."""
        if self.vessel.tan_n_mg_l is not None:
            return as_span(self.vessel.tan_n_mg_l)
        self.said.append("vessel TAN not read: 0 mg/L as N")
        return as_span(0.0)

    def vessel_salt_g_l(self) -> float:
        """Vessel salt."""
        if self.vessel.salt_g_l is None:
            self.said.append("vessel salt not read: 0 g/L")
            return 0.0
        return self.vessel.salt_g_l


class _Spans(NamedTuple):
    """Every reading that NH3 depends on, gaps filled."""

    temp_c: Span
    ph: Span
    kh_meq_l: Span
    tan_n_mg_l: Span
    vessel_ph: Span
    vessel_kh_meq_l: Span
    vessel_tan_n_mg_l: Span


class _Pairs(NamedTuple):
    """Makes pairs of waters from one end of the spans that NH3 rises with, and any pH and KH."""

    spans: _Spans
    salt_g_l: float
    vessel: VesselReading
    vessel_salt_g_l: float

    def pair(self, end: _End, ph: float, kh_meq_l: float, vessel_kh_meq_l: float) -> Pair:
        """The pair at these values."""
        s = self.spans
        return Pair(
            water_from_reading(ph, kh_meq_l, end(s.temp_c), end(s.tan_n_mg_l), self.salt_g_l),
            water_from_reading(
                end(s.vessel_ph),
                vessel_kh_meq_l,
                self.vessel.temp_c,
                end(s.vessel_tan_n_mg_l),
                self.vessel_salt_g_l,
                self.vessel.gh_meq_l,
            ),
        )

    def corners(self, end: _End, said: list[str]) -> tuple[Pair, ...]:
        """The pairs at every end of pH and KH; what cannot be one water is left out and said."""
        s, found = self.spans, []
        for corner in product(
            *(sorted({x.low, x.high}) for x in (s.ph, s.kh_meq_l, s.vessel_kh_meq_l))
        ):
            try:
                found.append(self.pair(end, *corner))
            except ImpossibleWater as none_such:
                said.append(f"left out, {none_such.text}")
        return tuple(found)


def _require_load(bag: BagReading) -> None:
    for what, value, low, unit in (
        ("bag volume", bag.volume_l, 0.01, "L"),
        ("hours packed", bag.hours_packed, 0.0, "h"),
        ("fish mass", bag.fish_mass_g, 0.0, "g"),
    ):
        if value is not None:
            require_range(what, value, (low, 1e6), unit)


def fill_gaps(bag: BagReading, vessel: VesselReading) -> Known:
    """The waters two sets of readings allow, with what was assumed.

    Raises
    ------
    NotInRange, ImpossibleWater
        For readings outside their range, or that cannot be one water.
    """
    _require_load(bag)
    gaps = _Gaps(bag, vessel)
    volume_l, mass_kg, loading = gaps.load()
    temp, salt = gaps.temp_c(), gaps.salt_g_l()
    spans = _Spans(
        temp,
        gaps.ph(),
        gaps.kh_meq_l(),
        gaps.tan_n_mg_l(loading, temp),
        gaps.within_ph(as_span(vessel.ph), "vessel"),
        as_span(vessel.kh_meq_l),
        gaps.vessel_tan_n_mg_l(),
    )
    made = _Pairs(spans, salt.nominal, vessel, gaps.vessel_salt_g_l())
    spread = not all(span.exact for span in spans)
    nominal = made.pair(
        _nominal, spans.ph.nominal, spans.kh_meq_l.nominal, spans.vessel_kh_meq_l.nominal
    )
    return Known(
        nominal,
        made.corners(_low, gaps.said) if spread else (),
        made.corners(_high, gaps.said) if spread else (),
        temp,
        salt,
        volume_l,
        mass_kg,
        bag.hours_packed,
        bag.tan_n_mg_l is not None,
        bag.gasping,
        vessel.volume_l,
        tuple(dict.fromkeys(gaps.said)),
    )
