"""Protocols: what the program goes by, whose it is, and what a change would do."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.protocols import ProtocolLine, ProtocolsView, ProtocolText
from intake.screens.protocol_lines import (
    changed_lines,
    columns_line,
    effect_lines,
    file_lines,
    head_line,
)
from intake.screens.question import HELP_KEY, LinesScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.rows import PagedRows

RESTORE = (("keep", "keep mine"), ("restore", "go back to the shipped one"))


class ProtocolsScreen(RoomScreen[None]):
    """The files above, what the one under the cursor does below."""

    MODE: ClassVar[str] = "protocols"
    HELP: ClassVar[str] = (
        "Every dose, plan and limit comes from one of these files; each number in them says its "
        "source. A file of yours with the same id wins over the shipped one. e edits it with its "
        "problems and its effect on a sample tub beside; r goes back to the shipped one. What "
        "was dosed keeps the file it was worked out with."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("enter", "enter", "Open"),
        Foot("e", "e", "Edit"),
        Foot("c", "c", "Compare"),
        Foot("n", "n", "Problem"),
        Foot("r", "r", "Restore"),
        Foot("slash", "/", "Find"),
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("e", "edit", show=False),
        Binding("c", "compare", show=False),
        Binding("n", "problem", show=False),
        Binding("r", "restore", show=False),
        Binding("slash", "find", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.view: ProtocolsView | None = None
        self.opened: ProtocolText | None = None

    def compose_body(self) -> ComposeResult:
        """Head, list, effect."""
        yield Lines(self._head, id="head")
        yield PagedRows[ProtocolLine](file_lines, height=1, id="rows")
        yield Lines(self._effect, id="effect", classes="tall")

    def on_mount(self) -> None:
        """The list has the keys."""
        self.rows.focus()

    @property
    def rows(self) -> PagedRows[ProtocolLine]:
        """The list."""
        return self.query_one("#rows", PagedRows)

    def appeared(self) -> None:
        """Files may have been changed outside."""
        self.ask(lambda jobs: jobs.protocols(), self._show)

    def _show(self, view: ProtocolsView) -> None:
        self.view = view
        self.rows.begin(len(view.lines))
        self.rows.give(0, view.lines)
        self._size_rows()
        self.because.explain(view.because)
        self.query_one("#head", Lines).refresh(layout=True)

    def laid_out(self) -> None:
        """The list takes what the effect leaves."""
        self._size_rows()

    def _size_rows(self) -> None:
        body = self.query_one("#body").size.height
        total = len(self.view.lines) if self.view else 1
        self.rows.styles.height = max(1, min(total, body - 3 - max(8, body // 3)))
        self.rows.refresh(layout=True)

    def _head(self, width: int, look: Look) -> list[Content]:
        if self.view is None:
            return [look.say(("Protocols", "bold"), ("  · · ·", "faint")), Content("")]
        return [head_line(self.view, width, look), Content(""), columns_line(width, look)]

    def _effect(self, width: int, look: Look) -> list[Content]:
        if self.opened is None:
            return []
        rows = self.query_one("#effect").size.height - 1
        return [Content(""), *effect_lines(self.opened, width, rows, look)]

    @on(PagedRows.Moved)
    def _moved(self) -> None:
        line = self.rows.row
        if line is not None:
            self.ask(lambda jobs: jobs.protocol(line.id), self._told, group="protocol")

    def _told(self, opened: ProtocolText) -> None:
        self.opened = opened
        self.because.explain(opened.because)
        self.query_one("#effect", Lines).refresh()

    @on(PagedRows.Opened)
    def _opened(self) -> None:
        self.action_edit()

    def action_edit(self) -> None:
        """The text with its problems and its effect beside it."""
        from intake.screens.protocol_edit import ProtocolEdit

        if self.opened is not None:
            self.app.push_screen(ProtocolEdit(self.opened), self._edited)

    def _edited(self, saved: tuple[str, str] | None) -> None:
        opened = self.opened
        if saved is not None and opened is not None:
            text, why = saved
            self.record(
                lambda jobs: jobs.protocol_save(opened.id, text, why), lambda _r: self.appeared()
            )

    def action_compare(self) -> None:
        """The lines that differ from the shipped file."""
        opened = self.opened
        if opened is not None:
            texts = changed_lines(opened.shipped_text, opened.text)
            said = texts or ("it is the shipped one, unchanged",)
            self.app.push_screen(LinesScreen(f"Compare  {opened.id}", said, opened.because))

    def action_problem(self) -> None:
        """The next file with a problem."""
        lines = self.view.lines if self.view else ()
        order = [*range(self.rows.cursor + 1, len(lines)), *range(self.rows.cursor + 1)]
        at = next((i for i in order if i < len(lines) and lines[i].problems), None)
        if at is None:
            self.because.say("No file has a problem.", "soft")
        else:
            self.rows.move_to(at)

    def action_restore(self) -> None:
        """Back to the shipped file; the keeper's own is kept beside it."""
        opened, line = self.opened, self.rows.row
        if opened is None or line is None or not line.own:
            self.because.say("This is the shipped file already.", "soft")
            return

        def answered(answer: str | None) -> None:
            if answer == "restore":
                self.record(
                    lambda jobs: jobs.protocol_restore(opened.id), lambda _r: self.appeared()
                )

        why = "your file is set aside, not deleted; courses under way keep what they began with."
        question = PickScreen(f"Restore  {opened.id}?", RESTORE, why)
        self.app.push_screen(question, answered)

    def action_find(self) -> None:
        """Finds a treatment by name."""
        from intake.screens.find import FindScreen

        self.app.push_screen(FindScreen())
