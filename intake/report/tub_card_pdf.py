"""The card of a tub as a PDF."""

from __future__ import annotations

from intake.report.tub_card import STOP, TubCard, dose_words, foot, sections, stop_signs, title
from intake.report.typeset import typeset
from intake.science.text import inert


def as_pdf(card: TubCard) -> bytes:
    """The whole document.

    Raises
    ------
    Refused
        As `typeset`.
    """
    return typeset(
        "tub_card",
        {
            "title": inert(title(card)),
            "litres": inert(card.litres),
            "small": inert(f"{card.mark}; {card.ends}. {card.today}"),
            "doses": [
                [inert(f"{c.treatment}, {c.so_far}"), *(inert(t) for t in dose_words(c))]
                for c in card.courses
            ],
            "sections": [[s.name, [inert(line) for line in s.lines]] for s in sections(card)],
            "stop_name": STOP,
            "stop": [inert(line) for line in stop_signs(card)],
            "foot": [inert(line) for line in foot(card)],
        },
    )
