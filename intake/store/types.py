"""The only column types: the same meaning on every database, and what STRICT tables accept."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Dialect, Integer, Text
from sqlalchemy.types import TypeDecorator

from intake.store.trouble import RoomTrouble

__all__ = ["Flag", "Instant", "Integer", "Text"]

_WRITTEN = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", re.ASCII)


def _moment(text: str) -> datetime:
    # strptime would do both, at ten times the time for each of three moments in every row.
    if not _WRITTEN.fullmatch(text):
        raise ValueError("not a moment as it is written here")
    return datetime.fromisoformat(text)


class Instant(TypeDecorator[datetime]):
    """A moment, stored as UTC text with whole seconds and a Z; naive values are refused."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without a time zone")
        return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

    def process_result_value(self, value: Any | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        if value is None:
            return None
        try:
            return _moment(value)
        except ValueError as error:
            text = "a time in the journal was changed and cannot be read"
            raise RoomTrouble("room-damaged", text, "run: intake verify") from error


class Flag(TypeDecorator[bool]):
    """Yes or no, stored as 1 or 0; the table adds the CHECK that keeps it so."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: bool | None, dialect: Dialect) -> int | None:  # noqa: ARG002
        return None if value is None else int(value)

    def process_result_value(self, value: Any | None, dialect: Dialect) -> bool | None:  # noqa: ARG002
        return None if value is None else bool(value)
