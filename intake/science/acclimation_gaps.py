"""What is taken for readings of a bag that are missing, and the waters that leaves."""

from __future__ import annotations

from intake.science.acclimation_pairs import Pairs, Spans, high_end, low_end
from intake.science.acclimation_readings import BagReading, Known, VesselReading
from intake.science.ammonia import require_range
from intake.science.blend import MEQ_L_PER_DKH
from intake.science.carbonate import PH_RANGE
from intake.science.figures import figure
from intake.science.span import Span, as_span

LOADING_G_L = Span(20.0, 50.0, 100.0)
"""Fish to water in a bag [g/L]. Source: Amend et al. 1982, pet-fish bags 87-102 g/L, as the high
end; the rest from memory."""

FISH_MASS_G = Span(10.0, 30.0, 90.0)
"""One fish where only a count is known [g]: young ones as they are shipped to grown fancy fish.
Common practice."""

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

HOURS_PACKED = Span(3.0, 24.0, 48.0)
"""Hours since packing where nobody knows [h]: from a drive home to two days by air. Common
practice."""

VESSEL_PH = Span(6.0, 7.6, 8.8)
"""pH of a vessel nobody tested: from water whose KH is used up to hard water in balance with open
air (KH 12 dKH, pH 8.74, worked out). Common practice."""

VESSEL_KH_DKH = Span(1.0, 5.0, 15.0)
"""KH of a vessel nobody tested [dKH]. Common practice."""

VESSEL_TEMP_C = Span(15.0, 20.0, 25.0)
"""Temperature of a vessel indoors that nobody read [C]. Common practice."""

BAG_COLDER_C, BAG_WARMER_C = 10.0, 5.0
"""How far a bag's temperature that nobody read may be from the vessel's [C]. Common practice."""
BAG_TEMP_C = (4.0, 32.0)
"""What a bag of living goldfish is taken to be between, where it was not read [C]."""

LONG_H = 8.0


class _Gaps:
    """Fills gaps one by one and keeps in words what was taken."""

    def __init__(self, bag: BagReading, vessel: VesselReading) -> None:
        self.bag = bag
        self.vessel = vessel
        self.said: list[str] = []

    def load(self) -> tuple[float, float, Span]:
        """Water [L], fish [kg] and loading [g/L]."""
        mass_g, volume_l = self._mass_g(), self.bag.volume_l
        if volume_l is None:
            volume_l = BAG_VOLUME_L if mass_g is None else mass_g.nominal / LOADING_G_L.nominal
            volume_l = volume_l or BAG_VOLUME_L
            self.said.append(f"bag water not measured: {figure(volume_l, 2)} L")
        if mass_g is None:
            mass_g = LOADING_G_L.map(lambda g_l: g_l * volume_l)
            low, high = figure(LOADING_G_L.low), figure(LOADING_G_L.high)
            self.said.append(f"fish not weighed or counted: {low} to {high} g/L")
        loading = mass_g.map(lambda g: g / volume_l)
        if self.bag.volume_l is None:
            loading = LOADING_G_L if mass_g.nominal else as_span(0.0)
        elif not mass_g.exact:
            most = max(LOADING_G_L.high, loading.nominal)
            loading = Span(loading.low, loading.nominal, min(loading.high, most))
        return volume_l, mass_g.nominal / 1000.0, loading

    def _mass_g(self) -> Span | None:
        """All fish together [g], None where they were neither weighed nor counted."""
        if self.bag.fish_mass_g is not None:
            return as_span(self.bag.fish_mass_g)
        count = self.bag.fish_count
        if count is None:
            return None
        each = FISH_MASS_G
        self.said.append(
            f"fish not weighed: {figure(each.nominal)} g each,"
            f" {figure(each.low)} to {figure(each.high)}"
        )
        return each.map(lambda g: g * count)

    def vessel_temp_c(self) -> Span:
        """Vessel temperature."""
        if self.vessel.temp_c is not None:
            return as_span(self.vessel.temp_c)
        taken = VESSEL_TEMP_C
        self.said.append(
            f"vessel temperature not read: {figure(taken.low)} to {figure(taken.high)} C"
        )
        return taken

    def temp_c(self, there: Span) -> Span:
        """Bag temperature, beside that of the vessel."""
        if self.bag.temp_c is not None:
            return as_span(self.bag.temp_c)
        low, high = BAG_TEMP_C
        taken = Span(
            min(there.low, max(low, there.low - BAG_COLDER_C)),
            there.nominal,
            max(there.high, min(high, there.high + BAG_WARMER_C)),
        )
        self.said.append(
            f"bag temperature not read: {figure(taken.low)} to {figure(taken.high)} C"
        )
        return taken

    def temp_gap_c(self, here: Span, there: Span) -> Span:
        """Vessel minus bag; a bag that was not read goes with the vessel's temperature."""
        if self.bag.temp_c is not None:
            return there.less(here)
        return Span(min(0.0, there.high - here.high), 0.0, max(0.0, there.low - here.low))

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
        hours = HOURS_PACKED if self.bag.hours_packed is None else as_span(self.bag.hours_packed)
        told = figure(hours.nominal)
        if self.bag.hours_packed is None:
            told = f"{figure(hours.low)} to {figure(hours.high)}"
            self.said.append(f"hours packed not known: {told} h")
        rate = EXCRETION_MG_N_KG_H
        high = EXCRETION_WARM_HIGH_MG_N_KG_H if temp_c.high > 20.0 else rate.high
        made = Span(
            rate.low * hours.low * loading_g_l.low / 1000.0,
            rate.nominal * hours.nominal * loading_g_l.nominal / 1000.0,
            high * hours.high * loading_g_l.high / 1000.0,
        )
        fish = figure(loading_g_l.nominal, 3)
        if not loading_g_l.exact:
            fish = f"{figure(loading_g_l.low, 3)} to {figure(loading_g_l.high, 3)}"
        self.said.append(
            f"bag TAN not read: {figure(made.low, 2)} to {figure(made.high, 2)} mg/L as N"
            f" from {told} h packed with {fish} g/L of fish giving off"
            f" {figure(rate.low)} to {figure(high)} mg/kg an hour"
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

    def vessel_salt_g_l(self) -> Span:
        """Vessel salt."""
        if self.vessel.salt_g_l is None:
            self.said.append("vessel salt not read: 0 g/L")
            return as_span(0.0)
        return as_span(self.vessel.salt_g_l)

    def vessel_ph(self) -> Span:
        """Vessel pH."""
        if self.vessel.ph is not None:
            return self.within_ph(as_span(self.vessel.ph), "vessel")
        taken = VESSEL_PH
        self.said.append(f"vessel pH not read: {figure(taken.low)} to {figure(taken.high)}")
        return taken

    def vessel_kh_meq_l(self) -> Span:
        """Vessel KH."""
        if self.vessel.kh_meq_l is not None:
            return as_span(self.vessel.kh_meq_l)
        taken = VESSEL_KH_DKH
        self.said.append(f"vessel KH not read: {figure(taken.low)} to {figure(taken.high)} dKH")
        return taken.map(lambda dkh: dkh * MEQ_L_PER_DKH)


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
    vessel_temp = gaps.vessel_temp_c()
    temp = gaps.temp_c(vessel_temp)
    spans = Spans(
        temp,
        gaps.ph(),
        gaps.kh_meq_l(),
        gaps.tan_n_mg_l(loading, temp),
        gaps.salt_g_l(),
        vessel_temp,
        gaps.vessel_ph(),
        gaps.vessel_kh_meq_l(),
        gaps.vessel_tan_n_mg_l(),
        gaps.vessel_salt_g_l(),
    )
    made = Pairs(spans, vessel.gh_meq_l, gaps.temp_gap_c(temp, vessel_temp))
    drives_nh3 = (spans.temp_c, spans.ph, spans.kh_meq_l, spans.tan_n_mg_l, *spans[5:9])
    spread = not all(span.exact for span in drives_nh3)
    nominal = made.nominal()
    apart = made.apart()
    return Known(
        nominal,
        made.corners(low_end, gaps.said) if spread else (),
        (*made.corners(high_end, gaps.said), *apart) if spread else apart,
        temp,
        vessel_temp,
        spans.vessel_ph.less(spans.ph),
        made.temp_gap_c,
        spans.vessel_salt_g_l.less(spans.salt_g_l),
        volume_l,
        mass_kg,
        loading.map(lambda g_l: g_l * volume_l / 1000.0),
        bag.hours_packed,
        bag.tan_n_mg_l is not None,
        bag.temp_c is not None and vessel.temp_c is not None,
        bag.gasping,
        vessel.volume_l,
        tuple(dict.fromkeys(gaps.said)),
    )
