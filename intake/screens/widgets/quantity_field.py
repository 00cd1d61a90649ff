"""One quantity typed with or without its unit, read by the same grammar as everything else."""

from __future__ import annotations

from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input

from intake.science.meter import read_meter
from intake.science.problem import Problem
from intake.science.quantity import Quantity, read_quantity
from intake.screens.theme import Look
from intake.screens.widgets.lines import rows_of, shorten
from intake.screens.widgets.painted_lines import Lines

LONGEST = 40
"""A quantity has at most 40 characters; the field refuses more instead of cutting."""

LONGEST_WORDS = 200

NOT_READ = "?"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a field asks for. `unit` is meant where a bare number is typed; "" where the
    strength on a packet could be several things. `not_read` lets `?` stand for "not read".
    The kind "text" is words: nothing is read in them, `one_of` are the only ones where given.
    `first` stands in the field from the beginning.
    """

    field: str
    ask: str
    kind: str
    unit: str = ""
    basis: str = ""
    form: str = ""
    needed: bool = False
    not_read: bool = False
    one_of: tuple[str, ...] = ()
    first: str = ""
    arrow: str = ""  # where the tape goes on the drawing
    how: str = ""
    longer: str = ""
    fold: str = ""  # asked only once that is said to be so


WORDS = "text"
CHANGE = "change"
METER = "salt-reading"
"""What a meter shows: g/L, uS/cm, or ppm by a factor of its own."""


def read_field(text: str, asked: Asked) -> Quantity | Problem | None:
    """What the field holds: None while empty or not read, else the quantity or its problem."""
    text = text.strip()
    if not text or (asked.not_read and text == NOT_READ):
        return None
    if asked.one_of and text not in asked.one_of:
        return Problem("no-such-name", f"'{text}' is none of these", ", ".join(asked.one_of))
    if asked.kind == WORDS:
        return None
    if asked.kind == METER:
        return read_meter(text)
    read = read_quantity(
        meant(text, asked),
        kind_of(text, asked),
        basis=asked.basis or None,
        form=asked.form or None,
    )
    return read


def meant(text: str, asked: Asked) -> str:
    """The text with the field's unit after it where a bare number was typed."""
    text = text.strip()
    if not asked.unit or not text:
        return text
    if asked.kind in (WORDS, METER):
        return text
    alone = read_quantity(
        text, kind_of(text, asked), basis=asked.basis or None, form=asked.form or None
    )
    if isinstance(alone, Problem) and alone.code == "unit-missing":
        return f"{text} {asked.unit}"
    return text


def kind_of(text: str, asked: Asked) -> str:
    """The kind of quantity: a change of water is a volume, or a share of what is there."""
    if asked.kind == CHANGE:
        return "percent" if text.rstrip().endswith("%") else "volume"
    return asked.kind


class SizeInput(Input):
    """A field in which `?` is no text but asks how it is measured."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """The screen gets the question mark."""
        return key != "question_mark" and super().check_consume_key(key, character)


class QuantityField(Vertical):
    """The question, the field, and under it what was read or what is wrong."""

    class Changed(Message):
        """Something was typed."""

        def __init__(self, field: QuantityField) -> None:
            self.field = field
            super().__init__()

    class Entered(Message):
        """Enter in the field."""

        def __init__(self, field: QuantityField) -> None:
            self.field = field
            super().__init__()

    def __init__(self, asked: Asked, text: str = "") -> None:
        super().__init__(id=f"field-{asked.field}")
        self.asked = asked
        self._first = text
        self._note = ""

    def compose(self) -> ComposeResult:
        """Question, field and reading on one row, what is wrong under them."""
        with Horizontal(classes="asked"):
            yield Lines(self._question, classes="ask")
            words = self.asked.kind == WORDS
            yield self.make_input(words)
            yield Lines(self._beside, classes="reading")
        yield Lines(self._under, classes="wrong")

    def make_input(self, words: bool) -> Input:
        """The field itself."""
        kind = SizeInput if self.asked.longer else Input
        return kind(
            self._first or self.asked.first,
            max_length=LONGEST_WORDS if words else LONGEST,
            select_on_focus=False,
            classes="words" if words else "",
        )

    def note(self, text: str) -> None:
        """Shows what the text makes of the whole instead of what was read in it."""
        if text != self._note:
            self._note = text
            self.query_one(".reading", Lines).show(self._beside)

    def put(self, text: str) -> None:
        """Another text, still to be typed over."""
        self.query_one(Input).value = text

    @property
    def text(self) -> str:
        """As typed."""
        return self.query_one(Input).value

    @property
    def said(self) -> str:
        """As a flow reads it: with its unit."""
        return meant(self.text, self.asked)

    @property
    def quantity(self) -> Quantity | Problem | None:
        """What it says now."""
        return read_field(self.text, self.asked)

    @property
    def problem(self) -> Problem | None:
        """What keeps the field from being taken."""
        read = self.quantity
        return read if isinstance(read, Problem) else None

    def take_focus(self) -> None:
        """Puts the cursor here."""
        self.query_one(Input).focus()

    def _question(self, width: int, look: Look) -> list[Content]:
        unit = f", {self.asked.unit}" if self.asked.unit else ""
        ask = shorten(self.asked.ask, width - len(unit))
        return [look.say((ask + unit, "ink"))]

    def _beside(self, width: int, look: Look) -> list[Content]:
        read = self.quantity
        if isinstance(read, Problem):
            return [look.say(("■", "stop"))]
        if read is None:
            held = self.text.strip() == NOT_READ
            return [look.say(("not read" if held else "", "faint"))]
        return [look.say((shorten(self._note or reading_of(read), width), "soft"))]

    def _under(self, width: int, look: Look) -> list[Content]:
        problem = self.problem
        if problem is None:
            return []
        text = f"{problem.text}; {problem.hint}" if problem.hint else problem.text
        return [look.say((line, "stop")) for line in rows_of(text, width, width, 2)]

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self.query_one(".reading", Lines).show(self._beside)
        self.query_one(".wrong", Lines).show(self._under)
        self.post_message(self.Changed(self))

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.post_message(self.Entered(self))


def reading_of(quantity: Quantity) -> str:
    """What was understood: "= 151 L" for gallons, the unit alone where nothing was converted."""
    unit = quantity.canonical or quantity.unit
    if quantity.value is None:
        return "unreadable"
    if quantity.band and quantity.low is not None and quantity.high is not None:
        return f"= {_short(quantity.low)} to {_short(quantity.high)} {unit}".rstrip()
    spread = f" ± {_short(quantity.half)}" if quantity.half else ""
    return f"= {_short(quantity.value)}{spread} {unit}".rstrip()


def _short(value: object) -> str:
    text = f"{float(str(value)):.4g}"
    return text if "e" not in text else f"{float(text):f}".rstrip("0").rstrip(".")
