"""What a water change does: to pH, ammonia and KH at once, and day after day."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from intake.science.ammonia import N_MG_PER_MMOL
from intake.science.blend import Water, aired, at_co2, at_temperature, blend
from intake.science.limits import allowed
from intake.science.nitrification import HOURS_A_DAY

_HALVINGS = 60
_MOST_TAN_N_MG_L = 1000.0


@dataclass(frozen=True, slots=True)
class AfterChange:
    """A water after a change: stirred in, at the vessel's own CO2, and in open air.

    Parameters
    ----------
    mixed
        The moment it is stirred in, kept from the air.
    likely
        Once its CO2 is what the vessel held before, warmed back where the new water was colder.
    open_air
        Once it is in balance with open air: the highest pH it climbs to by itself.
    """

    mixed: Water
    likely: Water
    open_air: Water

    @property
    def worst(self) -> Water:
        """The one of the three that holds most NH3."""
        return max((self.mixed, self.likely, self.open_air), key=lambda w: w.nh3_n_mg_l)


def after_change(water: Water, tap: Water, share: float) -> AfterChange:
    """The water after `share` (0 to 1) of it was changed for `tap`.

    Notes
    -----
    pH is solved again from what is conserved. A colder mix is warmed back to what the vessel
    was, a warmer one is left warm: NH3 rises with temperature.

    Raises
    ------
    NotInRange
        For a share outside 0 to 1.
    """
    mixed = blend(water, tap, share)
    warm = at_temperature(mixed, max(mixed.temp_c, water.temp_c))
    if warm.nh3_n_mg_l < mixed.nh3_n_mg_l:
        warm = mixed
    return replace(three_states(warm, water.co2_mg_l), mixed=mixed)


def three_states(mixed: Water, own_co2_mg_l: float) -> AfterChange:
    """A water as stirred in, at a vessel's own CO2 [mg/L], and in open air."""
    return AfterChange(mixed, at_co2(mixed, own_co2_mg_l), aired(mixed))


def tan_limit_n_mg_l(water: Water, limit_n_mg_l: float, *, open_air: bool = False) -> float:
    """Total ammonia [mg/L as N] at which this water holds `limit_n_mg_l` of NH3.

    Parameters
    ----------
    water
        Its KH, temperature and CO2 stay; only TAN is moved.
    limit_n_mg_l
        NH3 allowed [mg/L as N].
    open_air
        At the CO2 of open air, and with each mole of ammonia bringing one equivalent of
        alkalinity, as NH3 does: the pessimistic end. Otherwise at its own CO2.
    """
    low, high = 0.0, _MOST_TAN_N_MG_L
    co2_mg_l = water.co2_mg_l
    for _ in range(_HALVINGS):
        tan = (low + high) / 2.0
        more = max(0.0, tan - water.tan_n_mg_l) / N_MG_PER_MMOL if open_air else 0.0
        there = replace(water, tan_n_mg_l=tan, alk_meq_l=water.alk_meq_l + more)
        there = aired(there) if open_air else at_co2(there, co2_mg_l)
        low, high = (tan, high) if there.nh3_n_mg_l <= limit_n_mg_l else (low, tan)
    return low


def hours_to_limit(
    water: Water, tan_per_day_n_mg_l: float, limit_n_mg_l: float, *, open_air: bool = False
) -> float | None:
    """Hours until NH3 reaches its limit with no filter and no change [h].

    None where no ammonia is made; 0 where it is over the limit already.
    """
    spare = tan_limit_n_mg_l(water, limit_n_mg_l, open_air=open_air) - water.tan_n_mg_l
    if spare <= 0.0:
        return 0.0
    return spare / tan_per_day_n_mg_l * HOURS_A_DAY if tan_per_day_n_mg_l > 0.0 else None


@dataclass(frozen=True, slots=True)
class Needed:
    """How much water to change a day so that NH3 stays at or under its limit, with no filter.

    Parameters
    ----------
    share_per_day
        Of the water, all changes of a day together; None where no change keeps it under.
    changes_a_day, share_each
        In how many equal changes, none over the largest share; 0 where None or none is needed.
    tan_limit_n_mg_l
        Total ammonia at the limit, at the pH of this water or of the new, whichever is higher.
    feed_share
        The share of the feed at which one whole volume a day would do (1: all of it).
    filter_n_mg_l
        What a filter has to take [mg/L as N a day] for one whole volume a day to do.
    other_water
        Whether the new water alone is over the limit.
    """

    share_per_day: float | None
    changes_a_day: int
    share_each: float
    tan_limit_n_mg_l: float
    feed_share: float
    filter_n_mg_l: float
    other_water: bool


def needed(
    water: Water,
    tap: Water,
    tan_per_day_n_mg_l: float,
    limit_n_mg_l: float,
    *,
    largest_share: float = 0.5,
    open_air: bool = False,
) -> Needed:
    """The share to change a day: x = d / (TAN at the limit - TAN of the new water).

    Notes
    -----
    TAN before a change settles at `tap + d / x`. KH drifts from the vessel's to the tap's, so
    the limit is taken at whichever makes the higher pH, at this vessel's own CO2 (or in open
    air) and its temperature. What is over the limit today is not in it: see `share_now`.
    Source: mass balance; the cap on one change is common practice.
    """
    then = at_temperature(replace(tap, tan_n_mg_l=water.tan_n_mg_l), water.temp_c)
    then = at_co2(then, water.co2_mg_l)
    most = min(tan_limit_n_mg_l(w, limit_n_mg_l, open_air=open_air) for w in (water, then))
    room = most - tap.tan_n_mg_l
    made = tan_per_day_n_mg_l
    if made <= 0.0 and room > 0.0:
        return Needed(0.0, 0, 0.0, most, 1.0, 0.0, other_water=False)
    if room <= 0.0:
        return Needed(None, 0, 0.0, most, 0.0, made, other_water=True)
    share = made / room
    if not allowed(share, None, 1.0):
        return Needed(None, 0, 0.0, most, room / made, made - room, other_water=False)
    count = max(1, ceil(share / largest_share - 1e-9))
    return Needed(share, count, share / count, most, 1.0, 0.0, other_water=False)


def share_now(
    water: Water,
    tap: Water,
    limit_n_mg_l: float,
    *,
    largest_share: float = 0.5,
    open_air: bool = False,
) -> float | None:
    """The smallest share, in whole hundredths, after which NH3 is at or under its limit.

    0 where it is so already; None where no single change up to `largest_share` does it.

    Notes
    -----
    Every share is tried: NH3 is not monotone in it.
    """
    for hundredth in range(round(largest_share * 100) + 1):
        after = after_change(water, tap, hundredth / 100.0)
        judged = after.open_air if open_air else after.likely
        if allowed(judged.nh3_n_mg_l, None, limit_n_mg_l):
            return hundredth / 100.0
    return None


def tan_over_days(
    tan_n_mg_l: float,
    tan_per_day_n_mg_l: float,
    tap_tan_n_mg_l: float,
    share: float,
    days: int,
) -> tuple[tuple[float, float], ...]:
    """TAN [mg/L as N] just before and just after the daily change, for each of `days`.

    Notes
    -----
    With no filter. It settles at `tap + d / share` before and that less `d` after the change.

    Examples
    --------
    >>> [round(v, 3) for v in tan_over_days(0.0, 0.8, 0.0, 0.4, 60)[-1]]
    [2.0, 1.2]
    """
    found = []
    for _ in range(days):
        before = tan_n_mg_l + tan_per_day_n_mg_l
        tan_n_mg_l = before + share * (tap_tan_n_mg_l - before)
        found.append((before, tan_n_mg_l))
    return tuple(found)
