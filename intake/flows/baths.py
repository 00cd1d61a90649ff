"""The baths that run: when they end, how late they are, and what `today` answers of them."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from intake.flows.desk import Book
from intake.flows.facts.baths import Bath

OVERDOSE_DAYS = 7
"""How long an alert about a bath over a limit stays [d] (common practice)."""


def running(book: Book) -> list[Bath]:
    """The baths whose fish are still in, the one that ends first first."""
    found = [b for b in book.facts.of_kind(Bath) if b.since <= book.now and b.present]
    return sorted(found, key=lambda b: (b.ends, b.id))


def bath_keys(book: Book, bath: Bath) -> dict[str, Any]:
    """The keys of one bath that runs."""
    zone = book.facts.zone
    left_s = (bath.ends - book.now).total_seconds()
    return {
        "entry": bath.id,
        "treatment": bath.treatment,
        "course": bath.course,
        "fish": bath.who,
        "started": bath.since.astimezone(zone).isoformat(),
        "ends_at": bath.ends.astimezone(zone).isoformat(),
        "overdue": left_s <= 0,
        "minutes_left": round(left_s / 60, 1),
    }


def bath_alerts(book: Book) -> list[dict[str, Any]]:
    """What baths call for: fish that are still in, and what was over a limit in the last days."""
    found = [_overdue(book, b) for b in running(book) if b.ends <= book.now]
    since = book.now - timedelta(days=OVERDOSE_DAYS)
    for bath in book.facts.of_kind(Bath):
        if bath.since >= since:
            found += _against(book, bath)
    return found


def _overdue(book: Book, bath: Bath) -> dict[str, Any]:
    text = f"Lift {bath.who} out of the {bath.name} now: over since {_clock(book, bath.ends)}"
    because = f"intake record stop {bath.id} ends it; it began {_clock(book, bath.since)}"
    return _alert("call-vet", text, because, bath)


def _against(book: Book, bath: Bath) -> list[dict[str, Any]]:
    over = [b for b in bath.broke if b["code"] == "over-hard-limit"]
    others = [b for b in bath.broke if b["code"] != "over-hard-limit"]
    if not over and bath.until is not None and bath.until > bath.longest:
        late = f"out at {_clock(book, bath.until)}, at the latest {_clock(book, bath.longest)}"
        over = [{"text": late}]
    if over:
        text = f"Too much {bath.treatment} in a bath: watch {bath.who} now, ring the vet"
        return [_alert("call-vet", text, over[0]["text"], bath)]
    if others:
        text = f"{bath.who}: bathed in {bath.treatment} against the protocol"
        return [_alert("watch", text, others[0]["text"], bath)]
    return []


def _clock(book: Book, moment: datetime) -> str:
    return book.facts.local(moment)


def _alert(urgency: str, text: str, because: str, bath: Bath) -> dict[str, Any]:
    return {
        "urgency": urgency, "text": text, "because": because, "system": "", "entry": bath.id,
    }  # fmt: skip
