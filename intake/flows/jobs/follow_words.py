"""What an entry would move, in words for the question that stands before it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Desk, at_work
from intake.flows.jobs.calendar_words import readable
from intake.flows.jobs.words import day_text
from intake.flows.record import Said
from intake.flows.what_follows import TOLD, Follows, what_follows


def foretold(
    desk: Desk, kind: str, typed: Mapping[str, Any], said: Said | None = None
) -> tuple[str, ...]:
    """Every clock, date and fish that would move, then what the entry itself would warn of."""
    found, answer = what_follows(desk, kind, typed, said or Said(why="what if"))
    told = [text for f in found for text in _told(f)]
    told += [_released(one) for one in answer.get("released", ())]
    missing = [r["piece"] for r in answer.get("ready", ()) if r["state"] == "missing"]
    if missing:
        told.append(f"not on record yet: {', '.join(missing)}")
    with at_work(desk) as book:
        today = local_date(book.now, book.facts.zone)
    moved = tuple(f"{f.system}: " for f in found)
    told += [readable(b, today) for b in answer["because"] if not b.startswith(moved)]
    cautions = answer.get("preventive", {}).get("cautions", ())
    return (*told, *(w["text"] for w in answer["warnings"]), *cautions)


def _released(one: Mapping[str, Any]) -> str:
    """Who is free, by which reasons, and how long they are watched."""
    who = ", ".join(
        f"{f['name']} ({f['count']})" if f["count"] > 1 else f["name"] for f in one["fish"]
    )
    passed = one["passed_by_reason"]
    by = f", passed by reason: {', '.join(passed)}" if passed else ""
    until = one["watch_until"]
    watch = f"; watched until {day_text(date.fromisoformat(until))}" if until else ""
    return f"released: {who or 'no fish'}{by}{watch}"


def _told(f: Follows) -> Iterator[str]:
    fish = f"{f.fish} fish" if f.fish else "no fish yet"
    if f.state == "begins":
        when = f"day 0 is {day_text(f.from_)}" if f.from_ else "day 0 is the day the last goes in"
        yield f"{f.system}: plan {f.plan}, {f.plan_days} days, {fish}; {when}"
        if f.release is not None:
            yield f"{f.system}: earliest release {day_text(f.release)}"
        return
    if f.state == "ends":
        more = f", {f.new_tasks} of the watch after it come" if f.new_tasks else ""
        yield f"{f.system}: the quarantine ends; {f.gone_tasks} tasks fall away{more}"
        return
    if f.from_ != f.from_was and f.from_ is not None:
        began = f"the days begin again on {day_text(f.from_)}"
        yield f"{f.system}: {began}, {f.served_was} served become {f.served}, for {fish} in it"
    if f.release != f.release_was:
        was, now = _day(f.release_was), _day(f.release)
        yield f"{f.system}: earliest release moves from {was} to {now}"
    yield from _tasks(f)


def _tasks(f: Follows) -> Iterator[str]:
    if not f.moved:
        return
    times = Counter(m.words for m in f.moved)
    first = {m.words: m for m in sorted(f.moved, key=lambda m: m.was, reverse=True)}
    named = sorted(first.values(), key=lambda m: (times[m.words], m.was))[:TOLD]
    words = "; ".join(f"{m.words}, {day_text(m.was)} to {day_text(m.day)}" for m in named)
    yield f"{f.system}: {len(f.moved)} dates move, among them {words}"


def _day(day: date | None) -> str:
    return day_text(day) if day else "not known"
