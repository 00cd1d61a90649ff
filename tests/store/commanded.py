"""Commands on a room, as tests of bad files run them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Run = Callable[..., tuple[int, dict[str, Any]]]
VESSEL = (
    "record",
    "vessel",
    "Tub",
    "box",
    "--length",
    "1 m",
    "--width",
    "50 cm",
    "--depth",
    "40 cm",
)
READING = ("record", "reading", "Tub", "--ph", "7.4")
COMMANDS = [
    READING,
    ("room", "show"),
    ("residue", "Tub"),
    ("history", "Tub"),
    ("dose", "salt", "--vessel", "Tub"),
]


def code_of(answer: dict[str, Any]) -> str:
    (problem,) = answer["problems"]
    assert problem["text"]
    return str(problem["code"])
