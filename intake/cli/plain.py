"""Answers as aligned text for people; --json has the same for programs."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from intake.science.show import show

UNITS = (
    ("_us_cm_25c", "uS/cm at 25 C"),
    ("_n_mg_l", "mg/L as N"),
    ("_mg_h_l", "mg.h/L"),
    ("_c_per_h", "C/h"),
    ("_per_h", "per h"),
    ("_meq_l", "meq/L"),
    ("_mmol_l", "mmol/L"),
    ("_mg_l", "mg/L"),
    ("_g_l", "g/L"),
    ("_sg_20c", "SG"),
    ("_days", "days"),
    ("_min", "min"),
    ("_cm", "cm"),
    ("_ml", "mL"),
    ("_mg", "mg"),
    ("_l", "L"),
    ("_g", "g"),
    ("_c", "C"),
    ("_h", "h"),
)
"""What the end of a key says of its unit, the longest first."""
BESIDE = ("assumptions", "warnings", "because")
WIDTH = 80
"""Lines are folded to this many columns, as a terminal has them at the least."""
DEEPEST = 50
"""Text that goes on is set no further in than this, else 4 columns."""
_COLUMN = re.compile(r"\S  +(?=\S)")
_NUMBER = re.compile(r"±|[-+<>±(]?\d[\d.,]*")
BETWEEN = "  ·  "


def cells(text: str) -> int:
    """How many columns of a terminal the text takes."""
    wide = sum(unicodedata.east_asian_width(c) in "WF" for c in text)
    return len(text) + wide - sum(unicodedata.combining(c) > 0 for c in text)


def folded(line: str) -> list[str]:
    """A line as lines of at most `WIDTH` columns, what goes on set under where its text begins.

    Only blanks are broken at, and never the one between a number and its unit; a word that is
    longer than a line, such as a path, stays whole.
    """
    if cells(line) <= WIDTH:
        return [line]
    lead = len(line) - len(line.lstrip(" "))
    if BETWEEN in line:
        return _filled(line[:lead], line[lead:].split(BETWEEN), BETWEEN, " " * (lead + 2))
    head = max((m.end() for m in _COLUMN.finditer(line) if m.end() <= DEEPEST), default=lead)
    margin = " " * (cells(line[:head]) if head > lead else lead + 4)
    return _filled(line[:head], _words(line[head:]), " ", margin)


def _filled(head: str, words: list[str], between: str, margin: str) -> list[str]:
    lines, now = [], head + words[0]
    for word in words[1:]:
        if cells(now + between + word) > WIDTH:
            lines.append(now)
            now = margin + word
        else:
            now += between + word
    return [*lines, now]


def _words(text: str) -> list[str]:
    """Words, with a number, what it counts and what it is counted as kept together."""
    found: list[str] = []
    for word in text.split():
        last = found[-1].split(" ")[-1] if found else ""
        numbered = last[:1].isupper() and last.isalpha() and _NUMBER.fullmatch(word)
        if found and (_NUMBER.fullmatch(last) or word == "as" or last == "as" or numbered):
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def label_of(key: str) -> tuple[str, str]:
    """A key as words, and its unit."""
    bound = ""
    for end in ("_low", "_high", "_worst", "_mixed", "_open_air"):
        if key.endswith(end):
            key, bound = key.removesuffix(end), ", " + end[1:].replace("_", " ")
    for end, unit in UNITS:
        if f"_{key}".endswith(end):
            named = f"_{key}".removesuffix(end).replace("_", " ").strip()
            return (named or f"in {unit}") + bound, unit
    return key.replace("_", " ") + bound, ""


def aligned(answer: dict[str, Any]) -> list[str]:
    """Every value of an answer on a line of its own, lists and groups below their name."""
    rows = [(k, v) for k, v in answer.items() if k not in BESIDE and v not in (None, [], {})]
    width = max((len(label_of(k)[0]) for k, _ in rows), default=0) + 2
    lines: list[str] = []
    for key, value in rows:
        label, unit = label_of(key)
        if isinstance(value, dict):
            lines.append(label)
            lines += [f"  {line}" for line in aligned(value)]
        elif isinstance(value, list):
            lines.append(label)
            for item in value:
                lines += _item(item)
        else:
            lines.append(f"{label:<{width}}{_value(value, unit)}")
    return lines


def _item(item: Any) -> list[str]:
    if not isinstance(item, dict):
        return [f"  {item}"]
    shown = [
        f"{label_of(k)[0]} {_value(v, label_of(k)[1])}"
        for k, v in item.items()
        if v not in (None, "", [], {})
    ]
    return ["  " + BETWEEN.join(shown)]


def _value(value: Any, unit: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return f"{value} {unit}".strip()
    if isinstance(value, float):
        return show(value, unit, digits=4)
    if isinstance(value, list) and all(isinstance(item, str) for item in value):
        return ", ".join(value)
    if isinstance(value, dict) and value and all(isinstance(x, float) for x in value.values()):
        return ", ".join(f"{label_of(k)[0]} {_value(x, label_of(k)[1])}" for k, x in value.items())
    if isinstance(value, dict | list):
        return str(len(value))
    return str(value)


def cares(answer: dict[str, Any]) -> list[str]:
    """What was warned of."""
    return [f"care     {w['code']}: {w['text']}" for w in answer.get("warnings", [])]


def notes(answer: dict[str, Any]) -> list[str]:
    """What was assumed, and why the answer is what it is."""
    lines = [f"assumed  {text}" for text in answer.get("assumptions", [])]
    lines += [f"because  {text}" for text in answer.get("because", [])]
    return lines
