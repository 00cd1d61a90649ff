"""The way across of one bag, as its paper says it."""

from __future__ import annotations

from collections.abc import Iterator

from intake.clock import local_date
from intake.flows.crossing_run import crossing
from intake.flows.crossing_state import Crossing
from intake.flows.desk import Book
from intake.flows.jobs.receive_bag import OnHand, fish_text
from intake.flows.jobs.receive_run import check_texts, moved
from intake.flows.jobs.receive_ways import TITLES
from intake.flows.jobs.words import clock_text
from intake.flows.run_panels import panels
from intake.report.crossing import Done, Sheet
from intake.science.problem import Refused


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
