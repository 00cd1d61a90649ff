"""What the room answers when it is asked: today, tasks, checks, residue."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from intake import clock
from intake.flows.baths import bath_alerts, bath_keys, running
from intake.flows.clock_back import warn_if_behind
from intake.flows.desk import Book, Desk, at_work
from intake.flows.doses import system_named
from intake.flows.facts.things import Animal, Shipment, System
from intake.flows.kit_shelf import running_out
from intake.flows.linked import watched
from intake.flows.notes import Notes
from intake.flows.quarantine_facts import plan_of
from intake.flows.quarantines import (
    alerts_of,
    checks_of,
    in_quarantine,
    tasks_of,
    windows_of,
    with_tasks,
)
from intake.flows.shipments import claim_closes, claim_state
from intake.flows.windows_said import window_keys
from intake.science.calendar import Task
from intake.science.problem import Problem, Unreadable

OVERDOSE_DAYS = 7
"""How long an alert about something given over a limit stays [d] (common practice)."""


def task_keys(task: Task) -> dict[str, Any]:
    """The keys of one task."""
    return {
        "id": task.id,
        "date": task.day.isoformat(),
        "from": task.from_.isoformat(),
        "to": task.to.isoformat(),
        "at": task.at or None,
        "task": task.task,
        "kind": task.kind,
        "system": task.system,
        "state": task.state,
        "because": task.because,
        "evidence": task.evidence,
        "late": _late(task),
    }


def _late(task: Task) -> dict[str, str | None] | None:
    """What to do about a missed task, what it moves, and what cannot be made up."""
    late = task.late
    if late is None:
        return None
    return {
        "what_to_do": late.what_to_do,
        "moved": late.moved or None,
        "cannot": late.cannot or None,
    }


def _to_date(book: Book, text: str | None) -> date | None:
    if text is None:
        return None
    found = clock.read_date(text, now=book.now)
    if isinstance(found, Problem):
        raise Unreadable(found.placed("--to"))
    return found


def tasks(desk: Desk, system: str | None = None, to: str | None = None) -> dict[str, Any]:
    """Tasks of one or every quarantine, 14 days ahead unless a date is given."""
    with at_work(desk) as book:
        until = _to_date(book, to)
        systems = [system_named(book, system, "--system")] if system else with_tasks(book)
        found = [t for s in systems for t in tasks_of(book, s, until)]
        found.sort(key=lambda t: (t.day, t.at, t.system))
        notes = warn_if_behind(book, Notes())
        return {"tasks": [task_keys(t) for t in found], **notes.as_keys()}


def checks(desk: Desk, name: str) -> dict[str, Any]:
    """The release checks of a system's newest quarantine."""
    with at_work(desk) as book:
        system, animal = _checked(book, name)
        if not system.quarantines:
            text = f"{system.name} has no quarantine"
            hint = f"intake record quarantine '{system.name}'"
            raise Unreadable(Problem("no-such-name", text, hint, "SYSTEM"))
        found = checks_of(book, system, animal)
        release = found.earliest_release
        notes = warn_if_behind(book, Notes())
        if release is not None:
            notes.because.append(f"the earliest release is {release}; {found.decided_because}")
        for c in found.checks:
            if c.cannot and c.state == "open":
                notes.warn("kit-cannot-show", f"{c.check}: {c.cannot}")
        return {
            "system": system.name,
            "subject": animal.name if animal else system.name,
            "earliest_release": release.isoformat() if release else None,
            "decided_by": found.decided_by or None,
            "days_served": found.days_served,
            "sign_free_days": found.sign_free_days,
            "warm_days": found.warm_days,
            "windows": window_keys(windows_of(book, system, animal)),
            "checks": [
                {
                    "check": c.check,
                    "state": c.state,
                    "evidence": c.evidence,
                    "earliest": c.earliest.isoformat() if c.earliest else None,
                    "entries": list(c.entries),
                    "to_do": c.to_do or None,
                }
                for c in found.checks
            ],
            "left_out": [
                {"check": x.check, "because": x.because, "source": x.source.text}
                for x in plan_of(book, system.quarantines[-1]).left_out
            ],
            **notes.as_keys(),
        }


def _checked(book: Book, name: str) -> tuple[System, Animal | None]:
    """The system of that name, or the fish or group of that name and the water it is in."""
    found = book.facts.find(name, ("vessel", "system", "fish", "group"), book.now)
    if isinstance(found, Problem):
        raise Unreadable(found.placed("SYSTEM"))
    if found.kind in ("fish", "group"):
        animal = book.facts.animal(found.id)
        if animal.vessel:
            return book.facts.system_of(book.facts.vessel(animal.vessel)), animal
    return system_named(book, name, "SYSTEM"), None


def today(desk: Desk) -> dict[str, Any]:
    """What is to be done now, what the record calls for, claims that are open."""
    with at_work(desk) as book:
        due = [
            t
            for s in with_tasks(book)
            for t in tasks_of(book, s, clock.local_date(book.now, book.facts.zone))
            if t.state in ("due", "overdue")
        ]
        due.sort(key=lambda t: (t.day, t.at, t.system))
        return {
            "tasks": [task_keys(t) for t in due],
            "alerts": alerts(book),
            "claims": claims(book),
            "baths": [bath_keys(book, b) for b in running(book)],
            **warn_if_behind(book, Notes()).as_keys(),
        }


def alerts(book: Book) -> list[dict[str, Any]]:
    """Everything the record calls for, the most urgent first."""
    found = []
    for system in in_quarantine(book):
        for a in alerts_of(book, system):
            found.append(_alert(a.urgency, a.text, a.because, system, a.entry))
    for system in book.facts.waters():
        found += _broken_limits(book, system)
        found += _restless(book, system)
    found += [_alert("watch", w.text, w.because, w.system, w.entry) for w in watched(book)]
    for kit, text, because in running_out(book):
        found.append(
            {"urgency": "watch", "text": text, "because": because, "system": "", "entry": kit.id}
        )
    found += bath_alerts(book)
    order = {"call-vet": 0, "isolate": 1, "test-water": 2, "watch": 3}
    return sorted(found, key=lambda a: order[a["urgency"]])


def _alert(
    urgency: str, text: str, because: str, system: System, entry: int | None
) -> dict[str, Any]:
    return {
        "urgency": urgency,
        "text": text,
        "because": because,
        "system": system.name,
        "entry": entry,
    }


def _broken_limits(book: Book, system: System) -> list[dict[str, Any]]:
    """Alerts for what was given over a hard limit in the last days."""
    since = book.now - timedelta(days=OVERDOSE_DAYS)
    found = []
    for d in system.doses:
        over = [b for b in d.broke if b["code"] == "over-hard-limit"]
        others = [b for b in d.broke if b["code"] != "over-hard-limit"]
        if d.at < since or not d.broke:
            continue
        if over:
            text = (
                f"Overdose of {d.treatment} in {system.name}: watch the fish now, change water, "
                "ring the vet"
            )
            found.append(_alert("call-vet", text, over[0]["text"], system, d.entry))
        elif others:
            text = f"{d.treatment} was given against the protocol in {system.name}"
            found.append(_alert("watch", text, others[0]["text"], system, d.entry))
    return found


def _restless(book: Book, system: System) -> list[dict[str, Any]]:
    """Signs seen outside any quarantine that ask for more than a look."""
    if system.quarantine is not None or not system.looks:
        return []
    since = book.now - timedelta(days=3)
    newest = {a: look for look in system.looks if look.at >= since for a in look.animals}
    found = []
    for look in {x.entry: x for x in newest.values()}.values():
        for sign, grade in look.signs:
            known = book.shelf.signs.get(sign)
            urgency = known.most_urgent(grade) if known else None
            if known is not None and urgency is not None and urgency != "watch":
                text = f"{known.title} grade {grade} in {system.name}"
                found.append(_alert(urgency, text, known.line, system, look.entry))
    return found


def claims(book: Book) -> list[dict[str, Any]]:
    """Claim windows that are open or closed less than a day ago."""
    found = []
    for shipment in book.facts.of_kind(Shipment):
        closes = claim_closes(shipment)
        if closes is None or book.now > closes + timedelta(days=1):
            continue
        found.append(
            {
                "shipment": shipment.name,
                "closes_at": closes.astimezone(book.facts.zone).isoformat(),
                "state": claim_state(shipment, book.now),
            }
        )
    return found
