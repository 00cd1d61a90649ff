"""The figures the house wants reached, collected while the tests run and printed as one table."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from time import perf_counter, process_time

GUARD = 5.0
"""Only this many times worse than wanted is a failed test: machines differ, orders do not."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One line of the table. `wanted` is None where a number is told and nothing was promised."""

    what: str
    measured: float
    unit: str
    wanted: float | None = None
    least: bool = False
    note: str = ""

    @property
    def met(self) -> str:
        if self.wanted is None:
            return "told"
        good = self.measured >= self.wanted if self.least else self.measured <= self.wanted
        return "met" if good else "NOT MET"

    def cells(self) -> tuple[str, str, str, str, str]:
        sign = ">=" if self.least else "<="
        wanted = "-" if self.wanted is None else f"{sign} {_said(self.wanted, self.unit)}"
        return self.what, _said(self.measured, self.unit), wanted, self.met, self.note


def _said(value: float, unit: str) -> str:
    digits = f"{value:.3g}" if value < 1000 else f"{value:.0f}"
    return f"{digits}{unit}" if unit in ("x", "") else f"{digits} {unit}"


@dataclass(slots=True)
class Table:
    """Everything measured in this run."""

    figures: list[Figure] = field(default_factory=list)

    def most(
        self, what: str, measured: float, wanted: float | None, unit: str = "x", note: str = ""
    ) -> None:
        """A figure that is the better the smaller it is."""
        self.figures.append(Figure(what, measured, unit, wanted, note=note))
        if wanted is not None:
            assert measured <= wanted * GUARD, what

    def least(self, what: str, measured: float, wanted: float, unit: str = "x") -> None:
        """A figure that is the better the greater it is."""
        self.figures.append(Figure(what, measured, unit, wanted, least=True))
        assert measured >= wanted / GUARD, what

    def lines(self) -> list[str]:
        """The table as plain text."""
        rows = [("what", "measured", "wanted", "", "")] + [f.cells() for f in self.figures]
        widths = [max(len(row[n]) for row in rows) for n in range(5)]
        return [
            "  ".join(c.ljust(w) for c, w in zip(r, widths, strict=True)).rstrip() for r in rows
        ]


TABLE = Table()


def python_environment(caches: Path) -> dict[str, str]:
    """What a started Python gets: byte code is kept, as in an installed program."""
    environ = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return {**environ, "PYTHONPYCACHEPREFIX": str(caches)}


def started(words: Iterable[str], environ: dict[str, str]) -> str:
    """What a fresh interpreter prints; it has to end well."""
    done = subprocess.run(
        [sys.executable, *words],
        env=environ,
        capture_output=True,
        encoding="utf-8",
        stdin=subprocess.DEVNULL,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def fastest_starts(
    programs: dict[str, list[str]], environ: dict[str, str], rounds: int = 7
) -> dict[str, float]:
    """The shortest time [s] of each program, taking turns so that all see the same machine."""
    found = dict.fromkeys(programs, math.inf)
    for turn in range(rounds + 1):
        for name, words in programs.items():
            at = perf_counter()
            started(words, environ)
            # The first turn only writes byte code.
            if turn:
                found[name] = min(found[name], perf_counter() - at)
    return found


class Stopwatch:
    """Processor time of this process [s] in a `with` block."""

    spent = 0.0

    def __enter__(self) -> Stopwatch:
        self._at = process_time()
        return self

    def __exit__(self, *_: object) -> None:
        self.spent = process_time() - self._at
