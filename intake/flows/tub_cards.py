"""The card of a tub, worked out from the journal as it stands."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Book, Desk, at_work
from intake.flows.dosed_water import STAGE_OF_ZONE, stages_of
from intake.flows.facts.baths import Bath
from intake.flows.facts.happened import WaterEvent
from intake.flows.facts.things import Animal, Person, System, Vessel
from intake.flows.facts.volumes import has_depth, litres, waters
from intake.flows.line_words import litres_said
from intake.flows.notes import Notes
from intake.flows.papers import free_name, path_of, vessel_named, write_paper
from intake.flows.quarantine_facts import facts_of
from intake.flows.quarantines import checks_of
from intake.flows.residues import substances
from intake.flows.tub_card_doses import courses_of, never_mix_of, title_of
from intake.report.tub_card import TubCard
from intake.science.counters import counters
from intake.science.ledger import Changed, Flushed
from intake.science.show import show, show_range
from intake.science.targets import STAGES

NOT_KNOWN = "not known: measure this vessel first"


def write(desk: Desk, name: str, out: str) -> dict[str, Any]:
    """Writes the card of a vessel and answers with what it says and where it is.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then no file is made.
    """
    path = path_of(out)
    with at_work(desk) as book:
        vessel = vessel_named(book, name)
        card = card_of(book, vessel)
        volume, low, high = litres(at_mark(vessel))
    write_paper(path, "tub_card", card)
    return {
        "vessel": card.vessel,
        "system": card.system,
        "file": str(path),
        "volume_l": volume,
        "volume_l_low": low,
        "volume_l_high": high,
        "most_sensitive": card.sensitive,
        "doses": [
            {"treatment": c.treatment, "when": c.when, "amount": c.amount, "unit": c.unit}
            for c in card.courses
        ],
        "never_mix": list(card.never_mix),
        **Notes().as_keys(),
    }


def file_name(desk: Desk, name: str, end: str) -> str:
    """A file that is not there yet, in the folder worked in; numbered, never named by a text."""
    with at_work(desk) as book:
        return free_name(f"tub-card-{vessel_named(book, name).id}", end)


def card_of(book: Book, vessel: Vessel) -> TubCard:
    """All that the card says."""
    facts = book.facts
    system = facts.system_of(vessel)
    animals = facts.occupants([vessel.id])
    there = facts.local(book.now)
    volume = litres(at_mark(vessel))
    number, hash_ = _head(book)
    return TubCard(
        vessel=vessel.name,
        litres=_litres(book, system, volume[0]),
        ends=_ends(volume),
        mark=_line("at the mark", at_mark(vessel)),
        today=_today(vessel),
        shared=_shared(book, system),
        lives=_lives(book, animals),
        sensitive=_sensitive(book, system),
        system=f"water system {system.name}",
        zone=f"zone {vessel.zone}",
        in_water=tuple(
            (title_of(book, s.treatment), show_range(s.level.low, s.level.high, s.unit))
            for s in substances(book, system, book.now)
        ),
        courses=courses_of(book, system, vessel),
        last_change=_last_change(book, system),
        never_mix=never_mix_of(book, system),
        quarantine=_quarantine(book, system),
        release=_release(book, system),
        vets=tuple(
            f"Vet: {p.name}{f', {p.phone}' if p.phone else ''}"
            for p in facts.of_kind(Person)
            if p.role == "vet" and p.present
        ),
        printed=f"Printed {there} {local_date(book.now, facts.zone).year}"
        f" by {book.desk.keeper or next(iter(facts.keepers), 'nobody named')}",
        head=f"Journal at entry {number}, {hash_}",
    )


def at_mark(vessel: Vessel) -> Vessel:
    """The vessel as it was when its line stood at its mark."""
    if vessel.mark is None or not has_depth(vessel):
        return vessel
    return replace(vessel, depth=vessel.mark, off_l=0.0)


def _litres(book: Book, system: System, volume_l: float) -> str:
    """The vessel's own; beside them those of the water it shares, which a dose is for."""
    own = show(volume_l, "L", digits=3) if volume_l else "? L"
    if len(system.vessels) == 1 and system.sump is None:
        return own
    return f"{own} of {show(waters(book.facts, system)[0], 'L', digits=3)} shared"


def _ends(volume: tuple[float, float, float]) -> str:
    if not volume[0]:
        return NOT_KNOWN
    return f"likely {show_range(volume[1], volume[2], 'L', digits=3)}"


def _line(words: str, vessel: Vessel) -> str:
    depth = vessel.depth
    return words if depth is None else f"{words}, {show(depth.value, 'cm')}"


def _today(vessel: Vessel) -> str:
    volume = litres(vessel)
    if not volume[0]:
        return f"Today {NOT_KNOWN}"
    return f"Today {litres_said(*volume)}{_line(', line', vessel).replace('line,', 'line')}"


def _shared(book: Book, system: System) -> str:
    if len(system.vessels) == 1 and system.sump is None:
        return ""
    names = ", ".join(book.facts.vessel(v).name for v in system.vessels)
    return f"a dose is for all of it, {litres_said(*waters(book.facts, system))}: {names}"


def _lives(book: Book, animals: list[Animal]) -> str:
    """How many of which stage, and who of them is in a bucket just now."""
    counts: dict[str, int] = {}
    for a in animals:
        counts[a.stage] = counts.get(a.stage, 0) + a.count
    told = ", ".join(f"{n} {stage}" for stage, n in counts.items())
    here = {a.id for a in animals}
    out = [
        f"in a bath now: {bath.who}, due out {book.facts.local(bath.ends)}"
        for bath in book.facts.of_kind(Bath)
        if bath.until is None and bath.since <= book.now and here & set(bath.animals)
    ]
    total = f"{sum(counts.values())} fish: {told}" if counts else "no fish recorded"
    return "; ".join([total, *out])


def _sensitive(book: Book, system: System) -> str:
    """The youngest stage in all the water a dose reaches, and the kinds that stand less."""
    kinds = {a.variety for a in book.facts.occupants(system.vessels)}
    words = {
        word.lower()
        for treatment in book.shelf.treatments.values()
        for part in treatment.sensitive
        for word in part.kinds
    }
    tender = sorted(k for k in kinds if any(word in k.lower() for word in words))
    said = f"; {', '.join(tender)}: some treatments are not for them" if tender else ""
    return _youngest(book, system) + said


def _youngest(book: Book, system: System) -> str:
    """The youngest stage alive in all the water a dose reaches, and where that is."""
    stages = stages_of(book, system)
    youngest = next((s for s in STAGES if s in stages), None)
    if youngest is None:
        return "nothing recorded, taken as adult"
    if len(system.vessels) == 1:
        return youngest
    homes = [
        book.facts.vessel(v).name
        for v in system.vessels
        if youngest in {a.stage for a in book.facts.occupants([v])}
        or STAGE_OF_ZONE.get(book.facts.vessel(v).zone) == youngest
    ]
    return f"{youngest}, in {', '.join(homes)}"


def _last_change(book: Book, system: System) -> str:
    changes = [
        w
        for w in system.water
        if isinstance(w.event, Changed | Flushed) and w.event.at_utc <= book.now
    ]
    if not changes:
        return "none recorded"
    last = changes[-1]
    return f"{book.facts.local(last.event.at_utc)}, {_changed(last)}"


def _changed(w: WaterEvent) -> str:
    event = w.event
    if isinstance(event, Flushed):
        return f"{show(event.through_l, 'L')} run through"
    assert isinstance(event, Changed)
    if event.share is not None:
        return f"{show(event.share * 100, '%')}"
    return f"{show(event.out_l, 'L')} out, {show(event.in_l, 'L')} in"


def _quarantine(book: Book, system: System) -> str:
    if system.quarantine is None:
        return "none runs in this water"
    count = counters(facts_of(book, system), book.now)
    if count.day_0 is None:
        return "waiting for its fish"
    days = facts_of(book, system).plan.days
    restart = "; a restart is proposed, settle it" if count.proposed else ""
    return f"day {count.days_served} of at least {days}{restart}"


def _release(book: Book, system: System) -> str:
    if system.quarantine is None:
        return ""
    found = checks_of(book, system)
    if found.earliest_release is None:
        return "no earliest release yet"
    day = found.earliest_release
    return (
        f"release not before {day:%a} {day.day} {day:%b %Y} ({found.decided_by}), and only with "
        "every check met"
    )


def _head(book: Book) -> tuple[int, str]:
    from intake.store import journal

    return journal.head(book.connection)
