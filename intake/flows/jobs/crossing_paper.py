"""The way across of one bag, as its paper says it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from intake.clock import local_date
from intake.flows.crossing_run import crossing
from intake.flows.crossing_state import Crossing
from intake.flows.desk import Book, Desk, at_work
from intake.flows.jobs.receive_bag import OnHand, fish_text, on_hand
from intake.flows.jobs.receive_run import check_texts, moved
from intake.flows.jobs.receive_ways import TITLES
from intake.flows.jobs.words import clock_text
from intake.flows.notes import Notes
from intake.flows.papers import free_name, path_of, write_paper
from intake.flows.run_panels import panels
from intake.report.crossing import Done, Sheet
from intake.science.problem import Problem, Refused, Unreadable


def sheet_of(book: Book, it: OnHand) -> Sheet:
    """The run of a bag as it stands, or as it went.

    Raises
    ------
    Refused
        out-of-condition, where no way across is chosen yet.
    """
    run = crossing(book, it.bag)
    if run is None:
        raise Refused(
            "out-of-condition",
            f"no way across is chosen for bag {it.bag.number} of {it.box_name}",
            way_out="choose one first: intake record acclimation",
        )
    day = local_date(run.start, book.facts.zone)
    return Sheet(
        box=it.box_name,
        bag=it.bag.number,
        fish=fish_text(it.bag),
        way=TITLES[run.way],
        vessel=book.facts.vessel(it.bag.vessel).name,
        day=f"{day:%a} {day.day} {day:%b %Y}",
        began=clock_text(book, run.start),
        keeper=book.desk.keeper or next(iter(book.facts.keepers), ""),
        panels=panels(run, None if run.over else book.now),
        steps=tuple(_steps(book, run)),
        checks=tuple(check_texts(book, c) for c in run.checks),
        notes=(*moved(run), *_foretold(run)),
    )


def _steps(book: Book, run: Crossing) -> Iterator[Done]:
    for n, text in enumerate(run.steps):
        at = clock_text(book, run.began[n]) if n < len(run.began) else ""
        yield Done(n + 1, at, text)


def _foretold(run: Crossing) -> Iterator[str]:
    if len(run.checks) == 0:
        yield "nothing was read on the way: all figures are as they were foretold"
    yield "held against simulated bags only; the label and your vet come first"


def write(desk: Desk, box: str, bag: int | None, out: str) -> dict[str, Any]:
    """Writes the way across of a bag and answers with its minutes and where it is.

    Raises
    ------
    Unreadable, Refused, RoomTrouble
        And then no file is made.
    """
    path = path_of(out)
    with at_work(desk) as book:
        sheet = sheet_of(book, _bag(book, box, bag))
    write_paper(path, "crossing", sheet)
    return {
        "box": sheet.box,
        "bag": sheet.bag,
        "vessel": sheet.vessel,
        "file": str(path),
        "charts": [panel.name for panel in sheet.panels],
        **Notes(because=list(sheet.notes)).as_keys(),
    }


def file_name(desk: Desk, box: str, bag: int, end: str) -> str:
    """A file for it that is not there yet, in the folder worked in; never named by a text."""
    with at_work(desk) as book:
        it = _bag(book, box, bag)
        number = it.box.id if it.box is not None else 0
    return free_name(f"crossing-{number}-{bag}", end)


def _bag(book: Book, box: str, bag: int | None) -> OnHand:
    """The bag meant: the one named, else the only one there is."""
    it = on_hand(book, box, bag or 1)
    bags = it.box.bags if it.box is not None else {}
    if bag is None and len(bags) == 1:
        return on_hand(book, box, next(iter(bags)))
    if (bag or 0) not in bags:
        there = ", ".join(str(n) for n in sorted(bags)) or "none yet"
        text = f"which bag of '{it.box_name}'?" if bag is None else f"there is no bag {bag}"
        raise Unreadable(Problem("no-such-name", text, f"there is {there}", "--bag"))
    return it
