"""The waterline table as a page: the table, then the tape at full size, a sheet for each piece."""

from __future__ import annotations

from intake.drawing.tape import Piece, pieces
from intake.report.page import page, said
from intake.report.waterline import COLUMNS, Waterline, about, cells, mark_words, title
from intake.science.show import show

CHECK_MM = 100.0
"""The bar that is measured after printing [mm]: ten centimetres."""
_WIDTH_MM, _HEAD_MM, _TAPE_MM, _BAR_MM = 186.0, 14.0, 74.0, 116.0
ABOVE_MM = 4.0
"""Paper left over the highest mark, so that its words are whole [mm]."""
JOIN = ("lay the top mark of the", "lower piece on this line")


def as_page(sheet: Waterline) -> str:
    """The whole document."""
    rows = "\n".join(
        "<tr>" + "".join(f"<td>{said(text)}</td>" for text in cells(row)) + "</tr>"
        for row in reversed(sheet.rows)
    )
    heads = "".join(f"<th>{said(text)}</th>" for text in COLUMNS)
    notes = "".join(f"<li>{said(note)}</li>" for note in sheet.notes)
    cut = pieces([row.depth_cm for row in sheet.rows])
    sheets = "\n".join(_sheet(sheet, piece, n, len(cut)) for n, piece in enumerate(cut, 1))
    body = (
        f"<h1>{said(title(sheet))}</h1>\n<p>{said(about(sheet))}</p>\n"
        f"<table><thead><tr>{heads}</tr></thead><tbody>\n{rows}\n</tbody></table>\n"
        f"<ul>{notes}</ul>\n{sheets}"
    )
    return page(title(sheet), body)


def piece_words(sheet: Waterline, piece: Piece, number: int, count: int) -> str:
    """What stands over a piece of the tape."""
    ends = f"{show(piece.low_cm, '')} to {show(piece.high_cm, 'cm')} above the floor"
    return f"{sheet.vessel}: {ends}, piece {number} of {count}"


def _sheet(sheet: Waterline, piece: Piece, number: int, count: int) -> str:
    height = piece.length_mm
    total = max(height, CHECK_MM) + _HEAD_MM + 6
    parts = [
        _text(0, 5, piece_words(sheet, piece, number, count), 4.2, "bold"),
        f'<g transform="translate(0 {_HEAD_MM:g})">',
        f'<rect x="0.2" y="-{ABOVE_MM:g}" width="{_TAPE_MM:g}" '
        f'height="{height + ABOVE_MM:g}" fill="none" '
        'stroke="#999" stroke-width="0.2"/>',
    ]
    for mark in piece.marks:
        row = sheet.rows[mark.at]
        litres, ends = mark_words(row)
        parts += [
            _line(0.2, mark.down_mm, 14, mark.down_mm, 0.4),
            _text(15, mark.down_mm + 1.4, f"{show(row.depth_cm, '')}", 4, "normal"),
            _text(28, mark.down_mm + 1.5, litres, 4.6, "bold"),
            _text(50, mark.down_mm + 1.4, ends, 3.2, "normal"),
        ]
    if piece.joins_down_mm is not None:
        down = piece.joins_down_mm
        parts += [
            _line(_TAPE_MM - 6, down, _TAPE_MM + 6, down, 0.3),
            _text(_TAPE_MM + 7, down, JOIN[0], 3, "normal"),
            _text(_TAPE_MM + 7, down + 4, JOIN[1], 3, "normal"),
        ]
    if not piece.low_cm:
        parts.append(_text(15, height - 1, "floor", 3.2, "normal"))
    parts += [*_check_bar(), "</g>"]
    svg = "".join(parts)
    return (
        f'<div class="sheet"><svg xmlns="http://www.w3.org/2000/svg" width="{_WIDTH_MM:g}mm" '
        f'height="{total:g}mm" viewBox="0 0 {_WIDTH_MM:g} {total:g}">{svg}</svg></div>'
    )


def _check_bar() -> list[str]:
    x = _BAR_MM
    return [
        _line(x, 0, x, CHECK_MM, 0.8),
        _line(x - 3, 0, x + 3, 0, 0.4),
        _line(x - 3, CHECK_MM, x + 3, CHECK_MM, 0.4),
        _text(x + 5, 40, "measure this bar:", 4, "bold"),
        _text(x + 5, 46, "10 cm from end to end.", 4, "normal"),
        _text(x + 5, 52, "If it is not, print again", 4, "normal"),
        _text(x + 5, 58, "at 100 %, not fitted.", 4, "normal"),
    ]


def _line(x1: float, y1: float, x2: float, y2: float, thick: float) -> str:
    return (
        f'<line x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}" stroke="#111" '
        f'stroke-width="{thick:g}"/>'
    )


def _text(x: float, y: float, text: str, size: float, weight: str) -> str:
    return (
        f'<text x="{x:g}" y="{y:g}" font-size="{size:g}" font-weight="{weight}" '
        f'fill="#111">{said(text)}</text>'
    )
