"""The release of a quarantine, or what still stands in its way: what every form of it says."""

from __future__ import annotations

from dataclasses import dataclass

from intake.report.day_svg import DayChart

CAUTIONS = (
    "Met checks are evidence and no proof: nothing here says that a fish carries nothing, and a "
    "window never served stays untested.",
    "Lift the fish across in a net; none of this water, no sponge and no net goes along.",
    "The label, your vet and the law on notifiable disease come first and win where they differ.",
)
SIGNERS = ("Keeper", "Second pair of eyes", "Vet, where one looked")
SIGN_HEADS = ("who", "name", "date and time", "signature")
CHECK_HEADS = ("check", "state", "what the record shows")
DEATH_HEADS = ("day", "dead", "who", "how it is counted")
TREATMENT_HEADS = ("from", "to", "what", "how it counts")


@dataclass(frozen=True, slots=True)
class Check:
    """One release check as it stands. `passed` is who passed it by a reason, and why."""

    name: str
    state: str
    evidence: str
    to_do: str = ""
    passed: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, and lines or a table under it."""

    name: str
    lines: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Release:
    """A quarantine at its end, or on the way there. Texts not known say so."""

    subject: str
    system: str
    verdict: str
    decides: str
    plan: str
    fish: tuple[str, ...]
    counts: tuple[str, ...]
    checks: tuple[Check, ...]
    windows: tuple[str, ...]
    slides: tuple[str, ...]
    mixing: tuple[str, ...]
    treatments: tuple[tuple[str, ...], ...]
    deaths: tuple[tuple[str, ...], ...]
    signs: tuple[str, ...]
    after: tuple[str, ...]
    charts: tuple[DayChart, ...]
    printed: str
    head: str


def title(sheet: Release) -> str:
    """The line every form begins with."""
    if sheet.subject == sheet.system:
        return f"Release of {sheet.subject}"
    return f"Release of {sheet.subject} from {sheet.system}"


def check_row(check: Check) -> tuple[str, str, str]:
    """One check in the order of `CHECK_HEADS`."""
    told = [check.evidence]
    if check.passed:
        told.append(check.passed)
    if check.to_do:
        told.append(f"Next: {check.to_do}.")
    return check.name, check.state, "  ".join(told)


def before_charts(sheet: Release) -> tuple[Section, ...]:
    """What stands before the charts, in the order of the paper."""
    return (
        Section("Fish", sheet.fish),
        Section("Days", sheet.counts),
        Section(
            "Release checks", heads=CHECK_HEADS, rows=tuple(check_row(c) for c in sheet.checks)
        ),
        Section("Temperature windows", sheet.windows),
        Section("What the slides exclude", sheet.slides),
        Section("Mixing test", sheet.mixing),
    )


def after_charts(sheet: Release) -> tuple[Section, ...]:
    """What stands behind the charts."""
    none = ("none recorded",)
    return (
        _table("Treatments given", TREATMENT_HEADS, sheet.treatments, none),
        _table("Deaths per day", DEATH_HEADS, sheet.deaths, none),
        Section("Signs seen", sheet.signs or none),
        Section("After release", sheet.after),
        Section("Cautions", CAUTIONS),
    )


def _table(
    name: str,
    heads: tuple[str, ...],
    rows: tuple[tuple[str, ...], ...],
    none: tuple[str, ...],
) -> Section:
    return Section(name, heads=heads, rows=rows) if rows else Section(name, none)


def foot(sheet: Release) -> tuple[str, ...]:
    """When it was printed, and the journal it was printed from."""
    return sheet.printed, sheet.head
