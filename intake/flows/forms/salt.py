"""The form for a salt step: salt that goes in as a dose, so that a meter can tell the volume."""

from __future__ import annotations

from intake.flows.facts.steps.gauging import STEP_NAMES
from intake.flows.facts.things import Vessel
from intake.flows.forms.every import FORMS as EVERY
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.gauge import KIT, VESSEL, meter_of, own_water
from intake.flows.forms.readers import AQuantity, AText
from intake.flows.forms.readers import Asked as Reading
from intake.flows.salt_courses import course_now
from intake.flows.salt_steps import MIXED_H, step_for
from intake.flows.sizes import read_sizes
from intake.science.figures import figure
from intake.science.problem import Problem
from intake.science.volume import NOTHING, SHAPES
from intake.science.volume.asked import Asked
from intake.science.volume.salt_checks import meter_problem

SALT = "salt"


def _salt_step(f: Filling) -> None:
    vessel = f.thing("vessel")
    assert isinstance(vessel, Vessel)
    own_water(f, vessel)
    waiting = step_for(vessel, f.when)
    if waiting is not None and f.entry is None:
        text = f"{vessel.name} waits for the reading after its salt of entry {waiting.entry}"
        f.fault("name-taken", "VESSEL", text, "read the meter first, or void that entry")
    _read_before(f)
    f.stop_if_faulty()
    system = f.book.facts.system_of(vessel)
    amount = AQuantity("mass").read(f.get("salt"), Reading(f.book, f.when, f.typed, f.entry))
    assert not isinstance(amount, Problem)
    values = {"system": system, "treatment": SALT, "amount": amount}
    typed = {"system": vessel.name, "treatment": SALT, "amount": f.get("salt")}
    for name in ("tool", "soft", "vet"):
        if f.get(name) is not None:
            values[name] = typed[name] = f.get(name)
    course = course_now(f.book, system, f.when)
    if course is not None:
        values["course"] = typed["course"] = course
    dose = Filling(f.book, f.when, f.why, values, typed, f.entry)
    EVERY["dose"].build(dose)
    f.notes, f.extra = dose.notes, dose.extra
    f.extra |= {"treatment": SALT, "amount": AQuantity("mass").keep(amount)}
    f.refs["system"] = system.id
    f.extra["system"] = system.name
    f.answer |= dose.answer
    f.notes.because.append(
        f"read the meter again in {figure(MIXED_H)} h: intake record gauge '{vessel.name}' "
        "by-salt --after Q"
    )


def _read_before(f: Filling) -> None:
    """Reads the meter as the gauging will: nothing goes in that cannot be read again."""
    typed = {to: f.typed[name] for name, to in STEP_NAMES.items() if name in f.typed}
    typed["after"] = typed["before"]  # still to come, by the same meter
    if "before_temp" in typed:
        typed["after_temp"] = typed["before_temp"]
    facts, way = f.book.facts, SHAPES["by-salt"]
    sizes = read_sizes(way, typed, tape_cm=facts.tape_cm, comma=facts.comma, meter=meter_of(f))
    asked = Asked(way, sizes.sizes, NOTHING, **sizes.lists)
    values = {name: size.value for name, size in asked.flat().items()}
    problem = meter_problem(asked, values)
    if problem is not None:
        f.problems.append(problem.placed(problem.path.replace("--before-temp", "--temp")))


FORMS = (
    Form(
        "salt-step",
        "a dose of salt by which a meter tells the volume",
        (
            VESSEL,
            Field("salt", AText(), "plain dried salt, weighed", required=True),
            Field("before", AText(), "the reading before it went in", required=True),
            Field("temp", AText(), "the water, where the meter does not compensate"),
            Field("factor", AText(), "of a meter that reads ppm"),
            KIT,
            Field("tool", AText(), "what it was weighed with"),
            Field("soft", AText(), "why a warning is passed over"),
            Field("vet", AText(), "what the vet said"),
        ),
        _salt_step,
    ),
)
