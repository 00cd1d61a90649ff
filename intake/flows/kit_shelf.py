"""The kits a room keeps, as they are listed, and those that run out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Kit
from intake.flows.kits import expires_on, is_expired, split_words, tests_of

SOON_DAYS = 14
"""How long before its date a kit is said to run out [d]: time to order one; common practice."""
NAMES = {"tan": "TAN", "ph": "pH", "kh": "KH", "gh": "GH", "no2": "nitrite", "no3": "nitrate",
         "temp": "temperature"}  # fmt: skip


def kit_keys(book: Book, kit: Kit) -> dict[str, Any]:
    """The keys of one kit in `room show`."""
    return {
        "name": kit.name,
        "tests": list(tests_of(kit)),
        "reports": kit.reports,
        "steps": kit.steps,
        "expires": kit.expires or None,
        "expired": is_expired(book, kit, book.now),
        "fooled_by": list(split_words(kit.fooled_by)),
        "error": kit.error,
    }


def kit_text(book: Book, kit: Kit) -> str:
    """One kit in a list: ``drop kit, TAN as N, to 2027-05-01``."""
    tests = " ".join(NAMES.get(test, test) for test in tests_of(kit))
    counted = f" as {kit.reports}" if kit.reports else ""
    date = ""
    if kit.expires:
        date = f"{'expired' if is_expired(book, kit, book.now) else 'to'} {kit.expires}"
    return ", ".join(part for part in (kit.name, f"{tests}{counted}".strip(), date) if part)


def running_out(book: Book) -> Iterator[tuple[Kit, str, str]]:
    """Kits past their date or near it where no other tests the same, with what is said and why."""
    today = local_date(book.now, book.facts.zone)
    soon = today + timedelta(days=SOON_DAYS)
    kits = [k for k in book.facts.of_kind(Kit) if k.present]
    lasting = [k for k in kits if (day := expires_on(k)) is None or day > soon]
    for kit in kits:
        if kit in lasting:
            continue
        alone = [t for t in tests_of(kit) if not any(t in tests_of(k) for k in lasting)]
        if not alone:
            continue
        day = expires_on(kit)
        assert day is not None
        words = ", ".join(NAMES.get(test, test) for test in alone)
        verb = "expired" if day < today else "expires"
        said = f"{kit.name} {verb} {day:%a} {day.day} {day:%b}: get one in date for {words}"
        why = "what a kit past its date reads is warned of and counts for no release"
        yield kit, said, why
