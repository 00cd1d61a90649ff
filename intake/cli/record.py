"""`intake record KIND ...`: one form filled in from the command line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows.forms.every import FORMS
from intake.flows.forms.form import Form
from intake.flows.record import Said, record
from intake.flows.usage import Usage

COMMON = (
    ("when", "when it happened, default now"),
    ("why", "the reason, where one is needed"),
    ("note", "a note in your own words"),
    ("key", "a word of yours: the same entry twice is written once"),
)


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Writes one entry and answers with its number."""
    kind = tokens[0] if tokens else ""
    if not kind or kind.startswith("-"):
        raise Usage(f"intake record KIND ...; kinds: {', '.join(_typed())}")
    if kind not in FORMS:
        from difflib import get_close_matches

        near = get_close_matches(kind, _typed(), n=1)
        hint = f"did you mean {near[0]}?" if near else "one of " + ", ".join(_typed())
        raise Usage(f"intake record {kind[:40]}: {hint}")
    form = FORMS[kind]
    if form.imported:
        raise Usage(f"intake record {kind}: it is read from a file, intake import FILE")
    parser = form_parser(f"intake record {kind}", form)
    for name, help_ in COMMON:
        parser.option(name, help_)
    typed = parser.read(tokens[1:])
    said = Said(*(typed.pop(name, None) for name, _ in COMMON))
    return Reply(record(desk_of(options), kind, typed, said))


def _typed() -> list[str]:
    """The kinds that are typed, not read from a file."""
    return [kind for kind, form in FORMS.items() if not form.imported]


def form_parser(prog: str, form: Form) -> Parser:
    """A parser of a form: its positionals in order, then its options."""
    parser = Parser(prog, form.help)
    for field in form.positionals:
        if field.many:
            parser.places(field.name, field.help, needed=field.required)
        else:
            parser.place(field.name, field.help, needed=field.required)
    for field in form.fields:
        if field.positional:
            continue
        if field.flag:
            parser.flag(field.name, field.help)
        else:
            parser.option(field.name, field.help, needed=field.required, many=field.many)
    return parser


def correcting_parser(form: Form) -> Parser:
    """A parser of what a correction may change: every field as an option, none needed."""
    parser = Parser("intake correct", f"Corrects a {form.kind}.")
    parser.place("entry", "number of the entry")
    names = {name for name, _ in COMMON}
    for field in form.fields:
        name = form.correcting_name(field)
        if name in names:
            continue
        if name == "void":
            parser.flag_or_value(name, f"alone: it never counted; with a value: {field.help}")
        elif field.flag:
            parser.flag(name, field.help)
        else:
            parser.option(name, field.help, many=field.many)
    return parser


def as_typed(form: Form, typed: dict[str, Any]) -> dict[str, Any]:
    """What a correction changes, by the form's own names."""
    first = form.positionals[:1]
    if first and "subject" in typed and first[0].key != "subject":
        typed[first[0].key] = typed.pop("subject")
    return typed
