"""The anatomy every screen shares: strip, headline, body, because, buttons, footer."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar, TypeVar, cast

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget
from textual.worker import get_current_worker

from intake.flows.views.parts import Recorded
from intake.science.problem import Refused, Unreadable
from intake.screens.desk_app import DeskApp
from intake.screens.jobs import Jobs
from intake.screens.painted import look_of
from intake.screens.saying import no_text, recorded_text
from intake.screens.theme import Look
from intake.screens.widgets.bath_banner import KEY, BathBanner
from intake.screens.widgets.because import Because
from intake.screens.widgets.buttons import BigButton
from intake.screens.widgets.footline import Foot, FootLine
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.strip import ModeStrip

LEAST_WIDTH, LEAST_HEIGHT = 40, 12
PHONE_WIDTH = 60
ROOMY_WIDTH, ROOMY_HEIGHT = 100, 36
SLOW_S = 0.4
"""After this long a word says what is being waited for, seconds."""

Value = TypeVar("Value")
Answer = TypeVar("Answer")
Failed = Callable[[Refused | Unreadable], None]


class RoomScreen(Screen[Answer]):
    """One mode, or one question in front of it."""

    MODE: ClassVar[str] = ""
    DATED: ClassVar[bool] = False  # whether it shows a day's list, which midnight changes
    HELP: ClassVar[str] = ""
    FEET: ClassVar[tuple[Foot, ...]] = ()
    BUTTONS: ClassVar[tuple[tuple[str, str, str], ...]] = ()  # (id, key, label), first is lit
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "back", "Back", show=False),
        Binding("question_mark", "help", "Help", show=False),
        Binding("0,f9", "wrong", "Something is wrong", show=False),
        Binding(KEY, "lift", "They are out", show=False),
    ]
    URGENT: ClassVar[frozenset[str]] = frozenset({"0", "f9"})
    """Keys that are answered at once: they only show what to do."""

    def compose(self) -> ComposeResult:
        """The frame; a mode gives its body and its buttons."""
        yield ModeStrip(self.mode_shown)
        yield BathBanner(id="air")
        with Vertical(id="body"):
            yield from self.compose_body()
        yield Because()
        buttons = list(self.compose_buttons())
        if buttons:
            yield Horizontal(*buttons, id="buttons")
        yield FootLine(self.FEET)
        yield Lines(self._small_lines, id="small")

    def compose_body(self) -> ComposeResult:
        """What the mode shows."""
        yield from ()

    def compose_buttons(self) -> Iterable[Widget]:
        """The three-row buttons, the first one lit."""
        for at, (name, key, label) in enumerate(self.BUTTONS):
            yield BigButton(label, key, id=name, first=at == 0)

    @property
    def mode_shown(self) -> str:
        """The mode lit in the strip: a question lights the one it belongs to."""
        return self.MODE or self.app.current_mode

    @property
    def desk(self) -> DeskApp:
        """The app, as what it is."""
        return cast(DeskApp, self.app)

    @property
    def look(self) -> Look:
        """How to paint."""
        return look_of(self)

    @property
    def because(self) -> Because:
        """The two rows over the footer."""
        return self.query_one(Because)

    @property
    def roomy(self) -> bool:
        """Wide and high enough for what the roomy layout adds."""
        return self.size.width >= ROOMY_WIDTH and self.size.height >= ROOMY_HEIGHT

    @property
    def small(self) -> bool:
        """Too small to show anything that is safe to act on."""
        return self.size.width < LEAST_WIDTH or self.size.height < LEAST_HEIGHT

    def small_note(self) -> str:
        """What must be said even then: an open dose or a timer."""
        return ""

    def _small_lines(self, width: int, look: Look) -> list[Content]:
        size = f"this is {self.size.width} x {self.size.height}"
        lines = [f"{LEAST_WIDTH} x {LEAST_HEIGHT} needed,", size, self.small_note()]
        lines += [f"{t.where} {t.word}" for t in self.desk.timers]
        return [look.say((line[:width], "bold")) for line in lines if line]

    def on_resize(self, event: events.Resize) -> None:
        """Close or roomy, or the page that says it is too small."""
        self.set_class(self.small, "-small")
        self.set_class(self.roomy, "-roomy")
        self.set_class(self.size.width < PHONE_WIDTH, "-phone")
        self.laid_out()
        del event

    def laid_out(self) -> None:
        """Called when the room there is has changed."""

    def on_screen_resume(self) -> None:
        """A screen that appears is dead to keys for a moment, and shows what is true now."""
        if self._in_front:
            return  # the first switch to a mode resumes it twice
        self._in_front = True
        self.desk.guard.screen_appeared()
        self.appeared()

    def on_screen_suspend(self) -> None:
        """Another screen is in front."""
        self._in_front = False

    def appeared(self) -> None:
        """Called each time the screen comes to the front."""

    def new_day(self) -> None:
        """Called at midnight, or when the machine wakes on another day, while it is in front."""
        if self.DATED:
            self.appeared()

    # asking and recording

    def ask(
        self,
        job: Callable[[Jobs], Value],
        then: Callable[[Value], None],
        *,
        failed: Failed | None = None,
        group: str = "",
        waiting: str = "reading the journal",
    ) -> None:
        """Runs a job in a worker thread and brings its values back.

        A newer one for the same `group` replaces it; without one, for the same `then`: a screen
        that reloads must not cancel what a question just asked.
        """
        desk = self.desk
        group = group or getattr(then, "__qualname__", "")
        because = self.because

        def answered(result: Value | Refused | Unreadable) -> None:
            because.wait("")
            if isinstance(result, (Refused, Unreadable)):
                (failed or self.refused)(result)
            else:
                then(result)

        def work() -> None:
            result: Value | Refused | Unreadable
            try:
                result = desk.look.spelled(job(desk.jobs))
            except (Refused, Unreadable) as no:
                result = no
            if not get_current_worker().is_cancelled and self.is_attached:
                desk.call_from_thread(answered, result)

        worker = self.run_worker(work, thread=True, exclusive=True, group=group)

        def slow() -> None:
            if worker.is_running and not worker.is_cancelled:
                because.wait(f"{waiting} · · ·")

        self.set_timer(SLOW_S, slow)

    def record(
        self,
        job: Callable[[Jobs], Recorded],
        then: Callable[[Recorded], None],
        *,
        failed: Failed | None = None,
    ) -> None:
        """Writes once: while one write is under way another key does nothing."""
        if self.saving:
            return
        self._saving = True
        self.because.say("saving...", "soft")

        def wrote(recorded: Recorded) -> None:
            self._saving = False
            self.because.keep(recorded_text(recorded))
            then(recorded)
            self.desk.ask_timers()

        def not_written(no: Refused | Unreadable) -> None:
            self._saving = False
            (failed or self.refused)(no)

        self.ask(job, wrote, failed=not_written, group="write", waiting="saving")

    _saving = False
    _in_front = False

    @property
    def saving(self) -> bool:
        """Whether a write is under way."""
        return self._saving

    def refused(self, no: Refused | Unreadable) -> None:
        """Says what happened and what is true of the journal, then the way on."""
        self.because.keep(f"{no_text(no)} Nothing was recorded.", "stop")

    # keys everywhere

    def action_back(self) -> None:
        """Escape backs out: a question closes, a mode does nothing."""
        if self.is_modal or len(self.app.screen_stack) > 1:
            self.dismiss(None)

    async def action_help(self) -> None:
        """The help of this screen; the app has it, because help is a screen itself."""
        await self.app.run_action("app.help_here")

    async def action_wrong(self) -> None:
        """Something is wrong: asks nothing first."""
        await self.app.run_action("app.wrong_here")

    async def action_lift(self) -> None:
        """The fish of a bath are out; the app has it, since it may ask which."""
        await self.app.run_action("app.lift_here")

    def wrong_vessel(self) -> str:
        """The vessel something is wrong with, "" where none is meant."""
        return ""

    def wrong_bag(self) -> tuple[str, int] | None:
        """The bag something is wrong with: its box and its number."""
        return None

    @on(BigButton.Pressed)
    async def _button(self, event: BigButton.Pressed) -> None:
        event.stop()
        await self.run_action(f"button({event.button.id!r})")

    def action_button(self, name: str) -> None:
        """A three-row button was meant; the letter on it is the same key."""
        getattr(self, f"action_{name}")()

    @on(ModeStrip.Picked)
    async def _picked(self, event: ModeStrip.Picked) -> None:
        event.stop()
        await self.app.run_action(f"mode({event.mode!r})")
