"""What is said with a dose: its warnings, its assumptions and the arithmetic in words."""

from __future__ import annotations

from decimal import Decimal

from intake.science.amount import FEED_UNIT, PRODUCT_BASES, Counted
from intake.science.conditions import judge_conditions
from intake.science.course_parts import Source
from intake.science.course_settled import directed
from intake.science.dose import DoseRequest
from intake.science.dose_checks import (
    Limit,
    applies,
    hours_between,
    hours_since_last,
    known_today,
    met,
    sensitive_here,
)
from intake.science.figures import beyond, figure, time_text
from intake.science.limits import allowed
from intake.science.mixing import judge_mixing
from intake.science.problem import Warn
from intake.science.tools import ROUNDING_WARN_PERCENT
from intake.science.treatment import Course, Handling, Treatment

DOUBT_WARN_SHARE = Decimal("0.15")
"""Over this half-width of the volume, as a share of it, measuring by filling is advised. Common
practice."""
UNTRIED = "none of these fish has met it; bathe one first: intake record bath, then wait a day"
LABEL_FIRST = "The product label and your vet come first and win where they differ."


def course_warnings(
    request: DoseRequest, course: Course, target: Decimal, limit: Limit
) -> tuple[Warn, ...]:
    """Everything that is legal but unusual about this dose, before it is measured."""
    treatment = request.treatment
    found = [Warn(code, text) for code, text in treatment.always_warn]
    found += _untried(request, course)
    found += _of_target(request, course, target)
    found += _of_time(request, course)
    found += judge_conditions(course.conditions, request.readings, request.now_utc)
    found += judge_mixing(met(request))
    found += [
        Warn("test-fish-first", f"{part.text} ({part.source.text})")
        for part in sensitive_here(request)
        if not part.hard
    ]
    found += _of_water(request)
    remembered = _remembered(course, limit)
    if remembered:
        found.append(Warn("from-memory", "not read in a source: " + "; ".join(remembered)))
    return tuple(dict.fromkeys(found))


def _untried(request: DoseRequest, course: Course) -> list[Warn]:
    """Said where none of the fish has met it; what only helps them is not held up so."""
    treats = request.treatment.counts_as(course) == "treatment"
    if request.tried is not False or not treats or not course.unit.endswith("/L"):
        return []
    return [Warn("test-fish-first", UNTRIED)]


def _of_target(request: DoseRequest, course: Course, target: Decimal) -> list[Warn]:
    unit = course.unit
    found = []
    if not allowed(target, None, course.high):
        text = (
            f"{beyond(target, course.high, 6)} {unit} is over the course's range, "
            f"{figure(course.high)} {unit} at most"
        )
        found.append(Warn("over-usual", text))
    if not course.steps and not allowed(target, course.low, None):
        text = (
            f"{beyond(target, course.low, 6)} {unit} is under the course's range, "
            f"{figure(course.low)} {unit} at least"
        )
        found.append(Warn("under-usual", text))
    for bound in course.bounds:
        held = not bound.hard and bound.unit == unit and applies(bound, request)
        if held and not allowed(target, None, bound.value):
            text = (
                f"{beyond(target, bound.value, 6)} {unit} is over {figure(bound.value)} {unit} "
                f"({bound.source.text})"
            )
            found.append(Warn(bound.code or "over-usual", text))
    return found


def goal_warning(request: DoseRequest, course: Course, goal: Decimal) -> tuple[Warn, ...]:
    """The warning ``under-usual`` where a stepped course is asked to end under its range.

    Its steps are under it, and so is what puts back a step after a change; neither is warned of.
    """
    if not course.steps or request.target is None or request.replaces:
        return ()
    if allowed(goal, course.low, None):
        return ()
    text = (
        f"{beyond(goal, course.low, 6)} {course.unit} is where it is asked to end, under the "
        f"course's range, {figure(course.low)} {course.unit} at least"
    )
    return (Warn("under-usual", text),)


def _of_time(request: DoseRequest, course: Course) -> list[Warn]:
    found = _early(request, course)
    if course.repeat is not None and 0 < course.repeat.times <= request.doses_given:
        text = f"the course is {course.repeat.times} doses, {request.doses_given} are given"
        found.append(Warn("over-usual", text))
    return found


def _early(request: DoseRequest, course: Course) -> list[Warn]:
    gone_h, interval = hours_since_last(request), course.interval
    if gone_h is None or interval is None or interval.usual_every_h is None:
        return []
    if allowed(gone_h, interval.usual_every_h, None):
        return []
    text = (
        f"{time_text(gone_h)} since the last dose, usually {figure(interval.usual_every_h)} h "
        f"({interval.source.text})"
    )
    return [Warn("early", text)]


def step_early(request: DoseRequest, after_h: Decimal) -> tuple[Warn, ...]:
    """The warning ``early`` of a step that comes before its time."""
    if request.first_dose_utc is None:
        return ()
    gone_h = hours_between(request.first_dose_utc, request.now_utc)
    if allowed(gone_h, after_h, None):
        return ()
    text = f"this step comes {figure(after_h)} h after the first, it is {time_text(gone_h)} now"
    return (Warn("early", text),)


def _of_water(request: DoseRequest) -> list[Warn]:
    volume, treatment = request.volume, request.treatment
    if volume is None:
        return []
    found = []
    half = max(volume.high_l - volume.volume_l, volume.volume_l - volume.low_l)
    if not allowed(half, None, DOUBT_WARN_SHARE * volume.volume_l):
        text = (
            f"the water is {figure(volume.low_l, 4)} to {figure(volume.high_l, 4)} L: "
            "measure it by filling"
        )
        found.append(Warn("volume-doubtful", text))
    most = treatment.crowded_over_g_l
    if most is not None and request.fish_mass_g is not None:
        held = request.fish_mass_g / volume.low_l
        if not allowed(held, None, most):
            text = f"{figure(held, 3)} g of fish per litre, tried up to {figure(most)} g/L"
            found.append(Warn("crowded", text))
    return found


def _remembered(course: Course, limit: Limit) -> list[str]:
    sources: list[Source | None] = [*course.sources, limit.source, course.stage_source]
    sources += [course.duration_source, course.steps_source]
    parts = (course.repeat, course.interval, course.per, course.asked_as)
    sources += [part.source for part in parts if part is not None]
    texts = [s.text for s in sources if s is not None and s.mark == "from memory"]
    return list(dict.fromkeys(texts))


def rounding_warning(percent: Decimal, tool: str) -> tuple[Warn, ...]:
    """The warning ``rounding`` where the tool's step is over 5 % off."""
    if allowed(percent, -ROUNDING_WARN_PERCENT, ROUNDING_WARN_PERCENT):
        return ()
    side = "under" if percent < 0 else "over"
    return (Warn("rounding", f"{figure(abs(percent), 2)} % {side} on {tool}"),)


def cut_warning(asked: Decimal, cut: Decimal, unit: str, low_l: Decimal, limit: str) -> Warn:
    """The warning ``volume-doubtful`` of an amount cut to the smallest likely volume."""
    return Warn(
        "volume-doubtful",
        f"cut from {figure(asked, 4)} to {figure(cut, 4)} {unit}: in the smallest likely water, "
        f"{figure(low_l, 4)} L, more would pass the hard limit of {limit}",
    )


def assumptions(
    request: DoseRequest, course: Course, product: Counted, goal: Decimal, target: Decimal
) -> tuple[str, ...]:
    """What was taken for granted because nobody said otherwise."""
    found = []
    if request.course is None:
        found.append(f"course {course.name}, the first of {request.treatment.id}")
    if request.target is None:
        found.append(f"target {figure(goal)} {course.unit}, {_whose(request, goal, course)}")
    if goal != target:
        unit = course.unit
        found.append(
            f"raised in steps: {figure(target)} {unit} now, {figure(goal)} {unit} at last"
        )
    if request.strength is None and request.bottle is None:
        found.append(f"strength {product.strength}, the protocol's usual one; the label wins")
    if not request.stages and "adult" in course.stages:
        found.append("adult fish")
    elif not request.stages and not course.stages:
        found.append("nothing alive in this water")
    elif not request.stages:
        found.append(f"nothing but {' and '.join(course.stages)} in this water")
    choosing = {b.quantity for b in course.bounds if not (b.above is None and b.below is None)}
    for name in sorted(choosing):
        if not known_today(request.readings.get(name), request.now_utc):
            said = "water temperature" if name == "temp" else name
            found.append(f"{said} not known today: the most careful limit holds")
    if request.already is None and request.volume is not None and course.unit != FEED_UNIT:
        found.append("none of it in the water before")
    return tuple(found)


def _whose(request: DoseRequest, goal: Decimal, course: Course) -> str:
    direction = request.direction
    from_vet = course.by_vet or goal != course.usual
    if direction is not None and direction.target == goal and from_vet:
        return f"{direction.vet}'s direction"
    return "the course's usual one"


def arithmetic(
    request: DoseRequest, course: Course, product: Counted, target: Decimal, counts: Decimal
) -> str:
    """The dose as a keeper would work it out by hand."""
    by_product = request.treatment.basis in PRODUCT_BASES
    share = ", the product itself counts" if by_product else f" / {product.strength}"
    asked = f"{figure(target)} {course.unit}"
    if request.volume is None or course.unit == FEED_UNIT:
        mass = figure(request.fish_mass_g or Decimal(0))
        return f"{asked} x {mass} g of fish{share}, for one day"
    litres = figure(request.volume.volume_l, 4)
    if course.adds:
        return f"{asked} x {litres} L{share}, added to what is there"
    if counts >= target:
        return f"{figure(counts, 4)} {course.unit} is there already: nothing to add"
    there = (
        f"{figure(counts, 3)} {course.unit} there already" if counts > 0 else "none there already"
    )
    return f"{asked} x {litres} L{share}, {there}"


def because(
    request: DoseRequest,
    course: Course,
    worked: str,
    result_high: Decimal,
    limit: Limit,
) -> tuple[str, ...]:
    """Why the amount is what it is, and who comes first."""
    lines = [worked]
    volume = request.volume
    doubtful = volume is not None and (volume.low_l < volume.volume_l or request.already)
    if volume is not None and course.unit != FEED_UNIT and doubtful:
        lines.append(
            f"in the smallest water, {figure(volume.low_l, 4)} L, it is "
            f"{figure(result_high, 2)} {course.unit}"
        )
    lines.append(f"hard limit {figure(limit.value)} {course.unit}: {limit.source.text}")
    direction = request.direction
    if direction is not None and directed(request):
        on = f", {direction.said_on}" if direction.said_on else ""
        lines.append(f'{direction.vet}{on}: "{direction.words}"')
    lines += request.treatment.disagree
    lines.append(LABEL_FIRST)
    return tuple(lines)


def handling(treatment: Treatment, product: Counted) -> tuple[str, ...]:
    """People's safety for the form in hand; for every form where none is named like it."""
    form = "" if product.sold is None else product.sold.form
    own = [part for part in treatment.handling if part.form == form]
    return tuple(_handled(part) for part in own or treatment.handling)


def _handled(part: Handling) -> str:
    says = [part.signal, *part.statements]
    wear = f"wear {', '.join(part.wear)}" if part.wear else ""
    parts = [f"{part.form}: " + ", ".join(text for text in says if text), wear, part.storage]
    return "; ".join(text for text in parts if text)
