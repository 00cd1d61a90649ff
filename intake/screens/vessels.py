"""Vessels: the drawing, the true water at today's line, and how well it is known."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.vessels import VesselsView, VesselView
from intake.screens.lines import ask_line, record_mark
from intake.screens.question import HELP_KEY, LinesScreen
from intake.screens.theme import Look
from intake.screens.vessel_lines import compare_texts, empty_lines, vessel_lines
from intake.screens.vessel_sizing import VesselSizing
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.painted_lines import Lines

NONE_YET = "No vessel in this room yet.  n  New: a tape and five minutes."


class VesselsScreen(VesselSizing):
    """One vessel at a time; up and down go through them in round order."""

    MODE: ClassVar[str] = "vessels"
    HELP: ClassVar[str] = (
        "The volume is the true water at today's line: gravel, rock and filters taken off. The "
        "doubt after it comes from the tape. Limits use the smaller end. Press a when the line is "
        "at its mark, l when it has moved; n for a new vessel; m to measure again; g for gravel; "
        "f to check the tape by filling or by salt, b by the bucket; c to compare the ways, s to "
        "settle which one holds; p makes papers: the waterline table, the card to tape to the "
        "tub, the record of a dose; u corrects an entry; i takes a vessel out of the water it "
        "shares or lets it in again; k says which other water it touches; o says how long it "
        "lasts without air, and what is due next; r shows what is left of its treatments over "
        "days and plans its changes; t takes in the temperatures of a logger from its file."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("down", "↑ ↓", "Vessel"),
        Foot("n", "n", "New"),
        Foot("m", "m", "Measure"),
        Foot("a", "a", "At mark"),
        Foot("l", "l", "Line"),
        Foot("f", "f", "Gauge"),
        HELP_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
        Binding("n", "new", show=False),
        Binding("m", "measure", show=False),
        Binding("a", "at_mark", show=False),
        Binding("l", "waterline", show=False),
        Binding("u", "correct", show=False),
        Binding("p", "print", show=False),
        Binding("g", "gravel", show=False),
        Binding("b", "buckets", show=False),
        Binding("f", "gauge", show=False),
        Binding("s", "settle", show=False),
        Binding("c", "compare", show=False),
        Binding("i", "apart", show=False),
        Binding("k", "link", show=False),
        Binding("o", "ahead", show=False),
        Binding("r", "residue", show=False),
        Binding("t", "logger", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.list = None
        self.view = None
        self.at = 0

    def compose_body(self) -> ComposeResult:
        """All of it is one composition."""
        yield Lines(self._lines, id="vessel", classes="tall")

    def appeared(self) -> None:
        """The vessel the keeper stands at, else the one shown before."""
        self.ask(lambda jobs: jobs.vessels(), self._listed)

    def wrong_vessel(self) -> str:
        """The vessel shown."""
        return self.view.vessel if self.view else ""

    def _listed(self, vessels: VesselsView) -> None:
        wanted = self.desk.take("vessel") or self.desk.here or self.wrong_vessel()
        self.list = vessels
        names = [line.vessel for line in vessels.vessels]
        self.at = names.index(wanted) if wanted in names else min(self.at, max(0, len(names) - 1))
        if names:
            self.load()
        else:
            self.because.explain(vessels.because)
            self.query_one("#vessel", Lines).refresh()

    def load(self) -> None:
        """The vessel the cursor is on, as it is now."""
        if self.list and self.list.vessels:
            name = self.list.vessels[self.at].vessel
            self.ask(lambda jobs: jobs.vessel(name), self._show)

    def _show(self, view: VesselView) -> None:
        self.view = view
        self.because.explain(view.because)
        self.query_one("#vessel", Lines).refresh()

    def _lines(self, width: int, look: Look) -> list[Content]:
        if self.list is not None and not self.list.vessels:
            return empty_lines(NONE_YET, width, look)
        if self.view is None:
            return [look.say(("· · ·", "faint"))]
        return vessel_lines(self.view, width, self.query_one("#body").size.height, look)

    def action_step(self, by: int) -> None:
        """The vessel before or after."""
        if self.list and self.list.vessels:
            self.at = (self.at + by) % len(self.list.vessels)
            self.desk.here = self.list.vessels[self.at].vessel
            self.load()

    def action_compare(self) -> None:
        """All ways the volume was found, in words."""
        if self.view is not None:
            title = f"How the water of {self.view.vessel} is known"
            self.app.push_screen(
                LinesScreen(title, compare_texts(self.view), self.view.agreement_said)
            )

    def action_at_mark(self) -> None:
        """The line is at its mark: recorded at once."""
        if self.view is not None:
            record_mark(self, self.view.vessel, lambda _recorded: self.load())

    def action_waterline(self) -> None:
        """One number; drawing and volume move at once, before it is saved."""
        if self.view is not None:
            ask_line(self, self.view, lambda _recorded: self.load())

    def action_print(self) -> None:
        """The waterline table, the card of the tub, the record of a dose."""
        from intake.screens.papers import ask_papers

        if self.view is not None:
            ask_papers(self, self.view.vessel)

    def action_ahead(self) -> None:
        """How long it lasts without air, its KH, the next change."""
        from intake.screens.forecast import ForecastScreen

        if self.view is not None:
            self.app.push_screen(ForecastScreen(self.view.vessel))

    def action_residue(self) -> None:
        """What is left in it over days, and its changes to come."""
        from intake.screens.residue import ResidueScreen

        if self.view is not None:
            self.app.push_screen(ResidueScreen(self.view.vessel))

    def action_logger(self) -> None:
        """The temperatures of a logger, from its file."""
        from intake.screens.logger_file import ask_logger

        if self.view is not None:
            ask_logger(self, self.view.vessel, lambda _recorded: self.load())

    def action_apart(self) -> None:
        """Out of the water it shares, or in again."""
        from intake.screens.joined import ask_apart

        if self.view is not None:
            ask_apart(self, self.view.vessel, lambda _recorded: self.load())

    def action_link(self) -> None:
        """Another water it touches."""
        from intake.screens.joined import ask_link

        if self.view is not None:
            ask_link(self, self.view.vessel, lambda _recorded: self.load())

    def action_correct(self) -> None:
        """An entry of this vessel said better, or taken back."""
        from intake.screens.correct import begin_correct

        if self.view is not None:
            begin_correct(self, self.view.vessel, lambda _recorded: self.load())
