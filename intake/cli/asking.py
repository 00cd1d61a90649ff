"""`intake today|tasks|checks`: what the room answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows import asking
from intake.flows.jobs.receive_triage import today
from intake.flows.windows_said import window_lines


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:
    """Answers one of the three questions."""
    parser = Parser(f"intake {word}")
    if word == "checks":
        parser.place("system", "water system, or what is in it")
    if word == "tasks":
        parser.option("system", "one water system")
        parser.option("to", "the last day, YYYY-MM-DD")
    typed = parser.read(tokens)
    desk = desk_of(options)
    if word == "today":
        return Reply(today(desk), _today)
    if word == "tasks":
        return Reply(asking.tasks(desk, typed.get("system"), typed.get("to")), _tasks)
    return Reply(asking.checks(desk, typed["system"]), _checks)


def _task(t: dict[str, Any]) -> str:
    at = t["at"] or ""
    told = f"\n    {t['evidence']}" if t["evidence"] else ""
    head = f"{t['date']} {at:<5}  {t['state']:<8}  {t['system']:<16} {t['task']}"
    late = "; ".join(text for text in (t["late"] or {}).values() if text)
    return f"{head}{told}\n    {t['id']}" + (f"\n    late: {late}" if late else "")


def _tasks(a: dict[str, Any]) -> list[str]:
    return [line for t in a["tasks"] for line in _task(t).split("\n")] or ["no tasks"]


def _today(a: dict[str, Any]) -> list[str]:
    lines = [_bath(b) for b in a["baths"]]
    for alert in a["alerts"]:
        where = f"{alert['system']}: " if alert["system"] else ""
        lines += [f"{alert['urgency']}  {where}{alert['text']}"]
        lines.append(f"    because {alert['because']}")
    for claim in a["claims"]:
        lines.append(f"claim {claim['shipment']}: {claim['state']}, closes {claim['closes_at']}")
    for bag in a["bags"]:
        lines.append(f"{bag['box'] or bag['shipment']} bag {bag['bag']}: {_bag(bag)}")
    return lines + _tasks(a)


def _bath(b: dict[str, Any]) -> str:
    what, ends = f"{b['treatment']} bath of {b['fish']}", b["ends_at"][11:16]
    if b["overdue"]:
        late = f"over since {ends}, {-b['minutes_left']:.0f} min"
        return f"LIFT THEM OUT NOW  {what}: {late} (intake record stop {b['entry']})"
    return f"BATH  {what}: lift at {ends}, {b['minutes_left']:.0f} min left"


def _bag(bag: dict[str, Any]) -> str:
    ends = f"lift at {bag['ends'][11:16]}" if bag["ends"] else ""
    due = bag["next_reading"]
    read = f"read at {due[11:16]}" if due and due < bag["ends"] else ""
    return ", ".join(text for text in (bag["step"], bag["because"], ends, read) if text)


def _checks(a: dict[str, Any]) -> list[str]:
    lines = [
        f"earliest release {a['earliest_release']}, decided by {a['decided_by']}",
        f"days served {a['days_served']}   sign-free {a['sign_free_days']}   "
        f"warm {a['warm_days']}",
    ]
    for c in a["checks"]:
        lines.append(f"  {c['state']:<16} {c['check']:<16} {c['evidence']}")
        if c["to_do"]:
            lines.append(f"{'':<36}next: {c['to_do']}")
    for c in a["left_out"]:
        lines.append(f"  {'not asked':<16} {c['check']:<16} {c['because']}")
    return lines + window_lines(a["windows"])
