"""The card taped to a tub: what every form of it says."""

from __future__ import annotations

from dataclasses import dataclass

MAST = "True when it was printed. Read the water and the journal again before anything goes in."
STOP = "Stop at once if"
LABEL = "The label and your vet come first."
STOPPING = "Stopping a treatment and changing water are never held back."


@dataclass(frozen=True, slots=True)
class CourseLine:
    """A course that runs: when its next dose is, the amount and its unit, what that is for.

    `amount` is empty where it cannot be worked out yet; `why` then says what is wanting.
    """

    treatment: str
    so_far: str
    when: str
    amount: str
    unit: str
    why: str
    stop_signs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TubCard:
    """One vessel today. Texts that are not known say so; none is left empty but `shared`."""

    vessel: str
    litres: str  # "308 L"
    ends: str  # "likely between 300 and 316 L"
    mark: str  # "at the mark, 35 cm"
    today: str  # "today 301 L, likely between 293 and 309 L, at 34 cm"
    shared: str
    lives: str
    sensitive: str
    system: str
    zone: str
    in_water: tuple[tuple[str, str], ...]  # (treatment, "1.2 to 2.1 g/L")
    courses: tuple[CourseLine, ...]
    last_change: str
    never_mix: tuple[str, ...]
    quarantine: str
    release: str
    vets: tuple[str, ...]
    printed: str
    head: str


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and the lines under it."""

    name: str
    lines: tuple[str, ...]


def title(card: TubCard) -> str:
    """The name, as the first thing read."""
    return card.vessel


def sections(card: TubCard) -> tuple[Section, ...]:
    """All but the name, the litres and the doses, in the order of the card."""
    there = tuple(f"{name}: {level}" for name, level in card.in_water)
    return (
        Section("Lives here", (card.lives, f"most sensitive: {card.sensitive}")),
        Section("Water system", tuple(t for t in (card.system, card.zone, card.shared) if t)),
        Section("In the water now", there or ("nothing that was recorded",)),
        Section("Last change", (card.last_change,)),
        Section("Do not mix", card.never_mix or ("nothing is in it that is known to clash",)),
        Section("Quarantine", tuple(t for t in (card.quarantine, card.release) if t)),
    )


def stop_signs(card: TubCard) -> tuple[str, ...]:
    """When to stop at once, by course."""
    return tuple(f"{c.treatment}: {sign}" for c in card.courses for sign in c.stop_signs)


def foot(card: TubCard) -> tuple[str, ...]:
    """What stands under every card."""
    return (STOPPING, LABEL, *card.vets, MAST, card.printed, card.head)


def dose_words(course: CourseLine) -> tuple[str, str, str]:
    """When, as large as the amount so that neither is read without the other; then why."""
    if not course.amount:
        return course.when, "no amount yet", course.why
    return course.when, f"{course.amount} {course.unit}".strip(), course.why
