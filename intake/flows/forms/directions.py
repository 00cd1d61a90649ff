"""The form for what a vet directed: whose words, for what, how much, and until when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from intake import clock
from intake.flows.directions import VET_DIRECTED
from intake.flows.facts.things import Person, System, Thing, Vessel
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import ACount, AName, AQuantity, Asked, AText, AThing
from intake.flows.names import unknown
from intake.science.ceilings import CEILINGS, ceiling
from intake.science.drug_names import plain_name, protocol_meant
from intake.science.figures import figure
from intake.science.limits import allowed
from intake.science.problem import Problem
from intake.science.quantity import Quantity, in_unit, read_quantity
from intake.science.read_back import read_back, said_in
from intake.science.text import read_name
from intake.science.treatment import Course, Treatment

UNSAID_DAYS = 10
"""How long a direction holds where nobody says: the longest of the usual courses of medicated
feed, 10 days (US oxytetracycline label), common practice."""
MOST_DAYS = 90
"""A direction for longer is taken for a slip of the hand. Common practice."""
MINUTES_PER_HOUR = 60


class ADrug(AName):
    """A protocol's id or title, or the name of any drug."""

    def read(self, text: str, asked: Asked) -> str | Problem:
        name = read_name(text)
        if isinstance(name, Problem):
            return name
        plain = plain_name(name)
        return plain if plain in asked.book.shelf.treatments else name


@dataclass(frozen=True, slots=True)
class ATarget(AQuantity):
    """One level, in the water or a day in the feed; never a band."""

    kind: str = "concentration"

    def read(self, text: str, asked: Asked) -> Quantity | Problem:
        comma = asked.book.facts.comma
        found = read_quantity(text, self.kind, comma=comma, form="w/v")
        if isinstance(found, Problem):
            return found
        if found.band or found.half or found.value is None:
            hint = "the one number the vet said, like 50 mg/kg/d"
            return Problem("not-a-number", f"'{found.text}' is not one level", hint)
        return found


def _direction(f: Filling) -> None:
    treatment = _protocol(f)
    days = f.get("days") or UNSAID_DAYS
    if not allowed(days, 1, MOST_DAYS):
        f.fault("out-of-range", "--days", f"{days} days is too long", f"at most {MOST_DAYS}")
    f.stop_if_faulty()
    assert treatment is not None
    course, target = _settled(f, treatment)
    until = f.when + timedelta(days=days)
    if f.get("days") is None:
        f.notes.assume(f"holds for {UNSAID_DAYS} days, as none were said (common practice)")
    every = f.get("every")
    f.extra |= {
        "through": treatment.id,
        "course": course.name,
        "target_value": f"{target:f}",
        "target_unit": course.unit,
        "until": clock.utc_text(until),
        "every_h": None if every is None else float(every.value / MINUTES_PER_HOUR),
    }
    _whose(f)
    _for_what(f)
    _said(f, treatment, course, target)


def _protocol(f: Filling) -> Treatment | None:
    """The protocol a direction is dosed through; another word for one is a problem."""
    shelf = f.book.shelf.treatments
    name = str(f.get("treatment"))
    meant = protocol_meant(name, [*shelf, *CEILINGS])
    if meant is not None and meant != name:
        text = f"'{name}' is dosed by a protocol of its own"
        f.fault("no-such-name", "--treatment", text, f"name it: {meant}")
        return None
    found: Treatment | None = shelf.get(name)
    if found is not None and found.courses:
        return found
    if found is None and name in CEILINGS:
        text = f"{name} has limits of its own and no protocol here"
        f.fault("no-such-name", "--treatment", text, "it needs its protocol file first")
        return None
    through: Treatment | None = shelf.get(VET_DIRECTED)
    if through is None:
        f.problems.append(unknown(name, shelf, "a treatment with a protocol"))
    return through


def _settled(f: Filling, treatment: Treatment) -> tuple[Course, Decimal]:
    """The course it is for, and the target in that course's unit."""
    target: Quantity = f.get("target")
    named = f.get("course")
    if named is not None and treatment.course(named) is None:
        names = [c.name for c in treatment.courses]
        f.problems.append(unknown(named, names, "a course of it").placed("--course"))
        f.stop_if_faulty()
    for course in treatment.courses:
        level = in_unit(target, course.unit)
        if named in (None, course.name) and isinstance(level, Decimal):
            return course, level
    units = " or ".join(
        dict.fromkeys(c.unit for c in treatment.courses if named in (None, c.name))
    )
    text = f"'{target.text}' is not a target of {named or treatment.title}"
    f.fault("wrong-kind", "--target", text, f"give it in {units}")
    f.stop_if_faulty()
    raise AssertionError("a fault stops the form")


def _whose(f: Filling) -> None:
    """The vet, recorded with a role of their own where nobody of that name is known."""
    vet = f.get("vet")
    known = [p for p in f.book.facts.of_kind(Person) if p.name == vet]
    if known and known[-1].role != "vet":
        text = f"'{vet}' is recorded as a {known[-1].role}, not as a vet"
        f.fault("wrong-kind", "--vet", text, "name the vet who said it")
        f.stop_if_faulty()
    if known:
        f.refs["person"] = known[-1].id
    elif f.entry is None:
        f.refs["person"] = f.book.append("person", {"name": vet, "role": "vet"}, at=f.when)
        f.notes.warn("new-person", f"{vet} was not known: recorded as a vet")


def _for_what(f: Filling) -> None:
    """What it is for; a vessel that shares its water with others is not all the dose reaches."""
    subject: Thing | None = f.get("subject")
    if subject is None:
        f.notes.assume("for every water of the room: --subject keeps it to one, or to a fish")
        return
    f.answer["subject"] = subject.name
    f.extra["subject_kind"] = subject.kind
    if isinstance(subject, System):
        f.extra["whole_system"] = True
    if not isinstance(subject, Vessel):
        return
    system: System = f.book.facts.system_of(subject)
    if system.vessels != [subject.id]:
        others = [f.book.facts.vessel(v).name for v in system.vessels if v != subject.id]
        text = f"{subject.name} shares its water with {', '.join(others)}: a dose reaches them"
        hint = f"ask the vet about all of {system.name}, or isolate {subject.name} first"
        f.notes.warn("other-subject", f"{text}; {hint}")


def _said(f: Filling, treatment: Treatment, course: Course, target: Decimal) -> None:
    """Reads the target back, and says what of it cannot be right."""
    typed: Quantity = f.get("target")
    number = in_unit(typed, typed.unit)
    assert isinstance(number, Decimal)
    if not said_in(number, f.get("words")):
        text = f"the vet's words do not say {figure(number)}: read them again beside the target"
        f.notes.warn("not-in-words", text)
    if treatment.id == VET_DIRECTED:
        f.notes.assume(f"{f.get('treatment')} is dosed through {VET_DIRECTED}, {course.name}")
    elif f.get("course") is None and len(treatment.courses) > 1:
        f.notes.assume(f"for the course {course.name} alone: --course names another")
    top = ceiling(treatment.id, course.unit, course.duration_max_h, course.stages)
    if top is not None and not allowed(target, None, top.value):
        text = f"no direction lifts {treatment.title} over {figure(top.value)} {top.unit}"
        f.notes.warn("over-ceiling", f"{text} ({top.source.text})")
    f.answer |= {
        "vet": f.get("vet"),
        "treatment": f.get("treatment"),
        "through": treatment.id,
        "course": course.name,
        "target": float(target),
        "target_unit": course.unit,
        "read_back": read_back(number, typed.unit),
        "until": f.extra["until"],
        "every_h": f.extra["every_h"],
    }
    there = f.book.facts.local(clock.from_utc_text(f.extra["until"]))
    f.notes.because.append(f"in force until {there}; void it when the vet takes it back")


FORMS = (
    Form(
        "direction",
        "what a vet directed, in the vet's own words",
        (
            Field("vet", AName(), "who said it", required=True),
            Field("words", AText(), "what the vet said, word by word", required=True),
            Field("treatment", ADrug(), "a protocol, or any drug's name", required=True),
            Field("target", ATarget(), 'like "15 mg/L" or "50 mg/kg/d"', required=True),
            Field("days", ACount(1), f"how long it holds, else {UNSAID_DAYS}"),
            Field("every", AQuantity("duration"), "how long between two doses"),
            Field("course", AName(), "which course of the protocol, else the first that fits"),
            Field(
                "subject",
                AThing(("vessel", "system", "fish", "group")),
                "the one water, fish or group it is for",
            ),
        ),
        _direction,
        protocols=True,
    ),
)
