"""The record of one dose: what every paper of it says."""

from __future__ import annotations

from dataclasses import dataclass

UNKNOWN = "unknown"
NAMES = (
    "Entry",
    "Begun",
    "Written down",
    "By",
    "Vessel and water system",
    "Fish treated",
    "Treated for",
    "Product",
    "What is in it",
    "Batch and dates",
    "Target",
    "Water",
    "Amount",
    "Measured with",
    "Way it was given",
    "How long",
    "Water at the start",
    "Not for food",
    "What came of it",
    "Worked out by",
)
"""What a record of a treatment has, in order (21 CFR 530.5 and licence and farm rules)."""


@dataclass(frozen=True, slots=True)
class Part:
    """One of the twenty: its number, its name, and what is known of it, never nothing."""

    number: int
    name: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DoseRecord:
    """One dose, whole."""

    entry: int
    treatment: str
    vessel: str
    day: str
    parts: tuple[Part, ...]


def title(record: DoseRecord) -> str:
    """The line every paper begins with."""
    return f"{record.treatment} in {record.vessel}, {record.day}"


def about(record: DoseRecord) -> str:
    """What kind of paper it is."""
    return (
        f"Record of a treatment, entry {record.entry}. What nobody said stands as {UNKNOWN}. "
        "The label and your vet come first."
    )
