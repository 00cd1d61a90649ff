"""The release checks of a quarantine: what is open, what is met, and the earliest release."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from intake.science.check_rules import RULES
from intake.science.check_state import CheckState, Known
from intake.science.counters import Counters, counters
from intake.science.quarantine import QuarantineFacts
from intake.science.restarts import capped


@dataclass(frozen=True, slots=True)
class Checks:
    """The release checks together; `decided_by` is the check that sets `earliest_release`.

    `earliest_release` is None while no fish is in and none is expected.
    """

    earliest_release: date | None
    decided_by: str
    days_served: int
    sign_free_days: int
    warm_days: int
    checks: tuple[CheckState, ...]

    @property
    def open(self) -> tuple[CheckState, ...]:
        """The checks that stand in the way of release."""
        return tuple(c for c in self.checks if c.state == "open")

    @property
    def decided_because(self) -> str:
        """The check that sets the day of release, and why: "water sets it: ..." or ""."""
        state = next((c for c in self.checks if c.check == self.decided_by), None)
        if self.earliest_release is None or not self.decided_by:
            return ""
        return f"{self.decided_by} sets it" + (f": {state.evidence}" if state else "")


def checks(facts: QuarantineFacts, now_utc: datetime) -> Checks:
    """Every release check of the plan at `now_utc`, and the latest of their days.

    Release is never before day 0 plus the plan's days. A proposed restart keeps days-served open
    and is counted as if it stood. A check passed by reason before the newest restart is open
    again; days-served cannot be passed under the plan's floor.
    """
    now_utc = capped(facts, now_utc)
    count = counters(facts, now_utc)
    if count.day_0 is None:
        return _before_fish(facts, count)
    known = Known(facts, now_utc, count, count.day_0)
    states = tuple(_passed(known, RULES[r.check](known, r)) for r in facts.plan.checks)
    latest, decided = _latest(states, count.today)
    return Checks(
        latest, decided, count.days_served, count.sign_free_days, count.warm_days, states
    )


def _latest(states: Sequence[CheckState], today: date) -> tuple[date, str]:
    """The latest day of all checks and who sets it; an open check is not met before today."""
    dated = [
        (max(s.earliest or today, today) if s.state == "open" else s.earliest, s.check)
        for s in states
    ]
    latest = max((d for d, _ in dated if d is not None), default=today)
    return latest, next((name for d, name in dated if d == latest), "")


def _before_fish(facts: QuarantineFacts, count: Counters) -> Checks:
    first = max(facts.expected, count.today) if facts.expected else None
    earliest = first + timedelta(facts.plan.days) if first else None
    states = tuple(CheckState(r.check, "open", "no fish in yet") for r in facts.plan.checks)
    return Checks(earliest, "days-served" if earliest else "", 0, 0, 0, states)


def _passed(known: Known, state: CheckState) -> CheckState:
    last = known.count.decided
    since = last.at_utc if last else known.facts.started_utc
    reasons = [
        p
        for p in known.facts.passed
        if p.check == state.check and since <= p.at_utc <= known.now_utc
    ]
    if state.state == "met" or not reasons:
        return state
    newest = max(reasons, key=lambda p: (p.at_utc, p.entry))
    told = f"{newest.reason}, entry {newest.entry}; {state.evidence}"
    if state.check != "days-served":
        return replace(state, state="passed-by-reason", evidence=told, earliest=None, to_do="")
    floor = known.facts.plan.floor_days
    if known.count.proposed or known.count.days_served < floor:
        why = f"not passed before day {floor} or while a restart is proposed"
        return replace(state, evidence=f"{why}; {state.evidence}")
    day = (known.count.served_from or known.day_0) + timedelta(floor)
    return replace(state, state="passed-by-reason", evidence=told, earliest=day, to_do="")
