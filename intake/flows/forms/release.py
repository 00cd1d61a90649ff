"""The form of a release: whole waters, or single fish and groups, on evidence or by reason."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from intake.clock import local_date
from intake.flows.facts.steps.dragged import LEAVES_WITHIN, unreleased
from intake.flows.facts.things import Animal, System
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import AThing, Plain
from intake.flows.names import unknown
from intake.flows.own_clock import emptied_at
from intake.flows.quarantine_facts import facts_of, fish_facts
from intake.science.checks import Checks, checks
from intake.science.plan import CHECKS
from intake.science.problem import Problem, Refused
from intake.science.quarantine import Passed, QuarantineFacts

NEWEST = 2**62
"""Stands for the number the entry will get: after everything that is written."""


class AReason(Plain):
    """`check:reason`, for a release check passed by reason."""

    def read(self, text: str, asked: Any) -> list[str] | Problem:  # noqa: ARG002
        check, _, reason = text.partition(":")
        if check not in CHECKS:
            return unknown(check, CHECKS, "a release check")
        if not reason.strip():
            hint = f"{check}:why it may be passed"
            return Problem("reason-missing", f"'{check}' is passed by a reason", hint)
        return [check, reason.strip()]

    def again(self, kept: Any) -> str:
        return f"{kept[0]}:{kept[1]}"


@dataclass(frozen=True, slots=True)
class Asked:
    """One water, fish or group that is to be released, with its checks as they would stand."""

    thing: System | Animal
    facts: QuarantineFacts | None  # None: a water that has no fish in it any more
    found: Checks | None

    @property
    def open(self) -> list[str]:
        """The checks that stand in the way."""
        return [c.check for c in self.found.open] if self.found else []


def _release(f: Filling) -> None:
    meant = _meant(f)
    passed = f.get("pass") or []
    names = [check for check, _ in passed]
    if len(set(names)) != len(names):
        f.fault("out-of-range", "--pass", "the same check twice", "give its one reason")
    f.stop_if_faulty()
    f.refs["subject"] = [thing.id for thing in meant]
    if f.entry is not None:
        return
    asked = [_judged(f, thing, passed) for thing in meant]
    _refuse_open(asked, dict(passed))
    f.answer["released"] = [_said(f, one) for one in asked]


def _meant(f: Filling) -> list[System | Animal]:
    """What was named, each once; a vessel is the water it is in."""
    found: list[System | Animal] = []
    for thing in f.get("subject"):
        assert isinstance(thing, System | Animal)
        if any(thing is other for other in found):
            f.fault("out-of-range", "SUBJECT", f"'{thing.name}' is named twice", "each once")
        elif f.entry is None:
            _in_quarantine(f, thing)
        found.append(thing)
    return found


def _in_quarantine(f: Filling, thing: System | Animal) -> None:
    if isinstance(thing, System):
        if thing.quarantine is None:
            f.fault("no-such-name", "SUBJECT", f"{thing.name} is not in quarantine")
    elif unreleased(f.book.facts, thing, f.when) is None:
        f.fault("no-such-name", "SUBJECT", f"{thing.name} is in no quarantine")


def _judged(f: Filling, thing: System | Animal, passed: list[list[str]]) -> Asked:
    """Its checks with the reasons given: not all may be passed, days under the floor stay open."""
    if isinstance(thing, System):
        running = thing.quarantine
        assert running is not None
        if emptied_at(f.book, thing, running) is not None:
            return Asked(thing, None, None)
        known = facts_of(f.book, thing)
    else:
        known = fish_facts(f.book, thing)
    passing = tuple(Passed(f.when, NEWEST, check, reason) for check, reason in passed)
    known = replace(known, passed=(*known.passed, *passing))
    return Asked(thing, known, checks(known, f.when))


def _refuse_open(asked: list[Asked], passed: dict[str, str]) -> None:
    still = [one for one in asked if one.open]
    if not still:
        return
    told = "; ".join(f"{one.thing.name}: {', '.join(one.open)}" for one in still)
    held = [c.evidence for one in still if one.found for c in one.found.open if c.check in passed]
    what = f"{still[0].thing.name} is not released: {', '.join(still[0].open)} still open"
    if len(asked) > 1:
        what = f"nothing is released, still open are {told}"
    plan = still[0].facts.plan.id if still[0].facts else ""
    raise Refused(
        "checks-open",
        what,
        source=f"plan {plan}",
        way_out="; ".join(dict.fromkeys(held))
        or "wait for the evidence, or --pass CHECK:REASON for each",
    )


def _said(f: Filling, one: Asked) -> dict[str, Any]:
    """What was released, and what comes now."""
    facts = f.book.facts
    thing, found = one.thing, one.found
    if isinstance(thing, System):
        animals, system = facts.occupants(thing.vessels), thing
    else:
        animals, system = [thing], facts.system_of(facts.vessel(thing.vessel))
        last = facts.local(f.when + LEAVES_WITHIN)
        f.notes.because.append(
            f"move {thing.name} by net into water of its own by {last}: in the water of fish that "
            "are not released it shares their days again"
        )
    if found is None:
        f.notes.because.append(f"no fish are in {system.name}: its quarantine is closed, not met")
    plan = one.facts.plan if one.facts else None
    after = [s for s in plan.steps if s.counted_from == "release"] if plan else []
    for step in after:
        f.notes.because.append(f"next: {step.task}")
    today = local_date(f.when, facts.zone)
    days = max((s.to_day or s.from_day for s in after if s.kind == "look"), default=0)
    return {
        "name": thing.name,
        "kind": "system" if isinstance(thing, System) else thing.kind,
        "system": system.name,
        "fish": [{"name": a.name, "count": a.count} for a in animals],
        "passed_by_reason": [c.check for c in found.checks if c.state == "passed-by-reason"]
        if found
        else [],
        "watch_until": (today + timedelta(days)).isoformat() if days else None,
    }


FORMS = (
    Form(
        "release",
        "released from quarantine",
        (
            Field(
                "subject", AThing(("system", "fish", "group")),
                "water systems, fish or groups", True, True, many=True,
            ),
            Field("pass", AReason(), "check:reason", many=True),
        ),
        _release,
        version=2,
    ),
)  # fmt: skip
