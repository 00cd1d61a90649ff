"""The paper of a release: who is let out of quarantine on what evidence, or what is still open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from intake.clock import local_date
from intake.flows import release_rows as rows
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.quarantining import Quarantine
from intake.flows.facts.things import Animal, System
from intake.flows.notes import Notes
from intake.flows.papers import free_name, path_of, write_paper
from intake.flows.quarantine_facts import facts_of, fish_facts
from intake.flows.release_charts import charts
from intake.flows.windows_said import window_keys
from intake.report.release import Check, Release
from intake.science.check_state import CheckState
from intake.science.checks import Checks, checks
from intake.science.counters import Counters, counters
from intake.science.problem import Problem, Unreadable
from intake.science.quarantine import Occupant, Passed, QuarantineFacts
from intake.science.windows import Window, windows


@dataclass(frozen=True, slots=True)
class Meant:
    """Whose release: a water's, or that of one fish or group, and the entry that released it."""

    system: System
    running: Quarantine
    animal: Animal | None
    animals: list[Animal]
    facts: QuarantineFacts
    entry: int | None = None


def write(desk: Desk, subject: str, out: str) -> dict[str, Any]:
    """Writes the paper of a release and answers with what it rests on and where it is.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then no file is made.
    """
    path = path_of(out)
    with at_work(desk) as book:
        meant = meant_by(book, subject)
        sheet = sheet_of(book, meant)
        found = checks(meant.facts, book.now)
        keys = window_keys(_windows(book, meant))
        at = meant.facts.released_utc
        released = at.astimezone(book.facts.zone).isoformat() if at else None
    write_paper(path, "release", sheet)
    return {
        "system": sheet.system,
        "subject": sheet.subject,
        "file": str(path),
        "released_at": released,
        "earliest_release": found.earliest_release.isoformat() if found.earliest_release else None,
        "decided_by": found.decided_by or None,
        "open": [c.check for c in found.open],
        "windows": keys,
        **Notes().as_keys(),
    }


def file_name(desk: Desk, subject: str, end: str) -> str:
    """A file for it that is not there yet, in the folder worked in; never named by a text."""
    with at_work(desk) as book:
        meant = meant_by(book, subject)
        return free_name(f"release-{(meant.animal or meant.system).id}", end)


def meant_by(book: Book, name: str) -> Meant:
    """The quarantine of a water, or the one a fish or group is in or was released from.

    Raises
    ------
    Unreadable
        no-such-name, where there is no such thing or it was never in quarantine.
    """
    found = book.facts.find(name, ("vessel", "system", "fish", "group"), book.now)
    if isinstance(found, Problem):
        raise Unreadable(found.placed("SUBJECT"))
    if found.kind in ("fish", "group"):
        return _fish(book, book.facts.animal(found.id))
    system = (
        book.facts.systems[found.id]
        if found.kind == "system"
        else book.facts.system_of(book.facts.vessel(found.id))
    )
    if not system.quarantines:
        raise _none(system.name, f"intake record quarantine '{system.name}'")
    running = system.quarantines[-1]
    known = facts_of(book, system)
    if running.released is None:
        return Meant(system, running, None, book.facts.occupants(system.vessels), known)
    freed = [
        (entry, a)
        for a in book.facts.of_kind(Animal)
        for entry, at, of in a.releases
        if of == running.id and at <= running.released
    ]
    animals = list({a.id: a for _, a in freed}.values())
    entry = max((entry for entry, _ in freed), default=None)
    return Meant(system, running, None, animals, _of(known, animals), entry)


def _fish(book: Book, animal: Animal) -> Meant:
    if animal.releases:
        entry, at, number = animal.releases[-1]
        for system in book.facts.systems.values():
            running = next((r for r in system.quarantines if r.id == number), None)
            if running is not None:
                known = _of(facts_of(book, system, running), [animal])
                known = replace(known, released_utc=at, passed=_passed(book, entry))
                return Meant(system, running, animal, [animal], known, entry)
    if animal.vessel:
        system = book.facts.system_of(book.facts.vessel(animal.vessel))
        if system.quarantines:
            known = fish_facts(book, animal)
            return Meant(system, system.quarantines[-1], animal, [animal], known)
    raise _none(animal.name, "the fish of a water that was never in quarantine need no release")


def _none(name: str, hint: str) -> Unreadable:
    return Unreadable(Problem("no-such-name", f"{name} has no quarantine", hint, "SUBJECT"))


def _of(known: QuarantineFacts, animals: list[Animal]) -> QuarantineFacts:
    """The facts as of those that were released, wherever they are now."""
    here = tuple(Occupant(a.name, a.count, a.stage) for a in animals)
    return replace(known, present=here)


def _passed(book: Book, entry: int) -> tuple[Passed, ...]:
    found = book.entry(entry)
    passed = found.content.get("pass", ()) if found else ()
    return tuple(Passed(found.at, entry, c, reason) for c, reason in passed) if found else ()


def _windows(book: Book, meant: Meant) -> tuple[Window, ...]:
    days = counters(meant.facts, book.now).temperatures
    return windows([d.mean_c for d in days], meant.facts.plan)


def sheet_of(book: Book, meant: Meant) -> Release:
    """All that the paper says."""
    facts, system = meant.facts, meant.system
    found, count = checks(facts, book.now), counters(facts, book.now)
    last = min(book.now, facts.released_utc or book.now)
    day_0 = count.day_0 or local_date(facts.started_utc, book.facts.zone)
    number, hash_ = _head(book)
    plan = facts.plan
    return Release(
        subject=meant.animal.name if meant.animal else system.name,
        system=system.name,
        verdict=_verdict(book, meant, found),
        decides=_decides(found, facts),
        plan=f"Plan {plan.title}, version {plan.version}: {plan.days} days, never under "
        f"{plan.floor_days}; begun {rows.moment_words(book, meant.running.at)}, entry "
        f"{meant.running.id}. Day 0 is {rows.day_words(day_0)}.",
        fish=rows.fish_lines(book, meant.animals),
        counts=tuple(_counts(facts, count)),
        checks=tuple(_check(book, c, facts) for c in found.checks),
        windows=tuple(w.said for w in _windows(book, meant)),
        slides=rows.slide_lines(facts, last),
        mixing=rows.mixing_lines(book, facts, last),
        treatments=rows.treatments(book, facts, last),
        deaths=rows.deaths(facts, last),
        signs=rows.signs(book, facts, last),
        after=_after(book, meant, found),
        charts=charts(book, system, meant.running, facts, day_0),
        printed=f"Printed {rows.moment_words(book, book.now)}"
        f" by {book.desk.keeper or next(iter(book.facts.keepers), 'nobody named')}",
        head=f"Journal at entry {number}, {hash_}",
    )


def _verdict(book: Book, meant: Meant, found: Checks) -> str:
    at = meant.facts.released_utc
    if meant.running.released is None and meant.entry is None:
        if at is not None:
            return f"Not released: its last fish left it {rows.moment_words(book, at)}"
        if not found.open:
            return "Not released yet; every check is met or passed by a reason"
        return f"Not released: {len(found.open)} of {len(found.checks)} checks open"
    entry = book.entry(meant.entry) if meant.entry else None
    who = f" by {entry.keeper}, entry {entry.entry}" if entry else ""
    told = f"Released {rows.moment_words(book, at) if at else ''}{who}"
    if found.open:
        told += f"; as the record stands now {len(found.open)} checks are open"
    return told


def _decides(found: Checks, facts: QuarantineFacts) -> str:
    if found.earliest_release is None:
        return "No fish is in yet and none is expected: there is no day of release."
    when = "was" if facts.released_utc else "is"
    day = rows.day_words(found.earliest_release)
    return f"The earliest day of release {when} {day}; {found.decided_because}."


def _counts(facts: QuarantineFacts, count: Counters) -> Iterator[str]:
    plan = facts.plan
    yield f"days served {count.days_served} of {plan.days}"
    sign, warm = plan.check("sign-free"), plan.check("warm-days")
    yield f"sign-free days {count.sign_free_days}" + (f" of {sign.days}" if sign else "")
    yield f"warm days {count.warm_days}" + (f" of {warm.days}" if warm else "")
    for r in count.restarts:
        words = {"stands": "counts", "proposed": "proposed", "kept": "settled, the days are kept"}
        yield f"{rows.day_words(r.day)}: {r.because}; {words[r.state]}"


def _check(book: Book, state: CheckState, facts: QuarantineFacts) -> Check:
    passed = ""
    if state.state == "passed-by-reason":
        found = [p for p in facts.passed if p.check == state.check]
        newest = max(found, key=lambda p: (p.at_utc, p.entry))
        entry = book.entry(newest.entry)
        who = entry.keeper if entry and entry.keeper else "nobody named"
        passed = f"Passed by {who} on {rows.moment_words(book, newest.at_utc)}: {newest.reason}."
    return Check(state.check, state.state, f"{state.evidence}.", state.to_do, passed)


def _after(book: Book, meant: Meant, found: Checks) -> tuple[str, ...]:
    """What closes the quarantine: its tasks where it is over, else what the plan will ask."""
    plan = meant.facts.plan
    steps = [s for s in plan.steps if s.counted_from == "release"]
    at = meant.facts.released_utc
    told = []
    for s in steps:
        last = s.from_day if s.to_day is None else s.to_day
        if at is not None:
            day = local_date(at, book.facts.zone)
            span = _span(day + timedelta(s.from_day), day + timedelta(last))
        else:
            span = f"day {s.from_day} to {last} after release"
        told.append(f"{span}: {s.task}")
    if not told:
        return ("the plan asks for nothing after release",)
    if at is None and found.open:
        told.insert(0, "only once every check is met or passed by a reason:")
    return tuple(told)


def _span(first: date, last: date) -> str:
    if first == last:
        return rows.day_words(first)
    return f"{rows.day_words(first)} to {rows.day_words(last)}"


def _head(book: Book) -> tuple[int, str]:
    from intake.store import journal

    return journal.head(book.connection)
