"""What Today shows: the day's walk in the order of the feet, clean to dirty."""

from __future__ import annotations

from dataclasses import dataclass

from intake.flows.views.calendar import Proposal
from intake.flows.views.parts import Timer


@dataclass(frozen=True, slots=True)
class RoundTask:
    """One thing to do at a vessel. `figure` is the part shown bold ("60 g") or ""."""

    id: str
    kind: str  # "look" | "reading" | "change" | "dose" | "slide" | "clean" | "other"
    text: str  # "look at 3 fish", "salt re-dose"
    figure: str = ""
    at: str = ""  # "19:00" when it has a time
    state: str = "due"  # "due" | "overdue" | "done" | "skipped"
    because: str = ""


@dataclass(frozen=True, slots=True)
class RoundStop:
    """One vessel of the round. `crossing` is the rule drawn above it when a zone is crossed."""

    vessel: str
    system: str
    zone: str  # "quarantine day 12", "resident"
    occupants: str  # "3 fish", "40 fish"
    tasks: tuple[RoundTask, ...]
    done_text: str = ""  # "all well 18:31"; "" while open
    done_care: bool = False  # the closing look saw something ("1 found dead 18:38")
    last_entry: int | None = None  # what u corrects
    crossing: str = ""  # "wash hands, change net and towel"
    because: str = ""
    temp_text: str = ""  # roomy side sheet
    sheet: tuple[tuple[str, str], ...] = ()  # roomy: label and value of the vessel under cursor


@dataclass(frozen=True, slots=True)
class Alert:
    """Something the room says by itself. `urgency`: watch | test-water | isolate | call-vet."""

    urgency: str
    text: str
    because: str
    subject: str = ""


@dataclass(frozen=True, slots=True)
class TodayView:
    """The round. `date_text` is "Wed 25 Nov 2026" (year kept on this line)."""

    date_text: str
    stops: tuple[RoundStop, ...]
    minutes_left: int | None
    alerts: tuple[Alert, ...] = ()
    timers: tuple[Timer, ...] = ()
    claims: tuple[str, ...] = ()  # "Box 14: claim by 20:05"
    signs: tuple[tuple[str, str], ...] = ()  # (id, words) for "something seen"
    skip_reasons: tuple[str, ...] = ()
    tan_basis: str = ""  # what the room's only TAN kit reports: N, NH3 or NH4
    proposals: tuple[Proposal, ...] = ()  # restarts that wait for a word


@dataclass(frozen=True, slots=True)
class SeenChoice:
    """Whom "something seen" can be about in one vessel, asked when s is pressed."""

    vessel: str
    subjects: tuple[tuple[str, str, int], ...]  # (fish or group, detail, count)
    signs: tuple[tuple[str, str, tuple[str, str, str, str]], ...]  # (id, words, grades 0 to 3)
