from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Problem:
    """A mistake in text somebody typed: a value that is collected, never raised.

    Parameters
    ----------
    code
        One of the problem codes scripts may rely on, e.g. ``unit-missing``.
    text
        What was read and what is wrong with it.
    hint
        What would be right.
    path
        The file, or on the command line the option.
    line, column
        Where it starts, counted from 1.
    """

    code: str
    text: str
    hint: str = ""
    path: str = ""
    line: int = 1
    column: int = 1

    def placed(self, path: str, line: int | None = None, column: int | None = None) -> Problem:
        """The same problem at a place the caller knows and the reader did not."""
        return replace(
            self,
            path=path,
            line=self.line if line is None else line,
            column=self.column if column is None else column,
        )

    def __str__(self) -> str:
        end = f"; {self.hint}" if self.hint else ""
        return f"{self.path}:{self.line}:{self.column}: {self.code}: {self.text}{end}"


@dataclass(frozen=True, slots=True)
class Warn:
    """Something legal that the keeper should know, by a code scripts may rely on."""

    code: str
    text: str


class Refused(Exception):
    """The program will not do it: the limit, the value that met it, its source, the way out.

    Parameters
    ----------
    code
        One of the refusal codes scripts may rely on, e.g. ``over-hard-limit``.
    text
        One sentence for the keeper.
    limit, value, unit
        The limit and the value that met it, in `unit`; None where there is no number.
    source
        Who set the limit.
    way_out
        What the keeper can do instead.
    """

    def __init__(
        self,
        code: str,
        text: str,
        *,
        limit: float | None = None,
        value: float | None = None,
        unit: str = "",
        source: str = "",
        way_out: str = "",
    ) -> None:
        super().__init__(text)
        self.code = code
        self.text = text
        self.limit = limit
        self.value = value
        self.unit = unit
        self.source = source
        self.way_out = way_out


class Unreadable(Exception):
    """Carries the problems of one piece of user text out of a gate, all at once."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("; ".join(p.text for p in problems))
        self.problems = problems
