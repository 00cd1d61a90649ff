"""`dose` as a job: in a room, or from what was typed alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from intake.clock import Clock
from intake.flows.desk import Desk, at_work, load_protocols
from intake.flows.doses import dose_keys, work_out


def dose_in_room(desk: Desk, typed: Mapping[str, Any]) -> dict[str, Any]:
    """The dose for a vessel of the room, with everything the room knows of it.

    Raises
    ------
    Usage, Unreadable, Refused, RoomTrouble
        Where it cannot be worked out or must not be dosed.
    """
    with at_work(desk) as book:
        answer, notes = work_out(typed, book=book.trusted(), shelf=book.shelf, now=book.now)
    return {"title": answer.title, **dose_keys(answer), **notes.as_keys()}


def dose_anywhere(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The dose for a volume or a mass of fish; no room is opened.

    Raises
    ------
    Usage, Unreadable, Refused
        As `dose_in_room`.
    """
    now = Clock().now()
    answer, notes = work_out(typed, book=None, shelf=load_protocols(), now=now)
    return {"title": answer.title, **dose_keys(answer), **notes.as_keys()}
