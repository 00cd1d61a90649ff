"""Today: the round of the vessels, clean to dirty, and what each asks for."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from intake.clock import local_date
from intake.flows.asking import alerts, claims
from intake.flows.clock_back import behind
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.happened import LookFact
from intake.flows.facts.things import Animal, System, Vessel
from intake.flows.facts.volumes import litres
from intake.flows.forms.water import ZONES
from intake.flows.jobs.proposals import all_proposals
from intake.flows.jobs.receive_bag import tan_kit
from intake.flows.jobs.words import (
    clock_text,
    day_text,
    reading_shown,
    with_doubt,
)
from intake.flows.line_words import old_lines
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import tasks_of, with_tasks
from intake.flows.residues import Substance, substances
from intake.flows.views.parts import Timer
from intake.flows.views.today import Alert, RoundStop, RoundTask, TodayView
from intake.science.calendar import Task
from intake.science.counters import counters
from intake.science.figures import figure
from intake.science.show import show, show_range

WALK = ("eggs", "fry", "resident", "cleared", "quarantine", "hospital")
"""The order of the feet: from what must stay cleanest to what may be dirtiest."""
CROSSING = "wash hands, change net and towel"
MINUTES_A_VESSEL = 3
"""What one vessel of the round takes [min] (common practice)."""
SKIP_REASONS = ("no time today", "fish resting", "kit not here", "vet said to wait")
KINDS = {
    "look": "look",
    "water-test": "reading",
    "temperature": "reading",
    "change": "change",
    "treatment": "dose",
    "slide": "slide",
    "clean": "clean",
}
assert set(WALK) == set(ZONES)


def round_of(book: Book) -> list[Vessel]:
    """The vessels in the order they are walked."""
    vessels = [v for v in book.facts.of_kind(Vessel) if v.present]
    order = [n.strip() for n in book.facts.settings.get("round_order", "").split(",") if n.strip()]

    def place(v: Vessel) -> tuple[int, int, int]:
        own = order.index(v.name) if v.name in order else len(order)
        return own, WALK.index(v.zone) if v.zone in WALK else len(WALK), v.id

    return sorted(vessels, key=place)


def view(desk: Desk) -> TodayView:
    """The round as it stands now."""
    with at_work(desk) as book:
        facts = book.facts
        today_ = local_date(book.now, facts.zone)
        due = _due(book)
        stops: list[RoundStop] = []
        before = ""
        for vessel in round_of(book):
            crossing = CROSSING if _dirtier(before, vessel.zone) else ""
            stops.append(_stop(book, vessel, due.get(vessel.system, []), crossing))
            before = vessel.zone
        left = sum(not s.done_text for s in stops)
        signs = tuple((s.id, s.title) for s in book.shelf.signs.values())
        return TodayView(
            f"{day_text(today_)} {today_.year}",
            tuple(stops),
            left * MINUTES_A_VESSEL if left else None,
            (*_clock_alert(book), *(_alert(a) for a in alerts(book))),
            timers(book),
            tuple(_claim(c) for c in claims(book) if c["state"] == "open"),
            signs,
            SKIP_REASONS,
            tan_kit(book)[1],
            proposals=all_proposals(book),
        )


def _alert(found: dict[str, Any]) -> Alert:
    text, system = found["text"], found["system"]
    told = text if system in text else f"{system}: {text[0].lower()}{text[1:]}"
    return Alert(found["urgency"], told, found["because"], system)


def _clock_alert(book: Book) -> tuple[Alert, ...]:
    said = behind(book)
    if not said:
        return ()
    because = "everything recorded keeps its order; days and what is overdue go by the clock now"
    return (Alert("watch", f"set the clock of this machine: {said}", because),)


def _claim(claim: dict[str, str]) -> str:
    closes = datetime.fromisoformat(claim["closes_at"])
    return f"{claim['shipment']}: claim by {closes:%H:%M}"


def timers(book: Book) -> tuple[Timer, ...]:
    """What runs on the clock: a bag afloat until its lift, fish in a bath."""
    from intake.flows.jobs.bath_clock import bath_timers
    from intake.flows.jobs.receive import running

    return (*bath_timers(book), *running(book))


def _dirtier(before: str, zone: str) -> bool:
    return bool(before) and before in WALK[:4] and zone in WALK[4:]


def _due(book: Book) -> dict[int, list[Task]]:
    today_ = local_date(book.now, book.facts.zone)
    found: dict[int, list[Task]] = {}
    for system in with_tasks(book):
        every = tasks_of(book, system, today_)
        found[system.id] = [t for t in every if t.state in ("due", "overdue")]
    return found


def _looks_today(book: Book, vessel: Vessel) -> list[LookFact]:
    today_ = local_date(book.now, book.facts.zone)
    here = {a.id for a in book.facts.occupants([vessel.id])}
    return [
        look
        for look in book.facts.system_of(vessel).looks
        if here & set(look.animals) and local_date(look.at, book.facts.zone) == today_
    ]


def heads(animals: list[Animal]) -> str:
    """``3 fish``, ``no fish``."""
    count = sum(a.count for a in animals)
    return f"{count} fish" if count else "no fish"


def zone_text(book: Book, vessel: Vessel) -> str:
    """The zone, with the day of a quarantine that runs."""
    system = book.facts.system_of(vessel)
    if system.quarantine is None:
        return vessel.zone
    day_0 = counters(facts_of(book, system), book.now).day_0
    if day_0 is None:
        return f"{vessel.zone} waiting"
    days = (local_date(book.now, book.facts.zone) - day_0).days
    return f"{vessel.zone} day {days}"


def _stop(book: Book, vessel: Vessel, due: list[Task], crossing: str) -> RoundStop:
    system = book.facts.system_of(vessel)
    animals = book.facts.occupants([vessel.id])
    looks = _looks_today(book, vessel)
    tasks = [_task(t, animals) for t in due if not (t.kind == "look" and not animals)]
    if system.quarantine is None and animals and not looks:
        text = f"look at {heads(animals)}"
        tasks.insert(0, RoundTask("", "look", text, because="every fish is looked at every day"))
    tasks += _redoses(book, system, vessel)
    asks_look = any(t.kind == "look" for t in tasks)
    done, care, last = "", False, None
    if looks and not asks_look:
        done, care, last = _done(book, looks[-1], system)
    elif not animals and not tasks:
        done = "empty"
    temp = vessel.readings.get("temp")
    return RoundStop(
        vessel=vessel.name,
        system=system.name,
        zone=zone_text(book, vessel),
        occupants=heads(animals),
        tasks=tuple(_folded(tasks)),
        done_text=done,
        done_care=care,
        last_entry=last,
        crossing=crossing,
        because=_because(book, vessel, tasks),
        temp_text=reading_shown(book, temp).text + (" C" if temp else ""),
        sheet=_sheet(book, vessel),
    )


def _folded(tasks: list[RoundTask]) -> list[RoundTask]:
    """One line for tasks of one kind that fall on the same day."""
    seen: dict[tuple[str, str], RoundTask] = {}
    for task in tasks:
        key = (task.kind, task.text)
        if key not in seen or task.state == "overdue":
            seen.setdefault(key, task)
    return list(seen.values())


def _task(task: Task, animals: list[Animal]) -> RoundTask:
    kind = KINDS.get(task.kind, "other")
    words = f"look at {heads(animals)}" if task.kind == "look" else task.short or task.task
    return RoundTask(task.id, kind, words, "", task.at, task.state, _cause(task))


def _cause(task: Task) -> str:
    late = "" if task.late is None else f"overdue: {task.late.said}. "
    if task.evidence:
        return f"{late}{task.because}. {task.task}"
    return f"{late}{task.task}. {task.because}"


def _redoses(book: Book, system: System, vessel: Vessel) -> list[RoundTask]:
    """What a water change took out of a treatment that is put back."""
    from intake.flows.redose import missing

    return [
        RoundTask(
            m.task,
            "dose",
            f"{m.title} re-dose",
            m.amount_text,
            because=f"{m.title} fell from {figure(m.was, 3)} to {figure(m.level, 3)} {m.unit} "
            "with the change",
        )
        for m in missing(book, system)
        if system.vessels[0] == vessel.id
    ]


def _done(book: Book, look: LookFact, system: System) -> tuple[str, bool, int]:
    at = clock_text(book, look.at)
    today_ = local_date(book.now, book.facts.zone)
    dead = [d for d in system.deaths if local_date(d.at, book.facts.zone) == today_]
    if dead:
        count = sum(d.count for d in dead)
        return f"{count} found dead {clock_text(book, dead[-1].at)}", True, dead[-1].entry
    seen = [(s, g) for s, g in look.signs if g > 0]
    if seen:
        sign, grade = max(seen, key=lambda x: x[1])
        known = book.shelf.signs.get(sign)
        return f"{known.title if known else sign} {grade} {at}", True, look.entry
    return f"all well {at}", False, look.entry


def _because(book: Book, vessel: Vessel, tasks: list[RoundTask]) -> str:
    late = [t for t in tasks if t.state == "overdue"]
    for task in [*late, *tasks]:
        if task.because:
            return task.because
    if not book.facts.occupants([vessel.id]):
        return f"{vessel.name} has no fish and nothing due."
    return f"nothing else is due at {vessel.name} today."


def _left(s: Substance) -> str:
    """What is left of a treatment, from its low to its high end."""
    if s.level.low == s.level.high:
        return show(s.level.now, s.unit)
    return show_range(s.level.low, s.level.high, s.unit)


def _sheet(book: Book, vessel: Vessel) -> tuple[tuple[str, str], ...]:
    system = book.facts.system_of(vessel)
    volume = with_doubt(*litres(vessel), "L")
    old = [f", line read {line.age} ago" for line in old_lines(book, [vessel], book.now)]
    rows = [("water", f"{volume.text} L{old[0] if old else ''}")]
    read = {"temp": vessel.readings.get("temp"), **system.readings}
    for name, label in (("temp", "temperature"), ("ph", "pH"), ("tan", "TAN"), ("kh", "KH")):
        found = read.get(name)
        if found is not None:
            shown = reading_shown(book, found, system=system)
            rows.append((label, f"{shown.text} {shown.unit}".strip() + f", {shown.origin}"))
    for s in substances(book, system, book.now):
        rows.append((s.treatment, _left(s)))
    return tuple(rows)
