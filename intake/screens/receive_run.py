"""A live run and the questions before it, as lines."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.receive import BagQuestion, ReceiveView, Run, RunStep
from intake.screens.receive_lines import head_line
from intake.screens.theme import Look
from intake.screens.widgets.figure import beside, figure_lines
from intake.screens.widgets.lines import padded, rows_of, shorten
from intake.screens.widgets.run_chart import LEAST_ROWS, key_line, panel_lines

_STEP_MARKS = {"done": ("✓", "faint"), "now": ("●", "key"), "later": (" ", "faint")}


def run_lines(
    view: ReceiveView, run: Run, chart: int, width: int, rows: int, look: Look
) -> list[Content]:
    """Minutes left in block digits, the steps, foretold beside measured; or one chart alone."""
    if 0 < chart <= len(run.panels):
        return _one_chart(view, run, chart, width, rows, look)
    lines = [head_line(view, width, look), *_minutes(run, width, look), Content("")]
    lines += [_step(step, width, look) for step in _unfolded(run, rows - len(lines))]
    left = rows - len(lines) - 1
    if run.checks and left >= 2:
        lines.append(Content(""))
        lines += _checks(run, width, min(left, len(run.checks) + 1), look)
    left = rows - len(lines) - 1
    each = (left - 1) // max(len(run.panels), 1)
    if run.panels and each >= LEAST_ROWS + 1:
        lines.append(Content(""))
        for panel in run.panels:
            last = panel is run.panels[-1]  # the last one has the minutes, and what is over
            rows_of_it = left - 1 - each * (len(run.panels) - 1) if last else each
            lines += panel_lines(panel, width, rows_of_it, look, minutes=last)
    return lines[:rows]


def _unfolded(run: Run, rows: int) -> list[RunStep]:
    """The steps; of those that are done only the newest, where readings and charts need room."""
    charts = (LEAST_ROWS + 3) * len(run.panels) if rows > 20 else 0
    if len(run.steps) + len(run.checks) + 3 + charts <= rows:
        return list(run.steps)
    done = sum(step.state == "done" for step in run.steps)
    return list(run.steps[max(done - 1, 0) :])


def _one_chart(
    view: ReceiveView, run: Run, chart: int, width: int, rows: int, look: Look
) -> list[Content]:
    """One figure as wide as the screen; the steps fold into the line of the one under way."""
    now = next((s for s in run.steps if s.state == "now"), run.steps[-1])
    left = f"{run.minutes} min {run.to_what}, {run.ends}" if run.ends else run.to_what
    said = look.say(
        (left, "bold"),
        ("   " + shorten(f"{now.number}  {now.text}", max(width - len(left) - 3, 0)), "soft"),
    )
    panel = run.panels[chart - 1]
    lines = [head_line(view, width, look), said, Content("")]
    lines += panel_lines(panel, width, rows - len(lines) - 1, look)
    return [*lines, key_line(panel, width, look)][:rows]


def _minutes(run: Run, width: int, look: Look) -> list[Content]:
    between = f"minutes, about, {run.to_what}"
    if run.minutes_low < run.minutes_high:
        between += f": {run.minutes_low} to {run.minutes_high}"
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
    cells = max(len(text) for _, *both, _ in run.checks for text in both) + 2
    cells = max(cells, 10)
    head = "foretold".rjust(cells) + "measured".rjust(cells)
    lines = [look.say(" " * 9, (head, "faint"))]
    for at, foretold, measured, said in run.checks[-(rows - 1) :]:
        lines.append(
            look.say(
                "  ",
                (at.ljust(7), "soft"),
                (foretold.rjust(cells), "faint"),
                (measured.rjust(cells), "ink"),
                ("   " + shorten(said, max(width - 12 - 2 * cells, 0)), "soft"),
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
