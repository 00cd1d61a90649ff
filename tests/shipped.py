"""Questions to the protocols as shipped, for the tests that hold them against print."""

from __future__ import annotations

from typing import Any

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.treatment import Course
from tests.cli.ask import ask

TREATMENTS = load_shelf([shipped_protocols()])[0].treatments
ALWAYS = "always"
FIRST = "until one was tried"
WATER = '--temp "18 C" --ph 7.6 --kh "6 dKH" --oxygen "8 mg/L"'
Limits = dict[str, str]


def course(treatment: str, name: str) -> Course:
    found = TREATMENTS[treatment].course(name)
    assert found is not None
    return found


def limits(found: Course) -> Limits:
    """The hard limits by when they hold."""
    named: Limits = {}
    for bound in found.bounds:
        if bound.hard:
            when = FIRST if bound.untried else ALWAYS
            when = when if bound.above is None else f"{bound.quantity} above {bound.above:f}"
            when = when if bound.below is None else f"{bound.quantity} below {bound.below:f}"
            named[when] = f"{bound.value:f}"
    return named


def dosed(line: str) -> tuple[Any, str]:
    code, answer = ask(f"dose {line}")
    assert code == 0, answer
    return answer["amount"], answer["amount_unit"]


def refused(line: str) -> str:
    code, answer = ask(f"dose {line}")
    assert code == 3, answer
    return f"{answer['refused']['code']} {answer['refused']['limit'] or ''}".strip()
