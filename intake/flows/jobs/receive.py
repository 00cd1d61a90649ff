"""Receive: from the carrier's stamp to fish in a vessel, one step at a time.

Each job records through the same forms as `intake record`: shipment, box, bag, acclimation,
step, checkpoint, fish or group, quarantine. What is shown follows from the journal alone, so a
run goes on after a restart where it was.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from intake.flows.crossing import bag_reading, hours_packed, vessel_reading
from intake.flows.crossing_run import crossing
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import Shipment, Vessel
from intake.flows.jobs import crossing_paper
from intake.flows.jobs.receive_bag import (
    OnHand,
    choices,
    destination,
    fish_text,
    on_hand,
    questions,
    step_of,
    vessel_detail,
)
from intake.flows.jobs.receive_compared import compared, kit_doubts
from intake.flows.jobs.receive_record import (
    REASONS,
    bag_new,
    bag_save,
    checkpoint,
    choose,
    claim,
    hold,
    next_step,
    shipment_new,
)
from intake.flows.jobs.receive_run import next_reading_at, run_view, running
from intake.flows.jobs.receive_settle import settle, what_if
from intake.flows.jobs.receive_triage import in_order, shipments_on_hand
from intake.flows.jobs.receive_ways import (
    NH3_UNIT,
    assumed_texts,
    doubts,
    gaps,
    levels,
    methods,
    side_by_side,
)
from intake.flows.jobs.words import clock_text, day_text, when_text
from intake.flows.shipments import claim_closes, claim_state
from intake.flows.views.parts import Bar
from intake.flows.views.receive import BagLine, Doubt, Method, ReceiveList, ReceiveView
from intake.science.acclimation_readings import Known
from intake.science.problem import Problem
from intake.science.triage import Urgency

__all__ = [
    "bag", "bag_new", "bag_save", "checkpoint", "choose", "claim", "hold", "next_step", "paper",
    "running", "settle", "shipment_new", "shipments",
]  # fmt: skip

OLD_H = 24
"""A reading of the vessel older than this is a doubt [h]. Common practice."""


def shipments(desk: Desk) -> ReceiveList:
    """Shipments on hand, the newest first; their bags, the most urgent first."""
    with at_work(desk) as book:
        on_list = shipments_on_hand(book)
        return ReceiveList(
            tuple((s.name, _from(book, s)) for s in on_list),
            tuple(_line(book, it, urgent) for it, urgent in in_order(book)),
            tuple(_claim(book, s) for s in on_list if claim_state(s, book.now) != "closed"),
        )


def _from(book: Book, shipment: Shipment) -> str:
    if shipment.delivered is None:
        return f"from {shipment.seller}"
    return f"from {shipment.seller}, delivered {when_text(book, shipment.delivered)}"


def _claim(book: Book, shipment: Shipment) -> str:
    if claim_state(shipment, book.now) == "sent":
        return f"{shipment.name}: claim sent {when_text(book, shipment.claims[-1][1])}"
    closes = claim_closes(shipment)
    assert closes is not None
    return f"{shipment.name}: claim by {clock_text(book, closes)}"


def _line(book: Book, it: OnHand, urgent: Urgency) -> BagLine:
    step = step_of(book, it)
    said = _line_said(book, it, step)
    return BagLine(it.box_name, it.bag.number, fish_text(it.bag), step, said, urgent.why)


def _line_said(book: Book, it: OnHand, step: str) -> str:
    if not it.known:
        return "no bag counted yet"
    if step == "settled":
        names = [book.facts.animal(a).name for a in it.bag.settled]
        return ", ".join(names) if names else "none alive"
    run = crossing(book, it.bag)
    if run is not None and not run.over:
        if not run.waiting:
            return f"step {run.now + 1} of {run.last + 1}"
        due = next_reading_at(run) if run.now == run.timed else None
        read = "" if due is None or due >= run.ends else f", read at {clock_text(book, due)}"
        lift = f"lift at {clock_text(book, run.ends)}"
        return f"step {run.now + 1} of {run.last + 1}, {lift}{read}"
    return {
        "open": "still shut",
        "read": "water not read yet",
        "choose": "the way across is not chosen yet",
        "settle": "across, not named yet",
    }[step]


def bag(desk: Desk, box: str, bag: int) -> ReceiveView:
    """One bag at the step it has come to."""
    with at_work(desk) as book:
        return _view(book, on_hand(book, box, bag))


def paper(desk: Desk, box: str, bag: int, end: str) -> str:
    """Writes the way across of a bag to a file of its own; where it is, in words."""
    answer = crossing_paper.write(desk, box, bag, crossing_paper.file_name(desk, box, bag, end))
    return f"its way across is in {answer['file']}"


def _view(book: Book, it: OnHand) -> ReceiveView:
    vessel, step = destination(book, it), step_of(book, it)
    known = gaps(book, it.box, it, vessel) if vessel is not None and it.box is not None else None
    filled = known if isinstance(known, Known) else None
    shown = _ways(book, it, step)
    limits = book.shelf.water.acclimation()
    run = crossing(book, it.bag)
    hours = hours_packed(book, it.box, it.bag) if it.box is not None else None
    under_way = run is not None and step == "run"
    return ReceiveView(
        shipment=it.shipment.name,
        box=it.box_name,
        bag=it.bag.number,
        bags=len(it.box.bags) if it.box is not None else 0,
        fish=fish_text(it.bag),
        packed=f"{hours:.0f} h" if hours is not None else "? h",
        vessel=vessel.name if vessel is not None else "",
        step=step,
        questions=questions(book, it, assumed_texts(filled) if filled else {}),
        compared=tuple(compared(book, it, vessel, known)) if vessel and known else (),
        nh3_unit=NH3_UNIT,
        nh3_limit=limits.nh3_peak_n_mg_l,
        levels=shown[0],
        methods=shown[1],
        doubts=_doubts(book, it, filled),
        reasons=REASONS,
        run=run_view(book, it.bag, vessel, run) if run is not None and under_way else None,
        because=_because(book, it, step, shown[2]),
        vessels=tuple((v.name, vessel_detail(book, v)) for v in choices(book)),
    )


def _ways(book: Book, it: OnHand, step: str) -> tuple[tuple[Bar, ...], tuple[Method, ...], str]:
    """Levels, methods and why, once everything was asked; working them out takes a moment."""
    if step != "choose":
        return (), (), ""
    vessel = destination(book, it)
    if vessel is None:
        return (), (), "no vessel is free for them: pick one, or record a quarantine vessel first."
    found = side_by_side(book, it, vessel)
    if isinstance(found, Problem):
        return (), (), f"{found.text}: read it first; the ways are compared with that water."
    limits = book.shelf.water.acclimation()
    why = " ".join([found.reason, *(f"{b[:1].upper()}{b[1:]}." for b in found.because[1:])])
    return levels(found, limits.nh3_peak_n_mg_l), methods(found, limits), why


def _doubts(book: Book, it: OnHand, known: Known | None) -> tuple[Doubt, ...]:
    vessel = destination(book, it)
    if known is None or vessel is None or it.box is None:
        return ()
    water = vessel_reading(book, vessel)
    assumed = doubts(bag_reading(book, it.box, it.bag), water, known)
    return (*kit_doubts(book, it), *assumed, *_old(book, vessel))


def _old(book: Book, vessel: Vessel) -> Iterator[Doubt]:
    """Readings of the vessel that are not of today."""
    system = book.facts.system_of(vessel)
    read = {"temperature": vessel.readings.get("temp")}
    read |= {"pH": system.readings.get("ph"), "KH": system.readings.get("kh")}
    read |= {"TAN": system.readings.get("tan")}
    for what, reading in read.items():
        if reading is not None and book.now - reading.at > timedelta(hours=OLD_H):
            said = f"read {when_text(book, reading.at)}"
            yield Doubt(f"{vessel.name} {what}", said, "a new reading tells what waits now", "")


def _because(book: Book, it: OnHand, step: str, why: str) -> str:
    if step == "choose":
        return why
    if step == "open":
        closes = claim_closes(it.shipment)
        if closes is not None and claim_state(it.shipment, book.now) == "open":
            at = clock_text(book, closes)
            return f"a claim needs a picture of every bag still shut, until {at}. Fish first."
        return "the claim window is closed; count them through the shut bag."
    if step == "read":
        return (
            "every hour shut adds ammonia and CO2: read quickly. What is not read counts at"
            " the end that harms."
        )
    vessel = destination(book, it)
    if step == "settle" and vessel is not None:
        return what_if(book, it, vessel)
    if step == "run":
        run = crossing(book, it.bag)
        return run_view(book, it.bag, vessel, run).because if run is not None else ""
    fish = [book.facts.animal(a) for a in it.bag.settled]
    if not fish:
        return "none of its fish lived."
    since = day_text(fish[0].since.astimezone(book.facts.zone).date())
    return f"{', '.join(a.name for a in fish)}, since {since}"
