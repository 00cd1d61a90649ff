"""The few limits that no protocol file and no direction may pass."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from intake.science.course_parts import Source
from intake.science.limits import allowed

_H = "published"


@dataclass(frozen=True, slots=True)
class Ceiling:
    """The most of one treatment, in `unit`, in courses of at most `longest_h` [h] (None: any).

    `eggs_only` ones hold where nothing but eggs is in the water.
    """

    value: Decimal
    unit: str
    longest_h: Decimal | None
    source: Source
    eggs_only: bool = False


def _ceiling(
    value: str, unit: str, longest_h: str | None, source: str, *, eggs_only: bool = False
) -> Ceiling:
    hours = None if longest_h is None else Decimal(longest_h)
    return Ceiling(Decimal(value), unit, hours, Source(source, _H), eggs_only)


_COPPER = (
    "24-hour LC50 of a goldfish-carp hybrid, 0.23 mg/L copper "
    "(J S China Norm Univ 2003(2):101-106)"
)
_FORMALIN = (
    _ceiling("25", "uL/L", None, "US formalin label, prolonged use (FDA table in Merck)"),
    _ceiling("250", "uL/L", "1", "US formalin label, other finfish, 60 min (FDA table in Merck)"),
    _ceiling(
        "2000", "uL/L", "0.25", "US formalin label, eggs, 15 min (FDA table)", eggs_only=True
    ),
)

CEILINGS: dict[str, tuple[Ceiling, ...]] = {
    "salt": (
        _ceiling("10", "g/L", None, "under the goldfish 96-hour LC50 of 10.96 g/L (iasj 90258)"),
        _ceiling("30", "g/L", "0.167", "UF/IFAS VM86 and Merck Veterinary Manual: dip, 10 min"),
    ),
    "formalin": _FORMALIN,
    "formalin-malachite": (_FORMALIN[0],),
    "malachite-green": (
        _ceiling("0.2", "mg/L", None, "ornamental maximum; 96-hour LC50s begin at 0.03 mg/L"),
    ),
    "methylene-blue": (
        _ceiling("5", "mg/L", None, "96-hour LC50 5.8 mg/L at 30 C, silver perch (Lin 2003)"),
    ),
    "potassium-permanganate": (
        _ceiling("6", "mg/L", None, "UF/IFAS FA37: 6 mg/L in all, then the water is changed"),
        _ceiling("10", "mg/L", "1", "USFWS AADAP INAD 9246: demand method, 1 h"),
        _ceiling("25", "mg/L", "0.5", "UF/IFAS FA37: 25 mg/L, 30 min"),
    ),
    "hydrogen-peroxide": (
        _ceiling("6", "mg/L", None, "highest tried for 24 h on ornamentals (Russo et al. 2007)"),
        _ceiling("100", "mg/L", "1", "highest tried for 60 min (Rach et al. 2003, N Am J Aquac)"),
        _ceiling("25", "mg/L", None, "highest tried standing on ornamental eggs", eggs_only=True),
        _ceiling("1000", "mg/L", "0.25", "21 CFR 529.1150 and Merck: eggs", eggs_only=True),
    ),
    "chloramine-t": (
        _ceiling("5", "mg/L", None, "hard alkaline ponds, one veterinary author's practice"),
        _ceiling("20", "mg/L", "1", "21 CFR 529.382: warmwater finfish, 60 min"),
    ),
    "praziquantel": (
        _ceiling(
            "10",
            "mg/L",
            None,
            "a third of the zebrafish LC50 (Zuskova et al. 2022); 3 h baths "
            "(Schmahl & Mehlhorn 1985), 48 h in silver perch (Forwood 2013)",
        ),
    ),
    "copper-sulfate": (_ceiling("0.9", "mg/L", None, _COPPER + " as the pentahydrate"),),
    "copper-chelated": (_ceiling("0.23", "mg/L", None, _COPPER),),
    "trichlorfon": (
        _ceiling("0.75", "mg/L", None, "label class; LC50 0.92 mg/L at 30 C (Lin 2003)"),
    ),
    "emamectin": (
        _ceiling("0.05", "mg/L", None, "pond use (Encyclopedia of Parasitology)"),
        _ceiling("0.2", "mg/L", "3", "label class: 0.2 mg/L for 3 h"),
    ),
    "iodophor": (
        _ceiling(
            "100",
            "mg/L",
            "0.25",
            "WOAH Aquatic Code 4.4: available iodine, hardened eggs, 10 min",
            eggs_only=True,
        ),
    ),
}
"""By treatment id; a file under another name is held by its own limits alone."""


def ceiling(
    treatment_id: str, unit: str, longest_h: Decimal | None, stages: tuple[str, ...]
) -> Ceiling | None:
    """The ceiling that holds for a course of at most `longest_h` [h] over `stages`.

    The highest one the course is short enough for; a course without an end takes the lowest.
    None where the treatment has none, or where its unit is another one (a feed).
    """
    eggs_only = set(stages) == {"eggs"}
    holding = [
        _in_unit(c, unit)
        for c in CEILINGS.get(treatment_id, ())
        if _short_enough(longest_h, c.longest_h) and (eggs_only or not c.eggs_only)
    ]
    known = [c for c in holding if c is not None]
    return max(known, key=lambda c: c.value, default=None)


def _short_enough(course_h: Decimal | None, longest_h: Decimal | None) -> bool:
    if longest_h is None:
        return True
    return course_h is not None and allowed(course_h, 0, longest_h)


def _in_unit(found: Ceiling, unit: str) -> Ceiling | None:
    if found.unit == unit:
        return found
    factor = {("g/L", "mg/L"): Decimal(1000), ("mg/L", "g/L"): Decimal("0.001")}
    times = factor.get((found.unit, unit))
    if times is None:
        return None
    return Ceiling(found.value * times, unit, found.longest_h, found.source, found.eggs_only)
