"""One function per release check: what the record shows, and from which day it can be met."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.science.counters import Counters
from intake.science.plan import CheckRule
from intake.science.quarantine import Look, QuarantineFacts
from intake.science.restarts import EARLY_STAGES, catching, local_day
from intake.science.sampling import excluded_share

FRESH_DAYS = 2
"""A look or appetite older than this [d] says nothing of today. Common practice."""

WATER_FRESH_DAYS = 3
"""A water test older than this [d] says nothing of today. Common practice."""


SVC_LOW_C, SVC_HIGH_C = 10, 17
"""Where spring viraemia of carp kills most [C]; a warm room never shows it. From memory."""


@dataclass(frozen=True, slots=True)
class CheckState:
    """One release check: `state` is open, met or passed-by-reason.

    `earliest` is the first day on which it can be met, None where the record gives no day: the
    check is met without one, or nothing was recorded for it yet.
    """

    check: str
    state: str
    evidence: str
    earliest: date | None = None
    cannot: str = ""  # why the readings themselves decide nothing


@dataclass(frozen=True, slots=True)
class Known:
    """What every check looks at."""

    facts: QuarantineFacts
    now_utc: datetime
    count: Counters
    day_0: date

    def day(self, at_utc: datetime) -> date:
        return local_day(at_utc, self.facts.time_zone)

    @property
    def today(self) -> date:
        return self.count.today

    def looks(self) -> list[Look]:
        """Looks made so far, oldest first."""
        made = [x for x in self.facts.looks if x.at_utc <= self.now_utc]
        return sorted(made, key=lambda x: (x.at_utc, x.entry))


def _state(ok: bool) -> str:
    return "met" if ok else "open"


def _days_served(known: Known, rule: CheckRule) -> CheckState:
    count, plan = known.count, known.facts.plan
    earliest = (count.would_serve_from or known.day_0) + timedelta(plan.days)
    ok = count.days_served >= plan.days and not count.proposed
    decided = count.decided
    told = f"day {count.days_served} of {plan.days}"
    if decided is not None:
        told += f", counted from {decided.day.isoformat()}: {decided.because}"
    for r in count.proposed:
        when = f"{r.stands_utc:%Y-%m-%d %H:%M} UTC" if r.stands_utc else "72 h later"
        told += f"; restart proposed by {r.because}, stands from {when} unless settled"
    return CheckState(rule.check, _state(ok), told, earliest)


def _no_deaths(known: Known, rule: CheckRule) -> CheckState:
    counted = [
        d
        for d in known.facts.deaths
        if d.at_utc <= known.now_utc and not d.explained and d.stage not in EARLY_STAGES
    ]
    last = max(counted, key=lambda d: (d.at_utc, d.entry), default=None)
    since = max(known.day_0, known.day(last.at_utc)) if last else known.day_0
    earliest = since + timedelta(rule.days)
    told = f"last death {known.day(last.at_utc).isoformat()}, entry {last.entry}" if last else ""
    told = told or f"no death since {known.day_0.isoformat()}"
    told += f"; {(known.today - since).days} of {rule.days} days"
    return CheckState(rule.check, _state(known.today >= earliest), told, earliest)


def _sign_free(known: Known, rule: CheckRule) -> CheckState:
    count = known.count
    since = count.sign_free_from or known.day_0
    served = since + timedelta(rule.days)
    looked = {known.day(x.at_utc) for x in known.looks()}
    enough = _looks_enough(known.today, looked, rule)
    unseen = _not_seen(known)
    recent = sum(known.today - timedelta(rule.days) < d <= known.today for d in looked)
    ok = known.today >= served and recent >= rule.count and not unseen
    told = f"{count.sign_free_days} of {rule.days} days since {since.isoformat()}"
    told += f" ({count.sign_free_because}); looked on {recent} days of the last {rule.days}"
    if rule.count:
        told += f", {rule.count} needed"
    if unseen:
        told += f"; no look in {FRESH_DAYS} days at {', '.join(unseen)}"
    earliest = max(served, enough) if looked else served
    return CheckState(rule.check, _state(ok), told, earliest)


def _looks_enough(today: date, looked: set[date], rule: CheckRule) -> date:
    """The first day whose last `rule.days` days can hold enough days with a look."""
    for ahead in range(rule.days + 1):
        end = today + timedelta(ahead)
        window = {end - timedelta(n) for n in range(rule.days)}
        if sum(d in looked or d >= today for d in window) >= rule.count:
            return end
    return today + timedelta(rule.days)


def _not_seen(known: Known) -> list[str]:
    newest: dict[str, date] = {}
    for look in known.looks():
        for subject in look.subjects:
            newest[subject] = known.day(look.at_utc)
    oldest = known.today - timedelta(FRESH_DAYS)
    here = [o.subject for o in known.facts.present]
    return sorted(s for s in here if newest.get(s, date.min) < oldest)


def _eating(known: Known, rule: CheckRule) -> CheckState:
    oldest = known.today - timedelta(rule.days)
    looks = [x for x in known.looks() if x.appetite and known.day(x.at_utc) > oldest]
    off = [x for x in looks if x.appetite == "none"]
    fed = [x for x in looks if x.appetite in ("all", "some")]
    newest = max(
        (x for x in known.looks() if x.appetite == "none"), key=lambda x: x.at_utc, default=None
    )
    eaten = {s for x in fed for s in x.subjects}
    missing = sorted(o.subject for o in known.facts.present if o.subject not in eaten)
    ok = not off and len(fed) >= max(1, rule.count) and not missing
    if off:
        told = f"off food {known.day(off[-1].at_utc).isoformat()}, entry {off[-1].entry}"
    elif missing or not fed:
        who = ", ".join(missing) or "any fish"
        told = f"no appetite recorded in {rule.days} days for {who}"
    else:
        told = f"eating, newest entry {fed[-1].entry}"
    earliest = known.day(newest.at_utc) + timedelta(rule.days) if newest else None
    return CheckState(rule.check, _state(ok), told, earliest)


def _since_treatment(known: Known, rule: CheckRule) -> CheckState:
    given = [d for d in known.facts.doses if d.counts == "treatment" and d.at_utc <= known.now_utc]
    if not given:
        return CheckState(rule.check, "met", "no treatment recorded")
    still = [d for d in given if d.ended_utc is None or d.ended_utc > known.now_utc]
    ends = []
    for d in given:
        ended = known.now_utc if d.ended_utc is None else d.ended_utc
        wait = max(rule.days, d.wait_days)
        ends.append((known.day(ended) + timedelta(wait), known.day(ended), wait, d))
    earliest, ended_day, wait, dose = max(ends, key=lambda e: (e[0], e[3].entry))
    ok = not still and known.today >= earliest
    if still:
        told = f"{still[-1].treatment}, entry {still[-1].entry}, is still in the water"
    else:
        told = f"{dose.treatment}, entry {dose.entry}, ended {ended_day.isoformat()}"
        told += f"; {(known.today - ended_day).days} of {wait} days"
    return CheckState(rule.check, _state(ok), told, earliest)


def _slides(known: Known, rule: CheckRule) -> CheckState:
    made = [s for s in known.facts.slides if s.at_utc <= known.now_utc]
    made = sorted((s for s in made if known.day(s.at_utc) >= known.day_0), key=lambda s: s.at_utc)
    hits = [s for s in made if any(n > 0 for _, n in s.found)]
    after = [s for s in made if not hits or s.at_utc > hits[-1].at_utc]
    clean = [s for s in after if s.clean]
    sessions = sorted({known.day(s.at_utc) for s in clean})
    apart = (sessions[-1] - sessions[0]).days if sessions else 0
    ok = len(sessions) >= rule.count and apart >= (rule.days if rule.count > 1 else 0)
    told = f"{len(sessions)} of {rule.count} clean sessions"
    if rule.count > 1:
        told += f", {apart} of {rule.days} days apart"
    if hits:
        told += f" since {hits[-1].found[0][0]}, entry {hits[-1].entry}"
    if hidden := len([s for s in after if s.masked_by]):
        told += f"; {hidden} not counted: made while a treatment could hide parasites"
    if clean:
        fish = max(sum(s.fish for s in clean if known.day(s.at_utc) == d) for d in sessions)
        share = excluded_share(max(1, fish)) * 100
        told += f"; {fish} clean fish only speak against {share:.0f} % infected or more"
    if not made:
        return CheckState(rule.check, _state(ok), f"no slide recorded; {told}")
    gap = rule.days if rule.count > 1 else 0
    earliest = (
        max(sessions[0] + timedelta(gap), known.today)
        if sessions
        else known.today + timedelta(gap)
    )
    return CheckState(rule.check, _state(ok), told, sessions[-1] if ok else earliest)


def _water(known: Known, rule: CheckRule) -> CheckState:
    every = [w for w in known.facts.waters if w.at_utc <= known.now_utc]
    every.sort(key=lambda w: (w.at_utc, w.entry))
    made = [w for w in every if w.judged != "unknown"]
    blank = every[-1].text if every and every[-1].judged == "unknown" else ""
    if not made:
        told = "no water test that can be judged"
        return CheckState(rule.check, "open", f"{told}: {blank}".rstrip(": "))
    off = [w for w in made if w.judged != "ok"]
    good = [known.day(w.at_utc) for w in made if not off or w.at_utc > off[-1].at_utc]
    if not good:
        last = off[-1]
        cannot = last.text if last.judged == "undecided" else ""
        start = "not decided" if cannot else "outside the targets"
        told = f"{start}, entry {last.entry}: {last.text}".rstrip(": ")
        earliest = known.today + timedelta(rule.days)
        return CheckState(rule.check, "open", told, earliest, cannot)
    since = max(good[0], known.day_0)
    earliest = since + timedelta(rule.days)
    old = (known.today - good[-1]).days > WATER_FRESH_DAYS
    told = f"inside the targets since {since.isoformat()}"
    told += f", {(known.today - since).days} of {rule.days} days"
    told += f"; newest test {good[-1].isoformat()}, too old" if old else ""
    told += f"; the test since cannot be judged: {blank}" if blank else ""
    return CheckState(rule.check, _state(known.today >= earliest and not old), told, earliest)


def _warm_days(known: Known, rule: CheckRule) -> CheckState:
    have = known.count.warm_days
    told = f"{have} of {rule.days} days with a mean of {rule.low_c} to {rule.high_c} C"
    if rule.low_c is None or rule.low_c > SVC_HIGH_C:
        told += f"; not tested: spring viraemia ({SVC_LOW_C} to {SVC_HIGH_C} C)"
    if have >= rule.days:
        warm = sorted(known.count.warm_dates)
        return CheckState(rule.check, "met", told, warm[rule.days - 1] if rule.days else None)
    if not any(t.at_utc <= known.now_utc for t in known.facts.temperatures):
        return CheckState(rule.check, "open", f"no temperature recorded; {told}")
    ahead = rule.days - have - (0 if known.count.warmth_today else 1)
    return CheckState(rule.check, "open", told, known.today + timedelta(ahead))


def _no_additions(known: Known, rule: CheckRule) -> CheckState:
    """Open for the plan's days after anything came in later than the first day's fish."""
    came = [r for r in known.count.restarts if r.kind in ("fish-in", "contact")]
    first = min(r.day for r in came)
    added = [r for r in came if r.day > first or r.kind == "contact"]
    if not added:
        return CheckState(rule.check, "met", f"nothing added since {first.isoformat()}")
    last = max(added, key=lambda r: (r.day, r.entry))
    earliest = last.day + timedelta(known.facts.plan.days)
    told = f"last addition {last.day.isoformat()}: {last.because}"
    return CheckState(rule.check, _state(known.today >= earliest), told, earliest)


def _mixing_test(known: Known, rule: CheckRule) -> CheckState:
    served = known.count.would_serve_from or known.day_0
    best: tuple[date, date, int] | None = None
    for m in known.facts.mixing_tests:
        if m.at_utc > known.now_utc:
            continue
        end = m.ended_utc if m.ended_utc and m.ended_utc <= known.now_utc else None
        since = max(known.day(m.at_utc), served, *_trouble(known, m.at_utc, end))
        met = since + timedelta(rule.days)
        if end is not None and known.day(end) < met:
            continue
        if best is None or met < best[0]:
            best = (met, since, m.entry)
    if best is None:
        return CheckState(rule.check, "open", "no mixing test recorded that lasted")
    met, since, entry = best
    served_days = (known.today - since).days
    told = f"entry {entry}: {served_days} of {rule.days} days since {since.isoformat()}"
    return CheckState(rule.check, _state(known.today >= met), told, met)


def _trouble(known: Known, since: datetime, end: datetime | None) -> list[date]:
    """Days with an infectious sign or an unexplained death while the residents were in."""
    until = end or known.now_utc
    signs = [x.at_utc for x in known.looks() if any(catching(s, 1) for s in x.signs)]
    deaths = [d.at_utc for d in known.facts.deaths if not d.explained and not d.on_arrival]
    return [known.day(at) for at in [*signs, *deaths] if since <= at <= until] or [date.min]


RULES: Mapping[str, Callable[[Known, CheckRule], CheckState]] = {
    "days-served": _days_served,
    "no-deaths": _no_deaths,
    "sign-free": _sign_free,
    "eating": _eating,
    "since-treatment": _since_treatment,
    "slides": _slides,
    "water": _water,
    "warm-days": _warm_days,
    "no-additions": _no_additions,
    "mixing-test": _mixing_test,
}
"""The function of every check a plan may ask for."""
