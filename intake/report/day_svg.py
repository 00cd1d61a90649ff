"""A chart of readings over the days of a quarantine, as SVG that prints without colour."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from intake.drawing.line import ticks
from intake.report.page import said

WIDTH_MM, HEIGHT_MM = 186.0, 50.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 16.0, 30.0, 8.0, 11.0

KEY = (
    "grey: the target or the warm window; circles: as read, the stroke from the low to the high "
    "end of what the kit or the day leaves open, an arrow where it has no end"
)


@dataclass(frozen=True, slots=True)
class Point:
    """One reading `day` days after day 0; `high` None: open upwards."""

    day: float
    low: float
    value: float
    high: float | None


@dataclass(frozen=True, slots=True)
class DayChart:
    """Readings of one quantity from `first` to `last` [d from day 0], and what they should be.

    `low` and `high` are the ends of the target (None: open), `target` says it in words.
    """

    name: str
    unit: str
    day_0: date
    first: float
    last: float
    points: tuple[Point, ...]
    low: float | None
    high: float | None
    target: str
    joined_days: float = 3.0  # points further apart are not joined: nothing is known between


@dataclass(frozen=True, slots=True)
class _Scale:
    x: tuple[float, float]
    y: tuple[float, float]


def title(chart: DayChart) -> str:
    """The name, the unit and the target, as it stands over a chart."""
    unit = f", {chart.unit}" if chart.unit else ""
    return f"{chart.name}{unit}; {chart.target}" if chart.target else f"{chart.name}{unit}"


def drawn(chart: DayChart) -> str:
    """The chart, with its own words in it and nobody else's."""
    scale = _scale(chart)
    parts = [*_band(chart, scale), _text(0, 4, title(chart), 3.6, "bold"), *_axes(chart, scale)]
    places = [(_x(p.day, scale), _y(p.value, scale)) for p in chart.points]
    for n, (a, b) in enumerate(pairwise(places)):
        if chart.points[n + 1].day - chart.points[n].day <= chart.joined_days:
            parts.append(_stroke(*a, *b, "0.3"))
    for point, (x, y) in zip(chart.points, places, strict=True):
        parts += _point(point, x, y, scale)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH_MM:g}mm" '
        f'height="{HEIGHT_MM:g}mm" viewBox="0 0 {WIDTH_MM:g} {HEIGHT_MM:g}" '
        f'font-family="sans-serif">{"".join(parts)}</svg>'
    )


def _scale(chart: DayChart) -> _Scale:
    ends = [p.low for p in chart.points] + [p.value for p in chart.points]
    ends += [p.high for p in chart.points if p.high is not None]
    ends += [x for x in (chart.low, chart.high) if x is not None]
    low, high = min(ends, default=0.0), max(ends, default=1.0)
    if chart.low is None:
        low = min(low, 0.0)
    room = (high - low) * 0.08 or 0.5
    bottom = low if chart.low is None and low == 0 else low - room
    last = chart.last if chart.last > chart.first else chart.first + 1
    return _Scale((chart.first, last), (bottom, high + room))


def _band(chart: DayChart, scale: _Scale) -> list[str]:
    if chart.low is None and chart.high is None:
        return []
    top = _y(scale.y[1] if chart.high is None else chart.high, scale)
    bottom = _y(scale.y[0] if chart.low is None else chart.low, scale)
    parts = [
        f'<rect x="{_LEFT:.2f}" y="{top:.2f}" width="{WIDTH_MM - _LEFT - _RIGHT:.2f}" '
        f'height="{bottom - top:.2f}" fill="#ddd" stroke="none"/>'
    ]
    for end, word in ((chart.high, "at most"), (chart.low, "at least")):
        if end is not None:
            y = _y(end, scale)
            parts.append(_stroke(_LEFT, y, WIDTH_MM - _RIGHT, y, '0.5" stroke-dasharray="3 1.5'))
            parts.append(_text(WIDTH_MM - _RIGHT + 1, y + 1.1, f"{word} {end:g}", 3.2, "normal"))
    return parts


def _point(point: Point, x: float, y: float, scale: _Scale) -> list[str]:
    low = _y(point.low, scale)
    high = _TOP if point.high is None else _y(point.high, scale)
    parts = [_stroke(x, low, x, high, "0.5")] if low - high > 0.2 else []
    if point.high is None:
        parts.append(
            f'<path d="M{x - 1.2:.2f},{high + 2:.2f} L{x:.2f},{high:.2f} '
            f'L{x + 1.2:.2f},{high + 2:.2f}" fill="none" stroke="#111" stroke-width="0.5"/>'
        )
    parts.append(
        f'<circle cx="{x:.2f}" cy="{y:.2f}" r="0.9" fill="#fff" stroke="#111" stroke-width="0.5"/>'
    )
    return parts


def _axes(chart: DayChart, scale: _Scale) -> list[str]:
    bottom, right = HEIGHT_MM - _BOTTOM, WIDTH_MM - _RIGHT
    parts = [
        _stroke(_LEFT, bottom, right, bottom, "0.3"),
        _stroke(_LEFT, _TOP, _LEFT, bottom, "0.3"),
    ]
    for value in ticks(*scale.y, most=5):
        y = _y(value, scale)
        parts.append(_stroke(_LEFT - 1.5, y, _LEFT, y, "0.3"))
        parts.append(_text(_LEFT - 2.2, y + 1.1, f"{value:g}", 3.2, "normal", "end"))
    for n in day_marks(*scale.x):
        x, day = _x(n, scale), chart.day_0 + timedelta(n)
        parts.append(_stroke(x, bottom, x, bottom + 1.5, "0.3"))
        parts.append(_text(x, bottom + 4.8, f"day {n}", 3, "normal", "middle"))
        parts.append(_text(x, bottom + 8.6, f"{day.day} {day:%b}", 3, "normal", "middle"))
    return parts


def day_marks(first: float, last: float) -> list[int]:
    """Whole days to be marked, weeks where there are many; never more than ten."""
    every = next(e for e in (1, 2, 7, 14, 28, 91, 366) if (last - first) / e <= 9 or e == 366)
    return [n for n in range(-(-int(first) // every) * every, int(last) + 1, every) if n >= first]


def _x(day: float, scale: _Scale) -> float:
    share = (day - scale.x[0]) / (scale.x[1] - scale.x[0])
    return _LEFT + share * (WIDTH_MM - _LEFT - _RIGHT)


def _y(value: float, scale: _Scale) -> float:
    share = (value - scale.y[0]) / (scale.y[1] - scale.y[0])
    return HEIGHT_MM - _BOTTOM - share * (HEIGHT_MM - _TOP - _BOTTOM)


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
