"""What was given, who died and what was seen in a quarantine, as rows of its paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from fractions import Fraction

from intake.flows.desk import Book
from intake.flows.facts.baths import Bath
from intake.flows.facts.happened import DoseFact
from intake.flows.facts.things import Animal
from intake.science.clean_slides import said, still_here
from intake.science.fish_checks import speaks
from intake.science.quarantine import Death, DoseGiven, QuarantineFacts
from intake.science.restarts import EARLY_STAGES, local_day
from intake.science.sampling import fish_needed
from intake.science.show import show

SUPPORT = "support, no treatment"
SUPPOSED = (
    "these numbers take every slide for perfect, which none is; no figure was found of how often "
    "a keeper's slide misses an infected fish"
)
HALF = Fraction(1, 2)
"""What a slide may find, for an example beside the perfect one: no figure was found."""
MOST_SIGNS = 20
"""Looks with a sign that are listed, the newest."""


def day_words(day: date) -> str:
    """``Sat 28 Nov 2026``."""
    return f"{day:%a} {day.day} {day:%b %Y}"


def moment_words(book: Book, at: datetime) -> str:
    """``Sat 28 Nov 2026 18:40``."""
    there = at.astimezone(book.facts.zone)
    return f"{day_words(there.date())} {there:%H:%M}"


def treatments(
    book: Book, facts: QuarantineFacts, last: datetime
) -> tuple[tuple[str, str, str, str], ...]:
    """Every dose and bath, oldest first: from, to, what, how it counts."""
    amounts = {d.entry: d for s in book.facts.systems.values() for d in s.doses}
    rows = []
    for d in sorted(facts.doses, key=lambda d: (d.at_utc, d.entry)):
        if d.at_utc > last:
            continue
        over = d.ended_utc is not None and d.ended_utc <= last
        until = moment_words(book, d.ended_utc) if d.ended_utc and over else "still in the water"
        counts = "treatment" if d.counts == "treatment" else SUPPORT
        rows.append((moment_words(book, d.at_utc), until, _what(book, d, amounts), counts))
    return tuple(rows)


def _what(book: Book, given: DoseGiven, amounts: dict[int, DoseFact]) -> str:
    known = book.shelf.treatments.get(given.treatment)
    name = known.title if known else given.treatment
    dose = amounts.get(given.entry)
    if dose is not None:
        drug = f" ({dose.drug})" if dose.drug else ""
        return f"{name}{drug}, {show(dose.amount, dose.unit)}, entry {given.entry}"
    bath = book.facts.things.get(given.entry)
    who = f" of {bath.who}" if isinstance(bath, Bath) else ""
    return f"{name}, a bath{who}, entry {given.entry}"


def deaths(facts: QuarantineFacts, last: datetime) -> tuple[tuple[str, str, str, str], ...]:
    """One row for every day with a death, oldest first; days without one are left out."""
    by_day: dict[date, list[Death]] = {}
    for d in sorted(facts.deaths, key=lambda d: (d.at_utc, d.entry)):
        if d.at_utc <= last:
            by_day.setdefault(local_day(d.at_utc, facts.time_zone), []).append(d)
    return tuple(
        (
            day_words(day),
            str(sum(d.count for d in dead)),
            ", ".join(f"{d.subject} ({d.count})" if d.count > 1 else d.subject for d in dead),
            "; ".join(f"{_counted(facts, d)}, entry {d.entry}" for d in dead),
        )
        for day, dead in by_day.items()
    )


def _counted(facts: QuarantineFacts, death: Death) -> str:
    if speaks(facts, death):
        return "counts" + (", with a grave sign" if death.grave else "")
    if death.explained:
        return "explained"
    if death.stage in EARLY_STAGES:
        return f"{death.stage}, lose some every day"
    return "transport: on arrival or within 72 h of it"


def signs(book: Book, facts: QuarantineFacts, last: datetime) -> tuple[str, ...]:
    """Every look that saw something, the newest at the end."""
    looks = [x for x in facts.looks if x.at_utc <= last and any(s.grade for s in x.signs)]
    looks.sort(key=lambda x: (x.at_utc, x.entry))
    told = [f"{len(looks) - MOST_SIGNS} looks before these"] if len(looks) > MOST_SIGNS else []
    for look in looks[-MOST_SIGNS:]:
        named = []
        for sign in look.signs:
            known = book.shelf.signs.get(sign.sign)
            if sign.grade:
                named.append(f"{known.title if known else sign.sign} {sign.grade}")
        who = ", ".join(look.subjects)
        told.append(
            f"{moment_words(book, look.at_utc)}: {', '.join(named)}, {who}, entry {look.entry}"
        )
    return tuple(told)


def slide_lines(facts: QuarantineFacts, last: datetime) -> tuple[str, ...]:
    """Every session, and what all clean ones together speak against."""
    zone = facts.time_zone
    made = sorted((s for s in facts.slides if s.at_utc <= last), key=lambda s: s.at_utc)
    if not made:
        return ("no slide was recorded: nothing is excluded",)
    told = []
    for day in dict.fromkeys(local_day(s.at_utc, zone) for s in made):
        for s in (s for s in made if local_day(s.at_utc, zone) == day):
            found = ", ".join(f"{what} ({n})" for what, n in s.found if n) or "nothing found"
            hides = f"; not counted, {', '.join(s.masked_by)} could hide it" if s.masked_by else ""
            told.append(
                f"{day_words(day)}: {s.site or 'slide'} of {s.subject}, {found}{hides}, "
                f"entry {s.entry}"
            )
    hits = [s for s in made if any(n > 0 for _, n in s.found)]
    clean = [s for s in made if s.clean and (not hits or s.at_utc > hits[-1].at_utc)]
    there = sum(o.count for o in facts.present) or None
    if not clean:
        return (*told, "no clean slide counts: nothing is excluded")
    looked = still_here(clean, facts.present, zone)
    since = " since the last find" if hits else ""
    each = "each a fish" if there is None else f"of {there} fish"
    return (
        *told,
        f"all clean ones{since} together: {said(looked, there)}",
        f"{SUPPOSED}; were it every other one: {said(looked, there, HALF)}",
        f"against half of them infected speak {fish_needed(0.5, there)} different clean fish, "
        f"against one in ten {fish_needed(0.1, there)}, {each}",
    )


def mixing_lines(book: Book, facts: QuarantineFacts, last: datetime) -> tuple[str, ...]:
    """Every resident moved in, and until when."""
    tests = [m for m in facts.mixing_tests if m.at_utc <= last]
    if not tests:
        return ("none made",)
    told = []
    for m in tests:
        end = m.ended_utc if m.ended_utc and m.ended_utc <= last else None
        until = f"until {moment_words(book, end)}" if end else "still with them"
        many = f" ({m.count})" if m.count > 1 else ""
        told.append(
            f"{m.subject}{many}, in since {moment_words(book, m.at_utc)}, {until}, entry {m.entry}"
        )
    return tuple(told)


def fish_lines(book: Book, animals: list[Animal]) -> tuple[str, ...]:
    """Every fish and group: its kind, how many, how heavy, where from, since when."""
    return tuple(", ".join(_fish(book, a)) for a in animals) or ("no fish is in it",)


def _fish(book: Book, animal: Animal) -> Iterator[str]:
    yield animal.name
    yield animal.variety or "kind not recorded"
    yield f"{animal.count} {animal.stage}"
    if animal.mass_g is not None:
        yield f"{show(animal.mass_g, 'g')} each"
    if animal.marks:
        yield animal.marks
    source = animal.source or _box(book, animal)
    yield f"from {source}" if source else "where from is not recorded"
    if animal.stays:
        yield f"in the room since {moment_words(book, animal.stays[0].since)}"


def _box(book: Book, animal: Animal) -> str:
    box = book.facts.things.get(animal.box)
    return box.name if box is not None else ""
