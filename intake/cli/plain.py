"""Answers as aligned text for people; --json has the same for programs."""

from __future__ import annotations

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


def label_of(key: str) -> tuple[str, str]:
    """A key as words, and its unit."""
    bound = ""
    for end in ("_low", "_high"):
        if key.endswith(end):
            key, bound = key.removesuffix(end), end.replace("_", ", ")
    for end, unit in UNITS:
        if key.endswith(end):
            return key.removesuffix(end).replace("_", " ") + bound, unit
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
    return ["  " + "  ·  ".join(shown)]


def _value(value: Any, unit: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return f"{value} {unit}".strip()
    if isinstance(value, float):
        return show(value, unit, digits=4)
    if isinstance(value, dict | list):
        return str(len(value))
    return str(value)


def notes(answer: dict[str, Any]) -> list[str]:
    """What was assumed and warned of, and why the answer is what it is."""
    lines = [f"care     {w['code']}: {w['text']}" for w in answer.get("warnings", [])]
    lines += [f"assumed  {text}" for text in answer.get("assumptions", [])]
    lines += [f"because  {text}" for text in answer.get("because", [])]
    return lines
