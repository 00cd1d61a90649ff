"""Release checks of the water: inside its targets, and warm for long enough."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from intake.science.check_state import CheckState, Known, numbers, state_of
from intake.science.figures import figure
from intake.science.plan import CheckRule
from intake.science.quarantine import WaterJudged
from intake.science.windows import windows

WATER_FRESH_DAYS = 3
"""A water test older than this [d] says nothing of today. Common practice."""


def water(known: Known, rule: CheckRule) -> CheckState:
    """The plan's days inside the targets, with a newest test that is not old.

    A test that cannot be judged neither counts nor begins the days again; one that a band or a
    doubted kit leaves undecided does begin them.
    """
    every = [w for w in known.facts.waters if w.at_utc <= known.now_utc]
    every.sort(key=lambda w: (w.at_utc, w.entry))
    made = [w for w in every if w.judged != "unknown"]
    blank = every[-1].text if every and every[-1].judged == "unknown" else ""
    if not made:
        told = "no water test that can be judged"
        to_do = "test TAN, nitrite, pH, KH and temperature together, with kits in date"
        return CheckState(
            rule.check, "open", f"{told}: {blank}".rstrip(": "), to_do=to_do,
            entries=tuple(w.entry for w in every[-1:]),
        )  # fmt: skip
    off = [w for w in made if w.judged != "ok"]
    good = [w for w in made if not off or w.at_utc > off[-1].at_utc]
    if not good:
        return _off(known, rule, off[-1])
    since = max(known.day(good[0].at_utc), known.day_0)
    earliest = since + timedelta(rule.days)
    newest = known.day(good[-1].at_utc)
    old = (known.today - newest).days > WATER_FRESH_DAYS
    ok = known.today >= earliest and not old
    entries = tuple(w.entry for w in good if known.day(w.at_utc) >= since)
    told = f"inside the targets since {since.isoformat()}"
    told += f", {(known.today - since).days} of {rule.days} days"
    if off and known.day(off[-1].at_utc) >= known.day_0:
        told += f", after {off[-1].text or 'a test outside them'}, entry {off[-1].entry}"
    told += f"; {_how_many(known, good, entries)}"
    told += f"; newest test {newest.isoformat()}, too old" if old else ""
    told += f"; the test since cannot be judged: {blank}" if blank else ""
    to_do = "" if ok else "go on testing"
    if old or blank:
        to_do = "test TAN, nitrite, pH and temperature again today"
    return CheckState(
        rule.check, state_of(ok), told, earliest, entries=entries, to_do=to_do
    )  # fmt: skip


def _off(known: Known, rule: CheckRule, last: WaterJudged) -> CheckState:
    cannot = last.text if last.judged == "undecided" else ""
    start = "not decided" if cannot else "outside the targets"
    told = f"{start}, entry {last.entry}: {last.text}".rstrip(": ")
    to_do = (
        "read it with a kit that can tell, or dilute the sample"
        if cannot
        else "put right what is off and test again; the days count from the first good test"
    )
    earliest = known.today + timedelta(rule.days)
    return CheckState(rule.check, "open", told, earliest, cannot, (last.entry,), to_do)


def _how_many(known: Known, good: list[WaterJudged], entries: tuple[int, ...]) -> str:
    """The tests the days rest on, and how long nobody tested between two of them."""
    days = sorted({known.day(w.at_utc) for w in good if w.entry in set(entries)})
    gap = max(((b - a).days for a, b in pairwise(days)), default=0)
    tests = "1 test" if len(entries) == 1 else f"{len(entries)} tests"
    apart = f", up to {gap} days apart" if gap > 1 else ""
    return f"{tests}{apart}, {numbers(entries)}" if entries else "no test since then"


def warm_days(known: Known, rule: CheckRule) -> CheckState:
    """The plan's days with a mean temperature inside its warm window, read and not guessed."""
    have = known.count.warm_days
    told = f"{have} of {rule.days} days with a mean of {rule.low_c} to {rule.high_c} C"
    for w in windows((d.mean_c for d in known.count.temperatures), known.facts.plan):
        if w.state == "never":
            told += f"; not tested: {w.risk} ({figure(w.low_c)} to {figure(w.high_c)} C)"
    made = [t for t in known.facts.temperatures if t.at_utc <= known.now_utc]
    newest = max(made, key=lambda t: (t.at_utc, t.entry), default=None)
    entries = (newest.entry,) if newest else ()
    if have >= rule.days:
        warm = sorted(known.count.warm_dates)
        earliest = warm[rule.days - 1] if rule.days else None
        return CheckState(rule.check, "met", told, earliest, entries=entries)
    to_do = (
        f"keep the water at {rule.low_c} to {rule.high_c} C and read its low and high every day"
    )
    if not made:
        told = f"no temperature recorded; {told}"
        return CheckState(rule.check, "open", told, to_do=to_do)
    told += _unread(known)
    ahead = rule.days - have - (0 if known.count.warmth_today else 1)
    earliest = known.today + timedelta(ahead)
    return CheckState(rule.check, "open", told, earliest, entries=entries, to_do=to_do)


def _unread(known: Known) -> str:
    """How many past days cannot count because nothing tells their temperature."""
    read = {d.day for d in known.count.temperatures}
    every = [known.day_0 + timedelta(n) for n in range((known.today - known.day_0).days)]
    blank = [d for d in every if d not in read]
    if not blank:
        return ""
    days = "1 day" if len(blank) == 1 else f"{len(blank)} days"
    return f"; {days} of unknown temperature, the last on {blank[-1].isoformat()}, not counted"
