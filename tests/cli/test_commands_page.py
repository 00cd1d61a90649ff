"""docs/commands.md: every word and option there is, no other, and every example runs."""

from __future__ import annotations

import re
import shlex
from contextlib import chdir
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from intake.cli import WORDS
from intake.cli.help import SECOND, overview
from intake.cli.record import COMMON
from intake.cli.screens import MODES
from intake.flows.forms.every import FORMS
from intake.science.targets import STAGES
from intake.science.volume import INSIDE, SHAPES, SizeSpec
from tests.cli.ask import Answer, ask, run

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
LINES: dict[str, str] = dict(
    re.findall(r"^- `([a-z]+(?: [a-z][a-z-]*)?)((?: [^`]*)?)`", PAGE, flags=re.MULTILINE)
)
"""Each command of the page with what follows it; of one word or two."""
EXAMPLES = [
    line
    for block in re.findall(r"```sh\n(.*?)```", PAGE, flags=re.DOTALL)
    for line in block.splitlines()
]
FILES = dict(re.findall(r"```csv (\S+)\n(.*?)```", PAGE, flags=re.DOTALL))
"""Files the examples read, as the page shows them."""
TYPED = [kind for kind, form in FORMS.items() if not form.imported]
OPTION = re.compile(r"--([a-z][a-z0-9-]*)")


def line_of(*words: str) -> str:
    """What the page says after these words; one given by place may stand in capitals."""
    found = [rest for said, rest in LINES.items() if said.split() == list(words)]
    assert len(found) == 1, words
    return found[0]


def options_of(*words: str) -> set[str]:
    """The options the program itself says these words take."""
    code, out, _ = run(*words, "--help")
    assert code == 0
    return set(OPTION.findall(out)) - {"help"}


COMPUTING: list[tuple[str, ...]] = [
    ("acclimate",),
    ("dose",),
    ("plan",),
    ("check",),
    ("import",),
    ("demo",),
    ("open",),
    ("today",),
    ("volume", "salt-needed"),
]
COMPUTING += [("report", w) for w in SECOND["report"]]
COMPUTING += [("tasks",), ("checks",), ("calendar",), ("residue",), ("history",), ("verify",)]
COMPUTING += [("water", w) for w in SECOND["water"]] + [("room", w) for w in SECOND["room"]]


@pytest.mark.parametrize("words", COMPUTING, ids=" ".join)
def test_every_option_of_a_word_is_told_and_no_other(words: tuple[str, ...]) -> None:
    assert set(OPTION.findall(line_of(*words))) == options_of(*words)


@pytest.mark.parametrize("kind", TYPED)
def test_every_option_of_a_kind_is_told_and_no_other(kind: str) -> None:
    told = line_of("record", kind)
    form = FORMS[kind]
    own = {f.name for f in form.fields if not f.positional}
    if kind == "vessel":
        own -= {s.option for s in sizes()} | {"unit"}
        assert "sizes of its shape" in sentence("record vessel")
    assert set(OPTION.findall(told)) == own
    assert options_of("record", kind) >= own | {name for name, _ in COMMON}
    needed = {f.name for f in form.fields if f.required and not f.positional}
    assert set(OPTION.findall(re.sub(r"\[.*?\]", "", told))) == needed
    assert ("*Needs why.*" in sentence(f"record {kind}")) == form.needs_why
    assert {f.name for f in form.fields if f.many and f.name in own} == set(
        re.findall(r"--([a-z-]+) [A-Z:]+ \.\.\.\]", told)
    )


@pytest.mark.parametrize("kind", TYPED)
def test_what_is_given_by_place_is_told_in_order(kind: str) -> None:
    told = re.sub(r"\[?--.*|\[[A-Z]+ \.\.\.\]", "", line_of("record", kind)).split()
    assert len(told) == len(FORMS[kind].positionals)
    for said, field in zip(told, FORMS[kind].positionals, strict=True):
        assert said.startswith("[") == (not field.required)
        names = {field.name.upper(), "|".join(getattr(field.read, "words", ()))}
        assert said.strip("[]") in names


@pytest.mark.parametrize(
    "words", [("volume", "box"), ("dose", "salt"), ("record", "vessel"), ("room", "new")]
)
def test_an_unknown_option_would_be_found(words: tuple[str, ...]) -> None:
    assert "colour" not in options_of(*words)
    assert options_of(*words)


def test_every_word_stands_on_the_page() -> None:
    first = {said.split()[0] for said in LINES}
    assert set(WORDS) <= first
    assert set(WORDS) == first - {"intake"}
    kinds = {said.split()[1] for said in LINES if said.startswith("record ")}
    assert kinds == set(TYPED)
    shapes = {said.split()[1] for said in LINES if said.startswith("volume ")}
    assert shapes == {*SHAPES, "salt-needed"}


def sentence(start: str) -> str:
    return next(part for part in PAGE.splitlines() if part.startswith(f"- `{start} "))


def sizes() -> list[SizeSpec]:
    return [*INSIDE, *(size for shape in SHAPES.values() for size in shape.sizes)]


SHARED = PAGE.partition("The shapes seen from above")[2].partition("```")[0]


@pytest.mark.parametrize("shape", SHAPES)
def test_every_size_of_a_shape_is_told_and_no_other(shape: str) -> None:
    takes = options_of("volume", shape)
    own = set(OPTION.findall(line_of("volume", shape)))
    shared = set(OPTION.findall(SHARED))
    assert own <= takes <= own | shared
    assert {s.option for s in INSIDE} <= shared


def test_the_overview_modes_and_stages_are_the_program_s_own() -> None:
    assert f"```text\n{overview()}\n```" in PAGE
    assert all(f" {mode}" in sentence("open") for mode in MODES)
    assert ", ".join(STAGES) in sentence("record fish")
    assert set(OPTION.findall(PAGE.partition("## Everywhere")[2].partition("## Answers")[0])) == {
        "room", "at", "keeper", "json", "quiet", "dry-run", "version",
    }  # fmt: skip
    for name, _ in COMMON:
        assert f"`--{name} " in PAGE


def test_correct_takes_what_the_page_says(examples: dict[str, Answer], room: Path) -> None:
    assert examples
    code, out, _ = run("correct", "8", "--help", "--room", str(room))
    assert code == 0
    told = set(OPTION.findall(line_of("correct")))
    assert told <= set(OPTION.findall(out))


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("page") / "room.db"


@pytest.fixture(scope="module")
def examples(room: Path) -> dict[str, Answer]:
    """Every example of the page in one room, a minute apart from a quarter to ten on."""
    now = datetime(2026, 3, 10, 9, 45)  # noqa: DTZ001 - the room's own time
    answers = {}
    for name, content in FILES.items():
        (room.parent / name).write_text(content, encoding="utf-8")
    for line in EXAMPLES:
        word, *argv = shlex.split(line)
        assert word == "intake"
        more = ["--room", str(room), "--at", f"{now:%Y-%m-%d %H:%M}"]
        with chdir(room.parent):
            code, answer = ask(shlex.join(argv), *more)
        assert code == 0, f"{line}\n{answer}"
        answers[line] = answer
        now += timedelta(minutes=1)
    return answers


def test_every_example_runs(examples: dict[str, Answer]) -> None:
    assert len(examples) > 30
    fixed = next(a for line, a in examples.items() if line.startswith("intake correct"))
    assert all(f["entry"] and f["text"] for f in fixed["affected"])
    assert next(a for line, a in examples.items() if "verify" in line)["ok"] is True


def test_the_correction_is_of_the_reading(examples: dict[str, Answer], room: Path) -> None:
    assert examples
    _, told = ask("history 'Tub 1'", "--room", str(room))
    corrected = next(e for e in told["entries"] if e["corrects"])
    assert corrected["kind"] == "reading"
    assert corrected["content"]["read"]["ph"]["value"] == 7.7


ROWS = re.findall(r"^\| `([a-z -]+)` \| (.+) \|$", PAGE, flags=re.MULTILINE)


@pytest.mark.parametrize(("words", "keys"), ROWS, ids=[words for words, _ in ROWS])
def test_the_keys_of_an_answer_are_there(
    words: str, keys: str, examples: dict[str, Answer]
) -> None:
    answer = next(a for line, a in examples.items() if line.startswith(f"intake {words}"))
    told, each, more = keys.partition(", each with ")
    names = re.findall(r"`(\w+)`", told)
    assert set(names) <= set(answer)
    more_names = re.findall(r"`(\w+)`", more)
    if each and "_low" in more_names:
        assert {f"{name}{end}" for name in names for end in more_names} <= set(answer)
    elif each:
        assert set(more_names) <= set(answer[names[0]][0])


CODES = PAGE.partition("## Codes")[2]
SOURCES = [
    p.read_text(encoding="utf-8")
    for p in sorted((ROOT / "intake").rglob("*.py"))
    if not {"screens", "jobs"} & set(p.relative_to(ROOT / "intake").parts)
]
RAISED = re.compile(
    r"(?:Refused|__init__|RoomTrouble|Problem|\.fault|_stop|\.stop|[wW]arn|Warn)"
    r"\(\s*(?:text, )?\"([a-z]+(?:-[a-z]+)+)\""
)


def test_every_code_is_listed_and_is_one() -> None:
    listed = re.findall(r"`([a-z0-9-]+)`", CODES)
    assert len(listed) == len(set(listed))
    raised = {code for text in SOURCES for code in RAISED.findall(text)}
    assert len(raised) > 45
    assert raised <= set(listed)
    for code in listed:
        assert any(f'"{code}"' in text for text in SOURCES), code
