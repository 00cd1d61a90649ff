"""The cross-section with its sizes, and the view from above, as lines."""

from __future__ import annotations

from textual.content import Content

from intake.drawing.fromabove import EDGE, edged, from_above
from intake.drawing.section import AIR, GRAVEL, LINE, OUTSIDE, WATER, Section, section
from intake.flows.views.vessels import PlanView, Profile
from intake.screens.theme import Look

_INSIDE = {
    AIR: (" ", "ink", "wall-left", "wall-left"),
    LINE: ("▔", "waterline", "wall-wet", "wall-wet"),
    WATER: (" ", "wet", "wall-wet", "wall-wet"),
    GRAVEL: ("░", "gravel", "wall-wet", "wall-wet"),
}
_PLAIN = {AIR: " ", LINE: "~", WATER: "~", GRAVEL: "."}
_LEFT = 8
_RIGHT = 20
_CLOSE = (2, 12)
"""Margins where there is little room: an arrow at the left, the bare depth at the right."""
_LENGTHS = frozenset({"length", "diameter", "across"})


def drawing_lines(
    profile: Profile,
    width: int,
    rows: int,
    look: Look,
    *,
    arrow: str = "",
    unknown: frozenset[str] = frozenset(),
) -> list[Content]:
    """The cut vessel between its sizes: above, below and at the right; `rows` in all.

    `arrow` is where the tape goes now, `unknown` the sizes that stand there only to be drawn.
    """
    left, right = (_LEFT, _RIGHT) if width >= 60 else _CLOSE if width >= 26 else (0, 0)
    columns = max(8, width - left - right)
    cut = section(
        profile.outline,
        depth_cm=profile.depth_cm,
        rim_cm=profile.rim_cm,
        gravel_cm=profile.gravel_cm,
        columns=columns,
        rows=max(2, rows - 2),
    )
    depth = "?" if "depth" in unknown else f"{_cm(profile.depth_cm)} cm"
    notes = _notes(profile, cut, depth, close=right == _CLOSE[1]) if right else {}
    if arrow == "side":
        notes = {y: (text, "touch") for y, (text, _) in notes.items()}
    lost = bool(_LENGTHS & unknown)
    top = f"{'?' if lost else _cm(profile.length_waterline_cm) + ' cm'} at the waterline"
    floor = f"{'?' if lost else _cm(profile.length_floor_cm) + ' cm'} at the floor"
    at = 0 if cut.waterline_row is None else cut.waterline_row
    lines = [_size(top, cut, at, left, look, here=arrow == "top")]
    middle = (at + len(cut.rows)) // 2 if arrow == "middle" else None
    for y in range(len(cut.rows)):
        label = "line ".rjust(left) if left >= _LEFT and y == cut.waterline_row else " " * left
        if left and y == middle:
            label = "→ ".rjust(left)
        note, role = notes.get(y, ("", "soft"))
        lines.append(look.say((label, "touch"), _row(y, cut, look), ("  " + note, role)).rstrip())
    lines.append(_size(floor, cut, len(cut.rows) - 1, left, look, here=arrow == "floor"))
    return lines


def _cm(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")


def _notes(
    profile: Profile, cut: Section, depth: str, *, close: bool
) -> dict[int, tuple[str, str]]:
    rows = len(cut.rows)
    notes: dict[int, tuple[str, str]] = {}
    line = cut.waterline_row
    above = profile.rim_cm - profile.depth_cm
    if line is None:
        return notes
    if line > 0:
        notes[0] = ("rim" if close else f"rim, {_cm(above)} cm above", "faint")
    for y in range(line, rows):
        notes[y] = ("│", "soft")
    notes[line] = ("┬", "soft")
    notes[rows - 1] = ("┴", "soft")
    middle = (line + rows - 1) // 2
    notes[middle] = (f"{notes[middle][0]} {depth}{'' if close else ' of water'}", "ink")
    if cut.gravel_row is not None and cut.gravel_row != middle:
        mark = notes[cut.gravel_row][0]
        high = "" if close else f" {_cm(profile.gravel_cm)} cm"
        notes[cut.gravel_row] = (f"{mark} gravel{high}", "soft")
    return notes


def _size(
    text: str, cut: Section, at: int, left: int, look: Look, *, here: bool = False
) -> Content:
    text, role = (f"→ {text}", "key") if here else (text, "soft")
    row = cut.rows[at]
    start = row[0][1] // 2 if row[0][0] == OUTSIDE else 0
    end = cut.columns - (row[-1][1] // 2 if row[-1][0] == OUTSIDE else 0)
    room = end - start
    if room < len(text) + 6:
        pad = max(0, start + (room - len(text)) // 2)
        return look.say(" " * (left + pad), (text, role))
    dashes = room - len(text) - 4
    before = dashes // 2
    return look.say(
        " " * (left + start),
        ("├" + "─" * before, "faint"),
        (f" {text} ", role),
        ("─" * (dashes - before) + "┤", "faint"),
    )


def _row(y: int, cut: Section, look: Look) -> Content:
    row = cut.rows[y]
    if look.plain:
        return _plain_row(y, cut, look)
    halves = [kind for kind, count in row for _ in range(count)]
    inner = next((kind for kind, _ in row if kind not in (OUTSIDE, "wall")), AIR)
    fill, role, wall, _ = _INSIDE[inner]
    parts: list[tuple[str, str]] = []
    for one, other in zip(halves[::2], halves[1::2], strict=True):
        if one == other == "wall":
            parts.append(("█", "soft"))
        elif "wall" in (one, other):
            rest = other if one == "wall" else one
            glyph = "▌" if one == "wall" else "▐"
            parts.append((glyph, wall if rest != OUTSIDE else "wall-left"))
        elif one == OUTSIDE:
            parts.append((" ", "ink"))
        else:
            parts.append((fill, role))
    return look.say(*parts)


def _plain_row(y: int, cut: Section, look: Look) -> Content:
    """Walls as they lean there: in, out or straight up."""
    left, right = _walls(cut, y)
    above, below = _walls(cut, max(0, y - 1))[0], _walls(cut, min(len(cut.rows) - 1, y + 1))[0]
    walls = "||" if above == below else ("\\/" if above < below else "/\\")
    inner = next((kind for kind, _ in cut.rows[y] if kind not in (OUTSIDE, "wall")), AIR)
    fill = _PLAIN[inner] * (right - left - 1)
    return look.say(" " * left + walls[0] + fill + walls[1] + " " * (cut.columns - right - 1))


def _walls(cut: Section, y: int) -> tuple[int, int]:
    """The cells of the left and the right wall in a row."""
    halves = [kind for kind, count in cut.rows[y] for _ in range(count)]
    return halves.index("wall") // 2, (len(halves) - 1 - halves[::-1].index("wall")) // 2


def cut_lines(
    outline: tuple[tuple[float, float], ...],
    depth_cm: float,
    rim_cm: float,
    columns: int,
    rows: int,
    look: Look,
) -> list[Content]:
    """The cut vessel alone, without its sizes."""
    cut = section(
        outline, depth_cm=depth_cm, rim_cm=rim_cm, gravel_cm=0.0, columns=columns, rows=rows
    )
    return [_row(y, cut, look) for y in range(len(cut.rows))]


def above_lines(
    plan: PlanView, columns: int, rows: int, look: Look, *, gravel: bool
) -> list[Content]:
    """From above: the wall, water, and the floor only where gravel lies on it."""
    pixels = from_above(plan.waterline, plan.floor if gravel else (), columns, rows)
    pixels = edged(pixels)
    lines = []
    for upper, lower in zip(pixels[::2], pixels[1::2], strict=True):
        parts = [_pair(up, low, look) for up, low in zip(upper, lower, strict=True)]
        lines.append(look.say(*parts))
    return lines


def _pair(up: int, low: int, look: Look) -> tuple[str, str]:
    if look.plain:
        return (" ~.#"[max(up, low)], "ink")
    if not up and not low:
        return (" ", "ink")
    if up == low:
        return ("█", _ALONE[up])
    if not low:
        return ("▀", _ALONE[up])
    if not up:
        return ("▄", _ALONE[low])
    if EDGE in (up, low):
        rest = low if up == EDGE else up
        return ("▀" if up == EDGE else "▄", "wall-wet" if rest == 1 else "gravel")
    return ("▀", "plan-both" if up == 1 else "plan-under")


_ALONE = {1: "plan-water", 2: "plan-floor", EDGE: "soft"}
