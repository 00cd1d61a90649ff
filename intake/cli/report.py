"""`intake report KIND SUBJECT --out FILE`: a paper of the room."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from intake.cli.asked import desk_of
from intake.cli.parser import Globals, Parser
from intake.cli.reply import Reply
from intake.flows import dose_record, papers, release_paper, tub_cards
from intake.flows.jobs import crossing_paper
from intake.flows.usage import Usage
from intake.science.problem import Problem, Unreadable

KINDS = ("waterline", "crossing", "tub-card", "dose", "release")

CARD = "What is in a tub and its water today, to tape to it."
RECORD = "One dose, whole: the twenty fields of a record of a treatment."


def run(word: str, tokens: Sequence[str], options: Globals) -> Reply:  # noqa: ARG001
    """Makes one paper and says where it is."""
    kind = tokens[0] if tokens else ""
    if kind not in KINDS:
        raise Usage(f"intake report {'|'.join(KINDS)} SUBJECT --out FILE")
    if kind == "crossing":
        return _crossing(tokens[1:], options)
    if kind in ("tub-card", "dose"):
        return _about_doses(kind, tokens[1:], options)
    if kind == "release":
        return _release(tokens[1:], options)
    parser = Parser(f"intake report {kind}", "Litres at every line, with a tape at full size.")
    parser.place("subject", "the vessel")
    parser.option("out", "the file to make, .txt, .html or .pdf; never over another", needed=True)
    parser.option("every", "1 cm or 2 cm, first where none is given")
    typed = parser.read(tokens[1:])
    every = typed.get("every", "1 cm")
    answer = papers.waterline(desk_of(options), typed["subject"], typed["out"], every)
    return Reply(answer, _lines)


def _crossing(tokens: Sequence[str], options: Globals) -> Reply:
    parser = Parser("intake report crossing", "A bag's way across, with its charts.")
    parser.place("box", "the box, or a shipment with one")
    parser.option("bag", "which bag of the box; first where there is one")
    parser.option("out", "the file to make, .txt, .html or .pdf; never over another", needed=True)
    typed = parser.read(tokens)
    bag = typed.get("bag")
    if bag is not None and not (bag.isdecimal() and len(bag) < 5):
        text = f"'{bag[:40]}' is no number of a bag"
        raise Unreadable(Problem("not-a-number", text, "like 2", "--bag"))
    number = None if bag is None else int(bag)
    answer = crossing_paper.write(desk_of(options), typed["box"], number, typed["out"])
    return Reply(answer, _where)


def _about_doses(kind: str, tokens: Sequence[str], options: Globals) -> Reply:
    card = kind == "tub-card"
    parser = Parser(f"intake report {kind}", CARD if card else RECORD)
    parser.place("subject", "the vessel" if card else "the number of a dose or of a given")
    parser.option("out", "the file to make, .txt, .html or .pdf; never over another", needed=True)
    typed = parser.read(tokens)
    write = tub_cards.write if card else dose_record.write
    answer = write(desk_of(options), typed["subject"], typed["out"])
    return Reply(answer, _file)


def _release(tokens: Sequence[str], options: Globals) -> Reply:
    parser = Parser("intake report release", "Released on what evidence, or what is still open.")
    parser.place("subject", "a water in quarantine, or a fish or group of it")
    parser.option("out", "the file to make, .txt, .html or .pdf; never over another", needed=True)
    typed = parser.read(tokens)
    return Reply(release_paper.write(desk_of(options), typed["subject"], typed["out"]), _released)


def _released(a: dict[str, Any]) -> list[str]:
    told = f"released {a['released_at']}" if a["released_at"] else f"open: {', '.join(a['open'])}"
    return [
        f"{a['subject']}: {told}" if a["released_at"] or a["open"] else a["subject"],
        *_file(a),
    ]


def _file(a: dict[str, Any]) -> list[str]:
    return [f"  {a['file']}"]


def _where(a: dict[str, Any]) -> list[str]:
    return [f"bag {a['bag']} of {a['box']} into {a['vessel']}", f"  {a['file']}"]


def _lines(a: dict[str, Any]) -> list[str]:
    return [f"{a['vessel']}: {len(a['rows'])} lines", f"  {a['file']}"]
