"""What a process keeps of each room between units of work: its facts, and how far it is proved."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from intake.flows.facts import Facts
    from intake.store.journal import ChainState
    from intake.store.trouble import RoomTrouble

_kept: dict[Path, tuple[Facts, tuple[int, str]]] = {}
"""The facts of each room this process has read, with the journal row they were folded to."""


def _folded(connection: Connection, path: Path) -> Facts:
    from intake.flows.facts import Facts
    from intake.store import journal

    newest = journal.head(connection)
    if path in _kept:
        facts, seen = _kept[path]
        if seen == newest:
            return facts
        if _is_tail(connection, facts, seen):
            for entry in journal.effective(connection, after=facts.last):
                facts.fold(entry)
            _kept[path] = (facts, newest)
            return facts
    facts = Facts()
    for entry in journal.effective(connection):
        facts.fold(entry)
    _kept[path] = (facts, newest)
    return facts


def _is_tail(connection: Connection, facts: Facts, seen: tuple[int, str]) -> bool:
    """Whether everything written since `seen` only adds to the end of what was folded."""
    from intake.store import journal

    number = seen[0]
    if facts.last is None or not number:
        return False
    rows = journal.rows_after(connection, number - 1)
    if not rows or (rows[0][0], rows[0][3]) != seen:
        return False
    return all(
        corrects is None and (at, sequence) > facts.last for sequence, corrects, at, _ in rows[1:]
    )


def forget(path: Path) -> None:
    """Drops what is kept of a room, so that the next reading folds it from nothing."""
    _kept.pop(path, None)


_followed: dict[Path, tuple[int, str]] = {}
"""Up to which row the links of each room this process has opened were followed, all sound."""
LINKS_AT_OPEN = 1000
"""How many of the newest links are followed when a process first opens a room."""


CHANGED = (LookupError, ValueError, TypeError, AttributeError, AssertionError)
"""What trips over an entry that somebody changed. Where the links hold, these are bugs."""


def links_hold(connection: Connection, path: Path) -> bool:
    """Whether the links hold: the newest ones at first, from then on those that came since."""
    from intake.store import journal

    newest, seen = journal.head(connection), _followed.pop(path, None)
    holds = seen is not None and _holds(journal.follow_chain(connection, after=seen))
    if not holds:
        forget(path)
        holds = _holds(journal.follow_chain(connection, newest=LINKS_AT_OPEN))
    if holds:
        _followed[path] = newest
    return holds


def _holds(state: ChainState) -> bool:
    return state.first_bad is None


def facts_of(connection: Connection, path: Path) -> Facts:
    """The facts of a room: what is kept, with what was written since folded in.

    Raises
    ------
    RoomTrouble
        room-damaged, where an entry was changed so that it cannot be folded.
    """
    from intake.store import journal

    try:
        return _folded(connection, path)
    except CHANGED as error:
        forget(path)
        bad = journal.follow_chain(connection).first_bad
        if bad is None:
            raise
        raise damaged(path, f"entry {bad} was changed and cannot be read") from error


def damaged(path: Path, text: str) -> RoomTrouble:
    """The trouble with a room whose journal somebody changed."""
    from intake.store.trouble import RoomTrouble

    hint = "keep the file as it is and run: intake verify"
    return RoomTrouble("room-damaged", f"{path.name}: {text}", hint)
