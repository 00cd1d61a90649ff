"""Restarts that are proposed: how long they wait, and what each answer would do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from intake.flows.desk import Book
from intake.flows.facts.things import System
from intake.flows.jobs.words import day_text, when_text
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import in_quarantine
from intake.flows.views.calendar import Proposal
from intake.science.checks import checks
from intake.science.counters import counters
from intake.science.quarantine import QuarantineFacts, Settled

NEWEST = 2**62
"""Stands for the number the answer would get: after everything that is written."""


def proposals_of(book: Book, system: System) -> tuple[Proposal, ...]:
    """The restarts of a water that wait for the keeper's word, the one with least time first."""
    if system.quarantine is None:
        return ()
    facts = facts_of(book, system)
    found = [
        Proposal(
            system=system.name,
            entry=r.entry,
            text=r.because,
            stands=when_text(book, r.stands_utc),
            hours_left=max(0, int((r.stands_utc - book.now).total_seconds() // 3600)),
            keep=_after(book, facts, r.entry, "keep"),
            restart=_after(book, facts, r.entry, "restart"),
        )
        for r in counters(facts, book.now).proposed
        if r.stands_utc is not None
    ]
    return tuple(sorted(found, key=lambda p: p.hours_left))


def all_proposals(book: Book) -> tuple[Proposal, ...]:
    """Those of every water, the one with least time first."""
    found = [p for s in in_quarantine(book) for p in proposals_of(book, s)]
    return tuple(sorted(found, key=lambda p: p.hours_left))


def _after(book: Book, facts: QuarantineFacts, entry: int, choice: str) -> str:
    """The day served and the earliest release, were it settled so now."""
    settled = Settled(book.now, NEWEST, entry, choice)
    then = replace(facts, settled=(*facts.settled, settled))
    count, found = counters(then, book.now), checks(then, book.now)
    release = day_text(found.earliest_release) if found.earliest_release else "not known"
    since = _since(count.served_from)
    by = f", set by {found.decided_by}" if found.decided_by else ""
    return f"day {count.days_served} of {facts.plan.days}{since}; earliest release {release}{by}"


def _since(day: date | None) -> str:
    return f", counted from {day_text(day)}" if day else ""
