"""The waterline table of one vessel: what every paper of it says."""

from __future__ import annotations

from dataclasses import dataclass

from intake.science.show import show, show_range

PARTLY_DRY = "*"
"""Behind a line at which gravel or rock stands out of the water."""
NO_WATER = "-"


@dataclass(frozen=True, slots=True)
class Row:
    """One line: the water there and its 95 % ends [L], None where no water is left to tell.

    `per_cm_l` is what one centimetre more or less is at that line; `surface` its size in words.
    """

    depth_cm: float
    volume_l: float | None
    low_l: float | None
    high_l: float | None
    per_cm_l: float | None
    surface: str
    partly_dry: bool = False


@dataclass(frozen=True, slots=True)
class Waterline:
    """One vessel's table, the lowest line first; `notes` are sentences for its reader."""

    vessel: str
    system: str
    shape: str
    day: str
    keeper: str
    top: str  # "the rim, 50 cm"
    step_cm: float
    rows: tuple[Row, ...]
    notes: tuple[str, ...]


COLUMNS = ("line, cm", "water, L", "likely between, L", "1 cm is, L", "surface, cm")


def title(sheet: Waterline) -> str:
    """The line every paper begins with."""
    return f"Litres at each line: {sheet.vessel}"


def about(sheet: Waterline) -> str:
    """Which vessel, when and by whom."""
    parts = [sheet.shape, f"water system {sheet.system}", sheet.day, sheet.keeper]
    return "  ·  ".join(part for part in parts if part)


def cells(row: Row) -> tuple[str, str, str, str, str]:
    """A row as texts, in the order of `COLUMNS`."""
    line = show(row.depth_cm, "", digits=3) + (f" {PARTLY_DRY}" if row.partly_dry else "")
    if row.volume_l is None or row.low_l is None or row.high_l is None:
        return line, NO_WATER, NO_WATER, "", row.surface
    half = max(row.volume_l - row.low_l, row.high_l - row.volume_l)
    water = show(row.volume_l, "", half=half) if half else show(row.volume_l, "", digits=4)
    per_cm = "" if row.per_cm_l is None else show(row.per_cm_l, "")
    return (
        line,
        water.partition(" ± ")[0],
        show_range(row.low_l, row.high_l, "", digits=3),
        per_cm,
        row.surface,
    )


def mark_words(row: Row) -> tuple[str, str]:
    """What stands at a mark of the tape: the litres large, the ends small."""
    _, water, ends, _, _ = cells(row)
    if water == NO_WATER:
        return NO_WATER, ""
    return f"{water} L{PARTLY_DRY if row.partly_dry else ''}", ends
