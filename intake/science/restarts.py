"""What restarts the days of a quarantine: new fish, foreign water, confirmed contagion."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from intake.science.plan import RestartRule
from intake.science.quarantine import Arrival, Death, Look, QuarantineFacts, SignSeen

EARLY_STAGES = frozenset({"eggs", "hatchlings", "fry"})
"""Stages that lose some every day; their deaths neither restart nor alarm. Common practice."""

TRANSPORT_H = 72
"""Deaths this long after coming in [h] count as transport. Common practice."""


@dataclass(frozen=True, slots=True)
class Restart:
    """One event that begins the days served again, or proposes to.

    `kind` is fish-in, contact, slide, sign or death; `state` is stands, proposed or kept (the
    keeper keeps the days). `stands_utc` is when it began to stand, or will by itself; None for
    a kept one.
    """

    at_utc: datetime
    day: date
    entry: int
    kind: str
    state: str
    because: str
    stands_utc: datetime | None


def local_day(at_utc: datetime, time_zone: str) -> date:
    """The local date of an instant; days are counted on these, never on elapsed hours."""
    return at_utc.astimezone(ZoneInfo(time_zone)).date()


def capped(facts: QuarantineFacts, now_utc: datetime) -> datetime:
    """Now, or the release where that came first: nothing is counted after it."""
    return min(now_utc, facts.released_utc) if facts.released_utc else now_utc


def came_in(facts: QuarantineFacts, death: Death) -> Arrival | None:
    """The arrival of the fish that died: its own, else the first of all (the safer guess)."""
    before = [a for a in facts.arrivals if a.at_utc <= death.at_utc]
    own = [a for a in before if a.subject == death.subject]
    if own:
        return max(own, key=lambda a: (a.at_utc, a.entry))
    return min(before, key=lambda a: (a.at_utc, a.entry), default=None)


def came_in_utc(facts: QuarantineFacts, death: Death) -> datetime | None:
    """When the fish that died came into this water; None where nobody knows."""
    arrival = came_in(facts, death)
    return death.came_in_utc or (arrival.at_utc if arrival else None)


def is_transport(facts: QuarantineFacts, death: Death) -> bool:
    """True for fish dead on arrival and those that died within `TRANSPORT_H` of coming in.

    Residents moved in as a mixing test were not transported.
    """
    if death.on_arrival:
        return True
    arrival = came_in(facts, death)
    if arrival is not None and arrival.mixing_test and arrival.subject == death.subject:
        return False
    since = came_in_utc(facts, death)
    return since is not None and death.at_utc - since <= timedelta(hours=TRANSPORT_H)


def restarts(facts: QuarantineFacts, now_utc: datetime) -> tuple[Restart, ...]:
    """Every restart known at `now_utc`, oldest first.

    New fish, foreign wet contact and a parasite on a slide stand at once. The same infectious
    sign in two fish and an unexplained death after the third day are proposed, and stand after
    the plan's hours (72) unless the keeper settled them. Nothing before the first fish counts.

    Source: all in, all out after DAFF Australia Industry Advice 41-2025; the set of triggers is
    common practice.
    """
    now_utc = capped(facts, now_utc)
    zone = ZoneInfo(facts.time_zone)
    first = min((a.at_utc for a in facts.arrivals if _new(a)), default=None)
    if first is None:
        return ()
    found = [*_at_once(facts), *_from_signs(facts), *_from_deaths(facts)]
    chosen = {
        x.restart: x
        for x in sorted(facts.settled, key=lambda x: (x.at_utc, x.entry))
        if x.at_utc <= now_utc
    }
    result = []
    for at_utc, entry, kind, because in sorted(found):
        if not first <= at_utc <= now_utc:
            continue
        state, stands_utc = "stands", at_utc
        if kind in ("sign", "death"):
            stands_utc = at_utc + timedelta(hours=facts.plan.restarts.stands_after_h)
            word = chosen.get(entry)
            if word is not None and word.choice == "restart":
                stands_utc = min(stands_utc, max(at_utc, word.at_utc))
            state = "stands" if stands_utc <= now_utc else "proposed"
            if word is not None and word.choice == "keep":
                state = "kept"
        day = at_utc.astimezone(zone).date()
        when = None if state == "kept" else stands_utc
        result.append(Restart(at_utc, day, entry, kind, state, because, when))
    return tuple(result)


def _new(arrival: Arrival) -> bool:
    """Whether fish that went in are new to those already there."""
    return not (arrival.mixing_test or arrival.along)


Event = tuple[datetime, int, str, str]
"""When, entry, kind and because of a possible restart."""


def _at_once(facts: QuarantineFacts) -> Iterable[Event]:
    for a in facts.arrivals:
        if _new(a):
            origin = f" from {a.source}" if a.source else ""
            yield a.at_utc, a.entry, "fish-in", f"{a.subject} went in{origin}, entry {a.entry}"
    for c in facts.contacts:
        because = f"wet contact by {c.how} from {c.source}, entry {c.entry}"
        yield c.at_utc, c.entry, "contact", because
    for s in facts.slides:
        seen = [f"{parasite} ({n})" for parasite, n in s.found if n > 0]
        if seen:
            because = f"{', '.join(seen)} on a slide of {s.subject}, entry {s.entry}"
            yield s.at_utc, s.entry, "slide", because


def _from_signs(facts: QuarantineFacts) -> Iterable[Event]:
    """Looks in which a sign spread: a fish not seen with it before, and at least two in all."""
    rule = facts.plan.restarts
    window = timedelta(days=rule.sign_days)
    earlier: dict[str, list[tuple[Look, int]]] = defaultdict(list)
    for look in sorted(facts.looks, key=lambda x: (x.at_utc, x.entry)):
        spread = []
        for sign in look.signs:
            if not catching(sign, rule.sign_grade):
                continue
            affected = max(1, sign.affected)
            recent = [(o, n) for o, n in earlier[sign.sign] if o.at_utc >= look.at_utc - window]
            if (total := _fish_showing(look, affected, recent, rule)) is not None:
                spread.append(f"{sign.sign} in {total} fish")
            earlier[sign.sign] = [*recent, (look, affected)]
        if spread:
            because = f"{', '.join(spread)}, entry {look.entry}"
            yield look.at_utc, look.entry, "sign", because


def _fish_showing(
    look: Look, affected: int, recent: list[tuple[Look, int]], rule: RestartRule
) -> int | None:
    """How many fish show the sign where it has spread to one more, else None.

    Earlier looks at some of the same fish may have been at the same affected ones: the most
    that any of them, or the single fish among them together, account for is not counted twice.
    """
    most: dict[tuple[str, ...], int] = {}
    for earlier, n in recent:
        most[earlier.subjects] = max(n, most.get(earlier.subjects, 0))
    here = {who: n for who, n in most.items() if set(who) & set(look.subjects)}
    singles = sum(n for who, n in here.items() if len(who) == 1)
    known = max(singles, max(here.values(), default=0))
    total = affected + sum(n for who, n in most.items() if who not in here)
    return total if affected > known and total >= rule.same_sign_fish else None


def _from_deaths(facts: QuarantineFacts) -> Iterable[Event]:
    after = facts.plan.restarts.death_after_day
    for d in facts.deaths:
        since = came_in_utc(facts, d)
        if d.explained or d.on_arrival or d.stage in EARLY_STAGES or since is None:
            continue
        day = (local_day(d.at_utc, facts.time_zone) - local_day(since, facts.time_zone)).days
        arrival = came_in(facts, d)
        moved_in = arrival is not None and arrival.mixing_test and arrival.subject == d.subject
        if day > after or moved_in:
            because = f"unexplained death in {d.subject} on its day {day}, entry {d.entry}"
            yield d.at_utc, d.entry, "death", because


def catching(sign: SignSeen, grade: int) -> bool:
    """True for an infectious sign of that grade or more."""
    return sign.infectious and sign.grade >= max(1, grade)
