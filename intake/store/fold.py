"""The stored projections: what each entry says now, and which things it speaks of.

One pure step per row; a tail is folded in place, and folding every row again from nothing gives
the same tables (a property test holds the two together).
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from heapq import merge
from itertools import groupby, zip_longest
from operator import itemgetter
from typing import Any

from sqlalchemy import (
    Connection,
    delete,
    func,
    insert,
    literal_column,
    select,
    type_coerce,
    update,
)

from intake.store.tables import EffectiveRow, JournalRow, MentionRow
from intake.store.types import Integer, Text

_journal = JournalRow.__table__  # type: ignore[attr-defined]
_effective = EffectiveRow.__table__  # type: ignore[attr-defined]
_mention = MentionRow.__table__  # type: ignore[attr-defined]


def things_in(content: Mapping[str, Any]) -> set[int]:
    """The numbers of all things a content refers to."""
    return set(_numbers(content.get("refs", {}).values()))


def _numbers(values: Iterable[Any]) -> Iterator[int]:
    for value in values:
        if isinstance(value, list):
            yield from _numbers(value)
        elif isinstance(value, int):
            yield value


def fold_row(connection: Connection, sequence: int) -> None:
    """Folds one new row of the journal into the projections."""
    row = connection.execute(select(_journal).where(_journal.c.sequence == sequence)).one()
    entry = row.corrects or row.sequence
    if row.corrects is None:
        connection.execute(
            insert(_effective).values(entry=entry, newest=entry, at=row.at, void=False)
        )
    elif row.kind == "void":
        connection.execute(update(_effective).where(_effective.c.entry == entry).values(void=True))
        return
    else:
        connection.execute(
            update(_effective)
            .where(_effective.c.entry == entry)
            .values(newest=row.sequence, at=row.at, void=False)
        )
        connection.execute(delete(_mention).where(_mention.c.entry == entry))
    things = things_in(json.loads(row.content)) | {entry}
    connection.execute(
        insert(_mention), [{"entry": entry, "thing": thing} for thing in sorted(things)]
    )


def rebuild(connection: Connection) -> None:
    """Empties the projections and folds the whole journal again."""
    connection.execute(delete(_mention))
    connection.execute(delete(_effective))
    rows = connection.execute(select(_journal.c.sequence).order_by(_journal.c.sequence)).all()
    for (sequence,) in rows:
        fold_row(connection, sequence)


Projected = tuple[Any, ...]
"""A row of a projection: (entry, 0, newest, at, void), then (entry, 1, thing) for each thing."""
_AT_ONCE = {"yield_per": 2000}
"""Rows are taken in pieces: a journal of ten years needs no more memory than one of a week."""


def replayed(connection: Connection) -> Iterator[Projected]:
    """What the projections would be if folded from nothing; the stored ones stay as they are."""
    entry = func.coalesce(_journal.c.corrects, _journal.c.sequence)
    query = select(
        entry, _journal.c.sequence, type_coerce(_journal.c.at, Text), _journal.c.kind,
        _journal.c.content,
    ).order_by(entry, _journal.c.sequence)  # fmt: skip
    found = connection.execute(query, execution_options=_AT_ONCE)
    for number, rows in groupby(found, itemgetter(0)):
        newest, at, void, content = 0, "", False, "{}"
        for _, sequence, written, kind, said in rows:
            void = kind == "void"
            if not void:
                newest, at, content = sequence, written, said
        yield number, 0, newest, at, int(void)
        for thing in sorted(things_in(json.loads(content)) | {number}):
            yield number, 1, thing


def snapshot(connection: Connection) -> Iterator[Projected]:
    """The projections as they are stored, in the order of `replayed`."""
    effective = select(
        _effective.c.entry, literal_column("0"), _effective.c.newest,
        type_coerce(_effective.c.at, Text), type_coerce(_effective.c.void, Integer),
    ).order_by(_effective.c.entry)  # fmt: skip
    mention = select(_mention.c.entry, literal_column("1"), _mention.c.thing).order_by(
        _mention.c.entry, _mention.c.thing
    )
    stored = (
        (tuple(row) for row in connection.execute(query, execution_options=_AT_ONCE))
        for query in (effective, mention)
    )
    return merge(*stored)


def matches(connection: Connection) -> bool:
    """Whether the stored projections are what folding the journal again gives."""
    both = zip_longest(snapshot(connection), replayed(connection))
    return all(stored == again for stored, again in both)


def mentioning(connection: Connection, thing: int) -> list[int]:
    """The entries that speak of a thing, its own entry included."""
    found = connection.execute(
        select(_mention.c.entry).where(_mention.c.thing == thing).order_by(_mention.c.entry)
    )
    return [r[0] for r in found]
