"""A vessel taken out of the water it shares, or let in again; waters that touch."""

from __future__ import annotations

from intake.clock import local_date
from intake.flows.desk import Book, Desk, at_work, rehearsed
from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import waters
from intake.flows.jobs.calendar_words import readable
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import recorded, with_doubt
from intake.flows.record import record
from intake.flows.views.joined import Apart, LinkChoices
from intake.flows.views.parts import Recorded
from intake.flows.views.vessels import Gauged
from intake.science.show import show


def shared(book: Book, vessel: Vessel) -> Gauged | None:
    """The water a vessel shares and with what; None where it is alone."""
    facts = book.facts
    system = facts.systems.get(vessel.system)
    if system is None:
        return None
    if vessel.left:
        home = facts.water_now(vessel.left).name
        alone = with_doubt(*waters(facts, system), "L")
        return Gauged("alone", alone, f"key i lets it in again; isolated from {home}")
    others = [facts.vessel(v).name for v in system.vessels if v != vessel.id]
    if not others:
        return None
    sump = system.sump
    parts = [*others, *([f"{show(sump.value, 'L')} of sump"] if sump is not None else [])]
    said = f"key i isolates; {system.name}, with {', '.join(parts)}"
    return Gauged("total", with_doubt(*waters(facts, system), "L"), said)


def apart(desk: Desk, name: str) -> Apart:
    """What the other state of a vessel would mean: isolated, or let in again."""
    with at_work(desk) as book:
        vessel = book.facts.vessel_named(name)
        rejoin, today = bool(vessel and vessel.left), local_date(book.now, book.facts.zone)
    with as_unreadable():
        answer = record(rehearsed(desk), "isolate", _typed(name, rejoin))
    drags = tuple(
        f"{d['system']}: {d['what']}, because {d['because']}" for d in answer.get("drags_in", [])
    )
    whats = [d["what"] for d in answer.get("drags_in", [])]
    said = (*answer["because"], *answer["assumptions"])
    told = [t for t in said if not any(what in t for what in whats)]
    return Apart(name, rejoin, tuple(told), tuple(readable(t, today) for t in drags))


def _typed(name: str, rejoin: bool) -> dict[str, object]:
    return {"vessel": name, "rejoin": rejoin}


def apart_record(desk: Desk, name: str, rejoin: bool) -> Recorded:
    """Isolates a vessel, or lets it in again."""
    with as_unreadable():
        answer = record(desk, "isolate", _typed(name, rejoin))
    done = "let in again" if rejoin else "isolated"
    return recorded(desk, answer, f"{name} {done}: {show(answer['volume_l'], 'L')}")


def link_choices(desk: Desk, name: str) -> LinkChoices:
    """What may be linked to a vessel's water, and which links there are."""
    with at_work(desk) as book:
        facts = book.facts
        vessel = book.facts.vessel_named(name)
        own = vessel.system if vessel else 0
        others = tuple(
            (s.name, ", ".join(facts.vessel(v).name for v in s.vessels))
            for s in facts.waters()
            if s.id != own
        )
        links = []
        for link in facts.links:
            a, b = (facts.water_now(s) for s in link.systems)
            if link.until is None and own in (a.id, b.id):
                words = f"{a.name} and {b.name} by {link.by}, since {facts.local(link.at)}"
                links.append((a.name, b.name, link.by, words))
    return LinkChoices(others, tuple(links))


def link(desk: Desk, a: str, b: str, by: str, ended: bool) -> Recorded:
    """Two waters that touch, or touch no longer."""
    with as_unreadable():
        answer = record(desk, "link", {"a": a, "b": b, "by": by, "ended": ended})
    done = "no longer linked" if ended else "linked, watched"
    return recorded(desk, answer, f"{answer['a']} and {answer['b']} {done} by {by}")
