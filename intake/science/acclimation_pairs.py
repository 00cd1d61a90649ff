"""The pairs of waters that a bag's and a vessel's readings allow, from their ends."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from itertools import product
from typing import NamedTuple

from intake.science.acclimation_readings import Pair
from intake.science.blend import water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.span import Span, as_span

End = Callable[[Span], float]


def low_end(span: Span) -> float:
    """The low end."""
    return span.low


def nominal_end(span: Span) -> float:
    """What is likely."""
    return span.nominal


def high_end(span: Span) -> float:
    """The high end."""
    return span.high


class Spans(NamedTuple):
    """Every reading that the ways across depend on, gaps filled."""

    temp_c: Span
    ph: Span
    kh_meq_l: Span
    tan_n_mg_l: Span
    salt_g_l: Span
    vessel_temp_c: Span
    vessel_ph: Span
    vessel_kh_meq_l: Span
    vessel_tan_n_mg_l: Span
    vessel_salt_g_l: Span


class Pairs(NamedTuple):
    """Makes pairs of waters from one end of the spans that NH3 rises with, and any pH and KH."""

    spans: Spans
    gh_meq_l: float
    temp_gap_c: Span

    def pair(self, end: End, ph: float, kh_meq_l: float, vessel_kh_meq_l: float) -> Pair:
        """The pair at these values."""
        s = self.spans
        return Pair(
            water_from_reading(ph, kh_meq_l, end(s.temp_c), end(s.tan_n_mg_l), s.salt_g_l.nominal),
            water_from_reading(
                end(s.vessel_ph),
                vessel_kh_meq_l,
                end(s.vessel_temp_c),
                end(s.vessel_tan_n_mg_l),
                s.vessel_salt_g_l.nominal,
                self.gh_meq_l,
            ),
        )

    def nominal(self) -> Pair:
        """The pair as it is likely."""
        s = self.spans
        return self.pair(nominal_end, s.ph.nominal, s.kh_meq_l.nominal, s.vessel_kh_meq_l.nominal)

    def corners(self, end: End, said: list[str]) -> tuple[Pair, ...]:
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

    def apart(self) -> tuple[Pair, ...]:
        """The likely pair with its temperatures and its salts as far apart as they may be."""
        s = self.spans
        if self.temp_gap_c.exact and s.salt_g_l.exact and s.vessel_salt_g_l.exact:
            return ()
        found = []
        for gap_c, salt, vessel_salt in (
            (self.temp_gap_c.low, s.salt_g_l.high, s.vessel_salt_g_l.low),
            (self.temp_gap_c.high, s.salt_g_l.low, s.vessel_salt_g_l.high),
        ):
            there_c = min(
                max(s.vessel_temp_c.nominal, s.temp_c.low + gap_c), s.temp_c.high + gap_c
            )
            there_c = min(max(there_c, s.vessel_temp_c.low), s.vessel_temp_c.high)
            apart = Pairs(
                s._replace(
                    temp_c=as_span(there_c - gap_c),
                    salt_g_l=as_span(salt),
                    vessel_temp_c=as_span(there_c),
                    vessel_salt_g_l=as_span(vessel_salt),
                ),
                self.gh_meq_l,
                as_span(gap_c),
            )
            with suppress(ImpossibleWater):
                found.append(apart.nominal())
        return tuple(found)
