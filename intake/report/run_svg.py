"""The charts of a run as SVG that prints without colour: grey band, black line, heavy limit."""

from __future__ import annotations

from intake.drawing.line import Points, ticks
from intake.drawing.run_chart import Panel, Scale, scale_of
from intake.report.crossing import panel_words
from intake.report.page import said

WIDTH_MM, HEIGHT_MM = 186.0, 62.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 16.0, 22.0, 8.0, 10.0


def chart(panel: Panel) -> str:
    """One chart, with its own words in it and nobody else's."""
    scale = scale_of(panel)
    parts = [_text(0, 4, panel_words(panel), 4, "bold"), *_axes(scale)]
    if panel.low and panel.high:
        ring = [*panel.high, *reversed(panel.low)]
        parts.append(f'<polygon points="{_points(ring, scale)}" fill="#ddd" stroke="none"/>')
    parts.append(_line(panel.before, scale, '0.3" stroke-dasharray="1 1.4'))
    parts.append(_line(panel.likely, scale, "0.6"))
    right = WIDTH_MM - _RIGHT
    if panel.limit is not None:
        y = _y(panel.limit, scale)
        parts.append(_stroke(_LEFT, y, right, y, '0.9" stroke-dasharray="4 1.6'))
        parts.append(_text(right + 1, y + 1.2, f"limit {panel.limit:g}", 3.2, "bold"))
    if panel.now is not None and scale.x[0] <= panel.now <= scale.x[1]:
        x = _x(panel.now, scale)
        parts.append(_stroke(x, _TOP, x, HEIGHT_MM - _BOTTOM, "0.4"))
        parts.append(_text(x + 0.8, _TOP + 3, "now", 3, "normal"))
    for minute, value in panel.measured:
        x, y = _x(min(minute, scale.x[1]), scale), _y(value, scale)
        parts.append(
            f'<circle cx="{x:.2f}" cy="{y:.2f}" r="1.3" fill="#fff" stroke="#111" '
            'stroke-width="0.6"/>'
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH_MM:g}mm" '
        f'height="{HEIGHT_MM:g}mm" viewBox="0 0 {WIDTH_MM:g} {HEIGHT_MM:g}" '
        f'font-family="sans-serif">{"".join(parts)}</svg>'
    )


KEY = "grey: from the low to the high end; line: likely; dotted: foretold when it was chosen;\
 circles: measured"


def _x(minute: float, scale: Scale) -> float:
    share = (minute - scale.x[0]) / (scale.x[1] - scale.x[0])
    return _LEFT + share * (WIDTH_MM - _LEFT - _RIGHT)


def _y(value: float, scale: Scale) -> float:
    share = (value - scale.y[0]) / (scale.y[1] - scale.y[0])
    return HEIGHT_MM - _BOTTOM - share * (HEIGHT_MM - _TOP - _BOTTOM)


def _points(points: Points, scale: Scale) -> str:
    return " ".join(f"{_x(x, scale):.2f},{_y(y, scale):.2f}" for x, y in points)


def _line(points: Points, scale: Scale, thick: str) -> str:
    if not points:
        return ""
    drawn = _points(points, scale)
    return f'<polyline points="{drawn}" fill="none" stroke="#111" stroke-width="{thick}"/>'


def _axes(scale: Scale) -> list[str]:
    bottom, right = HEIGHT_MM - _BOTTOM, WIDTH_MM - _RIGHT
    parts = [
        _stroke(_LEFT, bottom, right, bottom, "0.3"),
        _stroke(_LEFT, _TOP, _LEFT, bottom, "0.3"),
    ]
    for value in scale.y_ticks:
        y = _y(value, scale)
        parts.append(_stroke(_LEFT - 1.5, y, _LEFT, y, "0.3"))
        parts.append(_text(_LEFT - 2.5, y + 1.2, f"{value:g}", 3.2, "normal", "end"))
    marks = ticks(*scale.x, most=8)
    for value in marks:
        x = _x(value, scale)
        unit = " min" if value == marks[-1] else ""
        parts.append(_stroke(x, bottom, x, bottom + 1.5, "0.3"))
        parts.append(_text(x, bottom + 5.5, f"{value:g}{unit}", 3.2, "normal", "middle"))
    return parts


def _stroke(x1: float, y1: float, x2: float, y2: float, thick: str) -> str:
    return (
        f'<line x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke="#111" '
        f'stroke-width="{thick}"/>'
    )


def _text(x: float, y: float, text: str, size: float, weight: str, anchor: str = "start") -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:g}" font-weight="{weight}" '
        f'text-anchor="{anchor}" fill="#111">{said(text)}</text>'
    )
