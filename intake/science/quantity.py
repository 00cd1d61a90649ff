"""Reads a typed quantity with its unit into exact decimals, or says why it cannot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from intake.science.grammar import Phrase, Term, parse
from intake.science.kinds import KINDS, Kind, unit_of
from intake.science.problem import Problem, Unreadable
from intake.science.text import quoted
from intake.science.units import WIDE, Unit
from intake.science.unitwords import Wanted, resolve

TWO = Decimal(2)


@dataclass(frozen=True, slots=True)
class Quantity:
    """What somebody typed, read exactly.

    Attributes
    ----------
    text
        As typed, outer blanks off.
    kind
        Name of the kind that read it.
    unit
        The unit as understood, canonical spelling; "" for pure numbers.
    value
        In `canonical`: nominal, the middle of a closed band, the end of an open one; None only
        where it was unreadable.
    low, high
        In `canonical`: 95 % or band ends; equal to `value` when exact. None: no end known. The
        low end of ``<x`` is 0 for what cannot be below zero, None for pH and temperature.
    half
        The stated half-width in `canonical`, None where none was stated.
    band
        Typed as a band, or unreadable.
    basis
        What a mass is counted as (N, NH3, NH4, NO2, NO3), or how a percentage is meant.
    canonical
        The unit `value` is in, e.g. ``L`` for ``US gal``.
    """

    text: str
    kind: str
    unit: str
    value: Decimal | None
    low: Decimal | None
    high: Decimal | None
    half: Decimal | None = None
    band: bool = False
    basis: str | None = None
    canonical: str = ""


def read_quantity(
    text: str,
    kind: str,
    *,
    basis: str | None = None,
    form: str | None = None,
    forms: Sequence[str] = (),
    comma: bool = False,
    zero_ok: bool | None = None,
) -> Quantity | Problem:
    """The quantity `text` says, or the problem with it.

    Parameters
    ----------
    text
        As typed; at most 40 characters.
    kind
        A name in ``KINDS``.
    basis
        What a reading is counted as where the text does not say (a kit's N, NH3, NH4).
    form
        Of a strength: powder, tablet, liquid, or w/w, w/v, v/v for a bare %; of a
        concentration: w/v to let a bare % be weight in volume.
    forms
        Strength units the protocol knows, e.g. ``("% w/w", "mg/mL")``.
    comma
        The keeper chose the decimal comma; a point is then refused.
    zero_ok
        Whether 0 is allowed; None for the kind's own rule.
    """
    wanted = Wanted(KINDS[kind], basis, form, tuple(forms))
    try:
        phrase = parse(text, bands=wanted.kind.reading, comma=comma)
        return _Weigher(text.strip(), wanted, zero_ok).quantity(phrase)
    except Unreadable as stopped:
        return stopped.problems[0]


class _Weigher:
    """Puts units and limits on a parsed phrase."""

    def __init__(self, text: str, wanted: Wanted, zero_ok: bool | None) -> None:
        self.text = text
        self.wanted = wanted
        self.kind: Kind = wanted.kind
        self.zero_ok = self.kind.zero_ok if zero_ok is None else zero_ok
        self.banded = False

    def stop(self, code: str, why: str, hint: str, column: int) -> Unreadable:
        return Unreadable(Problem(code, f"{quoted(self.text)}: {why}", hint, column=column))

    def quantity(self, phrase: Phrase) -> Quantity:
        self.banded = phrase.form == "between"
        if phrase.first is None:
            return self._made(Unit("", ""), None, None, None, band=True)
        unit, second_unit = self._units(phrase.first, phrase.second or phrase.half)
        value = self._weighed(phrase.first, unit)
        if phrase.form == "below":
            return self._made(unit, value, self._floor(), value, band=True)
        if phrase.form == "above":
            return self._made(unit, value, value, None, band=True)
        if phrase.second is not None:
            return self._between(
                phrase.second, unit, value, self._weighed(phrase.second, second_unit)
            )
        if phrase.half is None:
            return self._made(unit, value, value, value)
        return self._spread(phrase.half, unit, value, second_unit)

    def _units(self, first: Term, other: Term | None) -> tuple[Unit, Unit]:
        """The units of the first and the second number; one may stand for both."""
        if other is None:
            unit = resolve(self.text, first, self.wanted)
            return unit, unit
        first, other = _share_basis(first, other)
        if not first.unit and other.unit:
            first = replace(first, unit=other.unit)
        elif first.unit and not other.unit and not self.banded:
            other = replace(other, unit=first.unit)
        one, two = resolve(self.text, first, self.wanted), resolve(self.text, other, self.wanted)
        if one.canonical != two.canonical or one.basis != two.basis:
            why = f"{one.spelling} and {two.spelling} do not go together"
            raise self.stop("wrong-kind", why, f"write both in {one.spelling}", other.unit_column)
        return one, two

    def _weighed(self, term: Term, unit: Unit) -> Decimal:
        if term.number < 0 and not self.kind.signed:
            hint = "write it without the minus"
            raise self.stop("out-of-range", f"{self.kind.asks} below zero", hint, term.column)
        if self.kind.whole and (not term.whole):
            raise self.stop("not-a-number", "not a whole number", "write 3, not 3.0", term.column)
        value = unit.to_canonical(term.number)
        if term.number == 0 and not self.zero_ok:
            hint = "write how much it is, or leave it out"
            raise self.stop("out-of-range", f"0 cannot be {self.kind.asks}", hint, term.column)
        low, high = self.kind.limits.get(unit.canonical, (None, None))
        if (low is not None and value < low) or (high is not None and value > high):
            raise self._impossible(term, unit, low, high)
        return value

    def _impossible(
        self, term: Term, unit: Unit, low: Decimal | None, high: Decimal | None
    ) -> Unreadable:
        name = f" {unit.canonical}" if unit.canonical else ""
        ends = f"from {low}" if low is not None else "from 0"
        hint = f"{self.kind.asks} goes {ends} to {high}{name}"
        if self.kind.name == "temperature":
            hint = _other_degree(term, unit) or hint
        return self.stop("out-of-range", f"cannot be {self.kind.asks}", hint, term.column)

    def _floor(self) -> Decimal | None:
        return None if self.kind.signed or self.kind.name == "ph" else Decimal(0)

    def _between(self, term: Term, unit: Unit, low: Decimal, high: Decimal) -> Quantity:
        if low > high:
            why = "the band ends below its beginning"
            raise self.stop("out-of-range", why, "write the smaller number first", term.column)
        middle = WIDE.divide(WIDE.add(low, high), TWO)
        return self._made(unit, middle, low, high, band=True)

    def _spread(self, term: Term, unit: Unit, value: Decimal, half_unit: Unit) -> Quantity:
        if term.number < 0:
            hint = "write it without the minus"
            raise self.stop("out-of-range", "the spread is below zero", hint, term.column)
        half = half_unit.step_to_canonical(term.number)
        floor = self._floor()
        low = WIDE.subtract(value, half)
        low = low if floor is None else max(low, floor)
        return self._made(unit, value, low, WIDE.add(value, half), half=half)

    def _made(
        self,
        unit: Unit,
        value: Decimal | None,
        low: Decimal | None,
        high: Decimal | None,
        *,
        half: Decimal | None = None,
        band: bool = False,
    ) -> Quantity:
        basis = unit.basis
        if basis is None and self.kind.name in ("no2", "no3"):
            basis = self.wanted.basis
        return Quantity(
            self.text, self.kind.name, unit.spelling, value, low, high, half, band, basis,
            unit.canonical,
        )  # fmt: skip


def _share_basis(first: Term, other: Term) -> tuple[Term, Term]:
    """A basis said once ("as N") counts for both numbers."""
    for one in (first, other):
        _, mark, basis = one.unit.partition(" as ")
        if mark:
            return _with_basis(first, basis), _with_basis(other, basis)
    return first, other


def _with_basis(term: Term, basis: str) -> Term:
    if not term.unit or " as " in term.unit:
        return term
    return replace(term, unit=f"{term.unit} as {basis}")


def _other_degree(term: Term, unit: Unit) -> str:
    """Whether the number would fit in the other degree: ``did you mean 68 F (20 C)?``."""
    kind = KINDS["temperature"]
    low, high = kind.limits["C"]
    other = next(known for known in kind.units if known.spelling != unit.spelling)
    value = other.to_canonical(term.number)
    if low is None or high is None or not low <= value <= high:
        return ""
    told = f" ({round(value, 1).normalize():f} C)" if other.spelling == "F" else ""
    return f"did you mean {term.number:f} {other.spelling}{told}?"


def dilute(reading: Quantity, parts: Decimal | int) -> Quantity:
    """A reading of a sample that was 1 part in `parts` [at least 1], in the undiluted water."""
    if parts < 1:
        raise ValueError(f"1 part in {parts}: at least 1")
    times = Decimal(parts)

    def grown(value: Decimal | None) -> Decimal | None:
        return None if value is None else WIDE.multiply(value, times)

    return replace(
        reading,
        value=grown(reading.value),
        low=grown(reading.low),
        high=grown(reading.high),
        half=grown(reading.half),
    )


def in_unit(quantity: Quantity, unit: str) -> Decimal | Problem:
    """The nominal value in another unit of the same family, or why that cannot be."""
    known = unit_of(quantity.kind, unit)
    if known is None or known.canonical != quantity.canonical:
        why = f"{quoted(quantity.text)} cannot be told in {unit}"
        hint = f"it is in {quantity.canonical or 'no unit'}"
        if {quantity.canonical, known.canonical if known else ""} <= {"g", "mL", "L"}:
            hint += "; between mass and volume the density is needed"
        return Problem("wrong-kind", why, hint)
    if quantity.value is None:
        return Problem("not-a-number", f"{quoted(quantity.text)} has no value", "read it again")
    return known.from_canonical(quantity.value)
