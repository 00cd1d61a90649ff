"""The stored projections: what each entry says now, and which things it speaks of.

One pure step per row; a tail is folded in place, and folding every row again from nothing gives
the same tables (a property test holds the two together).
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from intake.store.tables import EffectiveRow, JournalRow, MentionRow

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


def replayed(connection: Connection) -> tuple[list[Any], list[Any]]:
    """What the projections would be if folded from nothing; the stored ones stay as they are."""
    effective: dict[int, list[Any]] = {}
    mentions: dict[int, set[int]] = {}
    for row in connection.execute(select(_journal).order_by(_journal.c.sequence)):
        entry = row.corrects or row.sequence
        if row.kind == "void":
            effective[entry][3] = True
            continue
        effective[entry] = [entry, row.sequence, row.at, False]
        mentions[entry] = things_in(json.loads(row.content)) | {entry}
    pairs = [(e, t) for e, things in mentions.items() for t in things]
    return [tuple(r) for _, r in sorted(effective.items())], sorted(pairs)


def snapshot(connection: Connection) -> tuple[list[Any], list[Any]]:
    """The projections as plain sorted rows, for comparing two ways of reaching them."""
    first = connection.execute(select(_effective).order_by(_effective.c.entry)).all()
    second = connection.execute(
        select(_mention).order_by(_mention.c.entry, _mention.c.thing)
    ).all()
    return [tuple(r) for r in first], [tuple(r) for r in second]


def mentioning(connection: Connection, thing: int) -> list[int]:
    """The entries that speak of a thing, its own entry included."""
    found = connection.execute(
        select(_mention.c.entry).where(_mention.c.thing == thing).order_by(_mention.c.entry)
    )
    return [r[0] for r in found]
