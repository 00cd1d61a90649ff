"""What to do about a task that was missed: never twice, what it moves, what is gone for good."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from intake.science.checks import Checks


@dataclass(frozen=True, slots=True)
class Late:
    """A task that was missed.

    `what_to_do` now, `moved` what its being late moves ("" for nothing), `cannot` what no later
    doing makes up ("" where nothing is lost).
    """

    what_to_do: str
    moved: str
    cannot: str

    @property
    def said(self) -> str:
        """All of it in one line, what to do first."""
        return "; ".join(text for text in (self.what_to_do, self.moved, self.cannot) if text)


@dataclass(frozen=True, slots=True)
class _Words:
    what_to_do: str
    cannot: str = ""
    check: str = ""


_WORDS: Mapping[str, _Words] = {
    "prepare": _Words("do it before the fish come, or put off the day they come"),
    "look": _Words(
        "look now, once; two looks at one time are one look",
        "what was to be seen then is gone, in the first 48 h most of all",
        "sign-free",
    ),
    "water-test": _Words(
        "test now, once, before any change of water",
        "a peak between two tests stays unknown",
        "water",
    ),
    "temperature": _Words(
        "read the low and the high now, then set the thermometer back",
        "the day counts as warm only where readings at most 36 h apart span it",
        "warm-days",
    ),
    "feed": _Words(
        "feed as usual at the next time, never a double feed", "nothing is lost: fish go without"
    ),
    "slide": _Words(
        "make it now, if somebody trained is there",
        "a later slide does not show what was there that day",
        "slides",
    ),
    "weigh": _Words("weigh when they are next handled", "doses by mass rest on the old figure"),
    "photo": _Words("take it today", "signs of the days between have no picture to compare with"),
    "change": _Words(
        "change the usual share now, never two shares at once", "what the fish stood in meanwhile"
    ),
    "mixing-test": _Words(
        "move one or two of your own in now, never a new one out",
        "its days begin when they go in, no sooner",
        "mixing-test",
    ),
    "treatment": _Words(
        "work the dose out for now and give it once, never double; the next counts from it",
        "what hatched or came back in between was not reached: look by slide",
        "since-treatment",
    ),
    "clean": _Words("do it now; of two sponges in use only one at a time"),
    "review": _Words("read the release checks now: what was met then may be open again"),
    "salt-step": _Words(
        "read the salt now, before any change of water",
        "water changed or lost since the salt went in makes the litres doubtful",
    ),
}
"""By the kind of a task. Common practice; that nothing is doubled is every label's rule."""

_ANY = _Words("do it now, once")


def late(kind: str, moved: str = "") -> Late:
    """What to do about a task of that kind that was missed."""
    words = _WORDS.get(kind, _ANY)
    return Late(words.what_to_do, moved, words.cannot)


def moved_by(kind: str, found: Checks) -> str:
    """What the missing of a task of that kind does to the release check that rests on it."""
    name = _WORDS.get(kind, _ANY).check
    state = next((c for c in found.checks if c.check == name), None)
    if state is None or state.state != "open":
        return ""
    if state.earliest is None or found.earliest_release is None:
        return f"{name} stays open until it is done"
    day = state.earliest.isoformat()
    if found.decided_by == name:
        return f"{name}, which rests on it and sets the release, can be met from {day}"
    return f"{name}, which rests on it, can be met from {day} and does not set the release"
