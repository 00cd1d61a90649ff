"""Forms for quarantines and their tasks."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from intake.clock import dated, local_date
from intake.flows.facts.things import System
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import ACount, ADate, AThing, ATreatment, Plain
from intake.flows.names import unknown
from intake.flows.own_clock import emptied_at
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import known_task
from intake.flows.salt_steps import READ_AGAIN
from intake.flows.usage import Usage
from intake.science.problem import Problem
from intake.science.restarts import restarts


class APlan(Plain):
    """A quarantine plan that has a file."""

    def read(self, text: str, asked: Any) -> str | Problem:
        known = asked.book.shelf.plans
        return text if text in known else unknown(text, known, "a plan")


class ATask(Plain):
    """The id of a task."""

    def read(self, text: str, asked: Any) -> str | Problem:
        return known_task(asked.book, text)


def _quarantine(f: Filling) -> None:
    system = f.thing("system")
    assert isinstance(system, System)
    if system.quarantine is not None and f.entry is None and not _begun_by_itself(f, system):
        since = f.book.facts.local(system.quarantine.at)
        f.fault(
            "name-taken",
            "SYSTEM",
            f"{system.name} is in quarantine since {since}",
            "release it first, or void that entry",
        )
    f.stop_if_faulty()
    if f.get("plan") is None:
        f.values["plan"] = "standard"
        f.notes.assumptions.append("plan standard")
    plan = f.book.shelf.plan_texts[f.get("plan")]
    f.extra |= {
        "plan": f.get("plan"),
        "plan_text": plan.text,
        "plan_version": plan.version,
        "plan_sha256": plan.sha256,
    }
    whole = f.book.shelf.plans[f.get("plan")]
    f.answer["days"] = whole.days
    if f.get("expected") is not None:
        f.notes.because.append(f"the fish are expected {dated(f.get('expected'))}")
    animals = f.book.facts.occupants(system.vessels)
    if animals:
        last = max(s.since for a in animals for s in a.stays[-1:])
        day_0 = local_date(max(last, system.since), f.book.facts.zone)
        f.answer["day_0"] = day_0.isoformat()
        f.answer["earliest_release"] = (day_0 + timedelta(whole.days)).isoformat()


def _begun_by_itself(f: Filling, system: System) -> bool:
    """Whether its quarantine came with fish that were moved in, or its fish have all gone."""
    running = system.quarantine
    assert running is not None
    return bool(running.dragged) or emptied_at(f.book, system, running) is not None


def _clock(f: Filling) -> None:
    if (f.get("keep") is None) == (f.get("restart") is None):
        raise Usage("give --keep ENTRY or --restart ENTRY, one of them")
    system = f.thing("system")
    assert isinstance(system, System)
    if not system.quarantines:
        f.fault("no-such-name", "SYSTEM", f"{system.name} has no quarantine")
    f.stop_if_faulty()
    option = "keep" if f.get("keep") is not None else "restart"
    found = restarts(facts_of(f.book, system), f.when)
    settled = [r.entry for r in found if r.kind in ("sign", "death")]
    if f.get(option) not in settled and f.entry is None:
        there = ", ".join(str(n) for n in settled) or "none yet"
        text = f"entry {f.get(option)} proposes no restart of {system.name}"
        f.fault("no-such-name", f"--{option}", text, f"there is {there}")
    f.stop_if_faulty()


def _done(f: Filling) -> None:
    if f"/{READ_AGAIN}/" in f.get("task"):
        hint = "intake record gauge VESSEL by-salt --after Q; or: intake record skipped"
        f.fault("wrong-kind", "TASK", "only the reading itself does this task", hint)
    f.stop_if_faulty()


SYSTEM = Field("system", AThing(("system",)), "water system, or a vessel in it", True, True)
TASK = Field("task", ATask(), "the task's id", positional=True, required=True)

FORMS = (
    Form(
        "quarantine",
        "a quarantine begun on a water system",
        (
            SYSTEM,
            Field("plan", APlan(), "which plan, standard where none is given", unsaid="standard"),
            Field("expected", ADate(), "the day the fish are expected"),
            Field("preventive", ATreatment(), "a preventive course"),
        ),
        _quarantine,
    ),
    Form(
        "clock",
        "a proposed restart settled",
        (
            SYSTEM,
            Field("keep", ACount(1), "the entry that does not restart the days"),
            Field("restart", ACount(1), "the entry that does"),
        ),
        _clock,
        needs_why=True,
    ),
    Form("done", "a task done", (TASK,), _done),
    Form("skipped", "a task skipped", (TASK,), lambda f: f.stop_if_faulty(), needs_why=True),
)
