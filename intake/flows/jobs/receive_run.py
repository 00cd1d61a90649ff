"""A way across under way, as the run screen and the strip show it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from math import ceil, log

from intake.flows.crossing_open import fit_of, peak_left
from intake.flows.crossing_run import crossing
from intake.flows.crossing_state import Check, Crossing
from intake.flows.desk import Book
from intake.flows.facts.things import Bag, Box, Vessel
from intake.flows.jobs.words import clock_text
from intake.flows.run_panels import panels
from intake.flows.views.parts import Timer
from intake.flows.views.receive import Run, RunStep
from intake.science.figures import figure
from intake.science.show import show, show_range

READ_EVERY_MIN = 15
"""How far apart the readings on the way are asked for [min]: at about 15, 30 and 45."""
ON_HAND_DAYS = 7
"""How long a shipment stays on the list where nobody says what became of it [d]: no bag waits
that long. Common practice."""

GASPING = "the fish gasp: lift them across now, by wet hand or bowl, whatever the clock says"


def run_view(book: Book, bag: Bag, vessel: Vessel | None, run: Crossing) -> Run:
    """The run as it stands now."""
    due = next_reading_at(run)
    return Run(
        minutes=_left(book, run.ends, run),
        minutes_low=_left(book, run.earliest, run),
        minutes_high=_left(book, run.latest, run),
        to_what="to the lift" if run.waiting else "lift them across now",
        ends=clock_text(book, run.ends) if run.waiting else "",
        lines=tuple(_lines(run, bag, vessel)),
        steps=tuple(_steps(book, run)),
        checks=tuple(check_texts(book, c) for c in run.checks),
        panels=panels(run, None if run.over else book.now),
        holding=run.holding,
        next_reading=_next_reading(book, run, due),
        asks=None,
        because=because(run, bag),
        shut=run.shut,
        moved=moved(run),
        lift_now=run.waiting and (run.gasping or run.over_at is not None),
    )


def _left(book: Book, ends: datetime, run: Crossing) -> int:
    if not run.waiting:
        return 0
    left = ceil((ends - book.now).total_seconds() / 60)
    whole = ceil((ends - run.start).total_seconds() / 60)  # a clock that went back adds none
    return max(0, min(left, whole))


def _lines(run: Crossing, of: Bag, vessel: Vessel | None) -> Iterator[str]:
    there = vessel.name if vessel is not None else "vessel"
    read = [c.measured_c for c in run.checks if c.measured_c is not None]
    if run.behind_min:
        yield clock_back(run)
    bag = read[-1] if read else run.bag_c
    if run.there_c is not None and run.aim_c is not None:
        bag_text = f"bag {bag:.1f} C" if bag is not None else "bag temperature not read"
        yield f"{bag_text}, {there} {run.there_c:.1f} C, aim within {figure(run.aim_c)} C"
    if run.waiting:
        yield pace(run, float(of.run["minutes"]))
    yield from _nh3(run)
    if run.holding:
        shut = "the bag stays shut" if run.shut else "no drip; the open bag goes on losing CO2"
        yield f"held: {shut}"


def _nh3(run: Crossing) -> Iterator[str]:
    """The NH3 still to come by readings on the way, else the most that was foretold."""
    left = peak_left(run)
    if left is not None:
        ends = show_range(left.low, left.high, "mg/L as N", digits=2)
        yield f"NH3 still to come {ends}, limit {figure(run.limit_n_mg_l)}"
    elif run.peak_nh3_n_mg_l is not None:
        peak = show(run.peak_nh3_n_mg_l, "mg/L", digits=2)
        yield f"NH3 on the way at most {peak} as N, foretold"


def moved(run: Crossing) -> tuple[str, ...]:
    """What the newest reading moved, and what readings taught, the most urgent first."""
    gasping = (GASPING,) if run.gasping else ()
    return (*gasping, *run.replanned, *run.learned)


def clock_back(run: Crossing) -> str:
    """That the minutes cannot be told from this clock."""
    behind = show(run.behind_min, "min", step=1)
    return f"this clock is {behind} behind the newest entry of this run: go by another one"


def _steps(book: Book, run: Crossing) -> Iterator[RunStep]:
    for n, text in enumerate(run.steps):
        state = "done" if n < run.now else "now" if n == run.now else "later"
        at = clock_text(book, run.began[n]) if n < len(run.began) else ""
        counts = n == run.timed
        fraction = None
        if counts and n == run.now:
            whole = (run.ends - run.start).total_seconds()
            gone = (book.now - run.start).total_seconds()
            fraction = min(1.0, max(0.0, gone / whole)) if whole > 0 else 1.0
        ends = clock_text(book, run.ends) if counts and n >= run.now else ""
        yield RunStep(n + 1, text, state, at, ends, fraction)


def check_texts(book: Book, c: Check) -> tuple[str, str, str, str]:
    """One row: when, foretold, measured, what that says."""
    foretold = "?" if c.foretold_c is None else f"{c.foretold_c:.1f}"
    measured = "" if c.measured_c is None else f"{c.measured_c:.1f}"
    if c.measured_ph is not None:
        ph = "?" if c.foretold_ph is None else f"{c.foretold_ph:.1f}"
        with_c = c.measured_c is not None
        foretold = f"{foretold}, pH {ph}" if with_c else f"pH {ph}"
        measured = f"{measured}, pH {c.measured_ph:.1f}" if with_c else f"pH {c.measured_ph:.1f}"
    return clock_text(book, c.at), foretold, measured, c.said


def next_reading_at(run: Crossing) -> datetime | None:
    """When the next reading on the way is asked for; None where the minutes are over."""
    if not run.waiting:
        return None
    last = max([run.start, *(c.at for c in run.checks if c.told)])
    return min(last + timedelta(minutes=READ_EVERY_MIN), max(run.ends, last))


def _next_reading(book: Book, run: Crossing, due: datetime | None) -> str:
    if due is None:
        return ""
    what = "bag temperature" if run.shut else "temperature and pH"
    minutes = ceil((due - book.now).total_seconds() / 60)
    return f"next reading in {minutes} min: {what}" if minutes > 0 else f"reading due: {what}"


def because(run: Crossing, bag: Bag) -> str:
    """The step under way in full, after what stands in its way."""
    step = run.steps[min(run.now, len(run.steps) - 1)]
    if run.gasping and not run.over:
        return f"{GASPING}. {step}"
    if run.behind_min and not run.over:
        return f"{clock_back(run)}. {step}"
    if not bag.run:
        return f"{step} The ways could not be compared when this one was chosen."
    if run.waiting and run.over_at is not None:
        return ". ".join((*moved(run), step))
    left, aim = run.left_c, run.aim_c
    if not run.replans or not run.waiting or left is None or aim is None or left <= aim + 0.1:
        return step
    return (
        f"{left:.1f} C will be left after the longest float: bring the vessel nearer instead of"
        f" floating longer. {step}"
    )


def pace(run: Crossing, minutes: float) -> str:
    """Why it ends when it does."""
    read = len(run.points) or sum(c.measured_c is not None for c in run.checks)
    readings = f"{read} reading{'s' if read > 1 else ''}"
    said = f"from {readings} of it" if read else "as bags usually do"
    left = fit_of(run.opened, run.points) if run.opened is not None and run.points else None
    if left is not None:
        half = left.half_time_min
        ends = f"{half.low:.0f} to {half.high:.0f} min"
        return f"half of the CO2 leaves in {ends}, by {readings}"
    if not run.replans:
        return f"{minutes:.0f} min as foretold when it was chosen"
    half_min = run.tau_min.nominal * log(2)
    return f"half of the gap in {half_min:.0f} min, {said}"


def running(book: Book) -> Iterator[Timer]:
    """Every bag on its way, for the strip: its next reading, and its lift until it is done.

    A run that nobody closed stays for as long as its shipment is on the list of bags.
    """
    for box in book.facts.of_kind(Box):
        for bag in box.bags.values():
            if bag.settled or bag.chosen_at is None:
                continue
            if book.now - bag.chosen_at > timedelta(days=ON_HAND_DAYS):
                continue
            run = crossing(book, bag)
            if run is None or not run.waiting:
                continue
            where = f"{box.name} bag {bag.number}"
            yield Timer("LIFT", where, run.ends.timestamp())
            due = next_reading_at(run) if run.now == run.timed else None
            if due is not None and max(due, book.now) < run.ends:
                yield Timer("READ", where, due.timestamp(), reading=True)
