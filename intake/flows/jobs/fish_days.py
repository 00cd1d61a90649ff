"""The grid of grades: one character for each day and fish."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Animal, LookFact

DAYS = 21
"""Days of the grid, today included; a narrow screen shows the newest 12 of them."""
NO_SIGN, NOT_YET, NOTHING = "·", "_", " "


def shown_days(book: Book) -> tuple[date, ...]:
    """The days of the grid, today last."""
    today = local_date(book.now, book.facts.zone)
    return tuple(today - timedelta(n) for n in range(DAYS - 1, -1, -1))


def looks_at(book: Book, animal: Animal, since: date | None = None) -> Iterator[LookFact]:
    """The looks that covered a fish or group, newest first, back to a day.

    A look made before a group was split covered the part that moved as well.
    """
    seen: set[int] = set()
    whole = book.facts.things.get(animal.came_of)
    for stay in reversed(animal.stays):
        for look in reversed(book.facts.systems[stay.system].looks):
            if look.at < stay.since or (since and local_date(look.at, book.facts.zone) < since):
                break
            inside = stay.until is None or look.at <= stay.until
            covered = animal.id in look.animals or (
                whole is not None and whole.id in look.animals and look.at <= animal.since
            )
            if inside and covered and look.entry not in seen:
                seen.add(look.entry)
                yield look


def _by_day(book: Book, looks: Iterable[LookFact]) -> dict[date, list[LookFact]]:
    found: dict[date, list[LookFact]] = {}
    for look in looks:
        found.setdefault(local_date(look.at, book.facts.zone), []).append(look)
    return found


def row_grades(book: Book, animal: Animal, days: tuple[date, ...]) -> str:
    """The worst grade of each day; see `FishRow.grades`."""
    by_day = _by_day(book, looks_at(book, animal, days[0]))
    worst = {
        day: max((g for look in looks for _, g in look.signs), default=0)
        for day, looks in by_day.items()
    }
    return "".join(
        _character(worst.get(day), day == days[-1], bool(animal.vessel)) for day in days
    )


def _character(worst: int | None, today: bool, here: bool) -> str:
    if worst is None:
        return NOT_YET if today and here else NOTHING
    return str(worst) if worst else NO_SIGN


def sign_grades(book: Book, animal: Animal, days: tuple[date, ...]) -> tuple[tuple[str, str], ...]:
    """Each sign seen in these days with its worst grade day by day."""
    by_day = _by_day(book, looks_at(book, animal, days[0]))
    signs = sorted({s for looks in by_day.values() for x in looks for s, g in x.signs if g})
    found = []
    for sign in signs:
        worst = {
            day: max((g for look in looks for s, g in look.signs if s == sign), default=0)
            for day, looks in by_day.items()
        }
        line = "".join(
            _character(worst.get(day), day == days[-1], bool(animal.vessel)) for day in days
        )
        found.append((sign_title(book, sign), line))
    return tuple(found)


def sign_title(book: Book, sign: str) -> str:
    """A sign in words."""
    known = book.shelf.signs.get(sign)
    return known.title.lower() if known else sign.replace("-", " ")


def look_words(book: Book, look: LookFact) -> str:
    """``no sign``, ``clamped fins 1, rubbing 2``."""
    seen = sorted(((s, g) for s, g in look.signs if g), key=lambda x: -x[1])
    return ", ".join(f"{sign_title(book, s)} {g}" for s, g in seen) or "no sign"


def last_words(book: Book, animal: Animal) -> tuple[str, bool, bool]:
    """What the last look saw, whether it asks for care, and whether it says: ring the vet."""
    look = animal.last_look
    if look is None:
        return "not looked at yet", True, False
    words = look_words(book, look)
    if look.appetite == "none":
        words = "does not eat" if words == "no sign" else f"{words}, does not eat"
    vet = any(
        book.shelf.signs[s].most_urgent(g) == "call-vet"
        for s, g in look.signs
        if g and s in book.shelf.signs
    )
    return words, words != "no sign", vet


def day_of(book: Book, moment: datetime) -> str:
    """``14 Nov``."""
    day = local_date(moment, book.facts.zone)
    return f"{day.day} {day:%b}"
