"""Release checks of the fish: deaths, signs, appetite, slides, living together.

Which deaths count. A death speaks of the group it happened in when nothing explains it and the
journey does not either. Fish dead in the bag and those that die within 72 h of coming in are put
down to transport: they neither alarm nor restart the days, and they do not hold `no-deaths` open,
unless the fish last showed patchy gills, an ulcer or raised scales, which no journey makes. Eggs,
hatchlings and fry lose some every day and are not counted. A resident of the mixing test was not
carried anywhere: its death counts from the first hour. Common practice throughout.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta

from intake.science.check_state import CheckState, Known, numbers, state_of
from intake.science.clean_slides import said, still_here
from intake.science.plan import CheckRule
from intake.science.quarantine import Death, MixingTest, QuarantineFacts, Slide
from intake.science.restarts import EARLY_STAGES, catching, is_transport
from intake.science.sampling import fish_needed

FRESH_DAYS = 2
"""A look or appetite older than this [d] says nothing of today. Common practice."""

NOT_EATING_YET = frozenset({"eggs", "hatchlings"})
"""Stages that live on their yolk: their appetite is not asked for."""


def speaks(facts: QuarantineFacts, death: Death) -> bool:
    """True for a death that counts against the group."""
    if death.explained or death.stage in EARLY_STAGES:
        return False
    return death.grave or not is_transport(facts, death)


def no_deaths(known: Known, rule: CheckRule) -> CheckState:
    """The plan's days since the last death that speaks of the group."""
    facts = known.facts
    made = [d for d in facts.deaths if d.at_utc <= known.now_utc]
    counted = [d for d in made if speaks(facts, d)]
    last = max(counted, key=lambda d: (d.at_utc, d.entry), default=None)
    since = max(known.day_0, known.day(last.at_utc)) if last else known.day_0
    earliest = since + timedelta(rule.days)
    told = f"last death {known.day(last.at_utc).isoformat()}, entry {last.entry}" if last else ""
    told = told or f"no death since {known.day_0.isoformat()}"
    told += f"; {(known.today - since).days} of {rule.days} days"
    told += _not_counted(facts, made)
    ok = known.today >= earliest
    to_do = "" if ok else "look at every fish every day; keep any that dies cool, not frozen"
    entries = (last.entry,) if last else ()
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=entries, to_do=to_do
    )  # fmt: skip


def _not_counted(facts: QuarantineFacts, made: list[Death]) -> str:
    left = [d for d in made if not speaks(facts, d)]
    carried = [d for d in left if not d.explained and d.stage not in EARLY_STAGES]
    others = [d for d in left if d not in carried]
    told = ""
    for some, why in (
        (carried, "on arrival or within 72 h of it, put down to transport"),
        (others, "explained, or of eggs and fry"),
    ):
        if some:
            which = numbers(tuple(sorted(d.entry for d in some)))
            told += f"; {sum(d.count for d in some)} not counted, {why}, {which}"
    return told


def sign_free(known: Known, rule: CheckRule) -> CheckState:
    """The plan's days since the last catching sign, looked at on enough of them, all seen."""
    count = known.count
    since = count.sign_free_from or known.day_0
    served = since + timedelta(rule.days)
    looks = known.looks()
    looked = {known.day(x.at_utc) for x in looks}
    unseen = _not_seen(known)
    recent = sum(known.today - timedelta(rule.days) < d <= known.today for d in looked)
    ok = known.today >= served and recent >= rule.count and not unseen
    told = f"{count.sign_free_days} of {rule.days} days since {since.isoformat()}"
    told += f" ({count.sign_free_because}); looked on {recent} days of the last {rule.days}"
    to_do = "" if ok else "look at every fish every day"
    if rule.count:
        told += f", {rule.count} needed"
    if unseen:
        told += f"; no look in {FRESH_DAYS} days at {', '.join(unseen)}"
        to_do = f"look at {', '.join(unseen)} today"
    first = served if ok else max(served, known.today)
    earliest = _looks_enough(first, known.today, looked, rule) if looked else served
    entries = tuple(x.entry for x in looks[-1:])
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=entries, to_do=to_do
    )  # fmt: skip


def _looks_enough(first: date, today: date, looked: set[date], rule: CheckRule) -> date:
    """The first day from `first` on whose last days hold enough days with a look.

    From today on every day can be looked at.
    """
    for ahead in range(max(0, (today - first).days) + rule.days + 1):
        end = first + timedelta(ahead)
        window = {end - timedelta(n) for n in range(rule.days)}
        if sum(d in looked or d >= today for d in window) >= rule.count:
            return end
    return max(first, today)


def _not_seen(known: Known) -> list[str]:
    newest: dict[str, date] = {}
    for look in known.looks():
        for subject in look.subjects:
            newest[subject] = known.day(look.at_utc)
    oldest = known.today - timedelta(FRESH_DAYS)
    here = [o.subject for o in known.facts.present]
    return sorted(s for s in here if newest.get(s, date.min) < oldest)


def eating(known: Known, rule: CheckRule) -> CheckState:
    """Appetite of every fish that eats, and none off food, in the plan's last days."""
    oldest = known.today - timedelta(rule.days)
    every = known.looks()
    looks = [x for x in every if x.appetite and known.day(x.at_utc) > oldest]
    off = [x for x in looks if x.appetite == "none"]
    fed = [x for x in looks if x.appetite in ("all", "some")]
    newest = max((x for x in every if x.appetite == "none"), key=lambda x: x.at_utc, default=None)
    eaten = {s for x in fed for s in x.subjects}
    asked = [o.subject for o in known.facts.present if o.stage not in NOT_EATING_YET]
    missing = sorted(s for s in asked if s not in eaten)
    nobody = bool(known.facts.present) and not asked
    ok = nobody or (not off and len(fed) >= max(1, rule.count) and not missing)
    entries = tuple(x.entry for x in (off or fed)[-1:])
    to_do = "" if ok else "look at them at feeding time and write the appetite down"
    if nobody:
        told = "eggs and hatchlings live on their yolk: nothing is asked"
    elif off:
        told = f"off food {known.day(off[-1].at_utc).isoformat()}, entry {off[-1].entry}"
        to_do = "test the water first; then look at them at every feed"
    elif missing or not fed:
        who = ", ".join(missing) or "any fish"
        told = f"no appetite recorded in {rule.days} days for {who}"
    else:
        told = f"eating, {len(fed)} looks in {rule.days} days, newest entry {fed[-1].entry}"
    earliest = known.day(newest.at_utc) + timedelta(rule.days) if newest else None
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=entries, to_do=to_do
    )  # fmt: skip


def slides(known: Known, rule: CheckRule) -> CheckState:
    """So many clean sessions, far enough apart, since the last find; with what they exclude."""
    made = [s for s in known.facts.slides if s.at_utc <= known.now_utc]
    made = [s for s in made if known.day(s.at_utc) >= known.day_0]
    made.sort(key=lambda s: (s.at_utc, s.entry))
    hits = [s for s in made if any(n > 0 for _, n in s.found)]
    after = [s for s in made if not hits or s.at_utc > hits[-1].at_utc]
    clean = [s for s in after if s.clean]
    sessions = sorted({known.day(s.at_utc) for s in clean})
    apart = (sessions[-1] - sessions[0]).days if sessions else 0
    gap = rule.days if rule.count > 1 else 0
    enough = [d for d in sessions[max(0, rule.count - 1) :] if (d - sessions[0]).days >= gap]
    ok = bool(enough) or rule.count < 1
    told = f"{len(sessions)} of {rule.count} clean sessions"
    if rule.count > 1:
        told += f", {apart} of {rule.days} days apart"
    if hits:
        told += f" since {hits[-1].found[0][0]}, entry {hits[-1].entry}"
    if hidden := len([s for s in after if s.masked_by]):
        told += f"; {hidden} not counted: made while a treatment could hide parasites"
    told += _sessions(known, clean, sessions)
    if not made:
        told = f"no slide recorded; {told}"
    entries = tuple(s.entry for s in [*hits[-1:], *clean])
    first = sessions[0] if sessions else known.today
    earliest = enough[0] if enough else max(first + timedelta(gap), known.today)
    to_do = "" if ok else _next_slides(known, sessions, gap)
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=entries, to_do=to_do
    )  # fmt: skip


def _sessions(known: Known, clean: list[Slide], sessions: list[date]) -> str:
    """What every session says by itself, and all of them together."""
    if not clean:
        return ""
    there = sum(o.count for o in known.facts.present) or None
    zone, present = known.facts.time_zone, known.facts.present
    told = ""
    for day in sessions:
        of_day = [s for s in clean if known.day(s.at_utc) == day]
        which = numbers(tuple(s.entry for s in of_day))
        told += f"; on {day.isoformat()} {said(still_here(of_day, present, zone), there)}, {which}"
    if len(sessions) > 1:
        told += f"; together {said(still_here(clean, present, zone), there)}"
    return told


def _next_slides(known: Known, sessions: list[date], gap: int) -> str:
    again = f" on {(sessions[0] + timedelta(gap)).isoformat()} or later" if sessions else ""
    if sessions and sessions[0] + timedelta(gap) <= known.today:
        again = " now"
    there = sum(o.count for o in known.facts.present) or None
    needed = fish_needed(0.5, there)
    fish = f"fish not looked at yet, {needed} in all to speak against half of them infected"
    return f"scrape and clip{again}, of {fish}; by somebody trained"


def mixing_test(known: Known, rule: CheckRule) -> CheckState:
    """Residents in for the plan's days without a catching sign or a death that speaks."""
    served = known.count.would_serve_from or known.day_0
    best: tuple[date, date, MixingTest] | None = None
    for m in sorted(known.facts.mixing_tests, key=lambda m: (m.at_utc, m.entry)):
        if m.at_utc > known.now_utc:
            continue
        end = m.ended_utc if m.ended_utc and m.ended_utc <= known.now_utc else None
        since = max(known.day(m.at_utc), served, *_trouble(known, m.at_utc, end))
        met = since + timedelta(rule.days)
        if end is not None and known.day(end) < met:
            continue
        if best is None or met < best[0]:
            best = (met, since, m)
    if best is None:
        told = "no mixing test recorded that lasted"
        to_do = "move one or two of your own healthy fish in: record move NAME --as mixing-test"
        return CheckState(rule.check, "open", told, to_do=to_do)
    met, since, test = best
    days = (known.today - since).days
    told = f"{test.subject}, entry {test.entry}: {days} of {rule.days} days since "
    told += since.isoformat()
    if since > known.day(test.at_utc):
        told += ", counted again from the newest sign, death or restart"
    ok = known.today >= met
    to_do = "" if ok else "leave them in: they share the days to the end"
    return CheckState(
        rule.check, state_of(ok), told, met, entries=(test.entry,), to_do=to_do
    )  # fmt: skip


def _trouble(known: Known, since: datetime, end: datetime | None) -> list[date]:
    """Days with a catching sign or a death that speaks while the residents were in."""
    until = end or known.now_utc
    signs = [x.at_utc for x in known.looks() if any(catching(s, 1) for s in x.signs)]
    deaths = [d.at_utc for d in known.facts.deaths if speaks(known.facts, d)]
    return [known.day(at) for at in [*signs, *deaths] if since <= at <= until] or [date.min]
