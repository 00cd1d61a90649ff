"""Forms for quarantines that run and their tasks."""

from __future__ import annotations

from typing import Any

from intake.flows.facts.things import System
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import ACount, AThing, Plain
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import known_task
from intake.flows.salt_steps import READ_AGAIN
from intake.flows.usage import Usage
from intake.science.problem import Problem
from intake.science.restarts import restarts


class ATask(Plain):
    """The id of a task."""

    def read(self, text: str, asked: Any) -> str | Problem:
        return known_task(asked.book, text)


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
