"""How a dose is put into words: its limits, its conditions, its working."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from intake.flows.bottles import shelf_keys
from intake.flows.desk import Book
from intake.flows.facts.things import Product, System, Thing
from intake.flows.jobs.words import MEQ_PER_DEGREE, clock_text, day_text, when_text
from intake.flows.views.dose import ConditionShown, DoseAsk, DoseView
from intake.flows.views.parts import Bar, Care, Need, Shown, Stop
from intake.science.conditions import Reading, age_h
from intake.science.dose import DoseAnswer, DoseRequest
from intake.science.dose_words import UNTRIED
from intake.science.limits import allowed
from intake.science.problem import Refused, Warn
from intake.science.show import show, show_range
from intake.science.treatment import Bound, Condition, Course, Treatment

NAMES = {
    "temp": "temperature",
    "ph": "pH",
    "kh": "KH",
    "gh": "GH",
    "oxygen": "oxygen",
    "tan": "TAN",
    "no2": "nitrite",
    "salt": "salt",
}
REASONS = {
    "over-usual": (("vet said so", "vet said so"), ("sign worse", "the sign is worse")),
    "under-usual": (("gentle start", "a gentle start"), ("weak fish", "weak fish")),
    "early": (("eggs seen", "eggs seen"), ("sign back", "the sign is back")),
    "from-memory": (("label read", "the label says the same"),),
    "test-fish-first": (("tried", "one fish was treated first"), ("known", "had it before")),
    "sources-disagree": (("label read", "the label was read"),),
}
"""Reasons to pick from where a warning asks for one; the first letters are the keys."""
BATHE_ONE = "none of these fish has met it: b bathes one of them first, in a bucket"
ASKED = ("over-usual", "early")
"""Warnings that ask a reason before the dose is recorded."""
WORST_FIRST = (
    "volume-doubtful", "over-usual", "early", "test-fish-first", "sources-disagree", "oxygen",
    "crowded", "warm-water", "biofilter", "rounding", "under-usual", "from-memory",
)  # fmt: skip


def course_text(course: Course) -> str:
    """``support for days, 1 to 3 g/L``."""
    if course.by_vet:
        return f"{course.route}, as a vet directed, in {course.unit}"
    ends = f"{show(course.low, '')} to {show(course.high, course.unit)}"
    return f"{course.route}, {ends}"


def target_range(course: Course) -> str:
    """``2 to 5 mg/L, usual 2``."""
    if course.by_vet and not course.usual:
        return "as a vet directed"
    if course.low == course.high:
        return show(course.usual, course.unit)
    ends = f"{show(course.low, '')} to {show(course.high, course.unit)}"
    return f"{ends}, usual {show(course.usual, '')}"


def _hard(course: Course) -> Bound | None:
    hard = [b for b in course.bounds if b.hard and b.unit == course.unit]
    return min(hard, key=lambda b: b.value, default=None)


def level_bar(
    course: Course, request: DoseRequest, answer: DoseAnswer | None, target: Decimal
) -> Bar:
    """The level the water would reach against its hard limit."""
    bound = _hard(course)
    limit = answer.hard_limit if answer else (bound.value if bound else None)
    now = float(answer.result) if answer else float(target)
    high = float(answer.result_high) if answer else now
    over = limit is not None and not allowed(Decimal(repr(high)), None, limit)
    said = f"hard limit {show(limit, '')}" if limit is not None else ""
    if over and limit:
        said = f"{show(high / float(limit), '', digits=2)} times limit"
    del request
    shown = Shown(show(now, ""), course.unit)
    return Bar("", shown, now, now, high, float(limit) if limit is not None else None, said, over)


def conditions(book: Book, course: Course, request: DoseRequest) -> tuple[ConditionShown, ...]:
    """One word for each thing the course asks of the water."""
    return tuple(_condition(book, c, request) for c in course.conditions)


def _condition(book: Book, c: Condition, request: DoseRequest) -> ConditionShown:
    name = NAMES.get(c.quantity, c.quantity)
    reading = request.readings.get(c.quantity)
    if reading is None or reading.value is None:
        return ConditionShown(c.quantity, f"{name} ? NEED", None)
    per = Decimal(str(MEQ_PER_DEGREE)) if c.quantity in ("kh", "gh") else Decimal(1)
    value = _value(reading, per)
    if not allowed(age_h(reading, request.now_utc), None, c.max_age_h):
        at = when_text(book, reading.at_utc)
        return ConditionShown(c.quantity, f"{name} {value} read {at}: too old", None)
    low_met = c.low is None or (reading.low is not None and allowed(reading.low, c.low, None))
    high_met = c.high is None or (reading.high is not None and allowed(reading.high, None, c.high))
    at = clock_text(book, reading.at_utc)
    return ConditionShown(c.quantity, f"{name} {value} read {at}", low_met and high_met)


def _value(reading: Reading, per: Decimal) -> str:
    """What was read, from end to end where it has two."""
    low, high = (None if end is None else end / per for end in (reading.low, reading.high))
    if low == high and reading.value is not None:
        return show(reading.value / per, "", digits=3)
    return show_range(low, high, "")


def need_of(refused: Refused, course: Course) -> Need:
    """The question a missing or old reading asks."""
    measures = next(
        (c.quantity for c in course.conditions if NAMES.get(c.quantity, "") in refused.text),
        "temp",
    )
    return Need(f"a reading of {NAMES.get(measures, measures)}", refused.text, measures)


def stop_of(refused: Refused, course: Course, request: DoseRequest) -> Stop:
    """What bars the way, with its bar where it is a level."""
    bar = None
    if refused.code == "over-hard-limit" and refused.limit and refused.value is not None:
        value = refused.value
        said = f"{show(value / refused.limit, '', digits=2)} times limit"
        bar = Bar("", Shown(show(value, ""), refused.unit), value, value, value, refused.limit,
                  said, over=True)  # fmt: skip
    del course, request
    return Stop(refused.code, refused.text, refused.source, refused.way_out, bar)


def _on_screen(text: str) -> str:
    """A warning with its key in place of its command."""
    return BATHE_ONE if text == UNTRIED else text


def cares(answer: DoseAnswer | None, ask: DoseAsk) -> tuple[Care, ...]:
    """The warnings, the worst first; those that ask a reason have reasons to pick from."""
    if answer is None:
        return ()
    picked = dict(ask.soft)

    def place(code: str) -> int:
        return WORST_FIRST.index(code) if code in WORST_FIRST else len(WORST_FIRST)

    ordered = sorted(answer.warnings, key=lambda w: place(w.code))
    return tuple(
        Care(w.code, _on_screen(w.text), REASONS.get(w.code, ()) if w.code in ASKED else (),
             picked.get(w.code, ""))
        for w in ordered
    )  # fmt: skip


OF_THE_SHELF = ("product-expired", "other-drug")
"""What the room says of a dose that stands beside its own warnings."""


def beside(worked: DoseView, request: DoseRequest, warnings: Iterable[Warn]) -> DoseView:
    """The dose with whose direction it rests on, and what is said of the shelf."""
    direction, said = request.direction, ""
    if direction is not None:
        said = f"{direction.vet}, {direction.said_on}: {direction.words}"
    more = tuple(Care(w.code, w.text, (), "") for w in warnings if w.code in OF_THE_SHELF)
    return replace(worked, directed=said, cares=(*more, *worked.cares))


def product_text(book: Book, product: Thing | None) -> str:
    """``batch P-2281, good to 2027-05-01``, or that it is past."""
    if not isinstance(product, Product):
        return ""
    keys = shelf_keys(book, product)
    parts = [f"batch {product.batch}" if product.batch else product.name]
    if keys["past"]:
        parts.append(keys["past"])
    elif keys["good_until"]:
        parts.append(f"good to {keys['good_until']}")
    return ", ".join(parts)


def because(
    course: Course, request: DoseRequest, answer: DoseAnswer | None, refused: Refused | None
) -> str:
    """One sentence, the cause first."""
    if answer is not None:
        first = "; ".join(answer.because[:2])
        return f"{first}. The label and your vet come first."
    if refused is not None:
        return f"{refused.text}. {refused.way_out}."
    del request
    return f"the protocol gives {target_range(course)}."


def how(answer: DoseAnswer | None, refused: Refused | None) -> tuple[str, ...]:
    """The working, line by line."""
    if answer is None:
        return (refused.text, refused.source, refused.way_out) if refused else ()
    protocol = f"protocol {answer.treatment} {answer.protocol_version}"
    made = () if answer.stock is None else answer.stock.steps(answer.title)
    return (*answer.because, *made, *answer.assumptions, protocol, *answer.cautions)


def so_far(book: Book, system: System, treatment: Treatment) -> tuple[tuple[str, str], ...]:
    """The doses this water had of it."""
    found = []
    for d in system.doses[-6:]:
        if d.treatment == treatment.id:
            there = d.at.astimezone(book.facts.zone)
            said = "" if d.kind == "dose" else ", given"
            found.append(
                (f"{day_text(there.date())} {there:%H:%M}", f"{show(d.amount, d.unit)}{said}")
            )
    return tuple(found)
