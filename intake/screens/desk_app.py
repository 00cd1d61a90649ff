"""The app with jobs to ask: what runs on the clock is watched whatever mode is open."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress

from textual import events
from textual.worker import get_current_worker

from intake.flows.views.parts import Timer
from intake.science.problem import Refused, Unreadable
from intake.screens.jobs import Jobs
from intake.screens.painted import Now, PaintedApp
from intake.screens.theme import Look
from intake.screens.watch import Watch
from intake.screens.widgets.because import Because

FIRST_TIMERS_S = 1.0
TIMERS_EVERY_S = 15.0
"""When what runs is read first, and how often again [s]."""


class DeskApp(PaintedApp):
    """An app with jobs to ask."""

    jobs: Jobs

    def __init__(
        self,
        jobs: Jobs,
        look: Look,
        now: Now,
        *,
        tick: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(look, now, tick=tick)
        self.jobs = jobs
        self.here = ""
        self._carried: dict[str, str] = {}
        self._watch = Watch()
        self._day = now().date()

    def on_mount(self) -> None:
        """The clock is watched whatever mode is open."""
        self.set_timer(FIRST_TIMERS_S, self.ask_timers)
        self.set_interval(TIMERS_EVERY_S, self.ask_timers)
        self.set_interval(1, self.watch_clock)

    def ask_timers(self) -> None:
        """What runs now, read again: another program may have recorded."""

        def work() -> None:
            with suppress(Refused, Unreadable):  # no room yet, or it cannot be read: modes say so
                timers = self.jobs.timers()
                if not get_current_worker().is_cancelled:
                    self.call_from_thread(self.show_timers, timers)

        self.run_worker(work, thread=True, exclusive=True, group="timers")

    def watch_clock(self) -> None:
        """Rings once for what is over, and says so on whatever screen is in front."""
        now = self.now()
        if now.date() != self._day:
            self._day = now.date()
            self.new_day()
        said = self._watch.look(self.timers, now)
        if not said:
            return
        self.bell()
        for strip in self.screen.query("#strip, #air"):
            strip.refresh()
        for because in self.screen.query(Because):
            because.keep(said, "stop")

    def new_day(self) -> None:
        """Midnight passed, or the machine slept over it: "today" is another day."""

    def show_timers(self, timers: tuple[Timer, ...]) -> None:
        """What runs now: the strip of every mode tells when it is over."""
        self.timers = timers
        for widget in self.screen.query("#strip, #air, #small"):
            widget.refresh(layout=True)
        self.watch_clock()

    def _dropped(self, event: events.Key) -> bool:
        dropped = super()._dropped(event)
        if not dropped:
            for because in self.screen.query(Because):
                because.release()
        return dropped

    def carry(self, **words: str) -> None:
        """What one mode hands to the next: the vessel under the cursor, the task that is due."""
        self._carried.update(words)

    def take(self, word: str) -> str:
        """What was handed over, once."""
        return self._carried.pop(word, "")
