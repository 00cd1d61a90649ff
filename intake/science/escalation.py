"""When a quarantine calls for more than a look: by count and pattern, not by percent alone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from intake.science.chills import WHY, Chill, chills
from intake.science.counters import counters
from intake.science.quarantine import Death, Look, QuarantineFacts, SignSeen
from intake.science.restarts import EARLY_STAGES, capped, is_transport, local_day

URGENCIES = ("watch", "test-water", "isolate", "call-vet")
"""From least to most urgent."""

DEATHS_24_H = 2
"""Deaths within 24 h that call for the vet. Common practice."""

SHARE_7_DAYS = 0.10
"""Share of the fish that died within 7 days that calls for the vet. Common practice, bracketed by
0.5 % a day on a farm's checklist and 5 % dead on arrival in the export trade.
"""

DEATH_DAYS_IN_A_ROW = 3
"""Days in a row with a death that call for the vet. Common practice."""

RECENT_DAYS = 7
"""Looks and deaths older than this [d] raise no alert of their own. Common practice."""


@dataclass(frozen=True, slots=True)
class Alert:
    """Something the keeper should act on: `urgency` is one of `URGENCIES`."""

    urgency: str
    text: str
    because: str
    entry: int | None = None
    subject: str = ""


def alerts(facts: QuarantineFacts, now_utc: datetime) -> tuple[Alert, ...]:
    """What the record calls for at `now_utc`, most urgent first.

    Two or more deaths within 24 h, a tenth of the fish within 7 days, a death on three days in a
    row, any death with patchy gills, an ulcer or raised scales, every fish affected at once, or a
    grade 3 sign of nerves or gills call for the vet. Fish dead on arrival and in their first 72 h
    count as transport, and eggs, hatchlings and fry lose some every day: neither is
    counted, nor is a death explained by something not catching.

    Source: common practice, bracketed by published mortality limits that are in percent of
    thousands of fish and fail for six.
    """
    now_utc = capped(facts, now_utc)
    since = now_utc - timedelta(days=RECENT_DAYS)
    dead = [
        d
        for d in sorted(facts.deaths, key=lambda d: (d.at_utc, d.entry))
        if d.at_utc <= now_utc
        and d.stage not in EARLY_STAGES
        and not is_transport(facts, d)
        and (d.grave or not d.explained)
    ]
    looks = [x for x in facts.looks if since < x.at_utc <= now_utc]
    looks.sort(key=lambda x: (x.at_utc, x.entry))
    found = [
        *_from_counts(facts, dead, now_utc),
        *_from_looks(facts, looks),
        *_from_water(facts, now_utc),
        *_from_chills(facts, now_utc),
        *_from_restarts(facts, now_utc),
    ]
    found.sort(key=lambda a: -URGENCIES.index(a.urgency))
    return tuple(found)


def _from_counts(facts: QuarantineFacts, dead: list[Death], now_utc: datetime) -> Iterable[Alert]:
    since = now_utc - timedelta(days=RECENT_DAYS)
    recent = [d for d in dead if d.at_utc > since]
    if not recent:
        return
    last = recent[-1]
    if (most := _most_in_24_h(recent)) >= DEATHS_24_H:
        because = f"{most} deaths within 24 h; sudden deaths are water or poison until excluded"
        yield Alert("call-vet", "Test the water now, then call the vet", because, last.entry)
    died = sum(d.count for d in recent)
    before = max((d.count_before for d in recent), default=0)
    # One death in a handful is over a tenth by itself: the share says something from two on.
    if before and died >= DEATHS_24_H and died >= SHARE_7_DAYS * before:
        because = f"{died} of {before} fish died within 7 days"
        yield Alert("call-vet", "Call the vet or the lab", because, last.entry)
    if (row := _days_in_a_row(facts, recent)) >= DEATH_DAYS_IN_A_ROW:
        because = f"a death on each of {row} days in a row; treat the whole water as diseased"
        yield Alert("call-vet", "Call the vet or the lab", because, last.entry)
    for d in recent:
        if d.grave:
            because = f"{d.subject} died with patchy gills, an ulcer or raised scales"
            text = "Call the vet; stop all movements until a reportable disease is excluded"
            yield Alert("call-vet", text, because, d.entry, d.subject)
    because = f"{last.subject} died, entry {last.entry}"
    text = "Test the water; keep the body cool, not frozen"
    yield Alert("test-water", text, because, last.entry, last.subject)


def _most_in_24_h(dead: list[Death]) -> int:
    day = timedelta(hours=24)
    return max(
        sum(d.count for d in dead if first.at_utc <= d.at_utc <= first.at_utc + day)
        for first in dead
    )


def _days_in_a_row(facts: QuarantineFacts, dead: list[Death]) -> int:
    days = {local_day(d.at_utc, facts.time_zone) for d in dead}
    return max(_row_ending(day, days) for day in days)


def _row_ending(day: date, days: set[date]) -> int:
    row = 0
    while day - timedelta(row) in days:
        row += 1
    return row


def _from_looks(facts: QuarantineFacts, looks: list[Look]) -> Iterable[Alert]:
    newest: dict[str, Look] = {}
    for look in looks:
        for subject in look.subjects:
            newest[subject] = look
    current = sorted({x.entry: x for x in newest.values()}.values(), key=lambda x: x.entry)
    for look in current:
        yield from _from_one_look(look)
    if (worst := _all_affected(facts, newest)) is not None:
        text = "Test the water now, then call the vet"
        yield Alert("call-vet", text, f"every fish shows {worst}")


def _from_one_look(look: Look) -> Iterable[Alert]:
    who = ", ".join(look.subjects)
    for sign in look.signs:
        because = f"{sign.sign} grade {sign.grade} in {who}, entry {look.entry}"
        if sign.grade >= 3 and (sign.nervous or sign.group == "gills"):
            text = "Test the water now, then call the vet"
            yield Alert("call-vet", text, because, look.entry, who)
        elif sign.grade >= 2 and sign.infectious:
            text = "Keep apart in this system's own water; never into a clean vessel"
            yield Alert("isolate", text, because, look.entry, who)
        elif sign.grade >= 2:
            yield Alert("test-water", "Test the water", because, look.entry, who)
        elif sign.grade == 1:
            yield Alert("watch", "Look again in 12 to 24 h", because, look.entry, who)


def _all_affected(facts: QuarantineFacts, newest: dict[str, Look]) -> str | None:
    """A sign that every fish present showed when last looked at, where two or more are present."""
    fish = [o for o in facts.present if o.stage not in EARLY_STAGES]
    if sum(o.count for o in fish) < 2:
        return None
    common: set[str] | None = None
    for o in fish:
        look = newest.get(o.subject)
        if look is None:
            return None
        shown = {s.sign for s in look.signs if s.grade >= 1 and _covers(s, look, o.count)}
        common = shown if common is None else common & shown
    return sorted(common)[0] if common else None


def _covers(sign: SignSeen, look: Look, count: int) -> bool:
    """True where so many were affected that every fish of the subject was."""
    return sign.affected >= max(count, look.count)


def _from_water(facts: QuarantineFacts, now_utc: datetime) -> Iterable[Alert]:
    made = [w for w in facts.waters if w.at_utc <= now_utc and w.judged != "unknown"]
    newest = max(made, key=lambda w: (w.at_utc, w.entry), default=None)
    if newest is not None and newest.judged != "ok":
        because = f"{newest.text or 'outside the targets'}, entry {newest.entry}"
        text = "Put the water right and test again"
        if newest.judged == "undecided":
            text = "Test the water again with a kit that can decide"
        yield Alert("test-water", text, because, newest.entry)


def _from_chills(facts: QuarantineFacts, now_utc: datetime) -> Iterable[Alert]:
    """One alert for each way in which fish were chilled that are still watched for it."""
    today = local_day(now_utc, facts.time_zone)
    alike: dict[str, list[Chill]] = defaultdict(list)
    for c in chills(facts, now_utc):
        if today <= c.until:
            alike[c.text if c.subject else ""].append(c)
    for same in alike.values():
        last = same[-1]
        left = (last.until - today).days
        who = ", ".join(c.subject for c in same if c.subject) or "every fish"
        more = f"; {len(same) - 1} before it" if len(same) > 1 and not last.subject else ""
        text = f"Look at {who} twice a day, {left} days more: breathing, gills, appetite"
        said = f"{who} {last.text}" if last.subject else last.text
        yield Alert(
            "watch", text, f"{said}, entry {last.entry}{more}; {WHY}", last.entry, last.subject
        )


def _from_restarts(facts: QuarantineFacts, now_utc: datetime) -> Iterable[Alert]:
    for r in counters(facts, now_utc).proposed:
        text = "Settle the proposed restart: keep the days or begin again, with a reason"
        yield Alert("watch", text, r.because, r.entry)
