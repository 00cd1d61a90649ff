"""What the label, the shelf and the tool say of a dose, and the limits something given broke."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from intake.flows.bottles import Wanted, product_keys, strength_in
from intake.flows.dose_asking import Asking, tool_named
from intake.flows.facts.things import Product
from intake.flows.forms.form import Filling
from intake.flows.strengths import stated, strength_of
from intake.flows.usage import Usage
from intake.science.amount import (
    FEED_UNIT,
    Counted,
    counted_range,
)
from intake.science.dose import Broken, DoseRequest
from intake.science.dose_time import ends_utc
from intake.science.problem import Problem
from intake.science.stored_again import added_of
from intake.science.treatment import Course, Treatment


def labelled(f: Filling, treatment: Treatment, request: DoseRequest) -> DoseRequest:
    """The request with the product, strength and tool that were named.

    Raises
    ------
    Unreadable
        Where one of them cannot be read, or the product is of another treatment.
    """
    wanted = wanted_of(f, treatment)
    f.stop_if_faulty()
    product = wanted.product
    if product is not None:
        bottle = strength_in(treatment, product)
        request = replace(request, bottle=bottle, bottle_entry=product.id)
    if wanted.strength is not None:
        request = replace(request, strength=wanted.strength)
    tool = tool_named(Asking({"tool": f.get("tool")}, f.when, f.book.shelf, f.book))
    f.stop_if_faulty()
    return replace(request, tool=tool)


def wanted_of(f: Filling, treatment: Treatment) -> Wanted:
    """The product named, which has to be one of this treatment, the strength typed, the drug."""
    product, strength = f.get("product"), None
    if isinstance(product, Product) and product.treatment != treatment.id:
        text = f"'{product.name}' is {product.treatment}, not {treatment.id}"
        f.fault("wrong-kind", "--product", text, "read the label again")
    elif isinstance(product, Product):
        read = strength_of(treatment, product.strength, "--product")
        f.problems += [read] if isinstance(read, Problem) else []
    if f.get("strength") is not None:
        typed = strength_of(treatment, f.get("strength"))
        if isinstance(typed, Problem):
            f.problems.append(typed)
        else:
            strength = stated(typed)
    return Wanted(product, strength, f.get("drug") or "")


def unless_over(f: Filling, request: DoseRequest, course: Course) -> DoseRequest:
    """The request without the quiet hours, where its end has passed or it is a correction."""
    end = ends_utc(request, course)
    past = end is not None and end <= f.book.now
    return replace(request, quiet=None) if past or f.entry is not None else request


def label_asked(f: Filling, treatment: Treatment, request: DoseRequest) -> None:
    """Asks for the strength where the trade sells several; else names the usual one.

    Raises
    ------
    Usage
        The strength has to be typed from the label and was not.
    """
    if treatment.from_label and f.get("strength") is None:
        raise Usage(f"--strength: type the strength of the {treatment.title} from its label")
    if request.strength is None and request.bottle is None:
        usual = treatment.usual_strength
        f.notes.assume(f"strength {usual.value} {usual.unit}, the protocol's usual one")


def any_strength(
    f: Filling, treatment: Treatment, request: DoseRequest
) -> tuple[Counted, Counted, Counted]:
    """The weakest, likely and strongest that something given may have been."""
    strength = request.strength or request.bottle
    if strength is None and treatment.from_label:
        f.notes.assume("the strength is not known: every strength sold is carried")
    ends = counted_range(treatment, strength)
    if f.get("strength") is None and f.get("product") is None:
        ends = _any_sold(ends, counted_range(treatment, None))
    return ends


def _any_sold(
    shelf: tuple[Counted, Counted, Counted], sold: tuple[Counted, Counted, Counted]
) -> tuple[Counted, Counted, Counted]:
    """What is likely from the shelf, but as weak and as strong as anything sold."""
    same = [c for c in (*shelf, *sold) if c.unit == shelf[1].unit]
    same.sort(key=lambda c: c.per_unit)
    return same[0], shelf[1], same[-1]


def added_ends(
    f: Filling, treatment: Treatment, course: Course, ends: tuple[Counted, Counted, Counted]
) -> list[Decimal]:
    """What the amount brings into water, low, likely and high [course unit times L]; feed none.

    Raises
    ------
    Unreadable
        The amount is in the other unit than the product is measured in.
    ArithmeticError
        A second working differs: a fault of the program, and nothing is stored.
    """
    amount = f.get("amount")
    if amount.canonical != ends[1].unit:
        hint = f"{treatment.title} is measured in {ends[1].unit}"
        f.fault("wrong-kind", "--amount", f"'{amount.text}' is in {amount.canonical}", hint)
        f.stop_if_faulty()
    if course.unit == FEED_UNIT:
        return [Decimal(0)] * 3
    sizes = [Decimal(size) for size in (amount.low, amount.value, amount.high)]
    return list(added_of(treatment, course.unit, sizes, ends))


def keep_broken(f: Filling, broken: Iterable[Broken]) -> None:
    """Keeps the limits that were broken, answers them and warns of each."""
    f.extra["broke"] = [
        {
            "code": b.code,
            "text": b.text,
            "limit": None if b.limit is None else float(b.limit),
            "value": None if b.value is None else float(b.value),
            "unit": b.unit,
            "source": b.source,
        }
        for b in broken
    ]
    f.answer["broke"] = f.extra["broke"]
    for b in f.extra["broke"]:
        f.notes.warn(b["code"], b["text"])


def from_what(f: Filling, request: DoseRequest) -> None:
    """The bottle it was taken from and the direction it rests on, kept with the dose."""
    bottle = f.book.facts.things.get(request.bottle_entry)
    if isinstance(bottle, Product):
        f.extra["bottle"] = product_keys(bottle)
        f.refs["bottle"] = bottle.id
    f.answer["product"] = f.extra.get("bottle")
    if request.direction is not None:
        f.refs["direction"] = request.direction.entry
        if request.direction.drug:
            f.extra["drug"] = request.direction.drug
