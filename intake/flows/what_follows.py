"""What an entry would move, before it is written: the room is told of it and then forgets it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Book, Desk, at_work, load_protocols, rehearsed
from intake.flows.facts.things import System
from intake.flows.forms.every import FORMS
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import tasks_of
from intake.flows.record import Said, record_in
from intake.science.checks import Checks, checks
from intake.science.counters import Counters, counters

AHEAD_DAYS = 60
"""How far ahead the dates before and after are compared [d]."""
TOLD = 4
"""Tasks named one by one; more are counted."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One task that would have another date."""

    words: str
    was: date
    day: date


@dataclass(frozen=True, slots=True)
class Follows:
    """What would become of one water.

    `state` is begins, ends or goes-on; `fish` how many animals are in it. Days and dates are
    those before and after; None where there is none.
    """

    system: str
    state: str
    fish: int
    plan: str
    plan_days: int
    served_was: int
    served: int
    from_was: date | None
    from_: date | None
    release_was: date | None
    release: date | None
    moved: tuple[Moved, ...]
    new_tasks: int
    gone_tasks: int

    @property
    def same(self) -> bool:
        """Whether nothing about this water would change."""
        before = (self.from_was, self.release_was, self.served_was)
        after = (self.from_, self.release, self.served)
        return self.state == "goes-on" and before == after and not self.moved


@dataclass(frozen=True, slots=True)
class _Then:
    fish: int
    runs: bool
    plan: str
    plan_days: int
    count: Counters | None
    found: Checks | None
    tasks: Mapping[str, tuple[date, str]]


def what_follows(
    desk: Desk, kind: str, typed: Mapping[str, Any], said: Said
) -> tuple[tuple[Follows, ...], dict[str, Any]]:
    """What would become of every water in quarantine, and what the entry itself would answer.

    Raises
    ------
    Usage, Unreadable, Refused, RoomTrouble
        As the entry itself would.
    """
    if FORMS[kind].protocols:
        load_protocols()
    with at_work(rehearsed(desk), write=True) as book:
        before = _all(book)
        answer = record_in(book, FORMS[kind], typed, said)
        book.take_in()
        after = _all(book)
    names = dict.fromkeys([*before, *after])
    found = [_follows(n, before.get(n), after.get(n)) for n in names]
    return tuple(f for f in found if not f.same), answer


def _all(book: Book) -> dict[str, _Then]:
    until = local_date(book.now, book.facts.zone) + timedelta(AHEAD_DAYS)
    return {s.name: _then(book, s, until) for s in book.facts.waters() if s.quarantines}


def _then(book: Book, system: System, until: date) -> _Then:
    facts = facts_of(book, system)
    runs = system.quarantine is not None
    return _Then(
        fish=sum(a.count for a in book.facts.occupants(system.vessels)),
        runs=runs,
        plan=facts.plan.id,
        plan_days=facts.plan.days,
        count=counters(facts, book.now) if runs else None,
        found=checks(facts, book.now) if runs else None,
        tasks={
            t.id: (t.day, t.short or t.task)
            for t in tasks_of(book, system, until)
            if t.state in ("due", "overdue", "upcoming")
        },
    )


def _follows(name: str, before: _Then | None, after: _Then | None) -> Follows:
    was_on = before is not None and before.runs
    is_on = after is not None and after.runs
    last = after or before
    assert last is not None
    old = before.tasks if before else {}
    new = after.tasks if after else {}
    return Follows(
        system=name,
        state="goes-on" if was_on == is_on else "begins" if is_on else "ends",
        fish=last.fish,
        plan=last.plan,
        plan_days=last.plan_days,
        served_was=_served(before),
        served=_served(after),
        from_was=_from(before),
        from_=_from(after),
        release_was=_release(before),
        release=_release(after),
        moved=tuple(_moved(old, new)),
        new_tasks=len(new.keys() - old.keys()),
        gone_tasks=len(old.keys() - new.keys()),
    )


def _moved(old: Mapping[str, tuple[date, str]], new: Mapping[str, Any]) -> Iterator[Moved]:
    for id_, (was, words) in old.items():
        if id_ in new and new[id_][0] != was:
            yield Moved(words, was, new[id_][0])


def _served(then: _Then | None) -> int:
    return then.count.days_served if then and then.count else 0


def _from(then: _Then | None) -> date | None:
    return then.count.served_from if then and then.count else None


def _release(then: _Then | None) -> date | None:
    return then.found.earliest_release if then and then.found else None
