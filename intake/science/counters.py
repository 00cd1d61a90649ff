"""Days served, sign-free days and warm days of a quarantine, never mixed with each other."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from intake.science.day_temperatures import DayTemperature, day_temperatures
from intake.science.quarantine import QuarantineFacts
from intake.science.restarts import Restart, capped, catching, local_day, restarts

WARM_LOW_C, WARM_HIGH_C = 18.0, 25.0
"""A warm day's mean where a plan says nothing [C]: deaths from koi herpesvirus came at 18 to 28 C
and none at 13 C (Gilad et al. 2003, doi 10.1099/vir.0.19323-0); goldfish herpesvirus was seen to
kill at 20 and 25 C. The overlap is taken.
"""


@dataclass(frozen=True, slots=True)
class Counters:
    """The three counters [d] and where they count from.

    `day_0` is the local date the last fish went in (None: none yet); `served_from` that of the
    newest standing restart; `would_serve_from` counts the proposed ones as standing.
    `warmth_today` tells whether today's temperature is known already, whatever it is.
    """

    today: date
    day_0: date | None
    served_from: date | None
    would_serve_from: date | None
    days_served: int
    sign_free_days: int
    sign_free_from: date | None
    sign_free_because: str
    warm_days: int
    warm_dates: frozenset[date]
    warmth_today: bool
    temperatures: tuple[DayTemperature, ...]
    restarts: tuple[Restart, ...]

    @property
    def proposed(self) -> tuple[Restart, ...]:
        """Restarts the keeper has not settled and that do not stand yet."""
        return tuple(r for r in self.restarts if r.state == "proposed")

    @property
    def decided(self) -> Restart | None:
        """The standing restart the days are served from."""
        standing = [r for r in self.restarts if r.state == "stands"]
        return max(standing, key=lambda r: (r.at_utc, r.entry), default=None)


def counters(facts: QuarantineFacts, now_utc: datetime) -> Counters:
    """The three counters at `now_utc`, never mixed with each other.

    Days served count local dates from the newest standing restart. Sign-free days count from the
    last infectious sign, the last change of treatment or the last fish in, whichever is later.
    Warm days are the days since the last fish or foreign contact whose mean temperature lay
    inside the plan's warm window.
    """
    now_utc = capped(facts, now_utc)
    today = local_day(now_utc, facts.time_zone)
    known = restarts(facts, now_utc)
    day_0 = max((r.day for r in known if r.kind == "fish-in"), default=None)
    standing = max((r.day for r in known if r.state == "stands"), default=None)
    would = max((r.day for r in known if r.state != "kept"), default=None)
    free_from, free_because = _sign_free_from(facts, now_utc, day_0)
    exposed = max((r.day for r in known if r.kind in ("fish-in", "contact")), default=None)
    days = _day_temperatures(facts, now_utc, exposed)
    warm = _warm_dates(facts, days)
    return Counters(
        today=today,
        day_0=day_0,
        served_from=standing,
        would_serve_from=would,
        days_served=(today - standing).days if standing else 0,
        sign_free_days=(today - free_from).days if free_from else 0,
        sign_free_from=free_from,
        sign_free_because=free_because,
        warm_days=len(warm),
        warm_dates=warm,
        warmth_today=any(d.day == today for d in days),
        temperatures=tuple(days),
        restarts=known,
    )


def _sign_free_from(
    facts: QuarantineFacts, now_utc: datetime, day_0: date | None
) -> tuple[date | None, str]:
    if day_0 is None:
        return None, "no fish in yet"
    rule = facts.plan.check("sign-free")
    grade = rule.grade if rule else 1
    candidates: list[tuple[date, int, str]] = [(day_0, 0, "the last fish went in")]
    for look in facts.looks:
        seen = sorted({s.sign for s in look.signs if catching(s, grade)})
        if seen and look.at_utc <= now_utc:
            day = local_day(look.at_utc, facts.time_zone)
            candidates.append((day, look.entry, f"{', '.join(seen)}, entry {look.entry}"))
    last = ""
    for dose in sorted(facts.doses, key=lambda d: (d.at_utc, d.entry)):
        if dose.counts == "treatment" and dose.at_utc <= now_utc:
            if dose.treatment != last:
                day = local_day(dose.at_utc, facts.time_zone)
                text = f"treatment changed to {dose.treatment}, entry {dose.entry}"
                candidates.append((day, dose.entry, text))
            last = dose.treatment
    day, _, because = max(candidates)
    return day, because


def _day_temperatures(
    facts: QuarantineFacts, now_utc: datetime, since: date | None
) -> list[DayTemperature]:
    """The days from `since` to today whose temperature is known."""
    if since is None:
        return []
    zone, today = facts.time_zone, local_day(now_utc, facts.time_zone)
    found = day_temperatures(facts.temperatures, zone, since, today, now_utc, facts.night_drop_c)
    return [d for d in found if d is not None]


def _warm_dates(facts: QuarantineFacts, days: list[DayTemperature]) -> frozenset[date]:
    rule = facts.plan.check("warm-days")
    low_c = float(rule.low_c) if rule and rule.low_c is not None else WARM_LOW_C
    high_c = float(rule.high_c) if rule and rule.high_c is not None else WARM_HIGH_C
    return frozenset(d.day for d in days if low_c <= d.mean_c <= high_c)
