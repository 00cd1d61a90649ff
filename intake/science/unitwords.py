"""Finds the unit somebody meant in the closed table, or says exactly what could be meant."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from intake.science.grammar import Term
from intake.science.kinds import KINDS, Kind
from intake.science.problem import Problem, Unreadable
from intake.science.text import quoted
from intake.science.units import Unit, plain_spelling


@dataclass(frozen=True, slots=True)
class Wanted:
    """The kind being read and what the caller knows beside the text."""

    kind: Kind
    basis: str | None = None
    form: str | None = None
    forms: tuple[str, ...] = ()


_TWO_GALLONS = "the US and the imperial one differ by 20 %"
_WEIGHED = ("drop", "drops", "gtt", "capful", "capfuls", "cap", "caps", "tsp", "tbsp", "teaspoon",
            "teaspoons", "tablespoon", "tablespoons", "scoop", "scoops", "pinch", "pinches",
            "cup", "cups", "spoon", "spoons", "dash", "squirt", "squirts")  # fmt: skip
_NO_UNIT = ("u", "U", "IU", "iu", "I.U.", "units", "unit")

_AMBIGUOUS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "gal": (_TWO_GALLONS, ("US gal", "imp gal")),
    "qt": (_TWO_GALLONS, ("US qt", "imp qt")),
    "pt": (_TWO_GALLONS, ("US pt", "imp pt")),
    "gal/h": (_TWO_GALLONS, ("US gal/h", "imp gal/h")),
    "gal/min": (_TWO_GALLONS, ("US gal/min", "imp gal/min")),
    "fl oz": ("the US and the imperial one differ by 4 %", ("US fl oz", "imp fl oz")),
    "oz": ("it is a mass or a volume", ("oz mass", "US fl oz", "imp fl oz")),
    "ppt": ("it is parts per thousand or per trillion", ("g/L", "ng/L")),
    "ppm": (
        "it is a mass in water or a volume in water",
        ("mg/L", "uL/L", "mg/kg", "mg/L CaCO3", "mg/L as N", "mg/L as NH3", "mg/L as NH4",
         "uS/cm"),
    ),
    "ppb": ("it is a mass in water or a mass in a mass", ("mcg/L", "mcg/kg")),
    "%": ("it is weight in weight, weight in volume or volume in volume",
          ("% w/w", "% w/v", "% v/v")),
    "mg/L": ("it does not say of what", ("mg/L as N", "mg/L as NH3", "mg/L as NH4", "mg/L CaCO3")),
    "mcg/L": ("it does not say of what", ("mcg/L as N", "mcg/L as NH3", "mcg/L as NH4")),
    "dH": ("it is degrees of KH or of GH", ("dKH", "dGH")),
}  # fmt: skip
"""Word -> what it could be, and every spelling it could stand for in some kind."""

_SAME_WORD = {
    "gallon": "gal", "gallons": "gal", "gals": "gal", "quart": "qt", "quarts": "qt",
    "pint": "pt", "pints": "pt", "gph": "gal/h", "gpm": "gal/min", "floz": "fl oz",
    "fl. oz": "fl oz", "ounce": "oz", "ounces": "oz", "ozs": "oz", "PPM": "ppm", "PPT": "ppt",
    "‰": "ppt", "PPB": "ppb", "percent": "%", "ug/L": "mcg/L", "°dH": "dH", "deg": "dH",
}  # fmt: skip


def resolve(text: str, term: Term, wanted: Wanted) -> Unit:
    """The unit of `term` in the wanted kind.

    Raises
    ------
    Unreadable
        With one problem: unit-missing, ambiguous-unit, wrong-kind or unknown-unit.
    """
    kind, spelled = wanted.kind, plain_spelling(term.unit)
    if not spelled:
        if kind.bare is None:
            hint = f"write {_offered(term, kind.offered)}"
            raise _stop(text, "unit-missing", f"{kind.asks} needs its unit", hint, term)
        return kind.spellings[kind.bare]
    known = kind.spellings.get(_completed(spelled, wanted))
    if known is not None:
        return known
    raise _unresolved(text, spelled, term, wanted)


def _completed(spelled: str, wanted: Wanted) -> str:
    """The spelling with what the caller knows added: a kit's basis, the form of a strength."""
    kind = wanted.kind.name
    if kind == "tan" and wanted.basis and " as " not in spelled:
        return f"{spelled} as {wanted.basis}"
    if spelled != "%" or kind not in ("strength", "concentration"):
        return spelled
    if wanted.form in ("w/w", "w/v", "v/v"):
        return f"% {wanted.form}"
    if kind == "concentration":
        return spelled
    if wanted.form in ("powder", "tablet"):
        return "% w/w"
    percents = sorted({form for form in wanted.forms if form.startswith("% ")})
    return percents[0] if len(percents) == 1 else spelled


def _unresolved(text: str, spelled: str, term: Term, wanted: Wanted) -> Unreadable:
    kind = wanted.kind
    word = _SAME_WORD.get(spelled, spelled)
    if word in _AMBIGUOUS:
        why, all_choices = _AMBIGUOUS[word]
        choices = tuple(one for one in all_choices if one in kind.spellings)
        if choices:
            hint = f"write {_offered(term, choices)}"
            return _stop(text, "ambiguous-unit", f"{spelled} is not clear: {why}", hint, term)
    if spelled in _WEIGHED:
        hint = "weigh it once on your scale, with this product, and write grams"
        return _stop(text, "unknown-unit", f"{spelled} is no fixed amount", hint, term)
    if spelled in _NO_UNIT:
        hint = f"write {_offered(term, kind.offered)}"
        return _stop(text, "unknown-unit", f"{spelled} is not a unit used here", hint, term)
    if _per_volume(spelled):
        hint = "work it out for one litre and write mg/L, g/L, uL/L or mL/L"
        return _stop(text, "unknown-unit", f"{spelled} is not one unit", hint, term)
    if any(part[:1].isdigit() for part in spelled.split()):
        return _stop(text, "not-a-number", "a second number", "write one number", term)
    return _foreign(text, spelled, word, term, kind)


def _per_volume(spelled: str) -> bool:
    parts = spelled.replace("/", " / ").split()
    return "per" in parts or any(
        mark == "/" and after[:1].isdigit() for mark, after in pairwise(parts)
    )


def _foreign(text: str, spelled: str, word: str, term: Term, kind: Kind) -> Unreadable:
    """A unit of another kind, or of none."""
    home = next((other for other in KINDS.values() if spelled in other.spellings), None)
    if home is None and word in _AMBIGUOUS:
        home = next(o for o in KINDS.values() if set(_AMBIGUOUS[word][1]) & set(o.spellings))
    offered = f"write {_offered(term, kind.offered)}" if kind.offered else "write the number alone"
    if home is not None:
        noun = _NOUNS.get(_canonical(home, spelled, word), home.asks)
        hint = f"{offered}; between mass and volume the density is needed"
        hint = hint if {noun, kind.asks} == {"a mass", "a volume"} else offered
        return _stop(text, "wrong-kind", f"{spelled} is {noun}, not {kind.asks}", hint, term)
    near = _nearest(spelled, kind)
    hint = f"did you mean {_offered(term, (near,))}? Otherwise {offered}" if near else offered
    return _stop(text, "unknown-unit", f"{spelled} is not a unit known here", hint, term)


def _canonical(home: Kind, spelled: str, word: str) -> str:
    names = (spelled, *_AMBIGUOUS.get(word, ("", ()))[1])
    return next(home.spellings[name].canonical for name in names if name in home.spellings)


_NOUNS = {
    "g": "a mass", "mL": "a volume", "L": "a volume", "mg/L": "a mass in water",
    "uL/L": "a volume in water", "mg/kg": "a mass in a mass", "g/L": "a mass in water",
    "% w/v": "a weight in volume",
}  # fmt: skip
"""What units shared by several kinds are, by canonical unit."""


def _nearest(spelled: str, kind: Kind) -> str:
    from difflib import get_close_matches

    folded = {name.casefold(): unit.spelling for name, unit in kind.spellings.items() if name}
    words = {**folded, **{w: s for w, s in _IN_FULL.items() if s in kind.spellings}}
    found = get_close_matches(spelled.casefold(), words, n=1, cutoff=0.6)
    return words[found[0]] if found else ""


_IN_FULL = {
    "litre": "L", "litres": "L", "liter": "L", "liters": "L", "l": "L", "gram": "g", "grams": "g",
    "gr": "g", "gm": "g", "kilogram": "kg", "kilo": "kg", "kilos": "kg", "milligram": "mg",
    "millilitre": "mL", "milliliter": "mL", "cc": "mL", "cm3": "mL", "inch": "in",
    "inches": "in", "foot": "ft", "feet": "ft", "metre": "m", "meter": "m", "pound": "lb",
    "pounds": "lb", "lbs": "lb", "celsius": "C", "fahrenheit": "F", "hour": "h", "hours": "h",
    "hr": "h", "hrs": "h", "minute": "min", "minutes": "min", "mins": "min", "m": "min",
    "day": "d", "days": "d", "second": "s", "seconds": "s", "sec": "s", "lph": "L/h",
    "degrees": "C",
}  # fmt: skip
"""Words in full and the unit to suggest; they are suggested, never read."""


def _offered(term: Term, spellings: tuple[str, ...]) -> str:
    words = [f"{term.number:f} {name}" for name in spellings]
    return " or ".join(words) if len(words) < 3 else f"{', '.join(words[:-1])} or {words[-1]}"


def _stop(text: str, code: str, why: str, hint: str, term: Term) -> Unreadable:
    return Unreadable(Problem(code, f"{quoted(text)}: {why}", hint, column=term.unit_column))
