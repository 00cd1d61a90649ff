"""What a change of water would do, shown while it is typed and before it is recorded."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ChangeView:
    """A vessel's water now and after the change that is typed.

    Parameters
    ----------
    rows
        (what, now, after) with units; after is "" where nothing is typed yet.
    limit
        Of NH3, with its unit.
    cares
        What to take care of, the gravest first; `crash` says the first is the pH crash.
    do
        The way out of a crash, in its order, short.
    because
        What it rests on, as one sentence.
    """

    rows: tuple[tuple[str, str, str], ...]
    limit: str = ""
    cares: tuple[str, ...] = ()
    crash: bool = False
    do: tuple[str, ...] = ()
    because: str = ""
