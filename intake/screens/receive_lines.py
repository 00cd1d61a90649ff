"""Receive as lines: where a bag stands, the two waters, NH3 against its limit, the ways across."""

from __future__ import annotations

from textual.content import Content

from intake.flows.views.receive import STEPS, BagLine, Cell, Method, ReceiveList, ReceiveView
from intake.screens.theme import Look
from intake.screens.widgets.chart import Series, chart_lines
from intake.screens.widgets.levelbar import BarShape, bar_line
from intake.screens.widgets.lines import ends, padded, right, shorten
from intake.screens.widgets.options import first_shown

LABEL = 18
EACH = 14
WALL_AT = 0.52
ROWS = (
    ("peak NH3, mg/L", "peak"),
    ("exposure, mg.h/L", "exposure"),
    ("warming, C/h", "warming"),
    ("pH change", "ph"),
    ("time, min", "minutes"),
)
_MARKS = {"": "  ", "care": "▲ ", "stop": "■ "}
_ROLES = {"": "ink", "care": "care", "stop": "stop"}


def head_line(view: ReceiveView, width: int, look: Look) -> Content:
    """Which bag, and the five steps with the one it is at."""
    bag = f"{view.box} · bag {view.bag} of {view.bags}"
    left = look.say((bag, "bold"), (f"  {view.fish}, {view.packed}", "ink"))
    steps = steps_line(view.step, look)
    if left.cell_length + steps.cell_length + 2 > width:
        return left if left.cell_length <= width else look.say((shorten(bag, width), "bold"))
    return ends(left, steps, width)


def steps_line(step: str, look: Look) -> Content:
    """`✓ open ✓ read ● choose · run · settle`."""
    at = STEPS.index(step) if step in STEPS else len(STEPS)
    parts: list[str | tuple[str, str]] = []
    for n, name in enumerate(STEPS):
        mark, role = ("✓", "faint") if n < at else ("●", "key") if n == at else ("·", "faint")
        parts += [(f"{mark} {name}", role), " "]
    return look.say(*parts[:-1])


def choose_lines(
    view: ReceiveView, column: int, width: int, rows: int, look: Look
) -> list[Content]:
    """The comparison and the ways across, in at most `rows` lines."""
    roomy = rows >= 28 and width >= 96
    lines = [head_line(view, width, look), Content("")]
    lines += waters(view, width, look, roomy=roomy)
    levels = level_lines(view, width, look)
    ways = method_lines(view, column, width, look)
    spare = rows - len(lines) - len(levels) - len(ways)
    for group in (levels, ways):
        if spare > 0:
            lines.append(Content(""))
            spare -= 1
        lines += group
    if roomy and spare >= 8:
        lines += [Content(""), look.say(("NH3 the fish meet, mg/L", "faint"))]
        lines += curves(view, width, min(spare - 2, 12), look)
    return lines[:rows]


def waters(view: ReceiveView, width: int, look: Look, *, roomy: bool) -> list[Content]:
    """Bag water beside the vessel's, and the difference in words."""
    one = 10 if width < 60 else 14
    label = LABEL - 6 if width < 60 else LABEL - 5
    head = right("bag water", one) + right(view.vessel, one + 2)
    lines = [look.say(" " * label, (shorten(head, width - label), "faint"))]
    for row in view.compared:
        if row.roomy and not roomy:
            continue
        values = [f"{shown.text} {shown.unit}".strip() for shown in (row.bag, row.vessel)]
        room = width - label - 2 * one - 5
        lines.append(
            look.say(
                (padded(row.label, label), "soft"),
                (right(values[0], one), "ink"),
                (right(values[1], one + 2), "ink"),
                ("   " + shorten(row.said, room) if room > 6 else "", "soft"),
            )
        )
    return lines


def level_lines(view: ReceiveView, width: int, look: Look) -> list[Content]:
    """NH3 now, once opened, and in the worst mixture, against one wall."""
    if not view.levels:
        return []
    said = max(12, min(24, max(len(bar.said) + 2 for bar in view.levels)))
    number = max(6, max(len(bar.shown.text) for bar in view.levels) + 1)
    label = 18 if width >= 60 else 14
    cells = max(0, width - label - number - said - 4)
    if cells < 6:
        cells, said = 0, width - label - number - 2
    shape = BarShape(label, number, cells, said, WALL_AT)
    head = f"NH3, {view.nh3_unit}"
    limit = f"limit {view.nh3_limit:g}" if view.nh3_limit is not None else ""
    at = label + number + 2 + max(0, round(cells * WALL_AT) - len(limit) // 2)
    lines = [look.say((head.ljust(at)[:at] + limit, "faint"))]
    return lines + [bar_line(bar, shape, look) for bar in view.levels]


def method_lines(view: ReceiveView, column: int, width: int, look: Look) -> list[Content]:
    """The ways side by side; on a narrow screen as many as fit round the cursor."""
    methods = view.methods
    if not methods:
        return []
    label = LABEL - 1 if width >= 60 else 17
    fit = max(1, min(len(methods), (width - label) // EACH))
    each = min(27, (width - label) // fit)
    start = first_shown(column, len(methods), fit)
    shown = list(enumerate(methods))[start : start + fit]
    lines = [
        _cells(" " * label, [(_letter(m), at == column) for at, m in shown], each, look),
        _cells(" " * label, [([(m.title, "bold")], at == column) for at, m in shown], each, look),
    ]
    for text, name in ROWS:
        cells = [([_figure(getattr(m, name))], at == column) for at, m in shown]
        lines.append(_cells(text.ljust(label)[:label], cells, each, look))
    return lines


def _letter(method: Method) -> list[tuple[str, str]]:
    return [(method.letter, "key"), ("  ● best" if method.best else "", "good")]


def _figure(cell: Cell) -> tuple[str, str]:
    return _MARKS[cell.mark] + cell.text, _ROLES[cell.mark]


def _cells(
    label: str,
    cells: list[tuple[list[tuple[str, str]], bool]],
    each: int,
    look: Look,
) -> Content:
    parts: list[str | tuple[str, str]] = [(label, "soft")]
    for pieces, here in cells:
        ground = "@here" if here else ""
        parts.append(("▌" if here else " ", "touch" + ground))
        used = 1
        for text, role in pieces:
            text = shorten(text, each - used)
            parts.append((text, role + ground))
            used += len(text)
        parts.append((" " * (each - used), "ink" + ground))
    return look.say(*parts)


def curves(view: ReceiveView, width: int, rows: int, look: Look) -> list[Content]:
    """NH3 over time for every way across."""
    series = [
        Series(m.curve, f"{m.letter} {m.title}", "over" if m.peak.mark == "stop" else "soft")
        for m in view.methods
    ]
    return chart_lines(series, view.nh3_limit, "min", width, rows, look)


def bags_lines(view: ReceiveList, cursor: int, width: int, rows: int, look: Look) -> list[Content]:
    """Shipments on hand and the bags waiting, two rows each."""
    count = f"  {len(view.bags)} bags on hand"
    count += ", urgent first" if width >= 60 else ""
    lines = [look.say(("Receive", "bold"), (count, "ink"))]
    for claim in view.claims[:2]:
        lines.append(look.say(("▲ ", "care"), (shorten(claim, width - 2), "ink")))
    for name, detail in view.shipments[:3]:
        room = width - len(name) - 2
        lines.append(look.say((name, "ink"), ("  " + shorten(detail, room), "soft")))
    lines.append(Content(""))
    shown = max(1, (rows - len(lines)) // 2)
    start = first_shown(cursor, len(view.bags), shown)
    for at in range(start, min(len(view.bags), start + shown)):
        lines += _bag(view.bags[at], at == cursor, width, look)
    return lines[:rows]


def _bag(bag: BagLine, here: bool, width: int, look: Look) -> list[Content]:
    bar = ("▌ " if here else "  ", "touch")
    name = f"{bag.box} · bag {bag.bag}"
    head = look.say(bar, (name, "bold" if here else "ink"), (f"  {bag.fish}", "soft"))
    steps = steps_line(bag.step, look)
    if head.cell_length + steps.cell_length + 2 <= width:
        head = ends(head, steps, width)
    why = f"   {bag.why}" if bag.why else ""
    said = shorten(bag.said, width - 4 - len(why)) if len(why) < width - 10 else ""
    return [
        head, look.say(bar, "  ", (said, "soft"), (shorten(why, width - 4), "ink")),
    ]  # fmt: skip


def doubt_texts(view: ReceiveView) -> tuple[str, ...]:
    """Each doubt and what measuring it would change."""
    texts = tuple(f"{d.what}: {d.assumed}. {d.would_change}" for d in view.doubts)
    return texts or ("nothing is assumed",)


def why_texts(view: ReceiveView) -> tuple[str, ...]:
    """What each way across does, and what the figures assume."""
    texts = tuple(f"{m.letter} {m.title}: {m.because}" for m in view.methods)
    return texts + tuple(f"assumed: {text}" for m in view.methods[:1] for text in m.assumes)
