"""The card of a tub as a page: its name, litres and amounts can be read across a room."""

from __future__ import annotations

from intake.report.page import page, said
from intake.report.tub_card import (
    STOP,
    CourseLine,
    TubCard,
    dose_words,
    foot,
    sections,
    stop_signs,
    title,
)

_STYLE = """<style>
h1 { font-size: 40pt; line-height: 1.05; margin: 0; }
.litres { font-size: 34pt; font-weight: bold; line-height: 1.1; margin: 2mm 0 0; }
.small { font-size: 11pt; margin: 0 0 2mm; }
.dose { border: 0.6mm solid #111; padding: 2mm 3mm; margin: 2mm 0; break-inside: avoid; }
.dose p { margin: 0; }
.amount { font-size: 30pt; font-weight: bold; line-height: 1.1; overflow-wrap: anywhere; }
.amount span { font-size: 20pt; padding-right: 6mm; }
h2 { font-size: 10.5pt; margin: 3mm 0 0.5mm; border-bottom: 0.3mm solid #111;
  break-after: avoid; }
.two { columns: 2; column-gap: 8mm; }
.two section { break-inside: avoid; }
.two p, .stop p { margin: 0 0 0.5mm; overflow-wrap: anywhere; }
.stop { border: 0.6mm solid #111; padding: 1mm 3mm 2mm; margin: 3mm 0; break-inside: avoid; }
.foot p { font-size: 8.5pt; margin: 0; }
</style>"""


def as_page(card: TubCard) -> str:
    """The whole document."""
    doses = "\n".join(_dose(course) for course in card.courses)
    rest = "\n".join(
        f"<section><h2>{said(s.name)}</h2>{_lines(s.lines)}</section>" for s in sections(card)
    )
    body = (
        f"{_STYLE}<h1>{said(title(card))}</h1>\n"
        f'<p class="litres">{said(card.litres)}</p>\n'
        f'<p class="small">{said(card.mark)}; {said(card.ends)}. {said(card.today)}</p>\n'
        f'{doses or "<p>No course runs.</p>"}\n<div class="two">\n{rest}\n</div>\n'
        f"{_stop(card)}\n"
        f'<div class="foot">{_lines(foot(card))}</div>'
    )
    return page(title(card), body)


def _stop(card: TubCard) -> str:
    signs = stop_signs(card)
    return f'<div class="stop"><h2>{said(STOP)}</h2>{_lines(signs)}</div>' if signs else ""


def _dose(course: CourseLine) -> str:
    when, amount, why = dose_words(course)
    return (
        f'<div class="dose"><p>{said(course.treatment)}, {said(course.so_far)}</p>'
        f'<p class="amount"><span>{said(when)}</span> {said(amount)}</p>'
        f"<p>{said(why)}</p></div>"
    )


def _lines(texts: tuple[str, ...]) -> str:
    return "".join(f"<p>{said(text)}</p>" for text in texts)
