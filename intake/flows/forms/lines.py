"""The forms for a waterline: read, at its mark, topped up or rained into; what it does is told."""

from __future__ import annotations

from dataclasses import replace

from intake.flows.close_quarters import ask_if_close, living_there
from intake.flows.facts.lines import CAUSES, FALLS, Moved, line_read, topped_up
from intake.flows.facts.things import System, Vessel
from intake.flows.facts.volumes import SAME_L, at_line, has_depth, litres
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import AQuantity, Choice
from intake.flows.forms.water import VESSEL, kept_size
from intake.flows.later_doses import book_then
from intake.flows.line_words import litres_said, residue_told, waterline_sizes
from intake.flows.usage import Usage
from intake.science.problem import Problem
from intake.science.show import show
from intake.science.spread import Size

PUMP = ("running", "stopped")
RIM_CM = 2.0
"""Nearer to the rim than this with the pump stopped is warned of [cm] (common practice)."""
NEWEST = 2**62
"""Stands for the number the entry will get: after everything that is written."""


def _then(f: Filling) -> tuple[Vessel, System, list[Vessel]]:
    """The vessel, its system and all its vessels as they were just before."""
    named = f.thing("vessel")
    facts = book_then(f.book, f.when, f.entry).facts
    vessel = facts.things.get(named.id)
    if not isinstance(vessel, Vessel):  # what it began with was corrected to begin later
        facts, vessel = f.book.facts, f.book.facts.vessel(named.id)
    system = facts.system_of(vessel)
    return vessel, system, [facts.vessel(v) for v in system.vessels]


def _level(f: Filling) -> None:
    vessel, system, vessels = _then(f)
    if (f.get("depth") is None) == (not f.get("at-mark")):
        raise Usage("give --depth or --at-mark, one of them")
    if f.get("depth") is not None and not has_depth(vessel):
        text = f"{vessel.name} was gauged without a depth"
        f.fault("wrong-kind", "VESSEL", text, "--at-mark, or gauge it again")
    f.stop_if_faulty()
    depth = None
    if f.get("depth") is not None:
        f.extra["depth_cm"] = kept_size(f, "depth")
        depth = Size(**f.extra["depth_cm"])
    found = at_line(vessel, depth or vessel.mark)
    if isinstance(found, Problem):
        f.problems.append(found.placed("--depth"))
    f.stop_if_faulty()
    if f.get("pump") == "stopped":
        _stopped(f, vessel, depth or vessel.mark)
        return
    by = f.get("by") or ""
    moved = line_read(system, vessels, vessel, depth, by, f.when)
    rise_l = _rise_l(vessel, moved)
    if by and (rise_l > 0) == (by in FALLS) and abs(rise_l) > SAME_L and f.entry is None:
        _other_way(f, by, rise_l)
    f.stop_if_faulty()
    _cause(f, by, rise_l)
    _answered(f, vessel, system, moved)


def _stopped(f: Filling, vessel: Vessel, depth: Size | None) -> None:
    """The line with the pump standing still: the same water, some of it run back."""
    if f.get("by"):
        text = "with the pump stopped no water is gained or lost"
        f.fault("wrong-kind", "--by", text, "leave it out")
    f.stop_if_faulty()
    still = replace(vessel, depth=depth, off_l=0.0)
    running, stopped = litres(vessel)[0], litres(still)[0]
    f.answer |= {
        "volume_l": running,
        "volume_l_low": litres(vessel)[1],
        "volume_l_high": litres(vessel)[2],
        "stopped_l": stopped,
        "drain_back_l": stopped - running,
    }
    moved = show(abs(stopped - running), "L")
    way = f"{moved} run back into" if stopped > running else f"{moved} run out of"
    f.notes.because.append(
        f"{way} {vessel.name} when the pump stops; it is the same water in all, and doses go by "
        "the running line"
    )
    height = vessel.height
    if height is not None and depth is not None and height.value - depth.value < RIM_CM:
        left = show(max(0.0, height.value - depth.value), "cm")
        f.notes.warn(
            "volume-doubtful",
            f"only {left} are left to the rim of {vessel.name} when the pump stops: it may run "
            "over in a power cut",
        )


def _other_way(f: Filling, by: str, rise_l: float) -> None:
    way, causes = ("higher", "rain or top-up") if rise_l > 0 else ("lower", "evaporation or leak")
    text = f"{by}, but the line is {way} than it was, by {show(abs(rise_l), 'L')}"
    f.fault("out-of-range", "--by", text, f"{causes}, or read the tape again")


def _cause(f: Filling, by: str, rise_l: float) -> None:
    """Says what became of what is dissolved."""
    moved = show(abs(rise_l), "L")
    if abs(rise_l) <= SAME_L:
        return
    if by == "leak":
        f.notes.because.append(f"{moved} went with what is dissolved in it: as strong as before")
    elif rise_l < 0 and not by:
        f.notes.assume(
            f"{moved} less: taken as evaporation, what is dissolved stays; the low end takes it "
            "as lost with the water: --by evaporation or --by leak settles it"
        )
    elif rise_l < 0:
        f.notes.because.append(f"{moved} evaporated: what is dissolved stays, in less water")
    elif by == "rain":
        f.notes.because.append(f"{moved} of rain holds nothing and thins what is dissolved")
    elif by:
        f.notes.because.append(f"{moved} topped up thins what is dissolved")
    else:
        f.notes.assume(f"{moved} more: taken as rain or a top-up, which thin what is dissolved")


def _rise_l(vessel: Vessel, moved: Moved) -> float:
    after = replace(vessel)
    moved.put_on(after)
    return litres(after)[0] - litres(vessel)[0]


def _answered(f: Filling, vessel: Vessel, system: System, moved: Moved) -> None:
    """The vessel at its new line, and what residue says before and after."""
    after = replace(vessel)
    moved.put_on(after)
    volume, low, high = litres(after)
    ask_if_close(f.notes, volume, living_there(f.book.facts, vessel.id))
    f.answer |= {"volume_l": volume, "volume_l_low": low, "volume_l_high": high}
    if after.depth is not None:
        f.answer["depth_cm"] = after.depth.value
    sizes = waterline_sizes(after)
    if sizes:
        f.answer["waterline"] = sizes
    events = moved.as_water(NEWEST)
    f.answer["residue"] = residue_told(f.book, system, f.when, events, f.notes)


def _top_up(f: Filling) -> None:
    vessel, system, vessels = _then(f)
    holds, added = litres(vessel), float(f.get("volume").value)
    rain = bool(f.get("rain"))
    if added > holds[2] and not rain:
        text = f"{show(added, 'L')} is more than the {litres_said(*holds)} it holds"
        f.fault("out-of-range", "--volume", text, "what went in to replace evaporation")
    f.stop_if_faulty()
    moved = topped_up(system, vessels, vessel, added, f.when, rain=rain)
    if moved.over_l > SAME_L:
        what = "rain" if rain else "what was put in"
        f.notes.because.append(
            f"full to the rim: {show(moved.over_l, 'L')} of {what} ran through, taken as mixed; "
            "the high end as if it had run off by itself"
        )
    _answered(f, vessel, system, moved)


FORMS = (
    Form(
        "level",
        "today's waterline",
        (
            VESSEL,
            Field("depth", AQuantity("length"), "from the floor up to the waterline"),
            Field("at-mark", Choice(("yes",)), "the depth it was recorded with", flag=True),
            Field("by", Choice(CAUSES), "why it moved, where you know"),
            Field("pump", Choice(PUMP), "running, as doses take it, or stopped"),
        ),
        _level,
    ),
    Form(
        "top-up",
        "replaced evaporation",
        (
            VESSEL,
            Field("volume", AQuantity("volume"), "what went in", required=True),
            Field("rain", Choice(("yes",)), "it was rain", flag=True),
        ),
        _top_up,
    ),
)
