"""What is left in a vessel's water over days, past and to come, and the plan of its changes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from intake.drawing.level_chart import (
    CHANGE_DUE,
    CHANGED,
    DOSE_DUE,
    DOSED,
    LevelChart,
    Mark,
)
from intake.flows.change_plan import DAYS, MOST_CHANGES_A_DAY, Planned, planned
from intake.flows.desk import Book, Desk, at_work
from intake.flows.dose_tasks import dose_tasks
from intake.flows.facts.things import System
from intake.flows.facts.volumes import waters
from intake.flows.names import unknown
from intake.flows.notes import Notes
from intake.flows.plan_words import dosed, kept_of, told, way_out
from intake.flows.residues import ledger_of, substances
from intake.flows.views.residue import PlanRow, ResidueView
from intake.science.change_planner import PlannedChange
from intake.science.figures import figure
from intake.science.kept_medicine import Change, Medicine, changed_ledger
from intake.science.ledger import NONE_LEFT, Changed, Flushed, Ledger
from intake.science.problem import Unreadable
from intake.science.residue import ahead
from intake.science.show import show

PAST_DAYS = 5
"""How far back the chart begins, where the water is as old [d]. Common practice."""
EVERY = timedelta(hours=8)
"""How far apart the points are between events. Common practice."""
JUST_BEFORE = timedelta(seconds=1)
DAY = timedelta(days=1)


def view(desk: Desk, name: str, changes_a_day: int) -> ResidueView:
    """What is left in the water of the vessel of that name, and its plan."""
    a_day = max(1, min(changes_a_day, MOST_CHANGES_A_DAY))
    with at_work(desk) as book:
        vessel = book.facts.vessel_named(name)
        if vessel is None:
            raise Unreadable(unknown(name, (), "a vessel of this room"))
        system, notes = book.facts.system_of(vessel), Notes()
        found = planned(book, system, notes, DAYS, a_day)
        charts = tuple(_charts(book, system, found))
        volume_l = waters(book.facts, system)[0]
        rows = tuple(_row(book, found, c) for c in found.plan.changes) if found.plan else ()
    said = [w.text for w in notes.warnings] + notes.assumptions
    return ResidueView(
        system.name,
        show(volume_l, "L"),
        charts,
        None if found.plan is None else found.plan.possible,
        found.plan.failure if found.plan else "",
        told(found),
        way_out(found),
        rows,
        a_day,
        "; ".join(said),
    )


def _row(book: Book, found: Planned, change: PlannedChange) -> PlanRow:
    puts = []
    for name, _, after in change.levels:
        kept = kept_of(found, name)
        assert kept is not None
        put = "no "
        if dosed(found, kept):
            put = f"{show(kept.amount(change.litres), kept.product.unit)} of "
        puts.append(f"{put}{name} in it, then {figure(after.now, 3)} {kept.unit}")
    before, then = change.nh3_before_n_mg_l, change.nh3_after_n_mg_l
    return PlanRow(
        f"{change.at_utc.astimezone(book.facts.zone):%a %d %b %H:%M}",
        f"{show(change.litres, 'L')}, {change.percent} %",
        f"{figure(before, 2)} > {figure(then, 2)}",
        tuple(puts),
    )


def _charts(book: Book, system: System, found: Planned) -> Iterator[LevelChart]:
    """One for each substance, then NH3 where it was worked out."""
    changes = found.plan.changes if found.plan else ()
    since = book.now
    for name, ledger, kept in _followed(book, system, found):
        points = _points(book, ledger)
        since = min(since, points[0])
        yield replace(
            _level(book, ledger, points),
            name=name,
            unit=ledger.unit,
            floor=kept.low if kept else None,
            limit=kept.limit if kept else None,
            marks=_marks(book, system, name, changes),
            days=_midnights(book, points),
        )
    if found.plan is not None and found.ahead is not None:
        start = (0.0, found.plan.nh3_now_n_mg_l)
        line = [start]
        for c in changes:
            day = (c.at_utc - book.now) / DAY
            line += [(day, c.nh3_before_n_mg_l), (day, c.nh3_after_n_mg_l)]
        line.append((float(found.days), found.plan.nh3_end_n_mg_l))
        yield LevelChart(
            "NH3 at most", "mg/L as N", tuple(line),
            limit=found.ahead.limits.nh3_n_mg_l,
            marks=tuple(Mark((c.at_utc - book.now) / DAY, CHANGE_DUE) for c in changes),
            days=_midnights(book, [since, book.now + found.days * DAY]),
            since=(since - book.now) / DAY,
        )  # fmt: skip


def _followed(
    book: Book, system: System, found: Planned
) -> Iterator[tuple[str, Ledger, Medicine | None]]:
    """Each substance with its ledger and the changes to come in it."""
    planned_l = found.plan.changes if found.plan else ()
    changes = [Change(c.at_utc, c.litres) for c in planned_l]
    left_now = (s.treatment for s in substances(book, system, book.now))
    names = dict.fromkeys([*(k.medicine.name for k in found.kept), *left_now])
    for name in names:
        kept = kept_of(found, name)
        if kept is not None:
            medicine = kept.medicine if dosed(found, kept) else kept.medicine.left_out()
            yield name, changed_ledger(medicine, changes), medicine
        else:
            ledger = ledger_of(book, system, name)
            left = Medicine(name, ledger, 0.0, 0.0, "", NONE_LEFT)
            yield name, changed_ledger(left, changes), None


def _points(book: Book, ledger: Ledger) -> list[datetime]:
    """When the level is worked out: in between, and round every event."""
    first = max(ledger.start.at_utc, book.now - PAST_DAYS * DAY)
    last = book.now + DAYS * DAY
    count = int((last - first) / EVERY)
    times = {first + n * EVERY for n in range(count + 1)} | {book.now, last}
    for event in ledger.events:
        times |= {event.at_utc - JUST_BEFORE, event.at_utc}
    return sorted(t for t in times if first <= t <= last)


def _level(book: Book, ledger: Ledger, times: Sequence[datetime]) -> LevelChart:
    levels = ahead(ledger, times)
    days = [(t - book.now) / DAY for t in times]

    def line(end: str) -> tuple[tuple[float, float], ...]:
        return tuple((day, getattr(r, end)) for day, r in zip(days, levels, strict=True))

    doubtful = any(r.low != r.high for r in levels)
    ends = (line("low"), line("high")) if doubtful else ((), ())
    return LevelChart("", "", line("now"), *ends)


def _marks(
    book: Book, system: System, name: str, changes: Sequence[PlannedChange]
) -> tuple[Mark, ...]:
    found = [(d.at, DOSED) for d in system.doses if d.treatment == name and d.at <= book.now]
    found += [
        (w.event.at_utc, CHANGED)
        for w in system.water
        if isinstance(w.event, Changed | Flushed) and w.event.at_utc <= book.now
    ]
    found += [(c.at_utc, CHANGE_DUE) for c in changes]
    found += [
        (t.at_utc, DOSE_DUE)
        for t in dose_tasks(book, system)
        if t.at_utc is not None and t.id.split("/")[2] == name
    ]
    return tuple(Mark((at - book.now) / DAY, letter) for at, letter in found)


def _midnights(book: Book, times: Sequence[datetime]) -> tuple[tuple[float, str], ...]:
    """Every local midnight between the first and the last time, with its date."""
    zone = book.facts.zone
    local = times[0].astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    found = []
    while (local := local + DAY) <= times[-1].astimezone(zone):
        found.append(((local - book.now) / DAY, f"{local:%d %b}"))
    return tuple(found)
