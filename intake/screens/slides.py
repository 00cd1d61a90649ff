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
    app = screen.app

    def asked(choices: QuarantineChoices) -> None:
        if subject:
            sample(choices, subject)
            return
        own = [f for f in choices.fish if f[2] == system] or list(choices.fish)
        if not own:
            screen.because.say("No fish is here.", "soft")
            return
        options = tuple((name, f"{name}  {detail}") for name, detail, _ in own)
        question = PickScreen("Slide: from which fish?", options, CLEAN)
        app.push_screen(question, lambda name: sample(choices, name) if name else None)

    def sample(choices: QuarantineChoices, name: str) -> None:
        options = tuple((s, s.replace("-", " ")) for s in choices.samples)
        why = "a gill clip hurts: let a vet or someone shown by one do it."
        question = PickScreen(f"Slide of {name}: from what?", options, why)
        app.push_screen(question, lambda what: found(choices, name, what) if what else None)

    def found(choices: QuarantineChoices, name: str, what: str) -> None:
        names = ((p, p.replace("-", " ")) for p in choices.parasites)
        options = ((NOTHING, "nothing seen"), *names)
        why = "what is on a slide is consistent with a parasite; a vet or lab tells it for sure."
        question = PickScreen(f"Slide of {name}: what was on it?", options, why)
        app.push_screen(
            question, lambda seen: count(name, what, seen) if seen is not None else None
        )

    def count(name: str, what: str, seen: str) -> None:
        title = f"Slide of {name}: {seen.replace('-', ' ') or 'nothing seen'}"
        if not seen:
            who = WordsForm(title, (("by", "who looked", False),))
            app.push_screen(who, lambda typed: write(name, what, "", typed))
            return
        asked = (
            Asked("count", "how many of them", "count", needed=True, first="1"),
            Asked("more", "others, like costia:3", WORDS),
            Asked("by", "who looked", WORDS),
        )
        form = FormScreen(title, asked, "as many as one slide shows; who looked may stay empty.")
        app.push_screen(form, lambda typed: write(name, what, seen, typed))

    def write(name: str, what: str, seen: str, typed: Mapping[str, str] | None) -> None:
        if typed is None:
            return
        content: dict[str, object] = {"subject": name, "from": what}
        if typed.get("by"):
            content["by"] = typed["by"]
        if not seen:
            screen.record(lambda jobs: jobs.quarantine_write("slide", content, ""), then)
            return
        others = typed.get("more", "").replace(",", " ").split()
        content["found"] = [f"{seen}:{typed['count']}", *others]
        title = f"{seen.replace('-', ' ')} on a slide of {name}"
        foretell(screen, "slide", content, title, "Record slide", then)

    screen.ask(lambda jobs: jobs.quarantine_choices(), asked, group="choices")
