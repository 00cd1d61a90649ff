"""Forms for fish and groups that go: into another vessel, or out of the room."""

from __future__ import annotations

from intake.flows.drags import drags_in
from intake.flows.facts.steps.dragged import unreleased
from intake.flows.facts.things import Animal, Vessel
from intake.flows.forms.fish import SUBJECT, animal_there
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import ACount, AName, AThing, Choice, NewName


def _move(f: Filling) -> None:
    animal = animal_there(f)
    vessel = f.thing("to")
    assert isinstance(vessel, Vessel)
    facts = f.book.facts
    if vessel.id == animal.vessel and f.entry is None:
        f.fault("out-of-range", "--to", f"'{animal.name}' is in {vessel.name} already")
    count = f.get("count") or animal.count
    if count < animal.count and f.get("new-name") is None:
        f.extra["new_name"] = _next_name(f, animal.name)
    f.stop_if_faulty()
    came_from = facts.vessel(animal.vessel).name if animal.vessel else animal.source
    resident = f.get("as") == "mixing-test" and _resident(f, animal, vessel)
    f.answer["drags_in"] = (
        []
        if resident
        else drags_in(f.book, vessel, came_from, f.notes, when=f.when, moving=animal)
    )
    if "new_name" in f.extra or f.get("new-name"):
        f.answer["new_name"] = f.get("new-name") or f.extra["new_name"]


def _resident(f: Filling, animal: Animal, vessel: Vessel) -> bool:
    """Whether fish of your own go in among new ones, which restarts nothing there.

    Fish that are not released themselves show nothing of the others and count as new fish.
    """
    system = f.book.facts.system_of(vessel)
    if unreleased(f.book.facts, animal, f.when) is not None:
        f.notes.warn(
            "no-resident",
            f"{animal.name} is not released itself, so it is no mixing test: it counts as new "
            "fish there. A mixing test takes one or two healthy fish of your own",
        )
        return False
    if system.quarantine is None:
        f.notes.warn("no-resident", f"no quarantine runs in {system.name}: nothing is tested")
        return True
    f.notes.because.append(
        f"{animal.name} shares the days of {system.name} from now on and leaves it released only; "
        "the days there go on as they were"
    )
    return True


def _next_name(f: Filling, name: str) -> str:
    number = 2
    while f.book.facts.name_taken(f"{name} {number}") is not None:
        number += 1
    return f"{name} {number}"


def _leave(f: Filling) -> None:
    animal = animal_there(f)
    f.stop_if_faulty()
    if f.get("count") is None and animal.count > 1:
        f.notes.assume(f"all {animal.count} left")


FORMS = (
    Form(
        "move",
        "moved to another vessel",
        (
            SUBJECT,
            Field("count", ACount(1), "how many of the group"),
            Field("to", AThing(("vessel",)), "where to", required=True),
            Field("new-name", NewName(), "what the part that moves is called"),
            Field("as", Choice(("mixing-test",)), "residents moved in on purpose"),
        ),
        _move,
        needs_why=True,
    ),
    Form(
        "leave",
        "left the room",
        (
            SUBJECT,
            Field("count", ACount(1), "how many of the group"),
            Field("as", Choice(("sold", "given-away", "culled", "missing")), required=True),
            Field("to", AName(), "to whom"),
        ),
        _leave,
    ),
)
