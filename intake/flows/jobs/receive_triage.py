"""The bags on hand, the most urgent first, each with what puts it there."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from intake.flows import asking
from intake.flows.crossing import bag_reading, hours_packed
from intake.flows.crossing_run import crossing
from intake.flows.crossing_state import Crossing
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import Bag, Shipment
from intake.flows.jobs.receive_bag import OnHand, step_of
from intake.flows.jobs.receive_run import ON_HAND_DAYS, next_reading_at
from intake.science.acclimation_readings import Reading
from intake.science.ammonia import nh3_n_mg_l
from intake.science.carbonate import PH_RANGE
from intake.science.span import as_span
from intake.science.triage import Urgency, Waiting, urgency

STAGES = {"run": "on-its-way", "settle": "across", "settled": "settled"}


def shipments_on_hand(book: Book) -> list[Shipment]:
    """Shipments that came lately and have a bag that is not settled, the newest first."""
    found = [s for s in book.facts.of_kind(Shipment) if s.present and _waits(book, s)]
    return sorted(found, key=lambda s: (s.delivered or s.since, s.id), reverse=True)


def _waits(book: Book, shipment: Shipment) -> bool:
    if book.now - (shipment.delivered or shipment.since) > timedelta(days=ON_HAND_DAYS):
        return False
    bags = _bags(book, shipment)
    return not bags or any(step_of(book, it) != "settled" for it in bags)


def _bags(book: Book, shipment: Shipment) -> list[OnHand]:
    boxes = [book.facts.box(b) for b in shipment.boxes]
    return [OnHand(shipment, box, box.bags[n]) for box in boxes for n in sorted(box.bags)]


def _first(book: Book, shipment: Shipment) -> OnHand:
    """The first bag of a shipment of which none is recorded yet; answering makes it."""
    box = book.facts.box(shipment.boxes[0]) if shipment.boxes else None
    return OnHand(shipment, box, Bag(1, book.now))


def in_order(book: Book) -> list[tuple[OnHand, Urgency]]:
    """Every bag on hand, the most urgent first; alike, as they were recorded."""
    limit = book.shelf.water.acclimation().nh3_peak_n_mg_l
    found = [
        (it, urgency(_known(book, it), limit))
        for shipment in shipments_on_hand(book)
        for it in _bags(book, shipment) or [_first(book, shipment)]
    ]
    return sorted(found, key=lambda one: one[1].key)


def _known(book: Book, it: OnHand) -> Waiting:
    stage = STAGES.get(step_of(book, it), "waiting")
    run = crossing(book, it.bag)
    counts = run is not None and run.waiting and stage == "on-its-way"
    volume = it.bag.content.get("volume")
    fish = it.bag.content.get("fish")
    nh3, tan = _nh3(book, it)
    return Waiting(
        stage,
        gasping=bool(it.bag.content.get("gasping")),
        leaked=bool(it.bag.content.get("leaked")),
        lift_due=counts and run is not None and run.ends <= book.now,
        ends=run.ends.timestamp() if counts and run is not None else None,
        nh3_n_mg_l=nh3,
        tan_n_mg_l=tan,
        hours_packed=None if it.box is None else hours_packed(book, it.box, it.bag),
        fish=int(fish) if fish else None,
        volume_l=float(volume["value"]) if volume else None,
    )


def _nh3(book: Book, it: OnHand) -> tuple[float | None, float | None]:
    """NH3 and TAN of the shut bag, the high end of what was read [mg/L as N]."""
    if it.box is None:
        return None, None
    read = bag_reading(book, it.box, it.bag)
    ph, temp_c, tan = (_high(value) for value in (read.ph, read.temp_c, read.tan_n_mg_l))
    if ph is None or temp_c is None or tan is None:
        return None, tan
    low, high = PH_RANGE
    return nh3_n_mg_l(tan, min(max(ph, low), high), temp_c), tan


def _high(reading: Reading | None) -> float | None:
    return None if reading is None else as_span(reading).high


def bag_keys(book: Book) -> Iterator[dict[str, Any]]:
    """The bags that still need something, the most urgent first, as keys of an answer."""
    for it, urgent in in_order(book):
        if urgent.code == "settled":
            continue
        run = crossing(book, it.bag)
        waits = run is not None and run.waiting
        yield {
            "shipment": it.shipment.name,
            "box": it.box.name if it.box is not None else None,
            "bag": it.bag.number,
            "step": step_of(book, it),
            "urgency": urgent.code,
            "because": urgent.why,
            "ends": _iso(book, run.ends) if run is not None and waits else None,
            "next_reading": _next_reading(book, run) if run is not None and waits else None,
        }


def today(desk: Desk) -> dict[str, Any]:
    """What is to be done now, what the record calls for, claims that are open, bags on hand."""
    with at_work(desk) as book:
        bags = list(bag_keys(book))
    return {"bags": bags, **asking.today(desk)}


def _next_reading(book: Book, run: Crossing) -> str | None:
    due = next_reading_at(run) if run.now == run.timed else None
    return None if due is None else _iso(book, due)


def _iso(book: Book, moment: Any) -> str:
    return str(moment.astimezone(book.facts.zone).isoformat())
