"""One dose between its water, its limit and what is there already: what goes in at most."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from intake.science.amount import (
    FEED_UNIT,
    PRODUCT_BASES,
    Counted,
    bath_added,
    bath_amount,
    daily_amount,
    daily_target,
)
from intake.science.course_settled import directed
from intake.science.dose import DoseRequest, PlannedDose, WaterVolume
from intake.science.dose_checks import Limit
from intake.science.dose_words import cut_warning
from intake.science.figures import at_most, beyond, figure
from intake.science.ledger import NONE_LEFT, Residue
from intake.science.limits import DIGITS, allowed, twelve
from intake.science.problem import Refused, Warn
from intake.science.recheck import SoldAs, agree, bath_again, feed_again
from intake.science.treatment import Course

STEP_REACHED = Decimal("0.25")
"""A step of a stepped course counts as reached when less than this share of its raise is missing,
so that a small water change does not repeat it. Common practice."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What one dose is worked out from, once nothing stands against it."""

    request: DoseRequest
    course: Course
    product: Counted
    limit: Limit

    @property
    def feed(self) -> bool:
        """Whether it goes into the feed, by the mass of fish."""
        return self.course.unit == FEED_UNIT

    @property
    def already(self) -> Residue:
        """What is there before the dose; a feed has nothing."""
        return NONE_LEFT if self.feed else self.request.already or NONE_LEFT

    @property
    def counts(self) -> Decimal:
        """The end of the residue that counts for the amount; none for a course that adds."""
        if self.course.adds:
            return Decimal(0)
        low = self.request.treatment.residue_end == "low"
        return twelve(self.already.low if low else self.already.high)

    @property
    def high(self) -> Decimal:
        """The end of the residue that counts against limits."""
        return twelve(self.already.high)

    @property
    def water(self) -> WaterVolume:
        """The water of a bath.

        Raises
        ------
        ValueError
            A feed has none, and a bath without any was refused before.
        """
        if self.request.volume is None:
            raise ValueError("only a bath has water")
        return self.request.volume

    @property
    def fish_mass_g(self) -> Decimal:
        """The mass of the fish that are fed [g]."""
        return self.request.fish_mass_g or Decimal(0)

    def raised(self, amount: Decimal, volume_l: Decimal) -> Decimal:
        """By how much `amount` raises so much water, or what it feeds, in the course's unit."""
        if self.feed:
            return daily_target(amount, self.fish_mass_g, self.product)
        return bath_added(amount, self.course.unit, volume_l, self.product)

    def result(self, amount: Decimal) -> tuple[Decimal, Decimal]:
        """What is then there: likely, and in the smallest water on the high end."""
        if self.feed:
            fed = self.raised(amount, Decimal(1))
            return fed, fed
        likely = twelve(self.already.now) + self.raised(amount, self.water.volume_l)
        return likely, self.high + self.raised(amount, self.water.low_l)

    def most(self) -> Decimal:
        """The amount that just meets the hard limit in the smallest likely water."""
        if self.feed:
            return daily_amount(self.limit.value, self.fish_mass_g, self.product)
        room = max(self.limit.value - self.high, Decimal(0))
        return bath_amount(room, self.course.unit, self.water.low_l, self.product)


def goal_of(request: DoseRequest, course: Course) -> Decimal:
    """Where the course is to end: asked for, directed by a vet, or the course's usual."""
    if request.target is not None:
        return request.target
    direction = request.direction
    if direction is not None and directed(request):
        return course.usual if direction.target is None else direction.target
    return course.usual


def next_step(setting: Setting, goal: Decimal) -> tuple[Decimal, Decimal]:
    """The target of this dose and the hours it comes after the first of its course [h].

    A stepped course goes to the first step that is not reached by what is there, any other
    course to its goal.
    """
    before, after_h = Decimal(0), Decimal(0)
    for step in setting.course.steps:
        if before >= goal:
            break
        after_h = step.after_h
        near = step.target - STEP_REACHED * (step.target - before)
        if not allowed(near, None, setting.counts):
            return min(step.target, goal), after_h
        before = step.target
    return goal, after_h


def steps_ahead(
    setting: Setting, goal: Decimal, target: Decimal, after_h: Decimal
) -> tuple[PlannedDose, ...]:
    """The step now and those after it up to the goal, each with the amount of its raise."""
    if not setting.course.steps:
        return ()
    later = [
        (min(step.target, goal), step.after_h)
        for step in setting.course.steps
        if step.after_h > after_h
    ]
    planned: list[PlannedDose] = []
    before = setting.counts
    for level, hours in [(target, after_h), *later]:
        if planned and level <= before:
            break
        added = max(level - before, Decimal(0))
        amount = bath_amount(added, setting.course.unit, setting.water.volume_l, setting.product)
        at_utc = setting.request.now_utc + timedelta(hours=float(hours - after_h))
        planned.append(PlannedDose(level, at_utc, amount))
        before = max(level, before)
    return tuple(planned)


def refuse_over(setting: Setting, target: Decimal) -> None:
    """Nothing, where the target stays inside the hard limit at the nominal volume.

    Raises
    ------
    Refused
        ``over-hard-limit``: the target, or what the high end there already and the dose come
        to, is over it.
    """
    reached = target
    if target.is_finite() and target > setting.counts:
        reached = setting.high + (target - setting.counts)
    if allowed(reached, None, setting.limit.value):
        return
    room = setting.limit.value - (setting.high - setting.counts)
    asked = f"a target of {beyond(target, setting.limit.value, 6)} {setting.course.unit}"
    raise over_limit(setting, asked, reached, room)


def over_limit(setting: Setting, what: str, reached: Decimal, room: Decimal) -> Refused:
    """The refusal: `what` comes to `reached`; up to `room` could be asked for."""
    limit, unit = setting.limit, setting.course.unit
    there = ""
    if setting.high > 0:
        there = f" with up to {figure(setting.high, 3)} {unit} there already"
    way_out = "change water first; nothing more can go in now"
    if room > setting.counts:
        way_out = f"ask for at most {at_most(room)} {unit}"
    return Refused(
        "over-hard-limit",
        f"{what} comes to {beyond(reached, limit.value)} {unit}{there}; the hard limit is "
        f"{figure(limit.value, DIGITS)} {unit}",
        limit=float(limit.value),
        value=float(reached),
        unit=unit,
        source=limit.source.text,
        way_out=f"{way_out}; a limit is moved in its protocol, with a reason, not here",
    )


def exact_amount(setting: Setting, target: Decimal) -> tuple[Decimal, tuple[Warn, ...]]:
    """The product that brings it to `target`, cut to what the smallest likely water stands.

    Both the amount and a cut one are worked out a second time from the inputs.
    """
    if setting.feed:
        amount = daily_amount(target, setting.fish_mass_g, setting.product)
        return _agreed(setting, amount, target, setting.counts, Decimal(1)), ()
    added, unit = max(target - setting.counts, Decimal(0)), setting.course.unit
    amount = bath_amount(added, unit, setting.water.volume_l, setting.product)
    _agreed(setting, amount, target, setting.counts, setting.water.volume_l)
    most = setting.most()
    if allowed(amount, None, most):
        return amount, ()
    limit = f"{figure(setting.limit.value)} {unit}"
    low_l = setting.water.low_l
    warning = cut_warning(amount, most, setting.product.unit, low_l, limit)
    return _agreed(setting, most, setting.limit.value, setting.high, low_l), (warning,)


def _agreed(
    setting: Setting, amount: Decimal, target: Decimal, already: Decimal, volume_l: Decimal
) -> Decimal:
    """`amount`, once the second working agrees.

    Raises
    ------
    ArithmeticError
        It does not: a fault of the program, and nothing is to be dosed.
    """
    by_product = setting.request.treatment.basis in PRODUCT_BASES
    sold = sold_as(setting.product)
    if setting.feed:
        again = feed_again(target, setting.fish_mass_g, sold, by_product)
    else:
        again = bath_again(target, already, volume_l, setting.course.unit, sold, by_product)
    if not agree(amount, again):
        raise ArithmeticError(f"two workings of one dose differ: {amount} and {float(again)}")
    return amount


def sold_as(product: Counted) -> SoldAs:
    """What a second working is told of a product: its form as sold and the label's strength."""
    label, form = product.strength, product.sold
    state = "liquid" if product.unit == "mL" else "powder"
    if form is None:
        return SoldAs(state, Decimal(100), "% w/v", Decimal(1), None, label.value, label.unit)
    unit = form.unit if label.unit == "%" else label.unit
    return SoldAs(
        state, form.value, form.unit, form.counts_as, form.density_g_ml, label.value, unit
    )
