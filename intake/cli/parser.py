"""Reading a command line: global options anywhere, nothing abbreviated, nothing given twice."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NoReturn

from intake.flows.usage import Usage

GLOBAL_VALUES = ("room", "at", "keeper")
GLOBAL_FLAGS = ("json", "quiet", "dry-run")
REPEATING = frozenset({"slice", "sign", "found", "pass", "with"})
"""Options that may be given again and again, one item each."""
_NEGATIVE = re.compile(r"-[\d.]")


@dataclass(slots=True)
class Globals:
    """What was said for the whole program, not for one command."""

    room: str | None = None
    at: str | None = None
    keeper: str | None = None
    json: bool = False
    quiet: bool = False
    dry_run: bool = False
    seen: set[str] = field(default_factory=set)

    def take(self, name: str, value: Any) -> None:
        """Keeps one option; twice is a mistake."""
        if name in self.seen:
            raise Usage(f"--{name} is given twice")
        self.seen.add(name)
        setattr(self, name.replace("-", "_"), value)


def split_globals(argv: Sequence[str]) -> tuple[Globals, list[str]]:
    """The global options, which may stand anywhere, and the rest of the command line.

    Raises
    ------
    Usage
        One is given twice, or has no value.
    """
    found = Globals()
    # Asked for first, so that even a mistake in the others is answered the way it was asked.
    found.json = "--json" in argv
    rest: list[str] = []
    tokens = iter(argv)
    for token in tokens:
        name, equals, value = token[2:].partition("=")
        if token == "--":
            rest += [token, *tokens]
        elif token == "--quiet" and rest[:2] == ["room", "set"]:
            # There it is a setting and takes a value: the hours in which nothing is asked for.
            rest.append(token)
        elif token.startswith("--") and name in GLOBAL_FLAGS and not equals:
            found.take(name, True)
        elif token.startswith("--") and name in GLOBAL_VALUES:
            if not equals:
                value = next(tokens, "")
                if not value or value.startswith("--"):
                    raise Usage(f"--{name} needs a value")
            found.take(name, value)
        else:
            rest.append(token)
    return found, rest


def joined_negatives(tokens: Sequence[str]) -> list[str]:
    """Option values that begin with a minus and a digit, joined so that they are values."""
    result: list[str] = []
    for token in tokens:
        before = result[-1] if result else ""
        if _NEGATIVE.match(token) and before.startswith("--") and "=" not in before:
            result[-1] = f"{before}={token}"
        else:
            result.append(token)
    return result


class _Once(argparse.Action):
    """Stores a value; the option given again is a mistake."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: Any,
        option_string: str | None = None,
    ) -> None:
        if option_string and getattr(namespace, self.dest, None) is not None:
            parser.error(f"{option_string} is given twice")
        setattr(namespace, self.dest, True if self.nargs == 0 else values)


class Parser(argparse.ArgumentParser):
    """An argument parser that takes whole words only and says usage in one sentence."""

    def __init__(self, prog: str, description: str = "") -> None:
        super().__init__(
            prog=prog,
            description=description,
            allow_abbrev=False,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )

    def error(self, message: str) -> NoReturn:
        raise Usage(f"{self.prog}: {message}")

    def place(self, name: str, help: str = "", *, needed: bool = True) -> None:
        """A value given by its place."""
        self.add_argument(
            name.replace("-", "_"), metavar=name.upper(), help=help, nargs=None if needed else "?"
        )

    def places(self, name: str, help: str = "", *, needed: bool = False) -> None:
        """Any number of values given by their place, at least one where they are needed."""
        nargs = "+" if needed else "*"
        self.add_argument(name, metavar=name.upper(), help=help, nargs=nargs)

    def option(
        self, name: str, help: str = "", *, needed: bool = False, many: bool = False
    ) -> None:
        """An option with a value."""
        action: Any = "append" if many else _Once
        self.add_argument(
            f"--{name}", dest=name.replace("-", "_"), help=help.replace("%", "%%"),
            action=action, required=needed, metavar="VALUE",
        )  # fmt: skip

    def flag_or_value(self, name: str, help: str = "") -> None:
        """An option that means one thing alone (True) and another with a value (the text)."""
        self.add_argument(
            f"--{name}", dest=name.replace("-", "_"), help=help.replace("%", "%%"),
            action=_Once, nargs="?", const=True, metavar="VALUE",
        )  # fmt: skip

    def flag(self, name: str, help: str = "") -> None:
        """An option without a value."""
        self.add_argument(
            f"--{name}", dest=name.replace("-", "_"), help=help.replace("%", "%%"),
            action=_Once, nargs=0,
        )  # fmt: skip

    def read(self, tokens: Sequence[str]) -> dict[str, Any]:
        """What was given, by name with underscores; what was not given is left out.

        Raises
        ------
        Usage
            An option that is unknown, missing or given twice.
        """
        found = vars(self.parse_args(joined_negatives(tokens)))
        return {name: value for name, value in found.items() if value is not None}
