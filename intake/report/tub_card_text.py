"""The card of a tub as plain text of 80 columns."""

from __future__ import annotations

from intake.report.columns import WIDTH, folded
from intake.report.tub_card import STOP, TubCard, dose_words, foot, sections, stop_signs, title

_LEAD = 18


def as_text(card: TubCard) -> str:
    """Name, litres, the doses due, then the rest."""
    lines = [
        *folded(title(card)),
        "=" * WIDTH,
        *folded(f"{card.litres} {card.mark}; {card.ends}"),
        *folded(card.today),
        "",
        *_courses(card),
    ]
    for section in sections(card):
        lines += _under(section.name, section.lines)
    signs = stop_signs(card)
    lines += ["", *_under(STOP, signs)] if signs else []
    lines.append("-" * WIDTH)
    for line in foot(card):
        lines += folded(line)
    return "\n".join(lines) + "\n"


def _courses(card: TubCard) -> list[str]:
    lines: list[str] = []
    for course in card.courses:
        when, amount, why = dose_words(course)
        lines += folded(f"{course.treatment}, {course.so_far}")
        lines += folded(f"{when}: {amount}; {why}", "  ", "    ")
    return [*(lines or ["No course runs."]), ""]


def _under(name: str, texts: tuple[str, ...]) -> list[str]:
    lines: list[str] = []
    lead = name.ljust(_LEAD)
    for text in texts:
        lines += folded(text, lead, " " * (_LEAD + 2))
        lead = " " * _LEAD
    return lines
