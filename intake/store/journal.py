"""The journal: a hash chain of entries in SQLite, and the projections folded from it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, func, insert, select

from intake.store.tables import EffectiveRow, JournalRow
from intake.store.trouble import RoomTrouble
from intake.store.types import Instant

FIRST = "0" * 64
"""What stands for the previous hash before the first entry."""
_COLUMNS = (
    "sequence, at, time_zone, entered, keeper, kind, version, content, corrects, why, key, "
    "previous"
)
Content = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Draft:
    """What a job hands over to be written; the journal adds sequence and hashes."""

    at: datetime
    time_zone: str
    entered: datetime
    keeper: str
    kind: str
    version: int
    content: Content
    corrects: int | None = None
    why: str | None = None
    key: str | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry as read back. `entry` is the original's number, `sequence` this row's own."""

    entry: int
    sequence: int
    at: datetime
    time_zone: str
    entered: datetime
    keeper: str
    kind: str
    version: int
    content: Content
    corrects: int | None
    why: str | None
    key: str | None
    void: bool = False


@dataclass(frozen=True, slots=True)
class ChainState:
    """What following the chain found.

    `entries` and `head` are the number of rows and the newest hash as stored, sound or not;
    `first_bad` is the number of the first row that is wrong or missing.
    """

    entries: int
    head: str
    first_bad: int | None


canonical = json.JSONEncoder(
    sort_keys=True, ensure_ascii=True, separators=(",", ":"), allow_nan=False
).encode
"""The text a hash covers: JSON, ASCII, sorted keys, no spaces, floats by repr, no NaN."""


def chain_hash(row: Sequence[Any]) -> str:
    """SHA-256 over the twelve columns exactly as stored, in the order of the table."""
    return hashlib.sha256(canonical(list(row)).encode("ascii")).hexdigest()


def _stored(moment: datetime) -> str:
    text = Instant().process_bind_param(moment, None)  # type: ignore[arg-type]
    assert text is not None
    return text


def head(connection: Connection) -> tuple[int, str]:
    """Number and hash of the newest row; (0, zeros) in an empty journal."""
    row = connection.execute(
        select(JournalRow.sequence, JournalRow.hash)  # type: ignore[call-overload]
        .order_by(JournalRow.sequence.desc())  # type: ignore[attr-defined]
        .limit(1)
    ).first()
    return (row[0], row[1]) if row else (0, FIRST)


def append(connection: Connection, draft: Draft) -> int:
    """Adds one row to the chain inside the caller's transaction and answers its number."""
    last, previous = head(connection)
    content = canonical(draft.content)
    row = [
        last + 1, _stored(draft.at), draft.time_zone, _stored(draft.entered), draft.keeper,
        draft.kind, draft.version, content, draft.corrects, draft.why, draft.key, previous,
    ]  # fmt: skip
    connection.execute(
        insert(JournalRow).values(
            sequence=last + 1,
            at=draft.at,
            time_zone=draft.time_zone,
            entered=draft.entered,
            keeper=draft.keeper,
            kind=draft.kind,
            version=draft.version,
            content=content,
            corrects=draft.corrects,
            why=draft.why,
            key=draft.key,
            previous=previous,
            hash=chain_hash(row),
        )
    )
    return last + 1


def follow_chain(
    connection: Connection, *, newest: int | None = None, after: tuple[int, str] | None = None
) -> ChainState:
    """Recomputes the chain from what is stored, nothing re-serialised but the row itself.

    Parameters
    ----------
    newest
        Follow only the last so many links.
    after
        Follow only what comes after this row (number and hash), which must still be there.
        With neither, all is followed from the first row.
    """
    last, last_hash = head(connection)
    start, previous, bad = 0, FIRST, None
    if newest is not None:
        start = max(0, last - newest)
        previous = _hash_of(connection, start)
    elif after is not None:
        start, previous = after
        bad = None if _hash_of(connection, start) == previous else start
    rows = connection.exec_driver_sql(
        f"SELECT {_COLUMNS}, hash FROM journal WHERE sequence>? ORDER BY sequence",
        # Rows before the first can only be put there by hand, and are wrong.
        (start or -(2**63),),
    )
    count = start
    for row in rows.yield_per(2000):
        *covered, stored = row
        count += 1
        wrong = covered[0] != count or covered[-1] != previous or chain_hash(covered) != stored
        if wrong and bad is None:
            bad = count
        previous = stored
    return ChainState(count, last_hash, bad)


def _hash_of(connection: Connection, sequence: int) -> str:
    if sequence == 0:
        return FIRST
    found = connection.exec_driver_sql("SELECT hash FROM journal WHERE sequence=?", (sequence,))
    return str(found.scalar_one_or_none())


def _entry(row: Any, entry: int, void: bool) -> Entry:
    try:
        content = json.loads(row.content)
    except ValueError as error:
        text = f"what entry {row.sequence} says was changed and cannot be read"
        raise RoomTrouble("room-damaged", text, "run: intake verify") from error
    return Entry(
        entry, row.sequence, row.at, row.time_zone, row.entered, row.keeper, row.kind,
        row.version, content, row.corrects, row.why, row.key, void,
    )  # fmt: skip


_journal = JournalRow.__table__  # type: ignore[attr-defined]
_effective = EffectiveRow.__table__  # type: ignore[attr-defined]


def row(connection: Connection, sequence: int) -> Entry | None:
    """One row of the journal as an entry, corrections and voids included."""
    found = connection.execute(select(_journal).where(_journal.c.sequence == sequence)).first()
    if found is None:
        return None
    return _entry(found, found.corrects or found.sequence, found.kind == "void")


def link(connection: Connection, sequence: int) -> tuple[str, str]:
    """The hash before a row and its own, as stored."""
    query = select(_journal.c.previous, _journal.c.hash).where(_journal.c.sequence == sequence)
    previous, own = connection.execute(query).one()
    return previous, own


def by_key(connection: Connection, key: str) -> Entry | None:
    """The row written with this key, if there is one."""
    found = connection.execute(select(_journal).where(_journal.c.key == key)).first()
    return None if found is None else _entry(found, found.corrects or found.sequence, False)


def effective(
    connection: Connection,
    *,
    entries: Iterable[int] | None = None,
    after: tuple[datetime, int] | None = None,
    with_void: bool = False,
) -> Iterator[Entry]:
    """Entries with the content that counts now, in the order (at, entry)."""
    query = (
        select(_journal, _effective.c.entry, _effective.c.at.label("placed"), _effective.c.void)
        .join(_effective, _effective.c.newest == _journal.c.sequence)
        .order_by(_effective.c.at, _effective.c.entry)
    )
    if not with_void:
        query = query.where(_effective.c.void.is_(False))
    if entries is not None:
        query = query.where(_effective.c.entry.in_(list(entries)))
    if after is not None:
        at, number = after
        query = query.where(
            (_effective.c.at > at) | ((_effective.c.at == at) & (_effective.c.entry > number))
        )
    for found in connection.execute(query):
        yield _entry(found, found.entry, found.void)


def all_rows(connection: Connection, originals: Iterable[int]) -> list[Entry]:
    """Every row about these entries: the originals, their corrections and voids, oldest first."""
    wanted = list(originals)
    query = (
        select(_journal)
        .where(_journal.c.sequence.in_(wanted) | _journal.c.corrects.in_(wanted))
        .order_by(_journal.c.sequence)
    )
    found = connection.execute(query)
    return [_entry(r, r.corrects or r.sequence, r.kind == "void") for r in found]


def count(connection: Connection) -> int:
    """How many rows the journal has."""
    return connection.execute(select(func.count()).select_from(_journal)).scalar_one()


def rows_after(
    connection: Connection, sequence: int
) -> list[tuple[int, int | None, datetime, str]]:
    """(sequence, corrects, at, hash) of every row after that one."""
    query = (
        select(_journal.c.sequence, _journal.c.corrects, _journal.c.at, _journal.c.hash)
        .where(_journal.c.sequence > sequence)
        .order_by(_journal.c.sequence)
    )
    return [(r[0], r[1], r[2], r[3]) for r in connection.execute(query)]
