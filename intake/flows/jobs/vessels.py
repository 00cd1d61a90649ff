"""Vessels: what water is really there, measuring, moving the line, gravel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from intake.flows import record as recording
from intake.flows.correct import correct
from intake.flows.desk import Book, Desk, at_work
from intake.flows.facts.buckets import BucketFill
from intake.flows.facts.things import Vessel
from intake.flows.facts.volumes import added, at_line, has_depth, litres, waters
from intake.flows.forms.every import FORMS
from intake.flows.forms.fillings import counted
from intake.flows.forms.gauge import WAYS
from intake.flows.forms.water import SIZE_KEYS
from intake.flows.jobs import vessel_sizes
from intake.flows.jobs.refusals import as_unreadable
from intake.flows.jobs.today import heads, round_of
from intake.flows.jobs.vessel_drawn import drawn_so_far
from intake.flows.jobs.vessel_view import shown
from intake.flows.jobs.words import recorded, with_doubt
from intake.flows.line_words import litres_said
from intake.flows.names import unknown
from intake.flows.record import Said, typed_again
from intake.flows.size_doubts import DISPLACED_SHARE
from intake.flows.views.parts import Recorded
from intake.flows.views.vessels import SizeQuestion, VesselLine, VesselsView, VesselView
from intake.science.problem import Problem, Unreadable
from intake.science.quantity import Quantity, read_quantity
from intake.science.spread import Size
from intake.science.volume import INSIDE, SHAPES

MEASURED_AGAIN = "measured again"


def view(desk: Desk) -> VesselsView:
    """All vessels in the order of the round."""
    with at_work(desk) as book:
        lines = tuple(
            VesselLine(
                v.name,
                book.facts.system_of(v).name,
                v.shape,
                with_doubt(*litres(v), "L"),
                v.zone,
                heads(book.facts.occupants([v.id])),
            )
            for v in round_of(book)
        )
        total = litres_said(*added(waters(book.facts, s) for s in book.facts.waters()))
        waiting = paused(book)
        fillings = tuple((b.name, counted(b)) for b in book.facts.of_kind(BucketFill) if b.present)
    if not lines and not waiting:
        return VesselsView((), "no vessel in this room yet; a tape and five minutes measure one.")
    because = f"{len(lines)} vessels, {total} of true water, in the order of the round."
    return VesselsView(lines, f"{because} {waiting}".strip(), fillings)


def paused(book: Book) -> str:
    """Which fillings wait, and how they go on; "" where none does."""
    fills = [b for b in book.facts.of_kind(BucketFill) if b.present]
    return " ".join(f"Filling {b.name} is paused at {counted(b)}: b goes on." for b in fills)


def _vessel(book: Book, name: str) -> Vessel:
    found = book.facts.vessel_named(name)
    if found is None:
        names = [v.name for v in book.facts.of_kind(Vessel) if v.present]
        raise Unreadable(unknown(name, names, "a vessel of this room").placed("VESSEL"))
    return found


def one(desk: Desk, name: str) -> VesselView:
    """One vessel as it stands."""
    with at_work(desk) as book:
        vessel = _vessel(book, name)
        return shown(book, vessel, book.facts.system_of(vessel).name, said=paused(book))


def waterline(desk: Desk, name: str, depth: str) -> VesselView:
    """The vessel as it would be with its line at another depth; nothing is recorded.

    Raises
    ------
    Unreadable, Refused
        As recording that line would.
    """
    with at_work(desk) as book:
        vessel = _vessel(book, name)
        if not has_depth(vessel):
            text = f"{vessel.name} was gauged without a depth"
            raise Unreadable(Problem("wrong-kind", text, "measure it with a tape", "--depth"))
        read = _quantity(book, depth, "length", "--depth")
        half = float(read.half) if read.half is not None else book.facts.tape_cm / 2
        moved = replace(
            vessel, depth=Size(float(read.value or 0), half), off_l=0.0, depth_at=book.now
        )
        found = at_line(moved)
        if isinstance(found, Problem):
            raise Unreadable(found.placed("--depth"))
        return shown(book, moved, book.facts.system_of(vessel).name)


def _quantity(book: Book, text: str, kind: str, path: str, zero: bool | None = None) -> Quantity:
    read = read_quantity(text, kind, comma=book.facts.comma, zero_ok=zero)
    if isinstance(read, Problem):
        raise Unreadable(read.placed(path))
    return read


def sizes(desk: Desk, shape: str) -> tuple[SizeQuestion, ...]:
    """What is asked to measure a vessel of a shape, in order."""
    with at_work(desk) as book:
        return vessel_sizes.questions(shape, book.facts.units)


def sketch(desk: Desk, name: str, shape: str, typed: Mapping[str, str]) -> VesselView:
    """The vessel as far as its sizes are typed; the volume comes with the last one needed."""
    with at_work(desk) as book:
        before = book.facts.vessel_named(name)
        system = book.facts.system_of(before).name if before else name
        drawn, why = vessel_sizes.as_typed(book, name, shape, typed)
        if before is not None and shape in WAYS:
            both, said = vessel_sizes.gauged_too(book, before, drawn, why)
            return shown(book, both, system, said=said)
        return drawn_so_far(shown(book, drawn, system, why=why), drawn)


def _written(
    desk: Desk, name: str, shape: str, typed: Mapping[str, str]
) -> tuple[dict[str, Any], str]:
    """Writes a vessel, a gauging or a correction of one: the answer, and what was done."""
    given = {key.replace("-", "_"): text for key, text in typed.items() if text.strip()}
    why = given.pop("why", MEASURED_AGAIN)
    called = given.pop("name", name)
    with at_work(desk) as book:
        before = book.facts.vessel_named(name)
        cleared = _cleared(before, given) if before is not None and shape else ()
    if before is None:
        new = _listed({"name": called, "shape": shape, **given})
        return recording.record(desk, "vessel", new), f"{called} measured"
    if shape in WAYS:
        answer = recording.record(desk, "gauge", {"vessel": name, "way": shape, **given})
        ends = (answer["volume_l"], answer["volume_l_low"], answer["volume_l_high"])
        return answer, f"{name} gauged, {litres_said(*ends)}; with its sizes"
    changes = _listed({"shape": shape, **given} if shape else given)
    answer = correct(desk, before.id, changes, Said(why=why), clear=cleared)
    done = "measured again" if shape else ", ".join(f"{k} {v}" for k, v in given.items())
    return answer, f"{name} {done}"


def _cleared(vessel: Vessel, given: Mapping[str, str]) -> tuple[str, ...]:
    """The sizes of the shape it had that were not given again; what is inside it stays."""
    had = typed_again(FORMS["vessel"], vessel.content)
    sized = (SIZE_KEYS | {"unit"}) - {s.name for s in INSIDE}
    return tuple(k.replace("_", "-") for k in had if k in sized and k not in given)


def _listed(typed: Mapping[str, str]) -> dict[str, Any]:
    """Slices typed in one field, each after a semicolon or a plus."""
    found: dict[str, Any] = dict(typed)
    if "slice" in found:
        found["slice"] = vessel_sizes.slabs(found["slice"])
    return found


def record(desk: Desk, name: str, shape: str, typed: Mapping[str, str]) -> Recorded:
    """A vessel measured; without a shape only what is typed changes of one that is there."""
    if shape and shape not in SHAPES:
        raise Unreadable(unknown(shape, SHAPES, "a shape").placed("SHAPE"))
    with as_unreadable():
        answer, text = _written(desk, name, shape, typed)
    with at_work(desk) as book:
        found = book.facts.vessel_named(typed.get("name", name))
        volume = litres_said(*litres(found)) if found else ""
    return recorded(desk, answer, f"{text}: {volume}" if volume else text)


def gravel(desk: Desk, name: str, gravel: str) -> VesselView:
    """The vessel as it would be with so much gravel in bulk; nothing is recorded."""
    with at_work(desk) as book:
        vessel = _vessel(book, name)
        read = _quantity(book, gravel, "volume", "--gravel", zero=True)
        bulk = float(read.value or 0)
        half = float(read.half) if read.half is not None else bulk * DISPLACED_SHARE
        inside = replace(vessel.inside, gravel_l=Size(bulk, half) if bulk else None)
        filled = replace(vessel, inside=inside)
        return shown(book, filled, book.facts.system_of(vessel).name)
