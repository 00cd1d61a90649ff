"""Nearest names, for answers to a word that is not known."""

from __future__ import annotations

from collections.abc import Iterable

from intake.science.problem import Problem


def unknown(word: str, known: Iterable[str], what: str) -> Problem:
    """A `no-such-name` problem that offers the nearest names, else the first few there are."""
    from difflib import get_close_matches

    names = sorted(known)
    lowered = {n.casefold(): n for n in names}
    near = [lowered[n] for n in get_close_matches(word.casefold(), list(lowered), n=3, cutoff=0.5)]
    if near:
        hint = "did you mean " + " or ".join(near) + "?"
    elif names:
        shown = ", ".join(names[:6])
        hint = f"there is {shown}" + (f" and {len(names) - 6} more" if len(names) > 6 else "")
    else:
        hint = "there is none yet"
    return Problem("no-such-name", f"'{word[:40]}' is not {what}", hint)
