"""Which one reading would narrow most what a bag and a vessel leave open."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace

from intake.science.acclimation_gaps import fill_gaps
from intake.science.acclimation_readings import BagReading, Known, Pair, VesselReading
from intake.science.problem import Refused
from intake.science.show import show_range
from intake.science.span import Span, as_span


@dataclass(frozen=True, slots=True)
class MostUseful:
    """A reading nobody took, or took well, and NH3 [mg/L as N] without and with it."""

    reading: str
    without: Span
    taken: Span

    @property
    def text(self) -> str:
        """As a keeper reads it."""
        before = show_range(self.without.low, self.without.high, "mg/L as N", digits=2)
        after = show_range(self.taken.low, self.taken.high, "", digits=2)
        return (
            f"of what is not known, or not well, {self.reading} would narrow it most: NH3 once"
            f" opened {after} instead of {before}, if it reads as expected"
        )


def open_readings(
    bag: BagReading, vessel: VesselReading, likely: Pair
) -> dict[str, tuple[BagReading, VesselReading]]:
    """Every reading that moves NH3 and is missing or a band, with the readings as if it was
    taken and is as likely.
    """
    here, there = likely.bag, likely.vessel
    every = {
        "bag temperature": (bag.temp_c, replace(bag, temp_c=here.temp_c), vessel),
        "bag pH": (bag.ph, replace(bag, ph=here.ph), vessel),
        "bag KH": (bag.kh_meq_l, replace(bag, kh_meq_l=here.alk_meq_l), vessel),
        "bag TAN": (bag.tan_n_mg_l, replace(bag, tan_n_mg_l=here.tan_n_mg_l), vessel),
        "vessel temperature": (vessel.temp_c, bag, replace(vessel, temp_c=there.temp_c)),
        "vessel pH": (vessel.ph, bag, replace(vessel, ph=there.ph)),
        "vessel KH": (vessel.kh_meq_l, bag, replace(vessel, kh_meq_l=there.alk_meq_l)),
    }
    return {
        name: (b, v)
        for name, (read, b, v) in every.items()
        if read is None or not as_span(read).exact
    }


def most_useful(
    bag: BagReading,
    vessel: VesselReading,
    known: Known,
    of: Callable[[Pair], float],
) -> MostUseful | None:
    """The reading that would narrow the range of `of` most, None where all are exact."""
    without = _range(known, of)
    best: MostUseful | None = None
    for name, readings in open_readings(bag, vessel, known.nominal).items():
        with suppress(Refused):
            taken = _range(fill_gaps(*readings), of)
            narrower = best is None or _width(taken) < _width(best.taken)
            if narrower and _width(taken) < _width(without):
                best = MostUseful(name, without, taken)
    return best


def _range(known: Known, of: Callable[[Pair], float]) -> Span:
    at = of(known.nominal)
    every = [at, *(of(pair) for pair in known.pairs)]
    return Span(min(every), at, max(every))


def _width(span: Span) -> float:
    return span.high - span.low
