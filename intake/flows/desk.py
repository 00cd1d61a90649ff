"""Who is at work, on which room, at what time; and one unit of work on that room's journal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING, Any

from intake import paths
from intake.clock import Clock
from intake.flows.kept import CHANGED, damaged, facts_of, forget, links_hold
from intake.science.problem import Problem, Refused, Unreadable

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from intake.flows.facts import Facts
    from intake.rules.shelf import Shelf
    from intake.science.rescue import Rescue
    from intake.store.journal import Entry


@dataclass(frozen=True, slots=True)
class Desk:
    """Where a job happens: the room, the clock, who is recording, and whether it is a rehearsal.

    `at` is the program's time as typed, read in the room's time zone once the room is open.
    """

    room: Path
    clock: Clock = field(default_factory=Clock)
    keeper: str | None = None
    at: str | None = None
    rehearsal: bool = False


class Book:
    """One unit of work: the facts as they are, the time, and the one way to add an entry."""

    def __init__(
        self, connection: Connection, desk: Desk, facts: Facts, *, sound: bool = True
    ) -> None:
        self.connection = connection
        self.desk = desk
        self.facts = facts
        self.sound = sound
        self.now = self._clock()
        self._shelf: Shelf | None = None

    def _clock(self) -> datetime:
        from intake.clock import read_time

        if self.desk.at is None:
            return self.desk.clock.now()
        moment = read_time(self.desk.at, self.facts.zone, now=self.desk.clock.now())
        if isinstance(moment, Problem):
            raise Unreadable(moment.placed("--at"))
        return moment

    def move_to(self, moment: datetime) -> None:
        """Lets the rest of this unit of work happen at another time (for a room built at once)."""
        self.now = moment

    def speak_as(self, keeper: str) -> None:
        """Lets somebody else record in the rest of this unit of work."""
        self.desk = replace(self.desk, keeper=keeper)

    def take_in(self) -> None:
        """Folds what was written in this unit of work, so that the next entry knows of it."""
        from intake.flows.facts import Facts
        from intake.store import journal

        if self.facts.last is not None and self.now < self.facts.last[0]:
            # A clock behind the newest entry writes in the middle: only a whole fold takes it in.
            self.facts = Facts()
        for entry in journal.effective(self.connection, after=self.facts.last):
            self.facts.fold(entry)

    def as_of(self, moment: datetime, before: int | None = None) -> Book:
        """The same work with only what had happened by then, up to the entry `before`.

        Settings and keepers stay as they are now.
        """
        from intake.flows.facts import Facts
        from intake.store import journal

        facts = Facts()
        for entry in journal.effective(self.connection):
            if entry.at > moment or (
                before is not None and (entry.at, entry.entry) >= (moment, before)
            ):
                break
            facts.fold(entry)
        now = self.facts
        facts.time_zone, facts.units, facts.decimal = now.time_zone, now.units, now.decimal
        facts.tape_cm, facts.night_drop_c = now.tape_cm, now.night_drop_c
        facts.settings, facts.keepers = now.settings, now.keepers
        then = copy(self)
        then.facts, then.now = facts, moment
        return then

    def trusted(self) -> Book:
        """The same book, for work that must not rest on a record somebody changed.

        Raises
        ------
        RoomTrouble
            room-damaged, where the links of the journal do not hold.
        """
        if not self.sound:
            raise damaged(self.desk.room, "the journal does not verify; no dose rests on it")
        return self

    @property
    def shelf(self) -> Shelf:
        """The protocol files in force, read once per unit of work."""
        if self._shelf is None:
            self._shelf = load_protocols()
        return self._shelf

    def keeper(self) -> str:
        """Who is recording.

        Raises
        ------
        Refused
            keeper-unknown, when nobody is named and the room has none or several keepers.
        """
        known = list(self.facts.keepers)
        named = self.desk.keeper
        if named is None and len(known) == 1:
            return known[0]
        if named is not None and named in known:
            return named
        text = f"'{named}' is not a keeper of this room" if named else "nobody is named as keeper"
        there = "keepers: " + ", ".join(known) if known else "this room has no keeper yet"
        raise Refused(
            "keeper-unknown", f"{text}; {there}", way_out="intake record keeper NAME, or --keeper"
        )

    def append(
        self,
        kind: str,
        content: Mapping[str, Any],
        *,
        at: datetime | None = None,
        why: str | None = None,
        key: str | None = None,
        corrects: int | None = None,
        keeper: str | None = None,
        version: int = 1,
    ) -> int:
        """Writes one entry, folds the projections, and answers its number."""
        from intake.store import fold, journal

        draft = journal.Draft(
            at=at or self.now,
            time_zone=self.facts.time_zone,
            entered=self.now,
            keeper=self.keeper() if keeper is None else keeper,
            kind=kind,
            version=version,
            content=content,
            corrects=corrects,
            why=why,
            key=key,
        )
        sequence = journal.append(self.connection, draft)
        fold.fold_row(self.connection, sequence)
        return sequence

    def entry(self, number: int) -> Entry | None:
        """The entry of that number as it counts now; a correction's number means its original."""
        from intake.store import journal

        row = journal.row(self.connection, number)
        if row is None:
            return None
        return next(journal.effective(self.connection, entries=[row.entry], with_void=True), row)


def load_protocols() -> Shelf:
    """The shipped protocols with the keeper's own over them.

    Raises
    ------
    Unreadable
        When a file has problems: no amount is worked out from a folder that does not read.
    """
    from intake.rules.shelf import load_shelf

    folders = [f for f in (paths.shipped_protocols(), paths.own_protocols()) if f.is_dir()]
    marks = tuple(
        (str(p), (info := p.stat()).st_mtime_ns, info.st_size)
        for folder in folders
        for p in sorted(folder.rglob("*.yaml"))
        if p.is_file()
    )
    if marks in _shelves:
        return _shelves[marks]
    shelf, problems = load_shelf(folders)
    if problems:
        raise Unreadable(*problems)
    _shelves.clear()
    _shelves[marks] = shelf
    return shelf


def load_rescues() -> tuple[Mapping[str, Rescue], tuple[str, ...]]:
    """The rescues that can be read, the shipped one where the keeper's own cannot be.

    No other file that does not read keeps what to do from being told; those of one's own
    rescues are named.
    """
    from intake.rules.shelf import load_shelf

    shipped, own = paths.shipped_protocols(), paths.own_protocols()
    first, _ = load_shelf([shipped])
    both, _ = load_shelf([shipped, own])
    return {**first.rescues, **both.rescues}, tuple(set(first.rescues) - set(both.rescues))


_shelves: dict[tuple[tuple[str, int, int], ...], Shelf] = {}
"""The shelf as last read, by the path, time and size of every file it was read from."""


_one_at_a_time = RLock()
"""Workers of one program share the facts that are kept, so they take turns."""


@contextmanager
def at_work(desk: Desk, *, write: bool = False) -> Iterator[Book]:
    """Opens the room for one unit of work; all of it is kept, or none.

    Raises
    ------
    RoomTrouble
        Where the room cannot be opened, read or written.
    """
    from intake.store.engine import open_engine
    from intake.store.files import plain_words

    with _one_at_a_time:
        engine = open_engine(desk.room, write=write)
        with (
            plain_words(desk.room),
            engine.connect() as connection,
            connection.begin() as work,
        ):
            sound = links_hold(connection, desk.room)
            if write and not sound:
                raise damaged(desk.room, "the journal does not verify; nothing is added to it")
            facts = facts_of(connection, desk.room)
            folded = facts.last
            kept = False
            try:
                yield Book(connection, desk, facts, sound=sound)
                kept = not desk.rehearsal
            except CHANGED as error:
                if sound:
                    raise
                raise damaged(desk.room, "what was changed in it cannot be read") from error
            finally:
                if not kept and facts.last != folded:
                    forget(desk.room)
            if not kept:
                work.rollback()


def check_room(desk: Desk) -> None:
    """Whether a room can be opened or made there, before anything is drawn.

    Raises
    ------
    RoomTrouble
        not-a-room.
    """
    from intake.store.trouble import RoomTrouble

    if desk.room.exists() and not desk.room.is_file():
        raise RoomTrouble("not-a-room", f"{desk.room} is not a file")


def rehearsed(desk: Desk) -> Desk:
    """The same desk, with nothing kept of what is done at it."""
    return replace(desk, rehearsal=True)
