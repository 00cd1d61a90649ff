"""The form of a bath or dip in a bucket: a dose with a clock of its own and no water at home."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from intake.clock import utc_text
from intake.flows.bath_water import (
    BUCKET,
    Bathed,
    bath_course,
    bath_request,
    beside_later_met,
)
from intake.flows.dose_event import Event, event_of, fish_of
from intake.flows.dose_typed import READINGS
from intake.flows.facts.baths import Bath
from intake.flows.facts.things import Animal, Product
from intake.flows.forms.bathed import AFishList, who
from intake.flows.forms.dose_label import (
    added_ends,
    any_strength,
    from_what,
    keep_broken,
    label_asked,
    labelled,
    unless_over,
    wanted_of,
)
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.kept_dose import protocol_of, said_of, water_kept
from intake.flows.forms.readers import (
    AName,
    AQuantity,
    AStrength,
    AText,
    AThing,
    ATime,
    ATreatment,
)
from intake.flows.later_doses import book_then
from intake.flows.usage import Usage
from intake.science.amount import Counted, counted
from intake.science.conditions import Reading
from intake.science.dose import DoseRequest, WaterVolume
from intake.science.dosing import check_given, judge_amount
from intake.science.figures import time_text
from intake.science.limits import allowed
from intake.science.problem import Refused
from intake.science.stored_again import raised_by
from intake.science.treatment import Course, Treatment

KITCHEN_TIMER = "set a kitchen timer too: this machine may sleep"
NO_RESIDUE = "the bath is water of its own: nothing is left of it in any water of the room"
HOW_IT_WAS = (
    "lift the fish out where they are in it; what happened is written down with --ended TIME "
    "--why TEXT"
)


@dataclass(frozen=True, slots=True)
class AskedBath:
    """One bath: what, for whom, and for how long; `over` where it has ended."""

    treatment: Treatment
    course: Course
    fish: Bathed
    request: DoseRequest
    hours: Decimal
    over: bool

    @property
    def ends(self) -> datetime:
        """When they are due out."""
        return self.request.now_utc + timedelta(hours=float(self.hours))

    @property
    def longest(self) -> datetime:
        """When they are out at the latest by the course."""
        most = self.course.duration_max_h or self.hours
        return self.request.now_utc + timedelta(hours=float(most))


def _bath(f: Filling) -> None:
    asked = asked_bath(f)
    treatment, request = asked.treatment, asked.request
    if asked.over or f.entry is not None:
        ends = any_strength(f, treatment, request)
        amount = f.get("amount")
        broken = check_given(request, Decimal(amount.high), amount.canonical)
        if broken and not f.why and f.entry is None:
            text = "; ".join(b.text for b in broken)
            f.fault(
                "reason-missing", "--why", f"this was against the protocol: {text}", "--why TEXT"
            )
            f.stop_if_faulty()
        keep_broken(f, broken)
    else:
        label_asked(f, treatment, request)
        product = counted(treatment, request.strength, request.bottle)
        _judge(f, asked)
        ends = (product, product, product)
    _keep(f, asked, ends)


def asked_bath(f: Filling) -> AskedBath:
    """The bath that is asked for, with its request; all but its amount has been read."""
    treatment = f.book.shelf.treatments[f.get("treatment")]
    book = book_then(f.book, f.when, f.entry)
    fish = [(_then(book.facts.things.get(a.id), a), n) for a, n in f.get("fish")]
    course = bath_course(treatment, f.get("course"), fish)
    hours = _hours(f, course)
    _only_once(f, fish)
    f.stop_if_faulty()
    size = f.get("in")
    volume = WaterVolume(*(Decimal(x) for x in (size.value, size.low, size.high)))
    readings = {
        n: Reading(q.value, q.low, q.high, f.when) for n in READINGS if (q := f.get(n)) is not None
    }
    base = DoseRequest(
        treatment, f.when, course.name, never_mix=f.book.shelf.never_mix, lasts_h=hours
    )
    wanted = wanted_of(f, treatment)
    f.stop_if_faulty()
    request = bath_request(book, base, course, fish, volume, readings, f.notes, wanted)
    if f.entry is None:
        request = beside_later_met(f.book, fish, request)
    request = unless_over(f, labelled(f, treatment, request), course)
    return AskedBath(treatment, course, fish, request, hours, f.get("ended") is not None)


def _then(then: Any, now: Animal) -> Animal:
    """The fish as it was when it began; as it is now where it came later by a correction."""
    return then if isinstance(then, Animal) else now


def _hours(f: Filling, course: Course) -> Decimal:
    """How long it lasts or lasted; the shortest the course allows where nobody says.

    Raises
    ------
    Usage
        Both how long and when it ended were given.
    """
    ended, lasts = f.get("ended"), f.get("for")
    if ended is not None and lasts is not None and f.entry is None:
        raise Usage("--for is for a bath that runs, --ended for one that is over: give one")
    if f.get("stopped") and ended is None:
        raise Usage("--stopped says why one ended early: give --ended too")
    if ended is not None:
        if ended < f.when:
            text = f"it ended before it began, {f.book.facts.local(f.when)}"
            f.fault("out-of-range", "--ended", text, "read both times again")
        return Decimal(repr((ended - f.when).total_seconds())) / 3600
    if lasts is not None:
        return Decimal(lasts.value) / 60
    least = course.duration_min_h or course.duration_max_h
    if least is None:
        raise Usage("--for: the course does not say how long")
    f.notes.assume(f"{time_text(least)}, the shortest the course allows; --for says another time")
    return least


def _only_once(f: Filling, fish: Bathed) -> None:
    """A fish is in one bucket at a time."""
    mine = {a.id for a, _ in fish}
    for bath in f.book.facts.of_kind(Bath):
        in_it = bath.since <= f.when and (bath.until is None or f.when < bath.until)
        if in_it and bath.id != f.entry and mine & set(bath.animals):
            text = f"{bath.who} are in the {bath.name} of {f.book.facts.local(bath.since)}"
            f.fault("out-of-range", "--fish", text, f"intake record stop {bath.id} ends that one")


def _judge(f: Filling, asked: AskedBath) -> None:
    """Holds the amount, at the high end where it was typed with a doubt, against every limit."""
    amount, course = f.get("amount"), asked.course
    try:
        judged = judge_amount(asked.request, Decimal(amount.high), amount.canonical)
    except Refused as refusal:
        refusal.way_out = f"{refusal.way_out}; {HOW_IT_WAS}" if refusal.way_out else HOW_IT_WAS
        raise
    f.notes.warnings += [w for w in judged.warnings if w not in f.notes.warnings]
    f.notes.because += judged.because
    least = course.duration_min_h
    if least is not None and not allowed(asked.hours, least, None):
        text = f"{time_text(asked.hours)} is shorter than the course's {time_text(least)}"
        f.notes.warn("under-usual", text)


def _keep(f: Filling, asked: AskedBath, ends: tuple[Counted, Counted, Counted]) -> None:
    course, request = asked.course, asked.request
    treatment, water = request.treatment, request.volume
    assert water is not None
    added = added_ends(f, treatment, course, ends)
    amount = Decimal(f.get("amount").value)
    raised = raised_by(treatment, course.unit, amount, water.volume_l, ends[1])
    from_what(f, request)
    f.refs["animals"] = [a.id for a, _ in asked.fish]
    f.extra |= {
        "course": course.name,
        "who": who(list(asked.fish)),
        "ends_at": utc_text(asked.ends),
        "longest_at": utc_text(asked.longest),
        "lasts_min": float(asked.hours * 60),
        "added": dict(zip(("low", "value", "high"), map(float, added), strict=True)),
        "target_unit": course.unit,
        "target_value": float(raised),
        "strength_used": str(ends[1].strength),
        "water": water_kept(water),
        "route": course.route,
        "protocol": protocol_of(treatment),
        "treated": fish_of(asked.fish),
        "said": [w.code for w in f.notes.warnings],
    }
    bottle = f.book.facts.things.get(request.bottle_entry)
    event = Event(
        request,
        course,
        (),
        list(asked.fish),
        bottle if isinstance(bottle, Product) else None,
        named=f.get("product") is not None,
        found=BUCKET,
    )
    f.extra["event"] = event_of(event, said_of(f), f.notes.warnings, f.extra.get("broke", ()))
    _answer(f, asked)


def _answer(f: Filling, asked: AskedBath) -> None:
    zone = f.book.facts.zone
    ends = asked.ends.astimezone(zone).isoformat()
    f.answer |= f.extra["water"] | {
        "now": f.extra["target_value"],
        "target_unit": asked.course.unit,
        "fish": f.extra["who"],
        "started": f.when.astimezone(zone).isoformat(),
        "ends_at": None if asked.over else ends,
        "ended": ends if asked.over else None,
    }
    f.notes.because.append(NO_RESIDUE)
    if not asked.over:
        f.notes.because.append(KITCHEN_TIMER)


def lifted(f: Filling, bath: Bath) -> None:
    """What is said when a bath is stopped: how long it was, and that nothing is left of it."""
    gone_h = Decimal(repr((f.when - bath.since).total_seconds())) / 3600
    f.answer |= {"bath": bath.id, "fish": bath.who, "lasted_min": float(gone_h * 60)}
    f.notes.because.append(
        f"{bath.who} were in it for {time_text(gone_h)}; stopping is never held back"
    )
    if f.when > bath.longest:
        late = Decimal(repr((f.when - bath.longest).total_seconds())) / 3600
        text = f"{time_text(late)} longer than its course allows: watch them closely today"
        f.notes.warn("over-hard-limit", text)
    f.notes.because.append(NO_RESIDUE)


_READ = tuple(
    Field(name, AQuantity(kind), f"read in the {BUCKET}") for name, kind in READINGS.items()
)
FORMS = (
    Form(
        "bath",
        "a bath or dip in a bucket, for the fish named",
        (
            Field("treatment", ATreatment(), "which treatment", True, True),
            Field("in", AQuantity("volume"), "the water in the bucket", required=True),
            Field("fish", AFishList(), "who: Moon,Ryukins:2", required=True),
            Field("amount", AQuantity("amount"), "what went in", required=True),
            Field("started", ATime(), "when they went in", required=True),
            Field("for", AQuantity("duration"), "how long they stay in"),
            Field("ended", ATime(), "when they were out, where it is over"),
            Field("stopped", AText(), "why it ended early"),
            Field("course", AText(), "which course, the first bath where none is given"),
            Field("strength", AStrength(), "from the label"),
            Field("tool", AText(), "what it was measured with"),
            Field("product", AThing(("product",)), "which bottle or packet"),
            Field("drug", AName(), "which drug, where a vet directed several"),
            Field("reason", AText(), "the sign or finding it is for"),
            Field("diagnosed-by", AText(), "who found out what it is"),
            Field("holding", AText(), "how long the fish are kept before they are sold"),
            Field("soft", AText(), "why a warning is passed over"),
            Field("vet", AText(), "what the vet said"),
            *_READ,
        ),
        _bath,
        protocols=True,
        happened="started",
    ),
)
