"""One fish's history: what was recorded of it, line by line, own words kept as they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Animal
from intake.flows.facts.upcast import today
from intake.flows.jobs.fish_days import Recent, day_of, looks_at, sign_title
from intake.flows.jobs.words import clock_text
from intake.flows.views.fish import FishDetail, LookLine
from intake.science.show import show

if TYPE_CHECKING:
    from intake.store.journal import Entry

LINES_AT_MOST = 200
"""The newest lines of a history that are told at once; `intake history` tells all."""


def detail_of(book: Book, animal: Animal, recent: Recent, detail: str, because: str) -> FishDetail:
    """The fish under the cursor with everything recorded of it."""
    entries = _entries(book, animal)
    return FishDetail(
        name=animal.name,
        detail=detail,
        signs=tuple((sign_title(book, s), recent.worst(animal, s)) for s in recent.signs(animal)),
        lines=tuple(_line(book, e) for e in entries[-LINES_AT_MOST:]),
        because=because,
        weights=tuple(_weights(book, animal, entries)),
    )


def _entries(book: Book, animal: Animal) -> list[Entry]:
    """Every entry about it, looks at its whole vessel included, oldest first."""
    from intake.store import fold, journal

    numbers = set(fold.mentioning(book.connection, animal.id))
    whole = book.facts.things.get(animal.came_of)
    if isinstance(whole, Animal):
        numbers |= {e for e in fold.mentioning(book.connection, whole.id) if e <= animal.id}
    for look in looks_at(book, animal):
        numbers.add(look.entry)
        if len(numbers) >= LINES_AT_MOST:
            break
    return [today(e) for e in journal.effective(book.connection, entries=sorted(numbers))]


def _line(book: Book, entry: Entry) -> LookLine:
    there = entry.at.astimezone(book.facts.zone)
    now = book.now.astimezone(book.facts.zone)
    month = "" if (there.year, there.month) == (now.year, now.month) else f" {there:%b}"
    return LookLine(
        entry=entry.entry,
        when=f"{there:%a} {there.day}{month} {clock_text(book, entry.at)}",
        text=_text(book, entry),
        quoted=_own_words(entry.content),
        keeper=entry.keeper,
        corrected=entry.sequence != entry.entry,
    )


def _own_words(content: Any) -> str:
    words = [str(content[name]) for name in ("note", "why") if content.get(name)]
    return "; ".join(words)


def _text(book: Book, entry: Entry) -> str:
    c = entry.content
    if entry.kind == "look":
        return _look(book, c)
    if entry.kind == "slide":
        found = ", ".join(f"{what} {n}" for what, n in c.get("found", ()) if n)
        return f"slide, {str(c['from']).replace('-', ' ')}: {found or 'nothing found'}"
    count = f"{c['count']} " if c.get("count") else ""
    said = {
        "fish": f"went into {c.get('into')}",
        "group": f"{count}went into {c.get('into')}",
        "move": f"{count}moved to {c.get('to')}",
        "death": f"{count or '1 '}{_HOW.get(c.get('how', 'found'), 'found dead')}",
        "leave": f"{count}{str(c.get('as', 'left')).replace('-', ' ')}",
        "measure": _measured(c),
        "photo": f"photograph {c.get('path')}",
    }
    return said.get(entry.kind, entry.kind)


_HOW = {"found": "found dead", "killed-humanely": "killed humanely"}


def _look(book: Book, c: Any) -> str:
    seen = ", ".join(f"{sign_title(book, s)} {g}" for s, g in c.get("sign", ()) if g)
    ate = {"all": "ate all", "some": "ate some", "none": "ate nothing"}.get(c.get("appetite", ""))
    return ", ".join(part for part in (seen or "no sign", ate) if part)


def _measured(c: Any) -> str:
    parts = [
        show(float(c[name]["value"]), unit)
        for name, unit in (("mass", "g"), ("length", "cm"))
        if name in c
    ]
    grown = [f"grown to {c['stage']}"] if "stage" in c else []
    return ", ".join([*(["measured " + ", ".join(parts)] if parts else []), *grown])


def _weights(book: Book, animal: Animal, entries: list[Entry]) -> list[tuple[str, str]]:
    told = []
    for e in entries:
        mass = e.content.get("mass")
        if e.kind in ("fish", "group", "measure") and mass:
            day = local_date(e.at, book.facts.zone)
            this_year = day.year == local_date(book.now, book.facts.zone).year
            when = day_of(book, e.at) + ("" if this_year else f" {day.year}")
            each = " each" if animal.kind == "group" else ""
            told.append((when, show(float(mass["value"]), "g") + each))
    return told
