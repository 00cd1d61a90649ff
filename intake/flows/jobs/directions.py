"""What a vet directed, on a screen: read back, typed again, then stored; and the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from intake.clock import local_date
from intake.flows.bottles import on_shelf, shelf_keys, why_past
from intake.flows.desk import Desk, at_work, rehearsed
from intake.flows.doses import treatment_named
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded
from intake.flows.record import record
from intake.flows.views.parts import Recorded
from intake.flows.views.shelf import BottleChoice, DirectionRead
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, read_quantity

AGAIN = "--again"


def direction_read(desk: Desk, typed: Mapping[str, str]) -> DirectionRead:
    """What would be stored, with the target digit by digit; nothing is written.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        Where it cannot be read.
    """
    with as_unreadable():
        answer = record(rehearsed(desk), "direction", _form(typed))
    return DirectionRead(
        answer["read_back"],
        (*answer["assumptions"], *answer["because"]),
        tuple(w["text"] for w in answer["warnings"]),
    )


def direction_record(desk: Desk, typed: Mapping[str, str], again: str) -> Recorded:
    """The direction stored, once its number was typed a second time and is the same.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    target, second = _level(typed.get("target", "")), _level(again)
    if isinstance(target, Quantity) and isinstance(second, Problem):
        second = _level(f"{again.strip()} {target.unit}")
    if not isinstance(target, Quantity) or not isinstance(second, Quantity):
        text = f"'{again[:40]}' is not a number"
        raise Unreadable(Problem("not-a-number", text, "the target once more", AGAIN))
    if (target.value, target.canonical) != (second.value, second.canonical):
        text = f"'{again[:40]}' is not {target.text}: nothing was stored"
        raise Unreadable(Problem("wrong-kind", text, "read the vet's words again", AGAIN))
    with as_unreadable():
        answer = record(desk, "direction", _form(typed))
    text = f"{answer['vet']}: {answer['treatment']}, {answer['read_back']}"
    return recorded(desk, answer, text, next_text=answer["because"][-1])


def _level(text: str) -> Quantity | Problem:
    return read_quantity(text, "concentration", form="w/v")


def _form(typed: Mapping[str, str]) -> dict[str, Any]:
    return {k.replace("-", "_"): v.strip() for k, v in typed.items() if v.strip()}


def shelf(desk: Desk, treatment: str) -> tuple[BottleChoice, ...]:
    """The bottles and packets of a treatment, the newest first."""
    with at_work(desk) as book:
        today = local_date(book.now, book.facts.zone)
        found = on_shelf(book, treatment_named(book.shelf, treatment))
        return tuple(
            BottleChoice(f"{p.name}#{p.id}", bottle_text(shelf_keys(book, p)), why_past(p, today))
            for p in reversed(found)
        )


def bottle_text(keys: Mapping[str, Any]) -> str:
    """``Formalin, 37 % w/w, batch F12, good to 2026-09-01``."""
    parts = [keys["name"], keys["strength"]]
    if keys["batch"]:
        parts.append(f"batch {keys['batch']}")
    if keys["past"]:
        parts.append(keys["past"])
    elif keys["good_until"]:
        parts.append(f"good to {keys['good_until']}")
    return ", ".join(parts)
