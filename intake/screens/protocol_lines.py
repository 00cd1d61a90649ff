"""Protocols as lines: the files, the effect of a change, a problem at its place."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from intake.flows.views.protocols import Effect, ProtocolLine, ProtocolsView, ProtocolText
from intake.science.problem import Problem
from intake.screens.theme import Look
from intake.screens.widgets.lines import ends, padded, right, shorten

_MARKS = {"": "", "care": "▲ ", "stop": "■ "}


def head_line(view: ProtocolsView, width: int, look: Look) -> Content:
    """How many files, how many with problems, how many of the keeper's own."""
    files = f"{view.files} files, {view.problem_files or 'no'} problem"
    files += "s" if view.problem_files > 1 or not view.problem_files else ""
    own = f", {view.own_files} of your own" if view.own_files else ""
    left = look.say(("Protocols", "bold"), (f"   {files}{own}", "ink"))
    return ends(left, look.say(("label and vet first", "soft")), width)


def columns_line(width: int, look: Look) -> Content:
    """The heads of the list."""
    name, status, use = widths(width)
    text = padded("file", name) + padded("status", status) + padded("in use", use)
    return look.say("    ", (shorten(text.rstrip(), width - 4), "faint"))


def widths(width: int) -> tuple[int, int, int]:
    """Cells of name, status and use."""
    name = min(30, max(20, width * 2 // 5))
    return name, 17 if width >= 60 else 0, 12 if width >= 70 else 0


def file_lines(line: ProtocolLine, here: bool, width: int, look: Look) -> list[Content]:
    """One file on one line."""
    name, status, use = widths(width - 4)
    wrong = f"■ {line.problems} problem{'s' if line.problems > 1 else ''}" if line.problems else ""
    room = width - 6 - name - status - use - 2
    tail = wrong or line.own
    advised = "care" if line.status == "not advised" else "soft"
    return [
        look.say(
            ("▌     " if here else "      ", "touch"),
            (padded(line.id, name), "bold" if here else "ink"),
            (padded(line.status, status) if status else "", advised),
            (padded(line.in_use, use) if use else "", "soft"),
            (shorten(tail, max(0, room)), "stop" if wrong else "touch"),
        )
    ]


def effect_lines(opened: ProtocolText, width: int, rows: int, look: Look) -> list[Content]:
    """What the file does on a sample tub, and its first problem at its place."""
    lines: list[Content] = []
    if opened.effects:
        label = min(34, width // 2)
        one = 12 if width >= 60 else max(6, (width - label) // 2)
        head = opened.sample
        lines.append(
            look.say(
                (padded(head, label + 4), "bold"),
                (right("shipped", one - 4) + right("yours", one), "faint"),
            )
            if width >= label + 2 * one + 4
            else look.say((shorten(head, width), "bold"))
        )
        lines += [_effect(effect, label, one, width, look) for effect in opened.effects]
    if opened.problems:
        if lines:
            lines.append(Content(""))
        lines += problem_lines(opened.problems[0], opened.text, width, look)
    return lines[:rows]


def _effect(effect: Effect, label: int, one: int, width: int, look: Look) -> Content:
    role = {"": "ink", "care": "care", "stop": "stop"}[effect.mark]
    room = width - label - 2 * one - 3
    return look.say(
        "  ",
        (padded(effect.label, label - 2), "soft"),
        (right(effect.shipped, one), "ink"),
        (right(effect.yours, one), "bold" if effect.mark else "ink"),
        ("   " + shorten(_MARKS[effect.mark] + effect.said, room) if room > 4 else "", role),
    )


def problem_lines(problem: Problem, text: str, width: int, look: Look) -> list[Content]:
    """The problem, its line, and a mark under what was read."""
    place = f"{problem.path}:{problem.line}:{problem.column}"
    said = f"  {problem.text}"
    lines = [look.say((shorten(place, width // 2), "bold"), (shorten(said, width // 2), "ink"))]
    rows = text.split("\n")
    if 1 <= problem.line <= len(rows):
        number = f"{problem.line:>6} | "
        row = rows[problem.line - 1]
        skip = max(0, problem.column - 1 - (width - len(number)) // 2)
        lines.append(look.say((number, "faint"), (row[skip : skip + width - len(number)], "ink")))
        at = len(number) + problem.column - 1 - skip
        length = max(1, len(_word_at(row, problem.column - 1)))
        hint = shorten(problem.hint, max(0, width - at - length - 3))
        lines.append(look.say(" " * at, ("^" * length, "stop"), ("   " + hint, "soft")))
    return lines


def _word_at(row: str, at: int) -> str:
    end = at
    while end < len(row) and not row[end].isspace() and row[end] not in ":,]}":
        end += 1
    return row[at:end]


def changed_lines(shipped: str, yours: str) -> tuple[str, ...]:
    """The lines that differ, shipped first; the same position counts as the same line."""
    from difflib import unified_diff

    rows: Sequence[str] = list(
        unified_diff(shipped.split("\n"), yours.split("\n"), lineterm="", n=1)
    )[2:]
    return tuple(row for row in rows if not row.startswith("@@"))
