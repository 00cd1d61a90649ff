"""Gauging guided: a salt step, buckets counted by one key, the way that is settled on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content

from intake.flows.views.gauging import GaugingState, SaltAsked
from intake.flows.views.parts import Recorded
from intake.screens.question import BACK_KEY, FormScreen, PickScreen, QuestionScreen, WordsScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.theme import Look
from intake.screens.widgets.figure import figure_lines
from intake.screens.widgets.footline import Foot
from intake.screens.widgets.lines import shorten
from intake.screens.widgets.painted_lines import Lines
from intake.screens.widgets.quantity_field import METER, WORDS, Asked

Then = Callable[[Recorded], None]
METER_ASKED = (
    Asked("before", "reading now, its unit", METER, needed=True),
    Asked("temp", "water, if it asks", "temperature", "C"),
    Asked("factor", "factor, if it is ppm", "number"),
)
AFTER = Asked("after", "reading now, its unit", METER, needed=True)
WARM = Asked("after-temp", "the water now", "temperature", "C", needed=True)
ZONES = ("eggs", "fry", "resident", "cleared", "quarantine", "hospital")
NEW_VESSEL = (
    Asked("name", "what you call it", WORDS, needed=True),
    Asked("zone", "zone, like quarantine", WORDS, first="resident", one_of=ZONES),
    Asked("system", "shares the water of", WORDS),
)
BUCKET = (Asked("bucket", "one bucket holds", "volume", "L", needed=True),)
DEPTH = (Asked("depth", "depth of water now", "length", "cm", needed=True),)


def ask_salt_step(screen: RoomScreen[None], vessel: str, then: Then) -> None:
    """The reading that waits, else a meter, how much salt, and the read-back."""

    def begun(state: GaugingState) -> None:
        if state.waiting:
            _ask_after(screen, vessel, state, then)
            return
        why = "a meter tells the volume by how much a weighed salt raises it; it takes a day."
        form = FormScreen(f"Salt step  {vessel}", METER_ASKED, why)
        screen.app.push_screen(form, lambda typed: _ask_salt(screen, vessel, typed, then))

    screen.ask(lambda jobs: jobs.gauging(vessel), begun, group="gauging")


def _ask_after(screen: RoomScreen[None], vessel: str, state: GaugingState, then: Then) -> None:
    asked = (AFTER, WARM) if state.warm else (AFTER,)
    why = f"{state.waiting} went in; the same meter now tells the volume."

    def read(typed: Mapping[str, str] | None) -> None:
        if typed:
            answer = {"vessel": vessel, "way": "by-salt", **typed}
            screen.record(lambda jobs: jobs.gauging_record("gauge", answer, ""), then)

    screen.app.push_screen(FormScreen(f"Read the meter again  {vessel}", asked, why), read)


def _ask_salt(
    screen: RoomScreen[None], vessel: str, meter: Mapping[str, str] | None, then: Then
) -> None:
    if not meter:
        return

    def known(asked: SaltAsked) -> None:
        field = Asked("salt", "salt, weighed", "mass", "g", needed=True, first=asked.salt)
        form = FormScreen(f"How much salt?  {vessel}", (field,), asked.because)
        screen.app.push_screen(form, weighed)

    def weighed(typed: Mapping[str, str] | None) -> None:
        if typed:
            salt = typed["salt"]
            options = (("", "Cancel: nothing goes in"), (salt, f"{salt} of salt into {vessel}"))
            why = "it is a dose of salt with all its limits; the label and your vet come first."
            question = PickScreen(f"Read back: {salt} of salt, {vessel}", options, why)
            screen.app.push_screen(question, confirmed)

    def confirmed(salt: str | None) -> None:
        if salt:
            step = {"vessel": vessel, "salt": salt, **meter}
            screen.record(lambda jobs: jobs.gauging_record("salt-step", step, ""), then)

    screen.ask(lambda jobs: jobs.salt_needed(vessel, meter), known, group="gauging")


NEW = "new:"
PAUSED = "paused:"


def ask_buckets(
    screen: RoomScreen[None], paused: tuple[tuple[str, str], ...], vessel: str, then: Then
) -> None:
    """A filling that is paused, the vessel shown, or one that is not measured yet."""
    options = [(f"{PAUSED}{name}", f"go on with {name}, {count}") for name, count in paused]
    if vessel and vessel not in dict(paused):
        options.append((vessel, f"{vessel}, empty now"))
    options.append((NEW, "a vessel that is not measured yet"))

    def chosen(answer: str | None) -> None:
        if answer == NEW:
            ask_new_filling(screen, then)
        elif answer:
            ask_filling(screen, answer.removeprefix(PAUSED), then)

    why = "fill it by the bucket and read depths: then any depth gives the volume."
    screen.app.push_screen(PickScreen("By the bucket: which one?", tuple(options), why), chosen)


def ask_new_filling(screen: RoomScreen[None], then: Then) -> None:
    """A vessel that is only known by filling it."""

    def begin(typed: Mapping[str, str] | None) -> None:
        if typed:
            screen.record(
                lambda jobs: jobs.gauging_record("filling", typed, ""),
                lambda _recorded: ask_filling(screen, typed["name"], then),
            )

    why = "weigh one bucket of water: 1 kg is 1 L. The vessel stands empty."
    form = FormScreen("A new vessel by the bucket", (*NEW_VESSEL, *BUCKET), why)
    screen.app.push_screen(form, begin)


def ask_filling(screen: RoomScreen[None], vessel: str, then: Then) -> None:
    """Goes on with a filling that is paused, else asks what a bucket holds and begins one."""

    def counting(_recorded: Recorded | None = None) -> None:
        screen.ask(lambda jobs: jobs.gauging(vessel), opened, group="gauging")

    def opened(state: GaugingState) -> None:
        if state.filling:
            screen.app.push_screen(BucketScreen(vessel, state), full)
            return
        why = "weigh one bucket of water: 1 kg is 1 L. The vessel stands empty."
        screen.app.push_screen(FormScreen(f"By the bucket  {vessel}", BUCKET, why), begin)

    def begin(typed: Mapping[str, str] | None) -> None:
        if typed:
            begun = {"name": vessel, **typed}
            screen.record(lambda jobs: jobs.gauging_record("filling", begun, ""), counting)

    def full(done: bool | None) -> None:
        if done:
            name = {"name": vessel}
            screen.record(lambda jobs: jobs.gauging_record("filled", name, ""), then)

    counting()


class BucketScreen(QuestionScreen[bool]):
    """Space counts one bucket, d reads the depth, f is full. Leaving only pauses."""

    HELP: ClassVar[str] = (
        "Press space for each bucket when it is in. d writes down the depth after it; read one "
        "every few buckets, and at the last. f makes the table. Escape pauses: the count stays "
        "in the journal, and b on Vessels goes on. A bucket too many is corrected with u there."
    )
    FEET: ClassVar[tuple[Foot, ...]] = (
        Foot("space", "space", "Bucket"),
        Foot("d", "d", "Depth"),
        Foot("f", "f", "Full"),
        BACK_KEY,
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "bucket", show=False),
        Binding("d", "depth", show=False),
        Binding("f", "full", show=False),
    ]

    def __init__(self, vessel: str, state: GaugingState) -> None:
        super().__init__()
        self._vessel = vessel
        self.state = state

    def compose_body(self) -> ComposeResult:
        """The count, large."""
        yield Lines(self._lines, id="buckets", classes="tall")

    def on_mount(self) -> None:
        """Says how it goes on."""
        self.because.explain("space: a bucket is in; d: the depth now; f: full; esc pauses.")

    def _lines(self, width: int, look: Look) -> list[Content]:
        depth = self.state.depth_text
        said = f"depth last read {depth}" if depth else "no depth read yet"
        return [
            look.say((shorten(f"By the bucket  {self._vessel}", width), "bold")),
            Content(""),
            *figure_lines(str(self.state.count), "", width, 6, look),
            Content(""),
            look.say((self.state.filled_text, "bold")),
            look.say((said, "soft")),
        ]

    def action_bucket(self) -> None:
        """One bucket more."""
        self._write({"count": "1"})

    def action_depth(self) -> None:
        """The depth now."""

        def typed(answer: Mapping[str, str] | None) -> None:
            if answer:
                self._write({"count": "0", **answer})

        why = "from the floor up to the waterline, once the water is still."
        self.app.push_screen(FormScreen(f"Depth  {self._vessel}", DEPTH, why), typed)

    def action_full(self) -> None:
        """Full: read back before the table is made."""
        options = (("", "Not yet"), ("yes", f"Full at {self.state.filled_text}"))
        why = "the table of depths and litres becomes the sizes of the vessel."
        question = PickScreen(f"Is it full?  {self._vessel}", options, why)
        self.app.push_screen(question, self._answered)

    def _answered(self, answer: str | None) -> None:
        if answer:
            self.dismiss(True)

    def _write(self, more: Mapping[str, str]) -> None:
        typed = {"name": self._vessel, **more}
        self.record(lambda jobs: jobs.gauging_record("bucket", typed, ""), self._again)

    def _again(self, recorded: Recorded) -> None:
        self.because.say(recorded.text, "soft")
        self.ask(lambda jobs: jobs.gauging(self._vessel), self._show, group="gauging")

    def _show(self, state: GaugingState) -> None:
        self.state = state
        self.query_one("#buckets", Lines).refresh()


def ask_settle(screen: RoomScreen[None], vessel: str, then: Then) -> None:
    """Which way holds, and why."""

    def known(state: GaugingState) -> None:
        if len(state.ways) < 2:
            screen.because.say(f"{vessel} is known by one way only: nothing to settle.", "soft")
            return
        why = "it is the vessel's water from now on, until it is measured or gauged again."
        question = PickScreen(f"Which way holds?  {vessel}", state.ways, why)
        screen.app.push_screen(question, picked)

    def picked(way: str | None) -> None:
        if way:
            title = f"Why does {way} hold?  {vessel}"
            words = WordsScreen(title, "the reason stays in the journal.")
            screen.app.push_screen(words, lambda why: settled(way, why))

    def settled(way: str, why: str | None) -> None:
        if why:
            typed = {"vessel": vessel, "way": way}
            screen.record(lambda jobs: jobs.gauging_record("settle", typed, why), then)

    screen.ask(lambda jobs: jobs.gauging(vessel), known, group="gauging")
