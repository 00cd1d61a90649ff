"""What the heading of a column says it holds."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

DATE = frozenset({"date", "datum", "data", "fecha", "dato", "day", "jour", "giorno"})
CLOCK = frozenset({"time", "zeit", "uhrzeit", "hora", "heure", "tid", "tijd", "ora", "clock"})
BOTH = frozenset({
    "datetime", "timestamp", "zeitstempel", "zeitpunkt", "tidspunkt", "horodatage", "recorded",
    "epoch",
})  # fmt: skip
NOT_A_TIME = frozenset({"elapsed", "zone", "since", "interval", "duration", "run"})
"""Words beside ``time`` that make it something else."""
DEGREES = ("temp", "celsius", "fahrenheit", "centigrade")
"""What a word of a temperature's heading begins with."""
NOT_WATER = frozenset({
    "dew", "dewpoint", "humidity", "rh", "setpoint", "target", "alarm", "limit", "battery", "cpu",
    "chip", "board", "ambient", "air", "room",
})  # fmt: skip
"""Words beside ``temp`` that say it is not the water's."""

_WORD = re.compile(r"[^\W\d_]+")
_LETTER = r"(?:\u00b0|\u00ba|deg\.?|degrees)[\s_]*{0}\b|[(\[]\s*{0}\s*[)\]]|[\s_,]{0}$"
_UNITS = {
    "C": re.compile(r"celsius|centigrade|" + _LETTER.format("c")),
    "F": re.compile(r"fahrenheit|" + _LETTER.format("f")),
    "K": re.compile(r"kelvin|[(\[]\s*k\s*[)\]]"),
}
_OFFSET = re.compile(r"\b(?:utc|gmt)\s*(?:([+\-])\s*(\d{1,2})(?::?(\d{2}))?)?")
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])")


@dataclass(frozen=True, slots=True)
class Headings:
    """The columns of a heading that matter, by place; several temperatures may stand there."""

    whole: tuple[int, ...]
    date: tuple[int, ...]
    clock: tuple[int, ...]
    temperature: tuple[int, ...]
    unit: tuple[int, ...]


def words(heading: str) -> list[str]:
    """The words of a heading in small letters, ``DateTime`` being two."""
    plain = unicodedata.normalize("NFC", heading)
    return [w.casefold() for w in _WORD.findall(_CAMEL.sub(" ", plain))]


def headings(cells: Sequence[str]) -> Headings:
    """Which columns hold times, temperatures and units."""
    kinds = [_kind(cell) for cell in cells]

    def of(kind: str) -> tuple[int, ...]:
        return tuple(n for n, k in enumerate(kinds) if k == kind)

    temperature = of("temperature") or of("other temperature")
    return Headings(of("whole"), of("date"), of("clock"), temperature, of("unit"))


def _kind(cell: str) -> str:
    said = words(cell)
    date, clock = any(w in DATE for w in said), any(w in CLOCK for w in said)
    degrees = any(w.startswith(DEGREES) for w in said)
    if not degrees and not set(said) & NOT_A_TIME:
        if any(w in BOTH for w in said) or (date and clock):
            return "whole"
        if date or clock:
            return "date" if date else "clock"
    if degrees or units_in(cell):
        return "other temperature" if set(said) & NOT_WATER else "temperature"
    return "unit" if said in (["unit"], ["units"]) else ""


def units_in(heading: str) -> tuple[str, ...]:
    """The units of temperature a heading names: C, F, K."""
    text = heading.strip().casefold()
    return tuple(unit for unit, known in _UNITS.items() if known.search(text))


def offset_in(heading: str) -> int | None:
    """Seconds ahead of UTC that a heading says its times are, None where it says nothing."""
    found = _OFFSET.search(heading.casefold())
    if found is None:
        return None
    seconds = int(found[2] or 0) * 3600 + int(found[3] or 0) * 60
    return -seconds if found[1] == "-" else seconds
