"""The bottles and packets on the shelf: which of them a dose is taken from, and which are past."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from intake.clock import local_date
from intake.flows.desk import Book
from intake.flows.facts.things import Product
from intake.flows.notes import Notes
from intake.flows.strengths import stated, strength_of
from intake.science.amount import StatedStrength, same_strength
from intake.science.drug_names import plain_name
from intake.science.problem import Problem
from intake.science.shelf_life import opened_until, past, read_keeps
from intake.science.treatment import Treatment


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a dose was asked with: a product by name, a strength typed, the drug a vet named."""

    product: Product | None = None
    strength: StatedStrength | None = None
    drug: str = ""


NOTHING_NAMED = Wanted()


def bottle_for(
    book: Book, treatment: Treatment, wanted: Wanted, when: datetime, notes: Notes
) -> Product | None:
    """The product a dose is taken from: the one named, else the newest that is not past.

    Where a strength was typed, a bottle of that strength comes first. Notes say which was taken
    of several, and what is past.
    """
    day = local_date(when, book.facts.zone)
    shelf = on_shelf(book, treatment, wanted.drug)
    good = [p for p in shelf if not why_past(p, day)]
    if wanted.product is not None:
        _warn_named(wanted.product, good, day, notes)
        return wanted.product
    fitting = [p for p in good if _is_of(treatment, p, wanted.strength)] or good
    chosen = fitting[-1] if fitting else None
    if shelf and shelf[-1] not in good:
        _warn_past(shelf[-1], chosen, day, notes)
    if chosen is not None and len(good) > 1:
        text = f"taken from {said(chosen)}, one of {len(good)} on the shelf"
        notes.assume(f"{text}: --product names another")
    return chosen


def on_shelf(book: Book, treatment: Treatment, drug: str = "") -> list[Product]:
    """What is recorded of a treatment, oldest first; of one vet's drug, what is called by it."""
    found = [p for p in book.facts.of_kind(Product) if p.treatment == treatment.id]
    if not drug:
        return found
    return [p for p in found if plain_name(drug) in plain_name(p.name)]


def why_past(product: Product, day: date) -> str:
    """Why a product is past on that day; nothing where it is good."""
    keeps = read_keeps(product.keeps_opened) if product.keeps_opened else None
    return past(
        day,
        _date(product.expires),
        _date(product.opened),
        None if isinstance(keeps, Problem) else keeps,
    )


def _date(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


def _is_of(treatment: Treatment, product: Product, strength: StatedStrength | None) -> bool:
    own = strength_in(treatment, product)
    return strength is not None and own is not None and same_strength(strength, own)


def strength_in(treatment: Treatment, product: Product) -> StatedStrength | None:
    """The strength recorded of a product; None where it cannot be read for that treatment."""
    found = strength_of(treatment, product.strength)
    return None if isinstance(found, Problem) else stated(found)


def _warn_named(product: Product, good: list[Product], day: date, notes: Notes) -> None:
    why = why_past(product, day)
    if not why:
        return
    others = [p for p in good if p.id != product.id]
    instead = f"{said(others[-1])} is good" if others else "there is no other on the shelf"
    notes.warn("product-expired", f"{said(product)} is {why}; {instead}")


def _warn_past(product: Product, chosen: Product | None, day: date, notes: Notes) -> None:
    why = why_past(product, day)
    instead = "there is no other on the shelf: the strength is taken from no bottle"
    if chosen is not None:
        instead = f"{said(chosen)} is taken, {chosen.strength}"
    notes.warn("product-expired", f"{said(product)} is {why}; {instead}")


def said(product: Product) -> str:
    """A product as people call it, with its batch."""
    batch = f", batch {product.batch}" if product.batch else ""
    return f"'{product.name}'{batch}"


def product_keys(product: Product | None) -> dict[str, Any] | None:
    """A product as an answer names it; what is not known is null."""
    if product is None:
        return None
    return {
        "name": product.name,
        "batch": product.batch or None,
        "expires": product.expires or None,
        "opened": product.opened or None,
        "strength": product.strength,
    }


def shelf_keys(book: Book, product: Product) -> dict[str, Any]:
    """A product in the list of the room, with its last good day and why it is past."""
    keeps = read_keeps(product.keeps_opened) if product.keeps_opened else None
    opened = _date(product.opened)
    ends = [product.expires] if product.expires else []
    if opened is not None and keeps is not None and not isinstance(keeps, Problem):
        ends.append(opened_until(opened, keeps).isoformat())
    why = why_past(product, local_date(book.now, book.facts.zone))
    return {
        "treatment": product.treatment,
        **(product_keys(product) or {}),
        "keeps_opened": product.keeps_opened or None,
        "good_until": min(ends, default=None),
        "past": why or None,
    }
