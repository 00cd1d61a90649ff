"""The strict grammar of a typed quantity: numbers, spreads and bands, or a problem.

Nothing is repaired, evaluated or guessed; what is not read whole is refused with its place.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from decimal import Decimal

from intake.science.problem import Problem, Unreadable
from intake.science.text import character_name, first_unshowable, quoted

LONGEST = 40
"""Characters in a quantity; more is refused, never cut."""
BEFORE_POINT = 7
AFTER_POINT = 12
"""Figures allowed; what this program prints reads back."""

_DIGITS = frozenset("0123456789")
_SIGNS = "\u2212\u2013\u2014\u2010\u2011\ufe63\uff0d"
_OPERATORS = frozenset("+*^=()[]{}!&|;\\~")
_LIKE_DIGITS = {"O": "0", "o": "0", "l": "1", "I": "1", "|": "1"}


@dataclass(frozen=True, slots=True)
class Term:
    """A number as typed with its unit text (blanks collapsed, "" for none); columns from 1."""

    number: Decimal
    unit: str
    column: int
    unit_column: int
    whole: bool


@dataclass(frozen=True, slots=True)
class Phrase:
    """What a whole text says: form is value, below, above, between or unreadable."""

    form: str
    first: Term | None = None
    second: Term | None = None
    half: Term | None = None


def parse(text: str, *, bands: bool, comma: bool) -> Phrase:
    """The phrase `text` says.

    Raises
    ------
    Unreadable
        With one problem, at the first character that cannot be.
    """
    return _Reader(text, comma).phrase(bands)


class _Reader:
    def __init__(self, text: str, comma: bool) -> None:
        self.text = text
        self.point = "," if comma else "."
        self.start = len(text) - len(text.lstrip(" \t"))
        self.end = len(text.rstrip(" \t"))

    def stop(self, why: str, hint: str, at: int) -> Unreadable:
        problem = Problem(
            "not-a-number", f"{quoted(self.text.strip())}: {why}", hint, column=at + 1
        )
        return Unreadable(problem)

    def phrase(self, bands: bool) -> Phrase:
        if self.start >= self.end:
            raise Unreadable(Problem("not-a-number", "nothing was typed: needed", "write a value"))
        if self.end - self.start > LONGEST:
            why = f"{self.end - self.start:,} characters; nothing was read"
            hint = f"a quantity has at most {LONGEST} characters"
            raise self.stop(why, hint, self.start + LONGEST)
        self._refuse_characters()
        typed = self.text[self.start : self.end]
        if typed == "unreadable" and bands:
            return Phrase("unreadable")
        for mark, form in (("<", "below"), (">", "above")):
            if typed.startswith(mark):
                return self._open_band(form, bands)
        split = self.text.find("..", self.start, self.end)
        if split >= 0 and bands:
            return self._closed_band(split)
        return self._value()

    def _refuse_characters(self) -> None:
        at = first_unshowable(self.text[self.start : self.end])
        if at is not None:
            at += self.start
            raise self.stop(f"holds {character_name(self.text[at])}", "type it again", at)
        for at in range(self.start, self.end):
            char = self.text[at]
            if char.isascii() or char == "±":
                continue
            kind = unicodedata.category(char)
            if kind.startswith("N"):
                why = f"{character_name(char)} is not a plain figure"
                raise self.stop(why, "use the figures 0 to 9", at)
            if char in _SIGNS:
                why = f"{character_name(char)} is not a plain minus"
                raise self.stop(why, "write - for minus", at)
            if kind == "Zs":
                why = f"{character_name(char)} is not a plain blank"
                raise self.stop(why, "leave it out or type a plain blank", at)
            if char == "∞":
                raise self.stop("infinity is not a number", "write the number", at)

    def _open_band(self, form: str, bands: bool) -> Phrase:
        mark = self.text[self.start]
        if not bands:
            raise self.stop(f"{mark} is only for readings", "write one number", self.start)
        if self.text.startswith("=", self.start + 1):
            raise self.stop("= is not read here", f"write {mark} alone", self.start + 1)
        return Phrase(form, self._term(self.start + 1, self.end))

    def _closed_band(self, split: int) -> Phrase:
        if self.text.startswith(".", split + 2):
            raise self.stop("three points", "a band is written 0.5..1", split + 2)
        return Phrase("between", self._term(self.start, split), self._term(split + 2, self.end))

    def _value(self) -> Phrase:
        found = [
            (at, mark)
            for mark in ("+/-", "±")
            if (at := self.text.find(mark, self.start, self.end)) >= 0
        ]
        if not found:
            return Phrase("value", self._term(self.start, self.end))
        at, mark = min(found)
        first = self._term(self.start, at)
        half = self._term(at + len(mark), self.end)
        return Phrase("value", first, half=half)

    def _term(self, start: int, end: int) -> Term:
        at = self._skip(start, end)
        begin = at
        if at < end and self.text[at] == "-":
            at += 1
            if at < end and self.text[at] in "-+":
                raise self.stop("a second sign", "one - at most, right before the number", at)
        first = at
        at = self._digits(at, end)
        whole = self.text[first:at]
        part = ""
        if at < end and self.text[at] == self.point:
            after = self._digits(at + 1, end)
            part = self.text[at + 1 : after]
            if not part:
                raise self._unfinished(at, end)
            at = after
        if not whole and not part:
            raise self._no_number(begin, first, end)
        self._check_figures(whole, part, first)
        self._refuse_after(first, at, end)
        figures = f"{whole or '0'}.{part}" if part else whole
        number = Decimal(self.text[begin:first] + figures)
        if begin < first and number == 0:
            raise self.stop("-0 is not below zero", "write 0", begin)
        unit_at = self._skip(at, end)
        unit = " ".join(self.text[unit_at:end].split())
        column = unit_at if unit else at
        return Term(number, unit, begin + 1, column + 1, not part)

    def _skip(self, at: int, end: int) -> int:
        while at < end and self.text[at] == " ":
            at += 1
        return at

    def _digits(self, at: int, end: int) -> int:
        while at < end and self.text[at] in _DIGITS:
            at += 1
        return at

    def _check_figures(self, whole: str, part: str, first: int) -> None:
        if len(whole) > 1 and whole[0] == "0":
            hint = f"write {whole.lstrip('0') or '0'}, or look for a missing point"
            raise self.stop(f"{whole} begins with a zero", hint, first)
        if len(whole) > BEFORE_POINT:
            why = f"{len(whole)} figures before the point"
            hint = f"at most {BEFORE_POINT}; use a larger unit"
            raise self.stop(why, hint, first + BEFORE_POINT)
        if len(part) > AFTER_POINT:
            why = f"{len(part)} figures after the point"
            at = first + len(whole) + 1 + AFTER_POINT
            raise self.stop(why, f"at most {AFTER_POINT}", at)

    def _unfinished(self, at: int, end: int) -> Unreadable:
        if self.text.startswith(self.point, at + 1) and at + 1 < end:
            return self.stop("two points in one number", "write one point", at + 1)
        return self.stop("nothing follows the point", "finish the number or leave it out", at)

    def _no_number(self, begin: int, first: int, end: int) -> Unreadable:
        if first >= end:
            return self.stop("no number", "write the number", begin)
        char = self.text[first]
        word = self.text[first:end].split(" ")[0]
        if char == "+":
            return self.stop("a plus sign", "write the number without it", first)
        if word.casefold() in ("nan", "inf", "infinity"):
            return self.stop(f"{word} is not a number", "write the number in figures", first)
        if char in _LIKE_DIGITS and self._digit_at(first + 1, end):
            return self._letter_for_digit(char, first)
        if char in ",." and self._digit_at(first + 1, end):
            return self._separator(first, first, end)
        return self.stop(f"begins with {char!r}", "the number comes first, in figures", first)

    def _digit_at(self, at: int, end: int) -> bool:
        return at < end and self.text[at] in _DIGITS

    def _letter_for_digit(self, char: str, at: int) -> Unreadable:
        why = f"{char!r} at character {at + 1} is a letter, not the figure {_LIKE_DIGITS[char]}"
        hint = "use the figures 0 to 9; a litre is L"
        return self.stop(why, hint, at)

    def _refuse_after(self, first: int, at: int, end: int) -> None:
        """Stop at what touches a number and can be neither its end nor a unit."""
        if at >= end:
            return
        char = self.text[at]
        after = self.text[at + 1 : at + 2] if at + 1 < end else ""
        if char in ".,":
            raise self._separator(first, at, end)
        if char in "_'`\"":
            hint = "write the figures together; feet are ft, inches in"
            raise self.stop(f"{char!r} inside a number", hint, at)
        if char in "eE" and (not after or after in "+-0123456789 "):
            raise self.stop("an exponent is not read", "write all the figures", at)
        if char in "xX" and self.text[first:at] == "0":
            raise self.stop("0x is not read", "write the number in plain figures", at)
        if char in _LIKE_DIGITS and (not after or after in "0123456789., "):
            raise self._letter_for_digit(char, at)
        self._refuse_operator(self._skip(at, end), end)

    def _refuse_operator(self, at: int, end: int) -> None:
        """Nothing is worked out, whether it stands at the number or later in the unit."""
        if self._digit_at(at, end):
            raise self.stop("a blank inside the number", "write the figures together", at)
        if at < end and self.text[at] in "/-":
            raise self.stop("nothing is worked out here", "write one number", at)
        for place in range(at, end):
            if self.text[place] in _OPERATORS or self.text[place] == "±":
                raise self.stop("nothing is worked out here", "write one number", place)

    def _separator(self, first: int, at: int, end: int) -> Unreadable:
        """A point or comma where none belongs."""
        stop = at
        while stop < end and self.text[stop] in "0123456789.,":
            stop += 1
        number = self.text[first:stop]
        char = self.text[at]
        if char == self.point:
            return self.stop("a second point in one number", "write one point", at)
        if "," in number and "." in number:
            hint = f"write the figures together, with one {self.point}"
            return self.stop("both a point and a comma", hint, at)
        if number.count(char) > 1 or stop == at + 1:
            return self.stop(f"{char!r} inside the number", "write the figures together", at)
        one = number.replace(char, self.point)
        one = "0" + one if one.startswith(self.point) else one
        if stop - at == 4 and 1 <= at - first <= 3 and number[0] != "0":
            both = number.replace(char, "")
            why = f"{number} may be {both} or {_short(one)}"
            return self.stop(why, f"write {both} or {_short(one)}", at)
        return self.stop(f"{char!r} inside the number", f"write {one}", at)


def _short(number: str) -> str:
    return number.rstrip("0").rstrip(".,")
