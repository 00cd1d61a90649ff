"""The pieces every protocol file is made of, and how their text becomes exact numbers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, PlainValidator, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError

from intake.science.course_parts import Source
from intake.science.limits import allowed
from intake.science.problem import Problem
from intake.science.quantity import read_quantity

Mark = Literal["published", "common practice", "from memory"]

Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=40)]
Words = Annotated[str, StringConstraints(min_length=1, max_length=600)]
Version = Annotated[
    str,
    StringConstraints(pattern=r"^[0-9]+(\.[0-9]+)*$", max_length=20),
    WithJsonSchema({"type": ["string", "number"]}),
]

_PLAIN_NUMBER = re.compile(r"-?(0|[1-9][0-9]{0,11})(\.[0-9]{1,12})?")


class Written(str):
    """Text as it stands in the file; `quoted` when it stood between quotes."""

    __slots__ = ("quoted",)
    quoted: bool


def written(text: str, quoted: bool) -> Written:
    """Text that remembers whether it was quoted."""
    made = Written(text)
    made.quoted = quoted
    return made


@dataclass(frozen=True, slots=True)
class Flaw:
    """A mistake inside a block: where (keys from the block down), its code and its words.

    `offset` counts characters into the value; `at_key` points at the key instead.
    """

    where: tuple[str | int, ...]
    code: str
    text: str
    hint: str = ""
    offset: int = 0
    at_key: bool = False


def dashed(name: str) -> str:
    """A field's name as it is written in a file: hard_limits is 'hard-limits'."""
    return name.replace("_", "-")


class Block(BaseModel):
    """A block of a protocol file: nothing in it that is not known, nothing guessed."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, alias_generator=dashed)


class Cited(Block):
    """A block that says where its numbers come from."""

    source: Words
    mark: Mark

    def cite(self) -> Source:
        """The source and how far it can be trusted."""
        return Source(self.source, self.mark)


def raise_flaws(flaws: Sequence[Flaw]) -> None:
    """Hand mistakes found across a block to pydantic, all at once."""
    if flaws:
        raise PydanticCustomError("flaws", "mistakes", {"flaws": tuple(flaws)})


def _flaw(code: str, text: str, hint: str) -> PydanticCustomError:
    return PydanticCustomError("flaws", "mistakes", {"flaws": (Flaw((), code, text, hint),)})


def _text(value: object) -> Written:
    if not isinstance(value, str):
        raise _flaw("wrong-kind", "a single value is meant here, not a list or block", "")
    if not value:
        raise _flaw("no-value", "the quotes are empty", "")
    return value if isinstance(value, Written) else written(value, False)


def plain_number(value: object) -> Decimal:
    """The number of a plain decimal such as 5, -0.5 or 12.25; nothing else is one."""
    text = _text(value)
    if text.quoted:
        raise _flaw("not-a-number", f'"{text}" is words, not a number', "leave out the quotes")
    if not _PLAIN_NUMBER.fullmatch(text):
        raise _flaw("not-a-number", f"'{text}' is not a plain number", _number_hint(text))
    return Decimal(text)


def exact_number(text: str) -> Decimal | None:
    """The plain decimal a text is, or None."""
    return Decimal(text) if _PLAIN_NUMBER.fullmatch(text) else None


def _number_hint(text: str) -> str:
    if "," in text:
        return "use a point"
    if re.fullmatch(r"-?0[0-9].*", text):
        return "leave out the zeros in front"
    return "write it like 5 or 0.25"


def whole_number(value: object) -> int:
    """The number of a plain whole number."""
    number = plain_number(value)
    if number != number.to_integral_value():
        raise _flaw("not-a-number", f"'{value}' is not a whole number", "write it like 5")
    return int(number)


def yes_or_no(value: object) -> bool:
    """True for yes, False for no."""
    text = _text(value)
    if text not in ("yes", "no"):
        raise _flaw("wrong-kind", f"'{text}' is neither yes nor no", "write yes or no")
    return text == "yes"


_NUMBER_SCHEMA = {"type": "number"}
_TEXT_SCHEMA = {"type": ["string", "number"], "examples": ["3 g/L", "20 C", "60 min"]}

Number = Annotated[Decimal, PlainValidator(plain_number), WithJsonSchema(_NUMBER_SCHEMA)]
Whole = Annotated[int, PlainValidator(whole_number), WithJsonSchema({"type": "integer"})]
Flag = Annotated[bool, PlainValidator(yes_or_no), WithJsonSchema({"enum": ["yes", "no"]})]
Quantity = Annotated[str, PlainValidator(_text), WithJsonSchema(_TEXT_SCHEMA)]
"""A number with its unit, kept as text until the block says which unit it has to be in."""


def exact(
    text: str, kind: str, where: tuple[str | int, ...] = (), *, zero_ok: bool | None = None
) -> tuple[Decimal, str] | Flaw:
    """The exact value with the canonical unit it is in, or the mistake.

    Bands and spreads are refused: a limit is one number.
    """
    read = read_quantity(text, kind, zero_ok=zero_ok)
    if isinstance(read, Problem):
        offset = max(0, read.column - 1)
        return Flaw(where, read.code, read.text, read.hint, offset)
    if read.band or read.half is not None or read.value is None:
        hint = "write one number with its unit"
        return Flaw(where, "wrong-kind", f"'{text}' is a band or has a spread", hint)
    return read.value, read.canonical


def read_with_basis(
    text: str, kind: str, basis: str, where: tuple[str | int, ...] = ()
) -> Decimal | Flaw:
    """The exact value of a mass that has to say what it is counted as, e.g. "as N"."""
    if not text.endswith(f" as {basis}"):
        text_said = f"'{text}' does not say what it counts"
        return Flaw(where, "ambiguous-unit", text_said, f"as in '0.2 mg/L as {basis}'")
    read = exact(text, kind, where)
    return read if isinstance(read, Flaw) else read[0]


_ALL_OF_IT = {"mg/L": 1_000_000, "uL/L": 1_000_000}
"""A litre of the substance alone, taken as 1 kg: more than that in water is a slip of the unit."""
_COUNTED_IN = {"g/L": ("mg/L", 1000), "mg/L": ("mg/L", 1), "uL/L": ("uL/L", 1)}


def in_target_unit(text: str, unit: str, where: tuple[str | int, ...] = ()) -> Decimal | Flaw:
    """A target or limit in `unit`: "g/L", "mg/L", "uL/L", "mg/kg/d", or "C" of heat."""
    if unit == "C":
        return celsius(text, where)
    read = exact(text, "concentration", where)
    if isinstance(read, Flaw):
        return read
    value, canonical = read
    if canonical in _ALL_OF_IT and not allowed(value, None, _ALL_OF_IT[canonical]):
        text_said = f"'{text}' is more than water can hold: a litre of nothing else"
        return Flaw(where, "out-of-range", text_said, "is the unit right?")
    wanted, parts = _COUNTED_IN.get(unit, (unit, 1))
    if canonical != wanted:
        hint = f"this course counts in {unit}"
        return Flaw(where, "wrong-kind", f"'{text}' cannot be said in {unit}", hint)
    return value / parts


def hours(
    text: str, where: tuple[str | int, ...] = (), *, zero_ok: bool | None = None
) -> Decimal | Flaw:
    """A length of time in hours [h]; none at all only where that makes sense."""
    read = exact(text, "duration", where, zero_ok=zero_ok)
    return read if isinstance(read, Flaw) else read[0] / 60


def celsius(text: str, where: tuple[str | int, ...] = ()) -> Decimal | Flaw:
    """A temperature in degrees Celsius [C]."""
    read = exact(text, "temperature", where)
    return read if isinstance(read, Flaw) else read[0]


def flaws_in(*results: object) -> list[Flaw]:
    """The mistakes among what was read."""
    return [r for r in results if isinstance(r, Flaw)]


def sure(value: Decimal | Flaw) -> Decimal:
    """The number, once the block has been checked."""
    if isinstance(value, Flaw):
        raise ValueError(value.text)
    return value


def same_ids(what: str, ids: Sequence[str]) -> list[Flaw]:
    """The entries of a list whose id stands earlier in it already."""
    return [
        Flaw((what, n, "id"), "name-taken", f"two {what} are named '{id_}'")
        for n, id_ in enumerate(ids)
        if id_ in ids[:n]
    ]
