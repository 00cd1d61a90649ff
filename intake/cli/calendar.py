"""`intake calendar`: the days of every water, told, on paper or for another calendar."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.jobs.calendar_file import calendar

BOXES = {"done": "x", "skipped": "-", "overdue": "!"}


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Answers with the calendar, and writes the file that was asked for."""
    parser = Parser("intake calendar")
    parser.option("system", "one water system")
    parser.option("to", "the last day, YYYY-MM-DD")
    parser.option("out", ".ics for another calendar, written again; or .txt, .html, .pdf, new")
    typed = parser.read(tokens)
    answer = calendar(desk_of(options), typed.get("system"), typed.get("to"), typed.get("out"))
    return Reply(answer, _written if "file" in answer else _lines)


def _written(a: dict[str, Any]) -> list[str]:
    tasks = sum(len(s["tasks"]) for s in a["systems"])
    told = f"{len(a['systems'])} water systems, {tasks} tasks, to {a['to']}"
    return [told, f"  {a['file']}"]


def _lines(a: dict[str, Any]) -> list[str]:
    if not a["systems"]:
        return ["no quarantine runs and no course: nothing is due"]
    return [line for system in a["systems"] for line in _system(system)]


def _system(s: dict[str, Any]) -> Iterator[str]:
    yield f"{s['system']}: {s['fish']}" + (f", {s['said']}" if s["said"] else "")
    yield from (f"  {line}" for line in s["weeks"])
    if s["release"]:
        yield f"  {s['release']}"
        yield from (f"    because {why}" for why in s["because"][:1])
    day = ""
    for task in s["tasks"]:
        if task["date"] != day:
            day = task["date"]
            yield f"  {day}"
        yield from _task(task)


def _task(t: dict[str, Any]) -> Iterator[str]:
    until = f" until {t['to']}" if t["to"] != t["from"] else ""
    was = f"   was {t['was']}" if t["was"] else ""
    box = BOXES.get(t["state"], " ")
    yield f"    [{box}] {t['at'] + ' ' if t['at'] else ''}{t['task']}{until}{was}"
    if t["was"]:
        yield f"        because {t['because']}"
