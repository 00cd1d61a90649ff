"""A death as it is found: what is kept of it, and what to do with the fish."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import timedelta

from intake.flows.desk import Book, Desk, at_work
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded
from intake.flows.record import record
from intake.flows.views.parts import Recorded

_CLOCK = re.compile(r"(\d{1,2}):(\d{2})")


def moment(book: Book, text: str) -> str:
    """A clock time as the latest moment that has come; anything else as it stands."""
    found = _CLOCK.fullmatch(text)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        return text
    there = book.now.astimezone(book.facts.zone)
    day = there.date()
    if (int(found[1]), int(found[2])) > (there.hour, there.minute):
        day -= timedelta(days=1)
    return f"{day} {int(found[1]):02}:{found[2]}"


def death(desk: Desk, subject: str, typed: Mapping[str, str]) -> Recorded:
    """Found dead, or killed humanely.

    Parameters
    ----------
    typed
        As the form of a death; ``last-seen`` may be a clock time.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    given = {k.replace("-", "_"): v.strip() for k, v in typed.items() if v.strip()}
    if "last_seen" in given:
        with at_work(desk) as book:
            given["last_seen"] = moment(book, given["last_seen"])
    with as_unreadable():
        answer = record(desk, "death", {"subject": subject, **given})
    count = given.get("count", "1")
    text = f"{subject}: {count} found dead"
    return recorded(desk, answer, text, next_text="; ".join(answer["because"]))
