"""The pieces every screen is made of: frozen, ready to be read, with no store behind them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shown:
    """A number as it is read: never rounded again, never without its doubt.

    Parameters
    ----------
    text
        The number without its unit: "0.75", "372 ± 11", "0.004 to 0.006", "?" (not read).
    unit
        "g", "mg/L", "C", "L", "" for pH.
    origin
        "read 07:10 today", "worked out", "assumed 24 h packed", "from the label", "".
    doubtful
        True when assumed or older than allowed: it is then never shown bare.
    """

    text: str
    unit: str = ""
    origin: str = ""
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Bar:
    """A number against its limit. All four numbers share the unit of `shown`.

    `low` and `high` are the ends of a range that comes from doubt (equal to `value` when exact);
    the limit is judged at the end that harms. `said` is what stands at the right: "under",
    "1.2 times limit", "1.7 at 60 % tub", "hard limit 6". Without `limit` there is no bar.
    """

    label: str
    shown: Shown
    value: float | None
    low: float | None
    high: float | None
    limit: float | None
    said: str
    over: bool = False
    near: bool = False


@dataclass(frozen=True, slots=True)
class Stop:
    """A hard refusal: what, the bar, who says so, the way out. No key passes it."""

    code: str
    text: str
    source: str
    way_out: str
    bar: Bar | None = None


@dataclass(frozen=True, slots=True)
class Need:
    """One question that must be answered first, and what key m measures ("temp", "ph", ...)."""

    what: str
    detail: str
    measures: str


@dataclass(frozen=True, slots=True)
class Care:
    """A soft limit. `reasons` are the reasons to pick from, `reason` the one picked or ""."""

    code: str
    text: str
    reasons: tuple[tuple[str, str], ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class LineAsked:
    """A vessel whose line was read too long ago for a dose to rest on: asked, never barred."""

    vessel: str
    text: str  # "the line of North tub was read 3 days ago: a at the mark, l a number"


@dataclass(frozen=True, slots=True)
class Recorded:
    """What a write answers: the row folds to `text`; the because line says the time.

    `at` is the room's wall time "18:42". `next_text` is the next thing ("carbon back in on Fri
    27 Nov") or "". `offer` names the job offered next ("dose" after a change) or "".
    """

    entry: int
    at: str
    text: str
    next_text: str = ""
    offer: str = ""
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Found:
    """One line of a search: where it goes when opened."""

    kind: str  # a kind of thing, or "treatment" | "quarantine" | "entry"
    name: str
    detail: str


@dataclass(frozen=True, slots=True)
class Timer:
    """A run or bath under way, for the strip in every mode.

    `ends` is the instant in seconds since the epoch, `word` what happens then ("LIFT", "WATER
    CHANGE"), `where` the vessel, bag or fish. A `reading` gives way to what ends. `bath` is the
    entry of a bath, 0 for anything else.
    """

    word: str
    where: str
    ends: float
    reading: bool = False
    bath: int = 0


@dataclass(frozen=True, slots=True)
class Wrong:
    """What to do when something is wrong: actions in order, then what to record.

    `where` is the vessel its amounts are for, "" where none is known.
    """

    title: str
    do: tuple[str, ...]
    amounts: tuple[str, ...]
    then_record: tuple[str, ...]
    because: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class RoomFacts:
    """What the shell needs: whose room, what the clock says, what runs."""

    keeper: str
    read_only: bool
    quiet: str
    timers: tuple[Timer, ...] = ()
    empty: bool = False  # a room with no vessel yet: the first-start cards are offered
