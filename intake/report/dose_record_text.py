"""The record of a dose as plain text of 80 columns."""

from __future__ import annotations

from intake.report.columns import folded
from intake.report.dose_record import DoseRecord, about, title

_NAME = 24


def as_text(record: DoseRecord) -> str:
    """Title, then the twenty, what is known beside each name."""
    lines = [*folded(title(record)), *folded(about(record)), ""]
    for part in record.parts:
        lead = f"{part.number:>2}  {part.name}".ljust(_NAME + 4)
        for line in part.lines:
            lines += folded(line, lead, " " * (_NAME + 6))
            lead = " " * (_NAME + 4)
    return "\n".join(lines) + "\n"
