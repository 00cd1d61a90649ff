"""Receive: from the unopened bag to fish in a vessel, one bag at a time."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input

from intake.flows.views.receive import BagLine, BagQuestion, ReceiveList, ReceiveView
from intake.science.problem import Problem
from intake.screens.question import LinesScreen
from intake.screens.receive_asks import answer_of, ask_shipment, ask_way
from intake.screens.receive_keys import FEET, KEYS, LIST
from intake.screens.receive_lines import bags_lines, choose_lines, doubt_texts, why_texts
from intake.screens.receive_order import after, place
from intake.screens.receive_records import ReceiveRecords
from intake.screens.receive_run import card_lines, run_lines
from intake.screens.theme import Look
from intake.screens.widgets.buttons import BigButton
from intake.screens.widgets.footline import Foot, FootLine
from intake.screens.widgets.lines import rows_of
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.step_input import StepInput

FACE = "face"
"""The newest question of what to show counts, be it a bag or the list."""
NONE_YET = "No shipment on hand.  n  New shipment: who packed it, and when it came."


class ReceiveScreen(ReceiveRecords):
    """Open, read, choose, run, settle; leaving the mode does not stop a run."""

    MODE: ClassVar[str] = "receive"
    HELP: ClassVar[str] = (
        "One bag at a time. Answer what you read; ? stands for what you did not, and an honest "
        "range takes its place. Then the ways across stand side by side: the cursor begins on "
        "the one advised, enter takes it, another one asks a reason. In a run n is the next "
        "step, t a reading, h holds the bag shut whatever the clock says, g turns the charts, p "
        "puts them on paper. On the list b adds a bag and c writes down a claim; on the ways v "
        "says which vessel the fish go to. o is the list of bags, the most urgent first and "
        "why, b in a bag the next by urgency."
    )
    FEET: ClassVar[tuple[Foot, ...]] = FEET[LIST]
    BUTTONS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("checkpoint", "t", "Bag temperature"),
        ("next_step", "n", "Next step"),
        ("hold", "h", "Hold, keep shut"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *[Binding(key, action, show=False) for key, action in KEYS],
        Binding("left", "column(-1)", show=False),
        Binding("right", "column(1)", show=False),
        Binding("up", "line(-1)", show=False),
        Binding("down", "line(1)", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.list: ReceiveList | None = None
        self.view: ReceiveView | None = None
        self.cursor = 0
        self.column = 0
        self.chart = 0
        self.editing = False
        self._asked: BagQuestion | None = None

    def compose_body(self) -> ComposeResult:
        """Every face is one composition; the card has a field under it."""
        yield Lines(self._lines, id="face", classes="tall")
        yield StepInput(id="answer", max_length=40)

    def on_mount(self) -> None:
        """A run moves by itself: it is looked at again every quarter of a minute."""
        self.query_one("#answer").display = False
        self.query_one("#buttons").display = False
        self.set_interval(15, self._tick)

    def _tick(self) -> None:
        if self.is_current and self.face == "run" and not self.saving:
            self._load()

    def appeared(self) -> None:
        """The bag that was open, else the list; what is being written says itself what follows."""
        if self.saving:
            return
        if self.view is not None and not self.desk.take("box"):
            self._load()
        else:
            self.ask(lambda jobs: jobs.shipments(), self._listed, group=FACE)

    @property
    def face(self) -> str:
        """Which face shows: the list, or the step of the bag."""
        if self.view is None:
            return LIST
        return "read" if self.editing or self.view.step == "open" else self.view.step

    def wrong_vessel(self) -> str:
        """The vessel the bag goes to."""
        return self.view.vessel if self.view else ""

    def wrong_bag(self) -> tuple[str, int] | None:
        """The bag that is open, or under the cursor; none once its fish are out."""
        bag: ReceiveView | BagLine | None = self.view
        if bag is None and self.list and self.cursor < len(self.list.bags):
            bag = self.list.bags[self.cursor]
        return None if bag is None or bag.step in ("settle", "settled") else (bag.box, bag.bag)

    def _listed(self, view: ReceiveList) -> None:
        self.list = view
        if self.view is not None:
            self.cursor = place(view.bags, self.view) or 0
        self.cursor = max(0, min(self.cursor, len(view.bags) - 1))
        self.view = None
        self._repaint()

    def _load(self) -> None:
        view = self.view
        if view is not None:
            self.ask(lambda jobs: jobs.bag(view.box, view.bag), self._show, group=FACE)

    def _show(self, view: ReceiveView) -> None:
        fresh = self.view is None or self.view.step != view.step
        self.view = view
        if fresh and view.methods:
            self.column = next((i for i, m in enumerate(view.methods) if m.best), 0)
        self._repaint()

    def _repaint(self) -> None:
        face = self.face
        self._asked = self._question() if face == "read" else None
        answer = self.query_one("#answer", StepInput)
        answer.steps = self._asked.steps if self._asked is not None else ()
        answer.display = self._asked is not None
        self.query_one("#buttons").display = face == "run"
        self.query_one(FootLine).show(FEET[face])
        self.query_one("#face", Lines).refresh()
        if self._asked is not None:
            answer.max_length = 200 if self._asked.kind == "text" else 40
            answer.value = self._asked.text if self.editing else ""
            answer.focus()
        else:
            self.set_focus(None)
        hold = self.query_one("#hold", BigButton)
        run = self.view.run if self.view else None
        words = "Hold, keep shut" if run is None or run.shut else "Hold"
        hold.label = "Go on" if run and run.holding else words
        hold.refresh()
        self._explain()

    def _question(self) -> BagQuestion | None:
        questions = self.view.questions if self.view else ()
        if self.editing:
            return questions[self.cursor] if self.cursor < len(questions) else None
        return next((q for q in questions if not q.text), None)

    def _explain(self) -> None:
        view = self.view
        if view is None:
            self.because.explain("fish that came together are one shipment, until they settle.")
        elif self.face == "choose" and view.methods:
            method = view.methods[self.column]
            self.because.explain(method.because or view.because)
        elif view.run is not None and self.face == "run":
            self.because.explain(view.run.because)
        else:
            self.because.explain(view.because)

    def _lines(self, width: int, look: Look) -> list[Content]:
        rows = self.query_one("#face").size.height
        view = self.view
        if view is None:
            if self.list is None:
                return [look.say(("Receive", "bold"), ("  · · ·", "faint"))]
            if not self.list.bags and not self.list.shipments:
                return [look.say((row, "ink")) for row in rows_of(NONE_YET, width, width, 2)]
            return bags_lines(self.list, self.cursor, width, rows, look)
        if self.face == "choose":
            return choose_lines(view, self.column, width, rows, look)
        if self.face == "run" and view.run is not None:
            return run_lines(view, view.run, self.chart, width, rows, look)
        typed = self.query_one("#answer", StepInput).value.strip()
        return card_lines(view, self._asked, width, rows, look, typed)

    # moving

    def action_chart(self) -> None:
        """The steps, then temperature, pH and NH3 one after the other."""
        if self.view is not None and self.view.run is not None and self.face == "run":
            self.chart = (self.chart + 1) % (len(self.view.run.panels) + 1)
            self.query_one("#face", Lines).refresh()

    def action_line(self, by: int) -> None:
        """The bag before or after; while editing the question."""
        if self.view is None and self.list:
            self.cursor = max(0, min(self.cursor + by, len(self.list.bags) - 1))
        elif self.view is not None and self.editing:
            self.cursor = max(0, min(self.cursor + by, len(self.view.questions) - 1))
        else:
            return
        self._repaint()

    def action_column(self, by: int) -> None:
        """The way across before or after."""
        if self.view is not None and self.face == "choose":
            self.column = max(0, min(self.column + by, len(self.view.methods) - 1))
            self.query_one("#face", Lines).refresh()
            self._explain()

    def action_back(self) -> None:
        """From a bag to the list; a run goes on."""
        if self.editing:
            self.editing = False
            self._load()
        elif self.view is not None:
            self.action_other_bag()

    def action_enter(self) -> None:
        """Opens a bag, takes a way across, or settles."""
        if self.view is None:
            bags = self.list.bags if self.list else ()
            if bags:
                self._open(bags[self.cursor])
        elif self.face == "choose":
            self._choose()
        elif self.face == "settle":
            self.action_settle()

    def action_next_bag(self) -> None:
        """The bag after this one by urgency; on the list one more bag."""
        if self.view is None:
            self.action_add_bag()
        else:
            self.ask(lambda jobs: jobs.shipments(), self._next)

    def _next(self, found: ReceiveList) -> None:
        bag = None if self.view is None else after(found.bags, self.view)
        if bag is not None:
            self.editing, self.chart = False, 0
            self._open(bag)

    def _open(self, bag: BagLine) -> None:
        self.ask(lambda jobs: jobs.bag(bag.box, bag.bag), self._show, group=FACE)

    def action_other_bag(self) -> None:
        """The list of bags."""
        self.editing = False
        self.ask(lambda jobs: jobs.shipments(), self._listed, group=FACE)

    def action_edit_bag(self) -> None:
        """Goes through the answers again; the journal keeps both."""
        if self.view is not None and self.face == "choose":
            self.editing, self.cursor = True, 0
            self._repaint()

    def action_doubts(self) -> None:
        """Each doubt and what measuring it would change."""
        if self.view is not None:
            why = "what is assumed counts at the end that harms."
            self.app.push_screen(LinesScreen("Doubts", doubt_texts(self.view), why))

    def action_why(self) -> None:
        """What the advice rests on."""
        if self.view is not None:
            self.app.push_screen(
                LinesScreen("Why this way", why_texts(self.view), self.view.because)
            )

    @on(Input.Changed, "#answer")
    def _typing(self, event: Input.Changed) -> None:
        event.stop()
        self.query_one("#face", Lines).refresh()

    # recording

    def again(self, _recorded: object) -> None:
        """The bag as it is now."""
        self._load()

    def action_new(self) -> None:
        """A shipment at the door; in a run the next step."""
        if self.face == "run":
            self.action_next_step()
        elif self.view is None:
            ask_shipment(self, self.to_list)

    def to_list(self, _recorded: object) -> None:
        """Back to the bags on hand."""
        self.action_other_bag()

    @on(Input.Submitted, "#answer")
    def _answered(self, event: Input.Submitted) -> None:
        event.stop()
        question, view = self._asked, self.view
        text = event.value.strip()
        if question is None or view is None or not text:
            return
        said = answer_of(question, text)
        if isinstance(said, Problem):
            hint = f"; {said.hint}" if said.hint else ""
            self.because.say(f"{said.text}{hint}. Nothing was recorded.", "stop")
            return
        if self.editing:
            self.cursor += 1
            self.editing = self.cursor < len(view.questions)
        self.record(
            lambda jobs: jobs.bag_save(view.box, view.bag, {question.field: said}), self.again
        )

    def _choose(self) -> None:
        if self.view is not None and self.view.methods:
            ask_way(self, self.view, self.view.methods[self.column], self.again)
