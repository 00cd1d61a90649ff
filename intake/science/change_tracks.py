"""The ammonia of a water through changes to come, at the ends that harm: never under the truth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from intake.science.ammonia import N_MG_PER_MMOL, nh3_fraction_at_solved_ph
from intake.science.blend import Water, at_co2, blend
from intake.science.change_advice import ReadWater
from intake.science.nitrification import HOURS_A_DAY
from intake.science.span import Span

PARTS = 4
"""Into how many parts the doubt of a volume is cut. In each, ammonia is made in its smallest
volume and diluted in its largest; in how many is a matter of how much is given away."""


@dataclass(frozen=True, slots=True)
class Track:
    """One water that the readings leave open, with the volumes between `small_l` and `large_l`.

    Parameters
    ----------
    water
        At its own CO2; ammonia, KH and temperature are those of the end that harms.
    tap
        The new water.
    co2_mg_l
        The CO2 that the vessel holds by itself [mg/L].
    small_l, large_l
        The ends of the volume [L].
    """

    water: Water
    tap: Water
    co2_mg_l: float
    small_l: float
    large_l: float

    @property
    def nh3_n_mg_l(self) -> float:
        """NH3 now [mg/L as N]."""
        return self.water.nh3_n_mg_l

    def later(self, hours: float, made_n_mg_d: float) -> Track:
        """After so many hours of ammonia made at `made_n_mg_d` [mg of N a day], with no filter.

        Each mole of ammonia brings one equivalent of KH, as NH3 does when it is given off.
        """
        more = made_n_mg_d * hours / HOURS_A_DAY / self.small_l
        if more == 0.0:
            return self
        w = self.water
        richer = replace(
            w, tan_n_mg_l=w.tan_n_mg_l + more, alk_meq_l=w.alk_meq_l + more / N_MG_PER_MMOL
        )
        return replace(self, water=at_co2(richer, self.co2_mg_l))

    def changed(self, litres: float) -> tuple[Track, float]:
        """After `litres` were changed, and the most NH3 of then [mg/L as N].

        The most is that of the moment it is stirred in, or once its CO2 is the vessel's own
        again, whichever is more.
        """
        w, tap = self.water, self.tap
        least, most = litres / self.large_l, min(1.0, litres / self.small_l)

        def worst(of_water: float, of_tap: float) -> float:
            share = most if of_tap > of_water else least
            return of_water + share * (of_tap - of_water)

        mixes = [blend(w, tap, share) for share in dict.fromkeys((least, most))]
        ph, temp_c = max(m.ph for m in mixes), max(m.temp_c for m in mixes)
        tan = worst(w.tan_n_mg_l, tap.tan_n_mg_l)
        at_once = tan * nh3_fraction_at_solved_ph(ph, temp_c)
        kept = replace(
            w,
            temp_c=max(w.temp_c, temp_c),
            alk_meq_l=worst(w.alk_meq_l, tap.alk_meq_l),
            tan_n_mg_l=tan,
            salt_g_l=min(m.salt_g_l for m in mixes),
        )
        then = replace(self, water=at_co2(kept, self.co2_mg_l))
        return then, max(at_once, then.nh3_n_mg_l)


Tracks = tuple[Track, ...]


def tracks_of(water: ReadWater, tap: ReadWater, volume_l: Span) -> Tracks:
    """Every water and volume that has to be followed so that none holds more NH3.

    Notes
    -----
    Of the ends of the readings those with the high pH: less CO2 in the vessel or in the new
    water never makes less NH3. KH is followed at both ends, since it works both ways.

    Raises
    ------
    NotInRange, ImpossibleWater
        For readings that are no water.
    """
    found = []
    for own in _highest_ph(water):
        for new in _highest_ph(tap):
            for small, large in _parts(volume_l):
                found.append(Track(own, new, own.co2_mg_l, small, large))
    return tuple(found)


def _highest_ph(read: ReadWater) -> Iterator[Water]:
    corners = dict.fromkeys(read.judged())
    top = max(w.ph for w in corners)
    return (w for w in corners if w.ph == top)


def _parts(volume_l: Span) -> Iterator[tuple[float, float]]:
    if volume_l.low == volume_l.high:
        return iter([(volume_l.low, volume_l.high)])
    step = (volume_l.high - volume_l.low) / PARTS
    return pairwise(volume_l.low + n * step for n in range(PARTS + 1))


def most_nh3_n_mg_l(tracks: Tracks) -> float:
    """The most NH3 of any of them now [mg/L as N]."""
    return max(t.nh3_n_mg_l for t in tracks)


def later(tracks: Tracks, hours: float, made_n_mg_d: float) -> Tracks:
    """All of them after so many hours."""
    return tuple(t.later(hours, made_n_mg_d) for t in tracks)


def changed(tracks: Tracks, litres: float) -> tuple[Tracks, float]:
    """All of them after a change, and the most NH3 of then [mg/L as N]."""
    after = [t.changed(litres) for t in tracks]
    return tuple(t for t, _ in after), max(n for _, n in after)
