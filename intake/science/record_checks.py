"""Release checks of the record itself: days served, what came in, what was given."""

from __future__ import annotations

from datetime import timedelta

from intake.science.check_state import CheckState, Known, state_of
from intake.science.plan import CheckRule
from intake.science.quarantine import Carried, DoseGiven


def days_served(known: Known, rule: CheckRule) -> CheckState:
    """The plan's days since the newest restart; a proposed one holds it open as if it stood."""
    count, plan = known.count, known.facts.plan
    earliest = (count.would_serve_from or known.day_0) + timedelta(plan.days)
    brought = _brought(known)
    earliest = max([earliest, *(c.from_day + timedelta(c.days) for c in brought)])
    ok = count.days_served >= plan.days and not count.proposed and known.today >= earliest
    decided = count.decided
    told = f"day {count.days_served} of {plan.days}"
    if decided is not None:
        told += f", counted from {decided.day.isoformat()}: {decided.because}"
    for r in count.proposed:
        when = f"{r.stands_utc:%Y-%m-%d %H:%M} UTC" if r.stands_utc else "72 h later"
        told += f"; restart proposed by {r.because}, stands from {when} unless settled"
    for c in brought:
        told += f"; {c.subject} brought its own {c.days} days, counted from {c.from_day}"
    to_do = "" if ok else "wait; nothing but days serves days"
    if count.proposed:
        entry = count.proposed[0].entry
        to_do = f"settle it with a reason: record clock --keep {entry} or --restart {entry}"
    entries = tuple(r.entry for r in [*([decided] if decided else []), *count.proposed])
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=entries, to_do=to_do
    )  # fmt: skip


def _brought(known: Known) -> list[Carried]:
    """The days brought along by fish that are still here and end later than this water's own."""
    here = {o.subject for o in known.facts.present}
    own = (known.count.would_serve_from or known.day_0) + timedelta(known.facts.plan.days)
    return [
        c
        for c in known.facts.carried
        if c.subject in here and c.from_day + timedelta(c.days) > own and c.at_utc <= known.now_utc
    ]


def no_additions(known: Known, rule: CheckRule) -> CheckState:
    """Open for the plan's days after anything came in later than the first day's fish."""
    came = [r for r in known.count.restarts if r.kind in ("fish-in", "contact")]
    first = min(r.day for r in came)
    added = [r for r in came if r.day > first or r.kind == "contact"]
    if not added:
        entries = tuple(sorted(r.entry for r in came))
        told = f"nothing added since {first.isoformat()}"
        return CheckState(rule.check, "met", told, entries=entries)
    last = max(added, key=lambda r: (r.day, r.entry))
    days = known.facts.plan.days
    earliest = last.day + timedelta(days)
    ok = known.today >= earliest
    served = (known.today - last.day).days
    told = f"last addition {last.day.isoformat()}: {last.because}; {served} of {days} days"
    to_do = "" if ok else "bring nothing in: no fish, no water, no net of another system"
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=(last.entry,), to_do=to_do
    )  # fmt: skip


def since_treatment(known: Known, rule: CheckRule) -> CheckState:
    """The plan's days, or one and a half generations of the parasite, since every treatment.

    The generations come with each dose as `wait_days`, added up over the lows that were
    measured; the longer of the two counts. What only supports, salt at 3 g/L for one, is no
    treatment.

    Source: common practice; 14 days, and 1.5 generations, stand where no published figure was
    found.
    """
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
        newest = max(still, key=lambda d: (d.at_utc, d.entry))
        told = f"{newest.treatment}, entry {newest.entry}, is still in the water"
        to_do = "stop it or change it out, each written down; the days count from its end"
        told += f"; {_asked(rule, newest)} from its end"
        return CheckState(
            rule.check, "open", told, earliest, entries=(newest.entry,), to_do=to_do
        )  # fmt: skip
    told = f"{dose.treatment}, entry {dose.entry}, ended {ended_day.isoformat()}"
    told += f"; {(known.today - ended_day).days} of {wait} days"
    told += "" if dose.wait_days <= rule.days else f": {_asked(rule, dose)}"
    to_do = "" if ok else "wait; a further treatment begins these days again"
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=(dose.entry,), to_do=to_do
    )  # fmt: skip


def _asked(rule: CheckRule, dose: DoseGiven) -> str:
    if dose.wait_days > rule.days:
        return (
            f"{dose.wait_days} days, one and a half generations of what the slides showed by the "
            f"lows of the water, more than the plan's {rule.days}"
        )
    return f"{rule.days} days"
