"""A slide: whose, from what, what was found and how many, who looked."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from intake.flows.views.calendar import QuarantineChoices
from intake.flows.views.parts import Recorded
from intake.screens.foretell import foretell
from intake.screens.question import FormScreen, PickScreen
from intake.screens.room_screen import RoomScreen
from intake.screens.widgets.quantity_field import WORDS, Asked
from intake.screens.words_form import WordsForm

NOTHING = ""
CLEAN = "a slide with nothing on it counts for the fish it came from, and excludes little alone."


def ask_slide(
    screen: RoomScreen[None], system: str, subject: str, then: Callable[[Recorded], None]
) -> None:
    """Asks what is not known yet; a finding shows what it would move before it is kept."""
    screen.ask(
        lambda jobs: jobs.quarantine_choices(),
        lambda choices: _Slide(screen, choices, then).whose(system, subject),
        group="choices",
    )


class _Slide:
    """One slide being asked for, question by question."""

    def __init__(
        self,
        screen: RoomScreen[None],
        choices: QuarantineChoices,
        then: Callable[[Recorded], None],
    ) -> None:
        self._screen = screen
        self._choices = choices
        self._then = then
        self._name = self._sample = ""

    def whose(self, system: str, subject: str) -> None:
        """Which fish of this water, of all where it has none of its own."""
        if subject:
            self._of(subject)
            return
        own = [f for f in self._choices.fish if f[2] == system] or list(self._choices.fish)
        if not own:
            self._screen.because.say("No fish is here.", "soft")
            return
        options = tuple((name, f"{name}  {detail}") for name, detail, _ in own)
        question = PickScreen("Slide: from which fish?", options, CLEAN)
        self._screen.app.push_screen(question, lambda name: self._of(name) if name else None)

    def _of(self, name: str) -> None:
        self._name = name
        options = tuple((s, s.replace("-", " ")) for s in self._choices.samples)
        why = "a gill clip hurts: let a vet or someone shown by one do it."
        question = PickScreen(f"Slide of {name}: from what?", options, why)
        self._screen.app.push_screen(question, lambda what: self._from(what) if what else None)

    def _from(self, sample: str) -> None:
        self._sample = sample
        names = ((p, p.replace("-", " ")) for p in self._choices.parasites)
        options = ((NOTHING, "nothing seen"), *names)
        why = "what is on a slide is consistent with a parasite; a vet or lab tells it for sure."
        question = PickScreen(f"Slide of {self._name}: what was on it?", options, why)
        self._screen.app.push_screen(
            question, lambda seen: self._count(seen) if seen is not None else None
        )

    def _count(self, seen: str) -> None:
        title = f"Slide of {self._name}: {seen.replace('-', ' ') or 'nothing seen'}"
        if not seen:
            who = WordsForm(title, (("by", "who looked", False),))
            self._screen.app.push_screen(who, lambda typed: self._write("", typed))
            return
        asked = (
            Asked("count", "how many of them", "count", needed=True, first="1"),
            Asked("more", "others, like costia:3", WORDS),
            Asked("by", "who looked", WORDS),
        )
        form = FormScreen(title, asked, "as many as one slide shows; who looked may stay empty.")
        self._screen.app.push_screen(form, lambda typed: self._write(seen, typed))

    def _write(self, seen: str, typed: Mapping[str, str] | None) -> None:
        if typed is None:
            return
        content: dict[str, object] = {"subject": self._name, "from": self._sample}
        if typed.get("by"):
            content["by"] = typed["by"]
        if not seen:
            self._screen.record(
                lambda jobs: jobs.quarantine_write("slide", content, ""), self._then
            )
            return
        others = typed.get("more", "").replace(",", " ").split()
        content["found"] = [f"{seen}:{typed['count']}", *others]
        title = f"{seen.replace('-', ' ')} on a slide of {self._name}"
        foretell(self._screen, "slide", content, title, "Record slide", self._then)
