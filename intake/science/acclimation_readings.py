"""What was read of a bag and of the vessel its fish go to."""

from __future__ import annotations

from dataclasses import dataclass, replace

from intake.science.blend import Water
from intake.science.span import Span

Reading = float | Span
"""A number read, or a span of what it may be."""


@dataclass(frozen=True, slots=True)
class BagReading:
    """A bag as it came. Everything may be missing (None).

    Parameters
    ----------
    ph, kh_meq_l, temp_c, tan_n_mg_l, salt_g_l
        Readings of the bag's water: KH [meq/L], temperature [C], TAN [mg/L as N], salt [g/L].
    volume_l
        Water in the bag [L].
    hours_packed
        Time since it was closed [h].
    fish_mass_g, fish_count
        All fish together [g], and how many.
    gasping
        Whether the fish hang gasping at the surface.
    """

    ph: Reading | None = None
    kh_meq_l: Reading | None = None
    temp_c: Reading | None = None
    tan_n_mg_l: Reading | None = None
    salt_g_l: Reading | None = None
    volume_l: float | None = None
    hours_packed: float | None = None
    fish_mass_g: float | None = None
    fish_count: int | None = None
    gasping: bool = False


@dataclass(frozen=True, slots=True)
class VesselReading:
    """The water waiting for the fish; units as in `BagReading`, GH [meq/L].

    Everything may be missing (None).
    """

    ph: Reading | None
    kh_meq_l: Reading | None
    temp_c: Reading | None
    tan_n_mg_l: Reading | None = None
    salt_g_l: Reading | None = None
    gh_meq_l: float = 0.0
    volume_l: float | None = None


@dataclass(frozen=True, slots=True)
class Pair:
    """One bag water and one vessel water that the readings allow."""

    bag: Water
    vessel: Water


@dataclass(frozen=True, slots=True)
class Known:
    """Readings with every gap filled.

    Parameters
    ----------
    nominal, best, worst
        The waters as read, and the corners of the spans that make the least and the most NH3.
    bag_temp_c, vessel_temp_c
        Spans [C].
    ph_gap, temp_gap_c, salt_gap_g_l
        Vessel minus bag, from the least to the most the readings leave [pH, C, g/L].
    volume_l, fish_mass_kg, fish_span_kg, hours_packed
        Water [L], fish as likely and between their ends [kg], and time since packing [h, None
        when not known].
    tan_read, temp_read, gasping
        Whether the bag's TAN was tested, whether both temperatures were read, and whether the
        fish gasp.
    vessel_volume_l
        Water in the vessel [L], None when not known.
    assumed
        What was taken for what is missing, in words.
    """

    nominal: Pair
    best: tuple[Pair, ...]
    worst: tuple[Pair, ...]
    bag_temp_c: Span
    vessel_temp_c: Span
    ph_gap: Span
    temp_gap_c: Span
    salt_gap_g_l: Span
    volume_l: float
    fish_mass_kg: float
    fish_span_kg: Span
    hours_packed: float | None
    tan_read: bool
    temp_read: bool
    gasping: bool
    vessel_volume_l: float | None
    assumed: tuple[str, ...]

    @property
    def loads(self) -> tuple[Known, ...]:
        """The same with as few and as many fish as there may be.

        Either may be the harsher: fish add ammonia, and CO2 that keeps pH down.
        """
        ends = sorted({self.fish_span_kg.low, self.fish_span_kg.high})
        return tuple(replace(self, fish_mass_kg=kg) for kg in ends)

    @property
    def pairs(self) -> tuple[Pair, ...]:
        """Every pair the readings allow that is looked at."""
        return (self.nominal, *self.best, *self.worst)
