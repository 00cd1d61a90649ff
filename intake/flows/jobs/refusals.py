"""What a command answers as usage, told to a screen as a problem at its field."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import ParamSpec, TypeVar

from intake.flows.desk import Desk
from intake.flows.usage import RoomTrouble, Usage
from intake.science.problem import Problem, Refused, Unreadable

P = ParamSpec("P")
R = TypeVar("R")


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


def two_ways(method: Callable[P, R]) -> Callable[P, R]:
    """Screens know two ways of not getting an answer: a problem in a field, and a refusal."""

    @wraps(method)
    def answered(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return method(*args, **kwargs)
        except Usage as usage:
            raise Unreadable(Problem("needed", str(usage))) from usage
        except RoomTrouble as trouble:
            raise Refused(trouble.code, trouble.text, way_out=trouble.hint) from trouble

    return answered


class TwoWays:
    """Jobs on one room, each of which answers a screen in one of those two ways."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def __init_subclass__(cls) -> None:
        """Every job of a family is held to it, so that none can forget."""
        for name, method in list(vars(cls).items()):
            if not name.startswith("_"):
                setattr(cls, name, two_ways(method))
