"""What can be read in water, and the unit its limits are kept in."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

from intake.rules.fields import Flaw, exact, read_with_basis

Reading = Literal[
    "temp",
    "ph",
    "kh",
    "gh",
    "tan",
    "nh3_n",
    "no2",
    "no3",
    "oxygen",
    "chlorine",
    "demand",
    "salt",
    "co2",
]


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """How a reading is written: the grammar's kind, the unit kept, and what a mass counts as."""

    kind: str
    unit: str
    basis: str | None = None


READING_KINDS = MappingProxyType(
    {
        "temp": ReadingKind("temperature", "C"),
        "ph": ReadingKind("ph", ""),
        "kh": ReadingKind("alkalinity", "meq/L"),
        "gh": ReadingKind("hardness", "meq/L"),
        "tan": ReadingKind("tan", "mg/L as N", "N"),
        "nh3_n": ReadingKind("tan", "mg/L as N", "N"),
        "no2": ReadingKind("no2", "mg/L as NO2", "NO2"),
        "no3": ReadingKind("no3", "mg/L as NO3", "NO3"),
        "oxygen": ReadingKind("oxygen", "mg/L"),
        "chlorine": ReadingKind("chlorine", "mg/L"),
        "demand": ReadingKind("demand", "mg/L"),
        "salt": ReadingKind("salt", "g/L"),
        "co2": ReadingKind("concentration", "mg/L"),
    }
)
"""The unit in which limits on each reading are kept."""


def in_reading_unit(text: str, reading: str, where: tuple[str | int, ...] = ()) -> Decimal | Flaw:
    """The value of a limit on a reading, in the unit of `READING_KINDS`."""
    kind = READING_KINDS[reading]
    if kind.basis is not None:
        return read_with_basis(text, kind.kind, kind.basis, where)
    read = exact(text, kind.kind, where)
    return read if isinstance(read, Flaw) else read[0]
