"""What receiving writes: each through the form the command line uses too."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from intake import clock
from intake.flows.crossing_run import crossing
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.things import Vessel
from intake.flows.forms.across import WAYS
from intake.flows.forms.every import FORMS
from intake.flows.jobs.losses import moment
from intake.flows.jobs.receive_bag import (
    ASKS,
    KEPT_AS,
    OnHand,
    answered,
    destination,
    kits_for,
    on_hand,
)
from intake.flows.jobs.receive_run import next_reading_at
from intake.flows.jobs.receive_settle import dragged
from intake.flows.jobs.receive_ways import LETTERS, TITLES, side_by_side
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.words import clock_text, recorded
from intake.flows.record import Said, record, record_in
from intake.flows.views.parts import Recorded
from intake.science.limits import twelve
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import read_quantity

REASONS = (
    ("distressed", "the fish are in distress"),
    ("vet", "the vet said so"),
    ("seller", "the breeder said so"),
    ("leaks", "the bag leaks"),
    ("doubted", "a reading is doubted"),
    ("used-to", "it went well with this breeder's fish before"),
)
"""Why another way than the best may be taken."""
_BARE = re.compile(r"[<>]?\d[\d.,]*(?:\.\.\d[\d.,]*)?")
_DILUTED = re.compile(r"(.*\S)\s+diluted\s+(\d+)")


def shipment_new(desk: Desk, typed: Mapping[str, str]) -> Recorded:
    """A shipment at the carrier's stamp, with its boxes and bags where they are counted.

    Parameters
    ----------
    typed
        As the form of a shipment; ``delivered`` and ``packed`` may be a clock time (the latest
        one that has come), ``delivered`` blank is now; ``bags`` is how many bags each box has,
        commas between boxes.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    given = {k.replace("-", "_"): v.strip() for k, v in typed.items() if v.strip()}
    with at_work(desk, write=True) as book, as_unreadable():
        bags = _counts(given.pop("bags", ""))
        for name in ("delivered", "packed"):
            if name in given:
                given[name] = moment(book, given[name])
        given.setdefault("delivered", clock.utc_text(book.now))
        answer = record_in(book, FORMS["shipment"], given, Said())
        book.take_in()
        for box, text in enumerate(bags, 1):
            _boxed(book, given["name"], f"{given['name']} box {box}", int(text))
    closes = answer["because"][0] if answer["because"] else ""
    return recorded(desk, answer, f"{given['name']} is here", next_text=closes)


def _counts(text: str) -> list[str]:
    found = [n for n in re.split(r"[,\s]+", text.strip()) if n]
    if any(not n.isdecimal() or not 1 <= int(n) <= 200 for n in found):
        hint = "how many bags each box has: 5, or 3, 2"
        raise Unreadable(Problem("not-a-number", f"'{text[:40]}' is not read", hint, "--bags"))
    return found


def _boxed(book: Book, shipment: str, name: str, bags: int) -> None:
    record_in(book, FORMS["box"], {"shipment": shipment, "name": name}, Said())
    book.take_in()
    for _ in range(bags):
        record_in(book, FORMS["bag"], {"box": name}, Said())
        book.take_in()


def bag_save(desk: Desk, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
    """What was counted and read of a bag; only what changed is written.

    Parameters
    ----------
    typed
        By question, "?" for not read; also ``vessel``, where its fish are meant to go, and any
        other field of the form of a bag.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    with at_work(desk) as book:
        it = on_hand(book, box, bag)
        before = {ask.field: text for ask, text in answered(book, it)}
        given = {k: v.strip() for k, v in typed.items() if v.strip()}
        given = {k: v for k, v in given.items() if v != before.get(k)}
        kits = kits_for(book, given)
    form: dict[str, Any] = {"box": box, "bag": str(bag)}
    names = {ask.field: KEPT_AS.get(ask.field, ask.field) for ask in ASKS}
    missing = [names[k].replace("_", "-") for k, v in given.items() if v == "?" and k in names]
    if missing:
        form["not_read"] = ",".join(missing)
    for name, text in given.items():
        if text != "?":
            form |= _typed(name, text)
    if "to" not in form and "vessel" in given:
        form["to"] = given["vessel"]
    form.pop("vessel", None)
    if kits:
        form.setdefault("kit", kits)
    if set(form) == {"box", "bag"} and it.known:
        return Recorded(0, "", "nothing changed")
    with as_unreadable():
        answer = record(desk, "bag", form)
    return recorded(desk, answer, f"bag {answer['bag']}: {_saved(given)}")


def bag_new(desk: Desk, box: str) -> Recorded:
    """One more bag of a box, counted and read after.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    with as_unreadable():
        answer = record(desk, "bag", {"box": box})
    return recorded(desk, answer, f"bag {answer['bag']} of {box}")


def claim(desk: Desk, shipment: str, typed: Mapping[str, str]) -> Recorded:
    """A claim sent to the seller; ``sent`` may be a clock time, blank is now.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    given = {k: v.strip() for k, v in typed.items() if v.strip()}
    with at_work(desk) as book, as_unreadable():
        given["sent"] = moment(book, given.get("sent") or clock.utc_text(book.now))
    with as_unreadable():
        answer = record(desk, "claim", {"shipment": shipment, **given})
    return recorded(desk, answer, f"{shipment}: claim sent")


def _saved(given: Mapping[str, str]) -> str:
    plain = {"gasping": "its fish gasp"}
    words = [plain.get(k, f"{k} {v}" if v != "?" else f"{k} not read") for k, v in given.items()]
    return ", ".join(words) if words else "counted"


def _typed(name: str, text: str) -> dict[str, str]:
    """A field of the form of a bag, with the unit the question names where none is typed."""
    if name == "hours":
        read = read_quantity(text, "duration")
        spent = None if isinstance(read, Problem) else read.value
        return {"hours_packed": text if spent is None else f"{twelve(spent / 60):f}"}
    diluted = _DILUTED.fullmatch(text) if name == "tan" else None
    if diluted is not None:
        return {"tan": with_unit("tan", diluted[1]), "diluted": diluted[2]}
    return {name: with_unit(name, text)}


def with_unit(name: str, text: str) -> str:
    """The text with the unit its question names, where only a number was typed."""
    unit = next((a.unit for a in ASKS if a.field == name), "")
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


def choose(desk: Desk, box: str, bag: int, method: str, vessel: str, why: str) -> Recorded:
    """The way across, by its name or letter; another than the best needs its reason.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        reason-missing among them; and then nothing is written.
    """
    way = WAYS[LETTERS.index(method)] if method in tuple(LETTERS) else method
    with at_work(desk) as book:
        it = on_hand(book, box, bag)
        to = vessel.strip() or getattr(destination(book, it), "name", "")
        there = book.facts.find(to, ("vessel",), book.now)
        best = ""
        drags: tuple[str, ...] = ()
        if isinstance(there, Vessel):
            best, drags = _best(book, it, there), dragged(book, it, there)
    reason = dict(REASONS).get(why, why).strip()
    if best and way != best and way in WAYS and not reason:
        text = f"{TITLES[best]} is advised: why {TITLES[way]}?"
        raise Unreadable(Problem("reason-missing", text, "pick a reason", "--why"))
    typed = {"box": box, "bag": str(bag), "chosen": way, "vessel": to}
    with as_unreadable():
        answer = record(desk, "acclimation", typed, Said(why=reason or None))
    done = recorded(
        desk, answer, f"bag {bag}: {TITLES[way]} into {to}", next_text=_next_text(desk, box, bag)
    )
    return replace(done, warnings=(*done.warnings, *drags)) if drags else done


def _best(book: Book, it: OnHand, vessel: Vessel) -> str:
    """The way advised, "" where the ways cannot be compared."""
    ways = side_by_side(book, it, vessel) if it.box is not None else None
    return "" if ways is None or isinstance(ways, Problem) else ways.choice


def _next_text(desk: Desk, box: str, bag: int) -> str:
    """The step that is on now, or that the fish are to be named."""
    with at_work(desk) as book:
        run = crossing(book, on_hand(book, box, bag).bag)
        if run is None:
            return ""
        if run.over:
            return "across: name the fish"
        at = f" Until {clock_text(book, run.ends)}." if run.now == run.timed else ""
        return f"{run.steps[run.now]}{at}"


def checkpoint(desk: Desk, box: str, bag: int, typed: Mapping[str, str]) -> Recorded:
    """A reading on the way; it may move the end.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    given = {k: with_unit(k, v.strip()) for k, v in typed.items() if v.strip() not in ("", "?")}
    with as_unreadable():
        answer = record(desk, "checkpoint", {"box": box, "bag": str(bag), **given})
    said = answer["because"][0] if answer["because"] else ""
    text = ", ".join(f"pH {v}" if k == "ph" else v for k, v in given.items() if k != "kit")
    with at_work(desk) as book:
        run = crossing(book, on_hand(book, box, bag).bag)
        due = next_reading_at(run) if run is not None else None
        at = f"next reading at {clock_text(book, due)}" if due is not None else ""
    return recorded(
        desk, answer, f"bag {bag}: {text}", next_text="; ".join(t for t in (said, at) if t)
    )


def next_step(desk: Desk, box: str, bag: int) -> Recorded:
    """The step under way is done, the next begins now."""
    return _stepped(desk, box, bag, "next")


def hold(desk: Desk, box: str, bag: int, on: bool) -> Recorded:
    """Holds the way across where it is, or goes on."""
    return _stepped(desk, box, bag, "hold" if on else "go-on")


def _stepped(desk: Desk, box: str, bag: int, what: str) -> Recorded:
    with as_unreadable():
        answer = record(desk, "step", {"box": box, "bag": str(bag), "what": what})
    words = {"hold": "held", "go-on": "goes on", "next": f"step {answer['step']}"}
    text = words[what] if answer["text"] else "across"
    return recorded(desk, answer, f"bag {bag}: {text}", next_text=_next_text(desk, box, bag))
