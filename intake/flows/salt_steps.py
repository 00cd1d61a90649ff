"""Salt steps: salt weighed into a water to find its volume, read again when it is mixed."""

from __future__ import annotations

from datetime import datetime, timedelta

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.dose_tasks import LATE_AFTER_H
from intake.flows.facts import Facts
from intake.flows.facts.things import SaltStep, System, Vessel
from intake.science.calendar import Task
from intake.science.ledger import Changed, Flushed, Joined, Portion
from intake.science.problem import Refused

READ_AGAIN = "read-again"
"""What the task is called in its id."""
MIXED_H = 24.0
"""After so long salt is mixed through a vessel and its meter is read again [h].

Common practice: a salinity is read a day after the salt.
"""


def step_for(vessel: Vessel, when: datetime, entry: int | None = None) -> SaltStep | None:
    """The newest salt step that waits for its reading, or that this entry read."""
    waiting = [s for s in vessel.salt_steps if s.read_by in (0, entry or 0) and s.at <= when]
    return waiting[-1] if waiting else None


def between(facts: Facts, vessel: Vessel, step: SaltStep, until: datetime) -> tuple[str, ...]:
    """What happened to the water after the salt went in: ``changed``, ``more-salt``, ``moved``."""
    system = facts.system_of(vessel)
    own = {step.entry, *(g.entry for g in vessel.gauged)}
    events = [w for w in system.water if step.at <= w.event.at_utc <= until]
    events = [w for w in events if w.entry > step.entry and w.entry not in own]
    found = []
    if any(isinstance(w.event, Changed | Flushed | Joined | Portion) for w in events):
        found.append("changed")
    salted = (w for w in events if w.salt_g_l)
    dosed = (d for d in system.doses if d.treatment == "salt" and d.entry not in own)
    if any(salted) or any(step.at <= d.at <= until for d in dosed):
        found.append("more-salt")
    if any(not isinstance(w.event, Changed | Flushed | Joined | Portion) for w in events):
        found.append("moved")
    return tuple(found)


def refuse_disturbed(facts: Facts, vessel: Vessel, step: SaltStep, until: datetime) -> str:
    """What makes the reading doubtful, "" where nothing does.

    Raises
    ------
    Refused
        volume-unknown, where salt left with the water or more came in after the first reading.
    """
    found = between(facts, vessel, step, until)
    said = f"after the salt of {facts.local(step.at)}"
    if "changed" in found or "more-salt" in found:
        what = "water was changed" if "changed" in found else "more salt went in"
        raise Refused(
            "volume-unknown",
            f"{what} in {vessel.name} {said}: the two readings no longer tell its water",
            source="a salt step needs the same salt in the same water at both readings",
            way_out=f"read the meter now and begin again: intake record salt-step '{vessel.name}'",
        )
    if "moved" in found:
        return f"the waterline moved {said}: this is the water at the reading after"
    return ""


def too_early(step: SaltStep, when: datetime) -> bool:
    """Whether the salt has not had its time to mix."""
    return when - step.at < timedelta(hours=MIXED_H)


def reading_tasks(book: Book, system: System) -> list[Task]:
    """One task for each salt step of a water that waits for its second reading."""
    steps = [
        (vessel, step)
        for vessel in map(book.facts.vessel, system.vessels)
        for step in vessel.salt_steps
        if not step.read_by and vessel.present
    ]
    return [_task(book, system, vessel, step) for vessel, step in steps]


def _task(book: Book, system: System, vessel: Vessel, step: SaltStep) -> Task:
    zone = book.facts.zone
    at = step.at + timedelta(hours=MIXED_H)
    day = local_date(at, zone)
    state = "due" if day <= local_date(book.now, zone) else "upcoming"
    if book.now > at + timedelta(hours=LATE_AFTER_H):
        state = "overdue"
    salt, before = step.typed["salt"], step.typed["before"]
    return Task(
        id=f"{system.name}/{step.entry}/{READ_AGAIN}/1",
        day=day,
        from_=day,
        to=day,
        at=f"{at.astimezone(zone):%H:%M}",
        task=f"Read the meter again in {vessel.name}, for its volume by salt",
        kind="salt-step",
        system=system.name,
        state=state,
        because=f"{salt} of salt went in {book.facts.local(step.at)}, entry {step.entry}, at "
        f"{before}; it takes a day to mix",
        at_utc=at,
        short="read the meter again",
    )
