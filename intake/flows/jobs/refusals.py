"""What a command answers as usage, told to a screen as a problem at its field."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from intake.flows.usage import Usage
from intake.science.problem import Problem, Unreadable


@contextmanager
def as_unreadable() -> Iterator[None]:
    """Lets a screen meet a missing field the way it meets one that cannot be read.

    Raises
    ------
    Unreadable
        reason-missing where only the reason is missing, else unit-missing.
    """
    try:
        yield
    except Usage as missing:
        text = str(missing)
        code = "reason-missing" if text.endswith("--why") or "--why:" in text else "unit-missing"
        path = "--why" if code == "reason-missing" else ""
        raise Unreadable(Problem(code, text, "", path)) from missing
