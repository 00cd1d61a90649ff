"""The ways a vessel's water was found, and whether they agree."""

from __future__ import annotations

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Gauging, Vessel
from intake.flows.facts.volumes import at_line
from intake.flows.facts.ways import METHODS
from intake.flows.jobs.words import day_text, with_doubt
from intake.flows.views.vessels import Gauged
from intake.science.problem import Problem
from intake.science.show import show
from intake.science.spread import Size
from intake.science.volume import SHAPES, Comparison, TrueVolume, compare


def ways_of(book: Book, vessel: Vessel, found: TrueVolume | None) -> tuple[Gauged, ...]:
    """Each way the volume was found, the vessel's own sizes first."""
    if found is None:
        return ()
    own = with_doubt(found.volume_l, found.low_l, found.high_l, "L")
    ways = [Gauged(METHODS.get(vessel.shape, "tape"), own, _how_measured(book, vessel))]
    for way in vessel.gauged:
        volume = with_doubt(way.volume_l, way.low_l, way.high_l, "L")
        said = f"{_how_gauged(way.way, way.sizes)} on {_day(book, way)}, {_line(vessel, way)}"
        ways.append(Gauged(METHODS.get(way.way, "tape"), volume, said))
    return tuple(ways)


def _day(book: Book, way: Gauging) -> str:
    return day_text(local_date(way.at, book.facts.zone))


def _line(vessel: Vessel, way: Gauging) -> str:
    if way.depth is None or way.depth == vessel.depth:
        return "same line"
    return f"line then {show(way.depth.value, 'cm')}"


def agreement(vessel: Vessel) -> tuple[str, str]:
    """Whether the ways agree, and by how much: the worst pair speaks."""
    compared = _compared(vessel)
    worst = max(compared, key=lambda c: c.normalised, default=None)
    if worst is None:
        return "", ""
    if vessel.settled is not None:
        return (
            f"settled: {vessel.settled.way}",
            f"by {vessel.settled.keeper}: {vessel.settled.why}",
        )
    share = show(worst.normalised, "", digits=2)
    if worst.agree and not any(c.warnings for c in compared):
        return "they agree", f"{share} of the gap their doubts allow."
    apart = f"{show(worst.gap_l, 'L', digits=2)} apart, {show(worst.apart_percent, '%', digits=2)}"
    return (
        "they differ",
        f"{apart}, {share} times what their doubts allow; limits use the smaller.",
    )


def _compared(vessel: Vessel) -> list[Comparison]:
    """Each gauging against the sizes at the line it was gauged at."""
    found = []
    for way in vessel.gauged:
        own = at_line(vessel, way.depth)
        if not isinstance(own, Problem):
            gauged = TrueVolume(
                way.volume_l, way.low_l, way.high_l, way.volume_l, 0.0, 0.0, way.way, "", (), ()
            )
            found.append(compare(own, gauged))
    return found


def _how_measured(book: Book, vessel: Vessel) -> str:
    """``152 x 76 cm, 128 x 60 cm at the floor, measured Fri 14 Nov``."""
    day = day_text(local_date(vessel.since, book.facts.zone))
    if SHAPES[vessel.shape].family == "gauge":
        return f"{_how_gauged(vessel.shape, vessel.sizes)} on {day}"
    parts = [_across(vessel.sizes, "")]
    for start, where in (("middle_", "half way up"), ("floor_", "at the floor")):
        size = _across(vessel.sizes, start)
        parts += [f"{size} {where}"] if size else []
    text = ", ".join(p for p in parts if p) or SHAPES[vessel.shape].how.rstrip(".").lower()
    if "wall" in vessel.sizes:
        text += f", outside walls of {show(vessel.sizes['wall'].value, 'cm')}"
    return f"{text}, measured {day}" if vessel.id else text


def _how_gauged(way: str, sizes: dict[str, Size]) -> str:
    """``38 buckets of 10.03 L``."""
    if way not in METHODS:
        return "its sizes before"
    s = {name: size.value for name, size in sizes.items()}
    if way == "metered":
        return f"{show(s['count'], '')} buckets of {show(s['bucket'], 'L', digits=4)}"
    if way == "flow":
        return f"{show(s['rate'], 'L/min')} for {show(s['time'], 'min')}"
    return f"{show(s['salt'], 'g')} of salt"


def _across(sizes: dict[str, Size], start: str) -> str:
    names = ("length", "width", "diameter", "across", "girth")
    found = [show(sizes[start + n].value, "") for n in names if start + n in sizes]
    return f"{' x '.join(found)} cm" if found else ""
