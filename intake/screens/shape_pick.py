"""What shape is it? Every shape drawn small with its letter, the one under the cursor larger."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content

from intake.screens.question import BACK_KEY, HELP_KEY, PickScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import padded
from intake.screens.widgets.options import LETTERS, option_lines
from intake.screens.widgets.shape_drawing import cut_of, plan_of, small_lines

SHAPES = (
    ("box", "box: straight sides, four corners"),
    ("round", "round"),
    ("racetrack", "racetrack: straight sides, half-round ends"),
    ("oval", "oval: an ellipse"),
    ("polygon", "regular polygon"),
    ("bow", "box with a bow front"),
    ("lshape", "L shape"),
    ("outline", "any outline, by its corners"),
    ("bowl", "bowl, part of a sphere"),
    ("drum", "drum on its side"),
    ("slices", "slices: boxes stacked on each other"),
    ("levels", "a level table: litres at each height"),
)
TELLING = {
    "box": "four square corners. A curved front is a bow; a corner missing an L; corners that are "
    "not square an outline.",
    "round": "as wide one way as the other. Measure twice, square to each other: where it differs "
    "it is an oval.",
    "racetrack": "two straight sides, half-round ends: a stick along the side shows no gap. Taken "
    "for an oval it comes out 12 to 20 % too low.",
    "oval": "curved all the way: a stick along the side touches at one place. Taken for a "
    "racetrack it comes out 14 % too high or more.",
    "polygon": "equal flat sides, measured from flat to flat. Unequal sides are an outline.",
    "bow": "a straight back and one front that is an arc. Where both are curved it is an oval.",
    "lshape": "a box with one square corner missing. Anything else with corners is an outline.",
    "outline": "any straight walls, corner by corner. A round part is several corners close by.",
    "bowl": "part of a ball, cut off at the top. A round tub with leaning walls is round.",
    "drum": "a barrel on its side; depth from its lowest line. Standing on its end it is round.",
    "slices": "steps or shelves: level layers on each other, each as good as a box, floor first.",
    "levels": "no shape fits: fill it by the bucket and write the litres at each height.",
}
"""What tells a shape from the one it is taken for. Oval against racetrack by their areas: pi/4 of
length x width, and the same of the width squared beside (length - width) x width."""
ACROSS = 4
GRID_WIDTH, GRID_ROWS = 72, 15
"""The least room for the drawings; under it the shapes are a list [cells]."""


class ShapeScreen(PickScreen):
    """Arrows move over the drawings, enter or the letter takes one. Answers its name."""

    HELP: ClassVar[str] = (
        "Every shape has a letter: press it, or move with the arrows and press enter. The shape "
        "under the cursor is drawn larger, seen from above and cut through, and the line under it "
        "tells it from the one it is mixed up with. Leaning and bulging walls and a sloping floor "
        "come with the sizes."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("down", "← → ↑ ↓", "Move"),
        Foot("enter", "enter", "Take"),
        BACK_KEY,
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", show=False),
        Binding("down", "move(1)", show=False),
        Binding("left", "step(-1)", show=False),
        Binding("right", "step(1)", show=False),
    ]

    def __init__(self, title: str) -> None:
        super().__init__(title, SHAPES, TELLING[SHAPES[0][0]])

    @property
    def drawn(self) -> bool:
        """Whether there is room for the drawings."""
        body = self.query_one("#body").size
        return body.width >= GRID_WIDTH and body.height - 2 >= GRID_ROWS

    def action_move(self, rows: int) -> None:
        """A row up or down; in the list a line."""
        to = self.cursor + rows * (ACROSS if self.drawn else 1)
        self.action_step(to - self.cursor if 0 <= to < len(SHAPES) else 0)

    def action_step(self, by: int) -> None:
        """The shape before or after."""
        super().action_step(by)
        self.because.explain(TELLING[SHAPES[self.cursor][0]])

    def _lines(self, width: int, look: Look) -> list[Content]:
        rows = max(1, self.query_one("#body").size.height - 2)
        if not self.drawn:
            return option_lines([(w, "") for _, w in SHAPES], self.cursor, rows, width, look)
        grid = 48 if width < 100 else (width - 4) * 11 // 20
        left = _grid(self.cursor, grid // ACROSS, rows, look)
        right = _larger(SHAPES[self.cursor], width - 4 - grid, rows, look)
        blank = Content("")
        return [
            Content.assemble(
                "  ", _filled(left, y, grid), (right[y] if y < len(right) else blank)
            ).truncate(width)
            for y in range(min(rows, max(len(left), len(right))))
        ]


def _filled(lines: list[Content], y: int, width: int) -> Content:
    line = lines[y] if y < len(lines) else Content("")
    return Content.assemble(line, " " * max(0, width - line.cell_length))


def _grid(cursor: int, cell: int, rows: int, look: Look) -> list[Content]:
    """The drawings with their letters and names, `ACROSS` beside each other."""
    high = rows // -(-len(SHAPES) // ACROSS)
    lines: list[Content] = []
    for start in range(0, len(SHAPES), ACROSS):
        cells = [_cell(at, cursor, cell, high, look) for at in range(start, start + ACROSS)]
        lines += [
            Content.assemble(*(_filled(drawn, y, cell) for drawn in cells)) for y in range(high)
        ]
    return lines


def _cell(at: int, cursor: int, cell: int, high: int, look: Look) -> list[Content]:
    name = SHAPES[at][0]
    here = at == cursor
    mark = "▌" if here else " "
    drawn = small_lines(name, cell - 3, high - 2, look)[: high - 2]
    words = padded(name, cell - 3)
    head = look.say((mark, "touch"), (LETTERS[at], "key"), " ", (words, "bold" if here else "ink"))
    return [head, *(Content.assemble(" ", line) for line in drawn)]


def _larger(shape: tuple[str, str], width: int, rows: int, look: Look) -> list[Content]:
    """The shape under the cursor: from above, then cut."""
    name, words = shape
    lines = [look.say((padded(words, width), "bold"))] if width >= 40 else []
    plan = plan_of(name, width, (rows - 4) // 2, look)
    cut = cut_of(name, width, (rows - 3) // 2, look)
    if plan:
        lines += [look.say(("from above", "faint")), *plan]
    return [*lines, look.say(("cut through", "faint")), *cut][:rows]
