"""The lines of Today: headline, segments of the walk, alert, side sheet."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.today import Alert, RoundStop, TodayView
from intake.screens.theme import Look
from intake.screens.widgets.lines import ends, rows_of, shorten

NO_VESSEL = "No vessel in this room yet.  Press 6, then m, to measure the first one."

URGENCY = {
    "call-vet": ("■ call your vet", "stop"),
    "isolate": ("▲ keep apart", "care"),
    "test-water": ("▲ test the water", "care"),
    "watch": ("▲ watch", "care"),
}


def by_urgency(alert: Alert) -> int:
    """Sorts the most urgent first."""
    return list(URGENCY).index(alert.urgency)


def headline_lines(view: TodayView | None, width: int, look: Look) -> list[Content]:
    """How far the round is, and the date."""
    if view is None:
        return [look.say(("Round", "bold"), ("  · · ·", "faint"))]
    if not view.stops:
        return [look.say((line, "ink")) for line in rows_of(NO_VESSEL, width, width, 2)]
    done = sum(1 for stop in view.stops if stop.done_text)
    said = f"{done} of {len(view.stops)} done"
    if view.minutes_left and done < len(view.stops):
        said += f"  ·  about {view.minutes_left} min left"
    left = look.say(("Round", "bold"), "  ", (said, "ink"))
    return [ends(left, look.say((view.date_text, "soft")), width)]


def segment_lines(view: TodayView | None, here: int, width: int, look: Look) -> list[Content]:
    """The walk as segments, one for each vessel."""
    stops = view.stops if view else ()
    if not stops:
        return [Content("")]
    shown = stops[:width]
    gap = 2 if width // len(shown) >= 6 else 1 if width // len(shown) >= 3 else 0
    each, left_over = divmod(width - gap * (len(shown) - 1), len(shown))
    parts: list[str | tuple[str, str]] = []
    for at, stop in enumerate(shown):
        glyph, role = ("━", "soft") if stop.done_text else ("─", "rule")
        if at == here:
            glyph, role = ("▀", "touch")
        parts += [(glyph * (each + (at < left_over)), role), " " * gap]
    return [look.say(*parts[:-1])]


def alert_lines(view: TodayView | None, width: int, look: Look, *, roomy: bool) -> list[Content]:
    """The most urgent thing the room says, and how many more there are."""
    alerts = sorted(view.alerts, key=by_urgency) if view else []
    if not alerts:
        return [Content("")]
    word, role = URGENCY[alerts[0].urgency]
    more = f"  e  + {len(alerts) - 1} more" if len(alerts) > 1 else ""
    room = width - len(word) - 2 - len(more)
    text = shorten(alerts[0].text, room)
    line = look.say((word, role), "  ", (text, "ink"), (more, "soft"))
    return [Content(""), line, Content("")] if roomy else [line]


def sheet_lines(stop: RoundStop, width: int, look: Look) -> list[Content]:
    """The vessel under the cursor, beside the list in the roomy layout."""
    lines = [look.say((shorten(stop.vessel, width), "bold")), Content("")]
    label = max((len(name) for name, _ in stop.sheet), default=0) + 2
    for name, value in stop.sheet:
        rows = rows_of(value, width - label, width - label, 2)
        lines.append(look.say((name.ljust(label), "soft"), rows[0]))
        lines += [look.say(" " * label, row) for row in rows[1:]]
    lines.append(Content(""))
    for task in stop.tasks:
        mark = {"done": "✓", "skipped": "┄"}.get(task.state, "○")
        figure = f" {task.figure}" if task.figure else ""
        words = shorten(f"{task.text}{figure} {task.at}".rstrip(), width - 3)
        role = "faint" if task.state in ("done", "skipped") else "ink"
        lines.append(look.say((mark, role), "  ", (words, role)))
        if task.because and task.state in ("due", "overdue"):
            rows = rows_of(task.because, width - 3, width - 3, 2)
            lines += [look.say("   ", (row, "faint")) for row in rows]
    return lines
