"""What the round writes: looks, water tests, changes, tasks, as the commands do too."""

from __future__ import annotations

from collections.abc import Mapping

from intake.flows.desk import Desk, at_work
from intake.flows.facts.things import Vessel
from intake.flows.jobs.receive_bag import tan_kit
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded, write
from intake.flows.record import Said, record
from intake.flows.views.parts import Recorded
from intake.flows.views.today import SeenChoice


def all_well(desk: Desk, vessel: str) -> Recorded:
    """One look for every fish in a vessel: nothing seen."""
    return write(desk, "look", {"subject": vessel}, f"{vessel}: all well")


def appetite(desk: Desk, vessel: str, ate: str) -> Recorded:
    """One look at a whole vessel that also says how they ate: all, some or none."""
    return write(desk, "look", {"subject": vessel, "appetite": ate}, f"{vessel}: ate {ate}")


def seen_choice(desk: Desk, vessel: str) -> SeenChoice:
    """Whom something seen can be about, and every sign with its grades."""
    with at_work(desk) as book:
        found = next(v for v in book.facts.of_kind(Vessel) if v.name == vessel and v.present)
        animals = book.facts.occupants([found.id])
        return SeenChoice(
            vessel,
            tuple((a.name, a.variety or a.kind, a.count) for a in animals),
            tuple((s.id, s.title, ("not seen", *s.grades)) for s in book.shelf.signs.values()),
        )


def seen(desk: Desk, subject: str, sign: str, grade: int, affected: int | None) -> Recorded:
    """One sign at a grade, on a fish, a group or a whole vessel."""
    typed: dict[str, object] = {"subject": subject, "sign": [f"{sign}:{grade}"]}
    if affected is not None:
        typed["affected"] = str(affected)
    answer = record(desk, "look", typed)
    asks = ", ".join(WORDS[a["urgency"]] for a in answer["asks"])
    text = f"{subject}: {sign.replace('-', ' ')} {grade}"
    return recorded(desk, answer, text, next_text=asks)


WORDS = {
    "watch": "look again in 12 to 24 h",
    "test-water": "test the water now",
    "isolate": "keep it apart, if that does no harm",
    "call-vet": "ring the vet",
}


def reading(desk: Desk, vessel: str, typed: Mapping[str, str]) -> Recorded:
    """One water test."""
    given = {k: v for k, v in typed.items() if v.strip()}
    with at_work(desk) as book:
        kit, reports = tan_kit(book)
    if kit and given.get("tan", "").endswith(f" as {reports}"):
        given["kit"] = kit
    with as_unreadable():
        answer = record(desk, "reading", {"subject": vessel, **given})
    return recorded(desk, answer, f"{vessel}: water test")


def feed(desk: Desk, vessel: str, typed: Mapping[str, str]) -> Recorded:
    """Food given: what a day's feed is tells when the next change is due."""
    given = {k: v for k, v in typed.items() if v.strip()}
    with as_unreadable():
        return write(desk, "feed", {"vessel": vessel, **given}, f"{vessel}: fed {given['amount']}")


def skip(desk: Desk, task: str, why: str) -> Recorded:
    """A task skipped, with its reason."""
    return write(desk, "skipped", {"task": task}, f"skipped: {why}", Said(why=why))


def done(desk: Desk, task: str) -> Recorded:
    """A task done."""
    return write(desk, "done", {"task": task}, "done")
