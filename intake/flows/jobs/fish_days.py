"""The grid of grades: one character for each day and fish."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.happened import LookFact
from intake.flows.facts.things import Animal

DAYS = 21
"""Days of the grid, today included; a narrow screen shows the newest 12 of them."""
NO_SIGN, NOT_YET, NOTHING = "·", "_", " "


def shown_days(book: Book) -> tuple[date, ...]:
    """The days of the grid, today last."""
    today = local_date(book.now, book.facts.zone)
    return tuple(today - timedelta(n) for n in range(DAYS - 1, -1, -1))


def looks_at(book: Book, animal: Animal) -> Iterator[LookFact]:
    """The looks that covered a fish or group, newest first.

    A look made before a group was split covered the part that moved as well.
    """
    seen: set[int] = set()
    for stay in reversed(animal.stays):
        for look in reversed(book.facts.systems[stay.system].looks):
            if look.at < stay.since:
                break
            inside = stay.until is None or look.at <= stay.until
            if inside and look.entry not in seen and _covers(look, animal):
                seen.add(look.entry)
                yield look


def _covers(look: LookFact, animal: Animal) -> bool:
    if animal.id in look.animals:
        return True
    return bool(animal.came_of) and animal.came_of in look.animals and look.at <= animal.since


class Recent:
    """The looks of the days shown, put by fish the first time its water is asked for."""

    def __init__(self, book: Book) -> None:
        self.days = shown_days(book)
        self._zone = book.facts.zone
        self._since = datetime.combine(self.days[0], time(), self._zone).astimezone(UTC)
        self._systems = book.facts.systems
        self._by_animal: dict[int, dict[int, list[LookFact]]] = {}

    def _looks(self, system: int) -> dict[int, list[LookFact]]:
        if system not in self._by_animal:
            found: dict[int, list[LookFact]] = {}
            for look in reversed(self._systems[system].looks):
                if look.at < self._since:
                    break
                for animal in look.animals:
                    found.setdefault(animal, []).append(look)
            self._by_animal[system] = found
        return self._by_animal[system]

    def of(self, animal: Animal) -> list[LookFact]:
        """The looks of these days that covered a fish or group."""
        systems = dict.fromkeys(
            s.system for s in animal.stays if s.until is None or s.until >= self._since
        )
        ids = [i for i in (animal.id, animal.came_of) if i]
        found = {x.entry: x for s in systems for i in ids for x in self._looks(s).get(i, ())}
        return [x for x in found.values() if _covers(x, animal)]

    def worst(self, animal: Animal, sign: str | None = None) -> str:
        """The worst grade of each day, of one sign or of any; see `FishRow.grades`."""
        worst: dict[date, int] = {}
        for look in self.of(animal):
            day = local_date(look.at, self._zone)
            grades = [g for s, g in look.signs if sign is None or s == sign]
            worst[day] = max([worst.get(day, 0), *grades])
        today, here = self.days[-1], bool(animal.vessel)
        return "".join(_character(worst.get(d), here and d == today) for d in self.days)

    def signs(self, animal: Animal) -> list[str]:
        """The signs seen in these days."""
        return sorted({s for look in self.of(animal) for s, grade in look.signs if grade})


def _character(worst: int | None, waiting: bool) -> str:
    if worst is None:
        return NOT_YET if waiting else NOTHING
    return str(worst) if worst else NO_SIGN


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
