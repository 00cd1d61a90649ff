"""When the fish of an opened bag are lifted across, by what readings on the way tell."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from intake.science.acclimation_gaps import EXCRETION_MG_N_KG_H
from intake.science.ammonia import nh3_span_n_mg_l
from intake.science.bag_courses import Band, OpenBag
from intake.science.bag_fit import Fitted, Point
from intake.science.limits import allowed
from intake.science.span import Span


@dataclass(frozen=True, slots=True)
class Over:
    """The first minute NH3 [mg/L as N] is over its limit at the end that harms."""

    minute: float
    nh3_n_mg_l: Span


@dataclass(frozen=True, slots=True)
class Lift:
    """The lift, in minutes of the run: when, and at the latest where the bag is kinder than that.

    `over` is None where NH3 stays at or under its limit.
    """

    minute: float
    latest: float
    over: Over | None


def nh3_read_n_mg_l(bag: OpenBag, point: Point) -> Span | None:
    """NH3 as a reading itself has it [mg/L as N]; None without a pH.

    Notes
    -----
    TAN is what was in the bag, what dripped in and what the fish gave off, mixed; no course of
    CO2 is believed for it. Without a temperature the warmer of bag and vessel counts.
    """
    if point.ph is None:
        return None
    minute = min(max(point.minute, 0.0), float(bag.minutes))
    dripped = bag.drip_l_min * minute
    fed = bag.vessel_tan_n_mg_l * dripped

    def tan(of_bag: float, rate: float) -> float:
        given = rate * bag.fish_kg * minute / 60.0
        return (of_bag * bag.volume_l + fed + given) / (bag.volume_l + dripped)

    ends = zip(_ends(bag.tan_n_mg_l), _ends(EXCRETION_MG_N_KG_H), strict=True)
    temp_c = point.temp_c if point.temp_c is not None else max(bag.temp_c, bag.vessel_temp_c)
    half_c = point.temp_half_c
    return nh3_span_n_mg_l(
        Span(*(tan(of_bag, rate) for of_bag, rate in ends)),
        Span(point.ph - point.ph_half, point.ph, point.ph + point.ph_half),
        Span(max(temp_c - half_c, 0.0), temp_c, temp_c + half_c),
    )


def _ends(span: Span) -> tuple[float, float, float]:
    return span.low, span.nominal, span.high


def lift_by(
    found: Fitted, since_min: float, planned_min: float, limit_n_mg_l: float, read: Span | None
) -> Lift:
    """The last minute at which NH3 is still at or under its limit; the planned end at most.

    Parameters
    ----------
    found
        The bag after its readings.
    since_min
        The newest reading [min]: what was before it is over.
    planned_min
        When the lift was planned [min].
    limit_n_mg_l
        NH3 the fish may meet at most [mg/L as N].
    read
        NH3 by the newest reading itself, where pH was read.

    Notes
    -----
    Judged at the high end of every minute; `latest` at the likely value. A bag that is over the
    limit at the newest reading is lifted then, also where no course explains that reading.
    """
    ahead = [band for band in found.minutes if since_min <= band.minute <= planned_min]
    likely = _before(ahead, lambda span: span.nominal, since_min, planned_min, limit_n_mg_l)
    if read is not None and not allowed(read.high, None, limit_n_mg_l):
        latest = likely if allowed(read.nominal, None, limit_n_mg_l) else since_min
        return Lift(since_min, latest, Over(since_min, read))
    first = _first_over(ahead, lambda span: span.high, limit_n_mg_l)
    if first is None:
        return Lift(planned_min, planned_min, None)
    minute = _before(ahead, lambda span: span.high, since_min, planned_min, limit_n_mg_l)
    return Lift(minute, max(minute, likely), Over(ahead[first].minute, ahead[first].nh3_n_mg_l))


def _first_over(
    ahead: list[Band], end: Callable[[Span], float], limit_n_mg_l: float
) -> int | None:
    judged = (allowed(end(band.nh3_n_mg_l), None, limit_n_mg_l) for band in ahead)
    return next((n for n, fine in enumerate(judged) if not fine), None)


def _before(
    ahead: list[Band],
    end: Callable[[Span], float],
    since_min: float,
    planned_min: float,
    limit_n_mg_l: float,
) -> float:
    over = _first_over(ahead, end, limit_n_mg_l)
    if over is None:
        return planned_min
    return since_min if over == 0 else float(ahead[over - 1].minute)
