"""Recording: one form filled in becomes one entry, or says everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from intake import clock
from intake.flows.clock_back import warn_if_behind
from intake.flows.desk import Book, Desk, at_work, load_protocols
from intake.flows.facts.things import Thing
from intake.flows.facts.upcast import today
from intake.flows.forms.every import FORMS
from intake.flows.forms.form import Field, Filling, Form
from intake.flows.forms.readers import Asked, AThing
from intake.flows.usage import Usage
from intake.science.problem import Problem, Refused, Unreadable
from intake.science.text import read_note

if TYPE_CHECKING:
    from intake.flows.facts import Facts
    from intake.store.journal import Entry

LATE = timedelta(hours=24)
"""What happened longer ago than this needs a reason (data-integrity practice: ALCOA+)."""


@dataclass(frozen=True, slots=True)
class Said:
    """What every record takes beside its own fields, as typed."""

    when: str | None = None
    why: str | None = None
    note: str | None = None
    key: str | None = None


def record(
    desk: Desk, kind: str, typed: Mapping[str, Any], said: Said | None = None
) -> dict[str, Any]:
    """Writes one entry and answers with its number and what follows from it.

    Parameters
    ----------
    typed
        Text by field (underscores for hyphens); a list for fields given again and again.

    Raises
    ------
    Usage, Unreadable, Refused, RoomTrouble
        And then nothing is written.
    """
    if FORMS[kind].protocols:
        load_protocols()
    with at_work(desk, write=True) as book:
        return record_in(book, FORMS[kind], typed, said or Said())


def record_in(book: Book, form: Form, typed: Mapping[str, Any], said: Said) -> dict[str, Any]:
    """`record` inside a unit of work that is open already."""
    typed = {k: v for k, v in typed.items() if v is not None and v != [] and v is not False}
    if problems := unfit(said):
        raise Unreadable(*problems)
    before = written_before(book, said)
    if before is not None:
        if before.kind != form.kind or before.corrects or not same(book, form, before, typed):
            raise key_reused(before, said)
        if said.note != before.content.get("note") or said.why != before.content.get("why"):
            raise key_reused(before, said)
        return answered(book, Filling(book, before.at, said.why, {}, typed), before.entry)
    when = moment_of(book, form, typed, said)
    keeper = typed["name"] if form.kind == "keeper" and not book.facts.keepers else book.keeper()
    filled = fill(book, form, typed, said, when)
    number = book.append(
        form.kind, content_of(form, filled, said), at=when, why=said.why, key=said.key,
        keeper=keeper, version=form.version,
    )  # fmt: skip
    if said.when is not None:
        filled.notes.because.append(f"it happened {clock.shown(when, book.facts.zone)}")
    warn_if_behind(book, filled.notes)
    return answered(book, filled, number)


def answered(book: Book, filled: Filling, number: int) -> dict[str, Any]:
    """The answer of a record: its entry, what follows, what was assumed and warned of."""
    if book.desk.rehearsal:
        return {"entry": None, "dry_run": True, **filled.answer, **filled.notes.as_keys()}
    return {"entry": number, **filled.answer, **filled.notes.as_keys()}


def moment_of(book: Book, form: Form, typed: Mapping[str, Any], said: Said) -> datetime:
    """When it happened, by the field of the form that says so, else by --when.

    Raises
    ------
    Usage, Unreadable
        Both were given; or as `when_of`.
    """
    told = typed.get(form.happened) if form.happened else None
    if told is None:
        return when_of(book, said)
    if said.when is not None:
        raise Usage(f"--when: --{form.happened} says when it happened")
    return when_of(book, replace(said, when=str(told)), f"--{form.happened}")


def when_of(book: Book, said: Said, option: str = "--when") -> datetime:
    """When it happened.

    Raises
    ------
    Unreadable
        in-future; reason-missing where it is over a day ago and nobody says why it is late.
    """
    if said.when is None:
        return book.now
    moment = clock.read_time(said.when, book.facts.zone, now=book.now)
    if isinstance(moment, Problem):
        raise Unreadable(moment.placed(option))
    if moment > book.now:
        text = f"{book.facts.local(moment)} has not come yet"
        raise Unreadable(Problem("in-future", text, "write when it happened", option))
    if book.now - moment > LATE and not (said.why or "").strip():
        text = "more than a day ago: say why it is written only now"
        raise Unreadable(Problem("reason-missing", text, "--why TEXT", "--why"))
    return moment


def fill(
    book: Book,
    form: Form,
    typed: Mapping[str, Any],
    said: Said,
    when: datetime,
    entry: int | None = None,
) -> Filling:
    """Reads every field of a form and lets its job complete it.

    Raises
    ------
    Usage, Unreadable, Refused
        With everything that is wrong, all at once.
    """
    _complete(form, typed, said)
    asked = Asked(book, when, typed, entry)
    values: dict[str, Any] = {}
    problems = unfit(said)
    for field in form.fields:
        if field.key in typed:
            value, wrong = _read(field, typed[field.key], asked)
            problems += wrong
            values[field.name] = value
    if problems:
        raise Unreadable(*problems)
    filled = Filling(book, when, said.why, values, typed, entry)
    for field in form.fields:
        value = values.get(field.name)
        if isinstance(value, Thing) and value.id:
            filled.refs[field.key] = value.id
    form.build(filled)
    filled.stop_if_faulty()
    return filled


def _complete(form: Form, typed: Mapping[str, Any], said: Said) -> None:
    missing = [f.option for f in form.fields if f.required and f.key not in typed]
    if form.needs_why and not (said.why or "").strip():
        missing.append("--why")
    if missing:
        raise Usage(f"{form.kind} needs {', '.join(missing)}")


def _read(field: Field, text: Any, asked: Asked) -> tuple[Any, list[Problem]]:
    if field.flag:
        return "yes", []
    texts = list(text) if field.many and isinstance(text, list | tuple) else [text]
    found = [field.read.read(str(t), asked) for t in texts]
    problems = [p.placed(p.path or field.option) for p in found if isinstance(p, Problem)]
    return (found if field.many else found[0]), problems


def content_of(form: Form, filled: Filling, said: Said) -> dict[str, Any]:
    """What the journal keeps of a filled form."""
    content: dict[str, Any] = {}
    for field in form.fields:
        value = filled.values.get(field.name)
        if value is None:
            continue
        if field.flag:
            content[field.key] = True
        elif field.many:
            content[field.key] = [field.read.keep(v) for v in value]
        else:
            content[field.key] = field.read.keep(value)
    content |= filled.extra
    if filled.refs:
        content["refs"] = filled.refs
    if said.note:
        content["note"] = said.note
    if said.why:
        content["why"] = said.why
    return content


def typed_again(
    form: Form, content: Mapping[str, Any], facts: Facts | None = None
) -> dict[str, Any]:
    """The text each field of an entry would be typed as, things by NAME#ENTRY.

    With `facts` by the names they have today, as they may be called otherwise by now.
    """
    refs = content.get("refs", {})
    typed: dict[str, Any] = {}
    for field in form.fields:
        if field.key not in content:
            continue
        kept = content[field.key]
        if field.flag:
            typed[field.key] = True
        elif field.many:
            typed[field.key] = [field.read.again(k) for k in kept]
        elif refs.get(field.key):
            number = refs[field.key]
            kinds = ("system",) if content.get("whole_system") else _kinds(field)
            typed[field.key] = facts.name_now(kept, number, kinds) if facts else f"{kept}#{number}"
        else:
            typed[field.key] = field.read.again(kept)
    return typed


def _kinds(field: Field) -> tuple[str, ...]:
    return field.read.kinds if isinstance(field.read, AThing) else ()


def unfit(said: Said) -> list[Problem]:
    """What is wrong with a note, a reason or a key as text to be stored."""
    found = []
    for option, text in (("--note", said.note), ("--why", said.why), ("--key", said.key)):
        note = read_note(text) if text is not None else ""
        if isinstance(note, Problem):
            found.append(note.placed(option))
    if said.key is not None and not said.key.strip():
        found.append(Problem("out-of-range", "a key is needed", "any word of yours", "--key"))
    return found


def written_before(book: Book, said: Said) -> Entry | None:
    """The row that was written with this key, corrections included."""
    from intake.store import journal

    found = None if said.key is None else journal.by_key(book.connection, said.key)
    return None if found is None else today(found)


def key_reused(before: Entry, said: Said) -> Refused:
    """The refusal of a key that stands for something else already."""
    return Refused(
        "key-reused",
        f"the key '{said.key}' belongs to entry {before.sequence}, which says something else",
        way_out="use a new key for a new entry",
    )


def same(book: Book, form: Form, before: Entry, typed: Mapping[str, Any]) -> bool:
    """Whether a row says what was typed, in these words or in others that mean the same."""
    was = typed_again(form, before.content)
    asked = Asked(book, before.at, typed, before.entry)
    return all(_same_field(f, before.content.get(f.key), was, asked) for f in form.fields)


def _same_field(field: Field, kept: Any, was: Mapping[str, Any], asked: Asked) -> bool:
    if field.key not in asked.typed:
        return kept is None or was[field.key] == field.unsaid
    if kept is None:
        return False
    new, old = asked.typed[field.key], was[field.key]
    if field.flag or new in (old, [old]) or f"{new}#" == str(old).rstrip("0123456789"):
        return True
    value, problems = _read(field, new, asked)
    if problems:
        return False
    again = [field.read.keep(v) for v in value] if field.many else field.read.keep(value)
    return bool(_meaning(again) == _meaning(kept))


def _meaning(kept: Any) -> Any:
    """A kept value without the wording it was typed in."""
    if isinstance(kept, Mapping):
        return {name: value for name, value in kept.items() if name != "text"}
    return [_meaning(value) for value in kept] if isinstance(kept, list | tuple) else kept
