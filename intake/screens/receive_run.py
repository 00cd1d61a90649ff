"""A live run and the questions before it, as lines."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.receive import BagQuestion, ReceiveView, Run, RunStep
from intake.screens.receive_lines import head_line
from intake.screens.theme import Look
from intake.screens.widgets.chart import Series, chart_lines
from intake.screens.widgets.figure import beside, figure_lines
from intake.screens.widgets.lines import padded, rows_of, shorten

_STEP_MARKS = {"done": ("✓", "faint"), "now": ("●", "key"), "later": (" ", "faint")}


def run_lines(view: ReceiveView, run: Run, width: int, rows: int, look: Look) -> list[Content]:
    """Minutes left in block digits, the steps, foretold beside measured."""
    lines = [head_line(view, width, look), *_minutes(run, width, look), Content("")]
    lines += [_step(step, width, look) for step in run.steps]
    left = rows - len(lines) - 1
    if run.checks and left >= 2:
        lines.append(Content(""))
        lines += _checks(run, width, min(left, len(run.checks) + 1), look)
    left = rows - len(lines) - 1
    if left >= 8:
        lines.append(Content(""))
        series = [
            Series(run.foretold, "foretold", "faint"),
            Series(run.measured, "measured", "bold"),
        ]
        lines += chart_lines(series, None, "min", width, min(left, 12), look)
    return lines[:rows]


def _minutes(run: Run, width: int, look: Look) -> list[Content]:
    between = f"minutes, about, {run.to_what}: {run.minutes_low} to {run.minutes_high}"
    said = [look.say((shorten(between, width - 20), "ink"))]
    said += [look.say((shorten(line, width - 20), "soft")) for line in run.lines[:2]]
    said.append(look.say((shorten(run.next_reading, width - 20), "soft")))
    if run.holding:
        said[0] = look.say(("held, no clock runs", "care"))
    figure = figure_lines(str(run.minutes), "", width, 4, look)
    return [line.truncate(width) for line in beside(figure, said, 3)]


def _step(step: RunStep, width: int, look: Look) -> Content:
    mark, role = _STEP_MARKS[step.state]
    head = look.say(
        "  ",
        (mark, role),
        (f" {step.number}  ", role),
        ((step.at or "").ljust(7), "soft"),
    )
    tail = ""
    bar: list[tuple[str, str]] = []
    if step.fraction is not None and width >= 60:
        cells = 20
        filled = max(0, min(cells, round(step.fraction * cells)))
        bar = [("━" * filled, "bold"), ("─" * (cells - filled), "rule")]
        tail = f" {step.ends}"
    elif step.ends:
        tail = f"  to {step.ends}"
    room = width - head.cell_length - (21 if bar else 0) - len(tail)
    words = "ink" if step.state == "now" else "faint" if step.state == "done" else "soft"
    text = padded(step.text, room - 1) if bar else shorten(step.text, room)
    return look.say(head, (text, words), *bar, (tail, "soft"))


def _checks(run: Run, width: int, rows: int, look: Look) -> list[Content]:
    lines = [look.say(" " * 12, ("foretold   measured", "faint"))]
    for at, foretold, measured, said in run.checks[-(rows - 1) :]:
        lines.append(
            look.say(
                "  ",
                (at.ljust(10), "soft"),
                (foretold.rjust(8), "faint"),
                (measured.rjust(11), "ink"),
                ("   " + shorten(said, width - 34), "soft"),
            )
        )
    return lines


def card_lines(
    view: ReceiveView,
    question: BagQuestion | None,
    width: int,
    rows: int,
    look: Look,
    typed: str = "",
) -> list[Content]:
    """One bag, one question at a time: what was answered, then what is asked."""
    lines = [head_line(view, width, look), Content("")]
    colours = colour_lines(question, typed, width, look) if question is not None else []
    answered = [q for q in view.questions if q is not question and q.text]
    left = max(0, rows - 9 - len(colours))
    for one in answered[len(answered) - min(left, len(answered)) :]:
        lines.append(_answer(one, width, look))
    if answered:
        lines.append(Content(""))
    if question is not None:
        lines.append(look.say((shorten(question.ask, width), "bold")))
        if question.hint:
            hint = rows_of(question.hint, width, width, 2)
            lines += [look.say((row, "soft")) for row in hint]
        lines += colours
        why = rows_of("? means not read: an honest range stands in for it", width, width, 2)
        lines += [look.say((row, "faint")) for row in why]
        lines.append(Content(""))
    return lines[:rows]


def colour_lines(question: BagQuestion, typed: str, width: int, look: Look) -> list[Content]:
    """The colours of the kit it is read with, the one typed marked, and what that leaves open."""
    if not question.kit:
        return []
    named = f"by {question.kit}"
    if not question.steps:
        return [look.say((shorten(named, width), "soft"))]
    unit = f" mg/L as {question.basis}" if question.basis else ""
    cells = [(f"▌{s}▐" if s == typed else f" {s} ", "key" if s == typed else "ink")
             for s in question.steps]  # fmt: skip
    row = look.say("  ", *cells, (unit, "soft"))
    lines = [look.say((shorten(f"{named}, ← → picks a colour, or type", width), "soft"))]
    lines.append(row if row.cell_length <= width else row.truncate(width))
    return [*lines, look.say((shorten(between_text(question.steps, typed), width), "soft"))]


def between_text(steps: tuple[str, ...], typed: str) -> str:
    """What picking a colour means: it is between its neighbours."""
    if typed not in steps:
        return ""
    at = steps.index(typed)
    if at == len(steps) - 1:
        return f"the top colour: over {steps[at - 1]}, no end known; dilute: 8 diluted 4"
    low = steps[at - 1] if at else "0"
    return f"between {low} and {steps[at + 1]}"


def _answer(question: BagQuestion, width: int, look: Look) -> Content:
    shown = question.shown
    value = f"{shown.text} {shown.unit}".strip() if shown else question.text
    head = look.say(("✓ ", "faint"), (padded(question.ask, 30), "soft"))
    said = f"{value}   {question.assumed}" if question.assumed else value
    role = "care" if question.assumed else "ink"
    return look.say(head, (shorten(said, width - 32), role))
