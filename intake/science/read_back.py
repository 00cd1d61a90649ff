"""A number said digit by digit, and looked for in somebody's words: a slip of ten is heard."""

from __future__ import annotations

import re
from decimal import Decimal

_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_POINT = "point"
_WORDS = {
    **{word: Decimal(n) for n, word in enumerate(_DIGITS)},
    "ten": Decimal(10), "fifteen": Decimal(15), "twenty": Decimal(20), "thirty": Decimal(30),
    "forty": Decimal(40), "fifty": Decimal(50), "sixty": Decimal(60), "seventy": Decimal(70),
    "eighty": Decimal(80), "ninety": Decimal(90), "hundred": Decimal(100),
}  # fmt: skip
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?")


def digits_of(value: Decimal) -> tuple[str, ...]:
    """The characters of a number as it is written out: ``("5", "0")``, ``("0", ".", "2")``."""
    text = f"{value:f}"
    return tuple(text.rstrip("0").rstrip(".") if "." in text else text)


def read_back(value: Decimal, unit: str) -> str:
    """A number with its unit, digit by digit in figures and in words.

    Example
    -------
    >>> read_back(Decimal(50), "mg/kg/d")
    '5 0 mg/kg/d: five, zero'
    >>> read_back(Decimal("0.2"), "mg/L")
    '0 . 2 mg/L: zero, point, two'
    """
    digits = digits_of(value)
    said = ", ".join(_POINT if d == "." else _DIGITS[int(d)] for d in digits)
    return f"{' '.join(digits)} {unit}: {said}"


def numbers_in(words: str) -> tuple[Decimal, ...]:
    """Every number that somebody's words may say, written in figures or as one plain word.

    A comma between figures is read both ways, as thousands and as a decimal comma.
    """
    found: list[Decimal] = []
    for text in _NUMBER.findall(words):
        if _THOUSANDS.fullmatch(text):
            found.append(Decimal(text.replace(",", "")))
        point = text.replace(",", ".")
        if point.count(".") <= 1:
            found.append(Decimal(point))
    spoken = re.findall(r"[a-z]+", words.lower())
    found += [_WORDS[word] for word in spoken if word in _WORDS]
    return tuple(dict.fromkeys(found))


def said_in(value: Decimal, words: str) -> bool:
    """Whether these words say that number."""
    return any(value == number for number in numbers_in(words))
