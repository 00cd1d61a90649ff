"""The form of what a logger measured: it comes from a file, and only its subject is corrected."""

from __future__ import annotations

from pathlib import Path

from intake.flows.chilled import warn_of_logged
from intake.flows.facts.things import System
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import Asked, AText, AThing, Choice
from intake.flows.imports.cells import HIGHEST_C, LOWEST_C
from intake.flows.imports.logged import LoggedDay
from intake.flows.imports.logger import HowRead, Logged
from intake.flows.imports.moments import ORDERS
from intake.flows.imports.read_once import logged_file
from intake.flows.imports.told import say, told
from intake.science.problem import Problem
from intake.science.text import inert

OPTIONS = ("file", "dates", "unit", "column", "offset")
FROM_FILE = (
    "sha256", "rows", "missing", "before", "columns", "days", "last_c", "first", "last",
)  # fmt: skip
"""What the file told, kept as it was through every correction."""


class AFile(AText):
    """The path of a file; its name alone is kept."""

    def read(self, text: str, asked: Asked) -> str | Problem:  # noqa: ARG002
        return text

    def keep(self, value: str) -> str:
        return inert(Path(value).name)[:200]


def how_read(f: Filling) -> HowRead:
    """What was said of the file."""
    return HowRead(f.get("dates"), f.get("unit"), f.get("column"), f.get("offset"))


def _log(f: Filling) -> None:
    f.stop_if_faulty()
    f.extra["whole_system"] = isinstance(f.get("subject"), System)
    if f.entry is not None:
        _as_it_was(f)
        return
    thing = f.thing("subject")
    read = logged_file(f.get("file"), how_read(f), f.book.facts.zone, thing.since, f.book.now)
    f.extra |= kept(read)
    f.answer |= told(read, f.book.facts.zone)
    say(read, f.notes)
    warn_of_logged(f.notes, read.days)


def _as_it_was(f: Filling) -> None:
    """A correction says of which water it was; what the file says is voided and read again."""
    assert f.entry is not None
    before = f.book.entry(f.entry)
    assert before is not None
    for name in OPTIONS:
        if f.values.get(name) != before.content.get(name):
            text = "what a file says is not corrected"
            f.fault("wrong-kind", f"--{name}", text, "--void, then intake import it again")
    f.extra |= {name: before.content[name] for name in FROM_FILE}


def kept(read: Logged) -> dict[str, object]:
    """What the journal keeps of a file."""
    return {
        "sha256": read.source.sha256,
        "rows": sum(d.rows for d in read.days),
        "missing": read.missing,
        "before": read.before,
        "columns": list(read.layout.named),
        "days": [d.kept() for d in read.days],
        "last_c": read.last_c,
        **_ends(read.days),
    }


def _ends(days: tuple[LoggedDay, ...]) -> dict[str, str]:
    return {"first": str(days[0].kept()["first"]), "last": str(days[-1].kept()["last"])}


FORMS = (
    Form(
        "log",
        f"a logger's temperatures, {LOWEST_C:g} to {HIGHEST_C:g} C, day by day",
        (
            Field("subject", AThing(("vessel", "system")), "the water it hung in", True, True),
            Field("file", AFile(), "the logger's CSV file", required=True),
            Field("dates", Choice(ORDERS), "what comes first in 3/10/2026"),
            Field("unit", Choice(("C", "F")), "of the column, where its heading says none"),
            Field("column", AText(), "which one, by its heading or number"),
            Field("offset", AText(), "of the logger's clock, as +00:00"),
        ),
        _log,
        imported=True,
    ),
)
