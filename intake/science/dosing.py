"""The whole decision about one dose: refuse it, cut it, round it, and say why."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from intake.science import dose_words as words
from intake.science.amount import counted, counted_range, feed_g_per_kg
from intake.science.course_settled import by_amount, refuse_slip, repeat_hours, settled_course
from intake.science.dose import Broken, DoseAnswer, DoseRequest, JudgedDose
from intake.science.dose_checks import IN_ORDER, hard_limit, refusals
from intake.science.dose_compared import beside_worked_out
from intake.science.dose_setting import (
    Setting,
    exact_amount,
    goal_of,
    next_step,
    over_limit,
    refuse_over,
    steps_ahead,
)
from intake.science.figures import at_most, figure
from intake.science.limits import allowed
from intake.science.problem import Refused
from intake.science.recipes import Recipe, recipe_of
from intake.science.tools import (
    LARGEST_AMOUNT,
    SMALLEST_AMOUNT,
    CannotMeasure,
    Measured,
    measure,
)
from intake.science.treatment import Course, Repeat

NOTHING = Measured(Decimal(0), 0, Decimal(0))


def plan_dose(request: DoseRequest) -> DoseAnswer:
    """The dose asked for: what to weigh or draw, or why not.

    Parameters
    ----------
    request
        The treatment, the water, the fish and everything known of them.

    Raises
    ------
    Refused
        In this order: not-advised or vet-only, life-stage, volume-unknown or wrong-route,
        strength-mismatch, reading-missing, reading-stale, out-of-condition, never-mix,
        too-soon, over-hard-limit (also of the time in a bath), out-of-condition (ends in the
        night), over-hard-limit, cannot-measure.
    Unreadable
        The treatment has no course of that name.

    Notes
    -----
    A target over the hard limit at the nominal volume is refused. At the smallest likely volume
    the amount is cut to what passes instead, with the warning volume-doubtful. The high end of
    what is there already counts against the limit, rounding included.
    """
    setting = _settle(request)
    goal = goal_of(request, setting.course)
    target, after_h = next_step(setting, goal)
    refuse_slip(request, setting.course, goal)
    refuse_over(setting, goal)
    refuse_over(setting, target)
    exact, cut = exact_amount(setting, target)
    measured = _measured(setting, exact)
    warnings = words.course_warnings(request, setting.course, target, setting.limit) + cut
    warnings += words.step_early(request, after_h)
    warnings += words.goal_warning(request, setting.course, goal)
    recipe = None
    if measured is not None and request.tool is not None:
        rounded = words.rounding_warning(measured.rounding_percent, request.tool.name)
        warnings += rounded
        step, solubility = request.tool.base_step, request.treatment.solubility_g_l
        unit, syringe_ml = setting.product.unit, request.syringe_ml
        recipe = recipe_of(exact, unit, step, solubility, syringe_ml) if rounded else None
    answer = _answer(setting, goal, target, exact, measured, recipe)
    return replace(answer, doses=steps_ahead(setting, goal, target, after_h), warnings=warnings)


def judge_amount(request: DoseRequest, amount: Decimal, unit: str) -> JudgedDose:
    """An amount the keeper has measured, held against every limit before it is recorded.

    Parameters
    ----------
    request
        As for `plan_dose`; its tool plays no part, its target only warns.
    amount, unit
        What was measured, in g or mL as the product is.

    Raises
    ------
    Refused
        As `plan_dose`; ``over-hard-limit`` also where it is over in the smallest likely water,
        because nobody can cut it any more without measuring again.
    """
    request = by_amount(request, amount)
    setting = _settle(request)
    _same_kind(setting, unit)
    refuse_slip(request, setting.course, setting.raised(amount, _nominal_l(setting)))
    likely, high = setting.result(amount)
    if not allowed(high, None, setting.limit.value):
        room = f"measure at most {at_most(setting.most())} {unit}"
        refusal = over_limit(setting, f"{figure(amount)} {unit}", high, setting.counts)
        refusal.way_out = f"{room}; the limit is judged in the smallest likely water"
        raise refusal
    reached = setting.counts + setting.raised(amount, _nominal_l(setting))
    warnings = words.course_warnings(request, setting.course, reached, setting.limit)
    worked = f"{figure(amount)} {unit} comes to {figure(likely, 4)} {setting.course.unit}"
    return JudgedDose(
        course=setting.course.name,
        target_unit=setting.course.unit,
        amount=amount,
        amount_unit=unit,
        result=likely,
        result_high=high,
        hard_limit=setting.limit.value,
        warnings=warnings + beside_worked_out(setting, amount),
        because=words.because(request, setting.course, worked, high, setting.limit),
    )


def most_amount(request: DoseRequest) -> tuple[Decimal, Decimal, str]:
    """The most that may go in now [g or mL], the hard limit in its course's unit, and its source.

    Raises
    ------
    Refused
        As `plan_dose`, where nothing at all may go in.
    """
    setting = _settle(request)
    return setting.most(), setting.limit.value, setting.limit.source.text


def check_given(
    request: DoseRequest, amount: Decimal | None = None, unit: str = ""
) -> tuple[Broken, ...]:
    """The limits that something already given broke; never a refusal.

    The concentration is judged on the careful side: strongest strength that it may have had,
    smallest likely water, high end of what was there. An amount or a volume that is not known,
    or an amount in the other unit, leaves it out.

    Raises
    ------
    Unreadable
        The treatment has no course of that name.
    """
    try:
        course = settled_course(request)
    except Refused as refusal:
        return (_broken(refusal),)
    found = list(refusals(request, course))
    product = counted_range(request.treatment, request.strength or request.bottle)[2]
    bath_known = request.volume is not None and request.volume.low_l > 0
    try:
        setting = Setting(request, course, product, hard_limit(request, course))
    except Refused as refusal:
        return tuple(_broken(broken) for broken in [*found, refusal])
    known = bool(request.fish_mass_g) if setting.feed else bath_known
    if amount is not None and known and unit == product.unit:
        high = setting.result(amount)[1]
        if not allowed(high, None, setting.limit.value):
            found.append(over_limit(setting, f"{figure(amount)} {unit}", high, Decimal(0)))
    return tuple(_broken(refusal) for refusal in found)


def _broken(refusal: Refused) -> Broken:
    return Broken(
        refusal.code,
        str(refusal),
        None if refusal.limit is None else Decimal(str(refusal.limit)),
        None if refusal.value is None else Decimal(str(refusal.value)),
        refusal.unit,
        refusal.source,
    )


def _settle(request: DoseRequest) -> Setting:
    course = settled_course(request)
    for check in IN_ORDER:
        check(request, course)
    product = counted(request.treatment, request.strength, request.bottle)
    return Setting(request, course, product, hard_limit(request, course))


def _same_kind(setting: Setting, unit: str) -> None:
    if unit != setting.product.unit:
        raise CannotMeasure(
            f"this product is measured in {setting.product.unit}, not in {unit}",
            way_out=f"measure it in {setting.product.unit}",
        )


def _nominal_l(setting: Setting) -> Decimal:
    return Decimal(1) if setting.feed else setting.water.volume_l


def _measured(setting: Setting, exact: Decimal) -> Measured | None:
    request, unit = setting.request, setting.product.unit
    if exact == 0:
        return None if request.tool is None else NOTHING
    if not allowed(exact, SMALLEST_AMOUNT, LARGEST_AMOUNT):
        raise CannotMeasure(
            f"{figure(exact, 3)} {unit} is not an amount of a fish room",
            way_out="treat a larger volume from a stock, or read volume and strength again",
        )
    if request.tool is None:
        return None
    return measure(
        exact,
        unit,
        request.tool,
        margin=request.treatment.margin,
        most=setting.most(),
        solubility_g_l=request.treatment.solubility_g_l,
        syringe_ml=request.syringe_ml,
    )


def _answer(
    setting: Setting,
    goal: Decimal,
    target: Decimal,
    exact: Decimal,
    measured: Measured | None,
    recipe: Recipe | None,
) -> DoseAnswer:
    request, course, product = setting.request, setting.course, setting.product
    treatment = request.treatment
    volume = None if setting.feed else request.volume
    result, result_high = setting.result(exact if measured is None else measured.amount)
    worked = words.arithmetic(request, course, product, target, setting.counts)
    ration = request.ration_percent if setting.feed else None
    return DoseAnswer(
        treatment=treatment.id,
        title=treatment.title,
        course=course.name,
        route=course.route,
        target=target,
        target_unit=course.unit,
        basis=treatment.basis,
        volume_l=None if volume is None else volume.volume_l,
        volume_l_low=None if volume is None else volume.low_l,
        volume_l_high=None if volume is None else volume.high_l,
        already=setting.already,
        amount=exact,
        amount_unit=product.unit,
        measured=None if measured is None else measured.amount,
        steps=None if measured is None else measured.steps,
        rounding_percent=None if measured is None else measured.rounding_percent,
        result=result,
        result_high=result_high,
        low=course.low,
        usual=course.usual,
        high=course.high,
        hard_limit=setting.limit.value,
        hard_limit_source=setting.limit.source.text,
        reaches=request.reaches,
        repeat=_repeat(request, course),
        doses=(),
        against=course.against,
        cautions=treatment.cautions,
        handling=words.handling(treatment, product),
        before=course.before,
        during=(*course.during, *_said(treatment.oxygen, treatment.light, treatment.biofilter)),
        after=(*course.after, *_said(treatment.wash_out, treatment.neutraliser)),
        stop_signs=course.stop_signs,
        stock=recipe,
        feed_g_per_kg=None if ration is None else feed_g_per_kg(target, ration),
        protocol_path=treatment.path,
        protocol_version=treatment.version,
        protocol_sha256=treatment.sha256,
        assumptions=words.assumptions(request, course, product, goal, target),
        warnings=(),
        because=words.because(request, course, worked, result_high, setting.limit),
    )


def _repeat(request: DoseRequest, course: Course) -> Repeat | None:
    """How often, at the temperature of this water."""
    every_h = repeat_hours(course, request.readings.get("temp"))
    if course.repeat is None or every_h is None:
        return None
    return replace(course.repeat, every_h=every_h)


def _said(*texts: str) -> tuple[str, ...]:
    return tuple(text for text in texts if text)
