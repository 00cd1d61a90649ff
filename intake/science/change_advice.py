"""What can be said of changing a water from its readings and their ends, all at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from intake.science.ammonia import nh3_fraction_at_solved_ph
from intake.science.blend import Water, aired, water_from_reading
from intake.science.carbonate import ImpossibleWater
from intake.science.change_limits import ChangeLimits
from intake.science.crash_plan import CrashPlan, crash_plan
from intake.science.nitrification import HOURS_A_DAY, kh_days_left
from intake.science.ph_crash import is_acid, would_crash
from intake.science.span import Span
from intake.science.water_change import (
    AfterChange,
    Needed,
    after_change,
    hours_to_limit,
    needed,
    share_now,
)

NO_TAN = Span(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class ReadWater:
    """A water as read: KH [meq/L], temperature [C], TAN [mg/L as N], salt [g/L].

    `tan_n_mg_l` is None where nobody tested it. Of new water: `pretended` where nobody tested its
    pH and KH and it is taken to be like the vessel's, `other` where it is not the tap's.
    """

    ph: Span
    kh_meq_l: Span
    temp_c: Span
    tan_n_mg_l: Span | None = None
    salt_g_l: float = 0.0
    pretended: bool = False
    other: bool = False

    @property
    def tan(self) -> Span:
        """Total ammonia, none where it was not tested."""
        return self.tan_n_mg_l or NO_TAN

    def nominal(self) -> Water:
        """The water in the middle of its readings.

        Raises
        ------
        NotInRange, ImpossibleWater
        """
        return self._water(
            self.ph.nominal, self.kh_meq_l.nominal, self.temp_c.nominal, self.tan.nominal
        )

    def corners(self) -> tuple[Water, ...]:
        """Every water at the ends of its readings that can be one, the nominal first."""
        return (self.nominal(), *self._at(self.temp_c.low, self.tan.low), *self.judged())

    def judged(self) -> tuple[Water, ...]:
        """Those of them with most ammonia and warmest: the ends that harm."""
        return tuple(self._at(self.temp_c.high, self.tan.high)) or (self.nominal(),)

    def _at(self, temp_c: float, tan_n_mg_l: float) -> Iterator[Water]:
        ends = product({self.ph.low, self.ph.high}, {self.kh_meq_l.low, self.kh_meq_l.high})
        for ph, kh in ends:
            try:
                yield self._water(ph, kh, temp_c, tan_n_mg_l)
            except ImpossibleWater:
                continue

    def harmful(self) -> Water:
        """The corner at which raising the pH does most harm: everything high."""
        try:
            return self._water(self.ph.high, self.kh_meq_l.high, self.temp_c.high, self.tan.high)
        except ImpossibleWater:
            return self.nominal()

    def _water(self, ph: float, kh: float, temp: float, tan: float) -> Water:
        return water_from_reading(ph, kh, temp, tan, self.salt_g_l)


def changed(water: ReadWater, tap: ReadWater, share: float, ph: Span) -> ReadWater:
    """The water after a change, as if it had been read then: `ph` as it was worked out."""

    def mixed(old: Span, new: Span) -> Span:
        return Span(
            old.low + share * (new.low - old.low),
            old.nominal + share * (new.nominal - old.nominal),
            old.high + share * (new.high - old.high),
        )

    tested = water.tan_n_mg_l is not None
    return ReadWater(
        ph,
        mixed(water.kh_meq_l, tap.kh_meq_l),
        water.temp_c,
        mixed(water.tan, tap.tan) if tested else None,
        water.salt_g_l + share * (tap.salt_g_l - water.salt_g_l),
    )


@dataclass(frozen=True, slots=True)
class Moment:
    """pH and NH3 [mg/L as N] of a water, with the ends its readings leave.

    `parts` is how many parts of its ammonia one part of NH3 comes to.
    """

    ph: Span
    nh3_n_mg_l: Span
    parts: float


@dataclass(frozen=True, slots=True)
class ChangeAdvice:
    """What is known of changing a water. Everything is judged at the end that harms.

    Parameters
    ----------
    before
        The water in the middle of its readings.
    now, now_open_air
        As it stands, and in balance with open air.
    after, likely, mixed, worst_n_mg_l
        After the change asked for: in its three states from the middle of the readings, with
        the ends of what is likely (at the vessel's own CO2) and of the moment it is stirred in,
        and the most NH3 of any [mg/L as N]. None where none is asked for.
    needed, needed_open_air
        How much to change a day, at the vessel's own CO2 and in open air. None where feed is
        not known, or where changing for this water is what harms.
    share_now
        The share that brings NH3 under its limit at once; 0 where it is, None where none does.
    hours_to_limit, hours_open_air
        With no filter and no change [h]; None where feed is not known, and in a crash.
    kh_days_to_low, kh_days_to_crash, kh_days_left
        Until KH is low, until pH may crash, and until none is left [d]: with a filter that turns
        all of the ammonia over, and no change.
    acid_untested
        Whether the water is acid and nobody tested its ammonia.
    crash, plan
        Whether raising its pH turns ammonium into ammonia, and the way out (None: no volume).
    """

    before: Water
    now: Moment
    now_open_air: Moment
    after: AfterChange | None
    likely: Moment | None
    mixed: Moment | None
    worst_n_mg_l: float | None
    needed: Needed | None
    needed_open_air: Needed | None
    share_now: float | None
    hours_to_limit: float | None
    hours_open_air: float | None
    kh_days_to_low: float | None
    kh_days_to_crash: float | None
    kh_days_left: float | None
    acid_untested: bool
    crash: bool
    plan: CrashPlan | None

    @property
    def next_change_h(self) -> float | None:
        """Hours until the next change is due: NH3 at its limit or KH low, whichever is first."""
        kh_h = None if self.kh_days_to_low is None else self.kh_days_to_low * HOURS_A_DAY
        return min((h for h in (self.hours_to_limit, kh_h) if h is not None), default=None)


def advise(
    water: ReadWater,
    tap: ReadWater | None,
    limits: ChangeLimits,
    *,
    tan_per_day_n_mg_l: float | None = None,
    volume_l: float | None = None,
    share: float | None = None,
) -> ChangeAdvice:
    """All that can be said of changing this water.

    Parameters
    ----------
    water, tap
        As read; `tap` None: new water is taken to be the vessel's own without its ammonia.
    limits
        What it is judged with.
    tan_per_day_n_mg_l
        Ammonia made in a day [mg/L as N], None where feed is not known.
    volume_l
        Water in the vessel [L].
    share
        A change that is asked about (0 to 1).

    Raises
    ------
    NotInRange, ImpossibleWater
        For readings that are no water.
    """
    corners, judged = water.corners(), water.judged()
    pairs = _pairs(judged, None if tap is None else tap.judged())
    everywhere = _pairs(corners, None if tap is None else tap.corners())
    tested = tap is not None and not tap.pretended
    crash = any(would_crash(w, t if tested else None, limits, share or 0.0) for w, t in pairs)
    untested = water.tan_n_mg_l is None and any(is_acid(w, limits) for w in corners)
    after = None if share is None else [after_change(w, t, share) for w, t in everywhere]
    made, limit = tan_per_day_n_mg_l, limits.nh3_n_mg_l
    until = None if crash else made  # at a pH that air and new water move there is no telling
    asked = made is not None and not crash and not untested
    return ChangeAdvice(
        before=corners[0],
        now=_moment(corners),
        now_open_air=_moment([aired(w) for w in corners]),
        after=after[0] if after else None,
        likely=_moment([a.likely for a in after]) if after else None,
        mixed=_moment([a.mixed for a in after]) if after else None,
        worst_n_mg_l=max(a.worst.nh3_n_mg_l for a in after) if after else None,
        needed=_most(pairs, made or 0.0, limits) if asked else None,
        needed_open_air=_most(pairs, made or 0.0, limits, open_air=True) if asked else None,
        share_now=None if crash or untested else _now(pairs, limits),
        hours_to_limit=_soonest(judged, until, limit),
        hours_open_air=_soonest(judged, until, limit, open_air=True),
        kh_days_to_low=_kh_days(water, made, limits.kh_low_meq_l),
        kh_days_to_crash=_kh_days(water, made, limits.kh_crash_meq_l),
        kh_days_left=_kh_days(water, made, 0.0),
        acid_untested=untested,
        crash=crash,
        plan=_plan(water, tap, limits, volume_l) if crash else None,
    )


def _plan(
    water: ReadWater, tap: ReadWater | None, limits: ChangeLimits, volume_l: float | None
) -> CrashPlan | None:
    if not volume_l:
        return None
    known = tap is not None and not tap.pretended and not tap.other
    let_in = tap.harmful() if known and tap is not None else None
    return crash_plan(volume_l, water.harmful(), let_in, limits)


def _pairs(
    waters: Sequence[Water], taps: Sequence[Water] | None
) -> tuple[tuple[Water, Water], ...]:
    """Each water with each new one; with its own, less the ammonia, where none is known."""
    if taps is not None:
        return tuple(product(waters, taps))
    return tuple(
        (w, water_from_reading(w.ph, w.alk_meq_l, w.temp_c, 0.0, w.salt_g_l)) for w in waters
    )


def _moment(waters: Sequence[Water]) -> Moment:
    """The span of waters of which the first is the nominal one."""
    phs, nh3s = [w.ph for w in waters], [w.nh3_n_mg_l for w in waters]
    parts = 1.0 / nh3_fraction_at_solved_ph(waters[0].ph, waters[0].temp_c)
    return Moment(Span(min(phs), phs[0], max(phs)), Span(min(nh3s), nh3s[0], max(nh3s)), parts)


def _most(
    pairs: Sequence[tuple[Water, Water]],
    made: float,
    limits: ChangeLimits,
    *,
    open_air: bool = False,
) -> Needed:
    """What the corner needs that needs most."""
    found = [
        needed(
            w, t, made, limits.nh3_n_mg_l, largest_share=limits.largest_share, open_air=open_air
        )
        for w, t in pairs
    ]
    return max(found, key=lambda n: (n.share_per_day is None, n.other_water, n.share_per_day or 0))


def _now(pairs: Sequence[tuple[Water, Water]], limits: ChangeLimits) -> float | None:
    found = [
        share_now(w, t, limits.nh3_n_mg_l, largest_share=limits.largest_share) for w, t in pairs
    ]
    return None if None in found else max(s for s in found if s is not None)


def _soonest(
    corners: Sequence[Water], made: float | None, limit: float, *, open_air: bool = False
) -> float | None:
    if made is None:
        return None
    found = [hours_to_limit(w, made, limit, open_air=open_air) for w in corners]
    return min((h for h in found if h is not None), default=None)


def _kh_days(water: ReadWater, made: float | None, down_to: float) -> float | None:
    return None if made is None else kh_days_left(water.kh_meq_l.low, made, down_to)
