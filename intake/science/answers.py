"""What became of each dated time: marked, answered by a record, due, overdue or still to come."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from intake.science.quarantine import Marked, QuarantineFacts
from intake.science.schedule import Slot

Marks = Mapping[str, Mapping[int, Sequence[Marked]]]
"""The marks of a quarantine's tasks by step and occurrence, oldest first."""


@dataclass(frozen=True, slots=True)
class Answer:
    """The state of one slot: due, overdue, done, skipped or upcoming, by which entry, and why.

    `missed` counts the earlier times of its kind that passed with nothing recorded.
    """

    state: str
    entry: int | None = None
    why: str = ""
    missed: int = 0


def marks_of(facts: QuarantineFacts, now_utc: datetime) -> Marks:
    """The keeper's marks that name a task of this quarantine and were made by `now_utc`."""
    head = f"{facts.system}/{facts.start_entry}/"
    found: dict[str, dict[int, list[Marked]]] = defaultdict(lambda: defaultdict(list))
    for m in sorted(facts.marked, key=lambda m: (m.at_utc, m.entry)):
        step, _, number = m.task.removeprefix(head).rpartition("/")
        if m.task.startswith(head) and number.isdecimal() and m.at_utc <= now_utc:
            found[step][int(number)].append(m)
    return found


def answers(
    facts: QuarantineFacts, found: Sequence[Slot], marks: Marks, now_utc: datetime, today: date
) -> list[Answer]:
    """The state of every slot, `found` being in order of opening.

    The newest mark counts; without one, a record of the slot's kind made before the next slot of
    that kind opens. A look answers when every fish that was in has been looked at.
    """
    records = _records(facts, now_utc)
    opens: dict[str, list[datetime]] = defaultdict(list)
    for s in found:
        opens[s.step.kind].append(s.opens_utc)
    result = []
    for s in found:
        own = marks.get(s.step.id, {}).get(s.number)
        if own:
            result.append(Answer(own[-1].state, own[-1].entry, own[-1].why))
            continue
        held = _held(facts, s) if s.step.evidence else None
        if held is not None and held.state == "done":
            result.append(held)
            continue
        starts = opens[s.step.kind]
        later = bisect_right(starts, s.opens_utc)
        until = starts[later] if later < len(starts) else None
        entry = _answering(facts, s, records.get(s.step.kind, []), until)
        why = "" if held is None else held.why
        if entry is not None:
            result.append(Answer("done", entry, f"recorded, entry {entry}"))
        elif s.ends_utc <= now_utc:
            result.append(Answer("overdue", why=why))
        else:
            result.append(Answer("due" if s.day <= today else "upcoming", why=why))
    return result


def _held(facts: QuarantineFacts, slot: Slot) -> Answer:
    """What the record says of a step with evidence: done by it, or what is missing."""
    asked = [r for r in facts.ready if r.piece in slot.step.evidence]
    missing = [r.text for r in asked if r.state == "missing"]
    there = [_held_text(r.text, r.entry) for r in asked if r.state == "ready"]
    open_ = [r.text for r in asked if r.state == "unsaid"]
    told = [f"missing: {'; '.join(missing)}"] if missing else []
    told += [f"on record: {'; '.join(there)}"] if there else []
    told += [f"not said: {'; '.join(open_)}"] if open_ else []
    if missing or not there:
        return Answer("due", why=". ".join(told))
    return Answer("done", max(r.entry for r in asked) or None, ". ".join(told))


def _held_text(text: str, entry: int) -> str:
    return f"{text}, entry {entry}" if entry else text


def shown(
    found: Sequence[Slot], told: Sequence[Answer], today: date, until: date, kept_days: int
) -> Iterable[tuple[Slot, Answer]]:
    """The slots worth showing: what is missed of repeating kinds is folded into the newest one.

    A missed time is left out when a later one of its kind was done or skipped, and when a restart
    came after it: the new run asks again.
    """
    missed: dict[str, list[int]] = defaultdict(list)
    for i, (slot, answer) in enumerate(zip(found, told, strict=True)):
        kind = slot.step.kind
        if answer.state in ("done", "skipped"):
            missed.pop(kind, None)
        elif answer.state == "overdue" and slot.step.repeats and slot.run.ended_utc is None:
            missed[kind].append(i)
    newest = {of[-1]: len(of) - 1 for of in missed.values()}
    oldest = today - timedelta(kept_days)
    for i, (slot, answer) in enumerate(zip(found, told, strict=True)):
        if answer.state == "overdue":
            if i in newest:
                yield slot, replace(answer, missed=newest[i])
            elif not slot.step.repeats and slot.run.ended_utc is None:
                yield slot, answer
        elif answer.state == "due" or oldest <= slot.day <= until:
            yield slot, answer


_Record = tuple[datetime, int, frozenset[str]]


def _records(facts: QuarantineFacts, now_utc: datetime) -> dict[str, list[_Record]]:
    anyone: frozenset[str] = frozenset()
    found: dict[str, list[_Record]] = defaultdict(list)
    found["look"] = [(x.at_utc, x.entry, frozenset(x.subjects)) for x in facts.looks]
    found["water-test"] = [(x.at_utc, x.entry, anyone) for x in facts.waters]
    found["temperature"] = [(x.at_utc, x.entry, anyone) for x in facts.temperatures]
    found["slide"] = [(x.at_utc, x.entry, anyone) for x in facts.slides]
    found["mixing-test"] = [(x.at_utc, x.entry, anyone) for x in facts.mixing_tests]
    found["treatment"] = [(x.at_utc, x.entry, frozenset({x.treatment})) for x in facts.doses]
    for x in facts.recorded:
        found[x.kind].append((x.at_utc, x.entry, anyone))
    return {k: sorted((r for r in v if r[0] <= now_utc), key=_order) for k, v in found.items()}


def _order(record: _Record) -> tuple[datetime, int]:
    return record[:2]


def _when(record: _Record) -> datetime:
    return record[0]


def _answering(
    facts: QuarantineFacts, slot: Slot, records: Sequence[_Record], until: datetime | None
) -> int | None:
    """The entry that completes the slot, or None."""
    wanted: set[str] | None = None
    treatment = slot.step.treatment
    # A dose given before its day is no less given: it is not asked for again.
    opens = min(slot.opens_utc, slot.run.began_utc) if treatment else slot.opens_utc
    for at_utc, entry, who in records[bisect_left(records, opens, key=_when) :]:
        if until is not None and at_utc >= until:
            break
        if treatment and treatment not in who:
            continue
        if slot.step.kind != "look":
            return entry
        wanted = _present(facts, at_utc) if wanted is None else wanted
        wanted -= who
        if not wanted:
            return entry
    return None


def _present(facts: QuarantineFacts, at_utc: datetime) -> set[str]:
    """Who is present now and was in already; with nobody known, any look will do."""
    late = {a.subject for a in facts.arrivals if a.at_utc > at_utc}
    return {o.subject for o in facts.present if o.subject not in late}
