"""Brings the content of old entries to today's shape. Upcasters are pure and kept for ever."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from intake.flows.facts.old_doses import with_event

if TYPE_CHECKING:
    from intake.store.journal import Entry

Upcaster = Callable[[Mapping[str, Any]], Mapping[str, Any]]


def _several(content: Mapping[str, Any]) -> Mapping[str, Any]:
    """A release that named one water, as one that names several waters or fish."""
    kept = {name: value for name, value in content.items() if name != "system"}
    refs = {**kept["refs"], "subject": [kept["refs"]["system"]]}
    refs.pop("system")
    return {**kept, "subject": [content["system"]], "refs": refs}


UPCASTERS: dict[tuple[str, int], Upcaster] = {
    ("dose", 1): with_event,
    ("given", 1): with_event,
    ("release", 1): _several,
}
"""By kind and the version read: how its content becomes that of the next version."""


def today(entry: Entry, upcasters: Mapping[tuple[str, int], Upcaster] = UPCASTERS) -> Entry:
    """The entry with its content in today's shape; the journal itself is never rewritten."""
    content, version = entry.content, entry.version
    while (entry.kind, version) in upcasters:
        content, version = upcasters[entry.kind, version](content), version + 1
    return replace(entry, content=content, version=version)
