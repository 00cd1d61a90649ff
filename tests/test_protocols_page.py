"""docs/protocols.md: its files load, its fields are the ones there are, what it refuses is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest
from pydantic import BaseModel

from intake.paths import shipped_protocols
from intake.rules.dose_blocks import ConditionBlock, WarningCode
from intake.rules.fields import dashed
from intake.rules.never_mix_file import NeverMixFile
from intake.rules.parasite_file import ParasiteFile
from intake.rules.plan_checks import CheckName
from intake.rules.plan_file import PlanFile
from intake.rules.plan_steps import StepKind
from intake.rules.readings import Reading
from intake.rules.rescue_file import RescueFile
from intake.rules.shelf import Shelf, check, load_shelf
from intake.rules.sign_file import SignFile
from intake.rules.treatment_file import TreatmentFile
from intake.rules.water_file import WaterFile
from tests.cli.ask import ask

ROOT = Path(__file__).resolve().parents[1]
PAGE = (ROOT / "docs" / "protocols.md").read_text(encoding="utf-8")
FILES = dict(re.findall(r"```yaml\n# (\S+)\n(.*?)```", PAGE, flags=re.DOTALL))
SHIPPED = shipped_protocols()


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The files of the page as a keeper's own folder."""
    folder = tmp_path / "protocols"
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    monkeypatch.setenv("INTAKE_PROTOCOLS", str(folder))
    return folder


@pytest.fixture
def shelf(own: Path) -> Shelf:
    found, problems = load_shelf([SHIPPED, own])
    assert problems == []
    return found


def test_every_file_of_the_page_loads_clean(own: Path) -> None:
    assert set(FILES) == {
        "treatments/sea-salt.yaml", "plans/slow.yaml", "signs.yaml", "never-mix.yaml",
        "water.yaml", "rescues/power-out.yaml", "parasites.yaml",
    }  # fmt: skip
    assert len(re.findall("```yaml", PAGE)) == len(FILES)
    for name in FILES:
        assert check([own / name]) == []


def test_what_is_replaced_whole_and_what_one_by_one(shelf: Shelf) -> None:
    plain, _ = load_shelf([SHIPPED])
    assert set(shelf.treatments) == {*plain.treatments, "sea-salt"}
    assert set(shelf.plans) == {*plain.plans, "slow"}
    assert set(shelf.rescues) == {*plain.rescues, "power-out"}
    assert set(shelf.signs) == {*plain.signs, "torn-wen"}
    assert set(shelf.parasites) == {*plain.parasites, "gill-lice"}
    assert len(shelf.never_mix) == len(plain.never_mix) + 1
    assert len(plain.water.thresholds) > 1
    assert set(shelf.water.thresholds) == {"temperature-drop"}


def test_a_file_of_that_name_takes_the_place_and_a_broken_one_nothing(own: Path) -> None:
    salt = (SHIPPED / "treatments" / "salt.yaml").read_text(encoding="utf-8")
    mine = own / "treatments" / "salt.yaml"
    mine.write_text(salt.replace("value: 5 g/L", "value: 5 ppm"), encoding="utf-8")
    code, told = ask("dose salt --volume 100L")
    assert (code, bool(told["problems"])) == (1, True)
    assert "salt" not in load_shelf([SHIPPED, own])[0].treatments
    mine.write_text(salt.replace("value: 2 g/L", "value: 1.5 g/L"), encoding="utf-8")
    assert ask("dose salt --volume 100L")[1]["amount"] == 150
    mine.unlink()
    assert ask("dose salt --volume 100L")[1]["amount"] == 200


@pytest.mark.usefixtures("own")
def test_the_new_treatment_doses_as_the_page_says() -> None:
    (line,) = re.findall(r"```sh\nintake (.*?)\n```", PAGE)
    code, answer = ask(line)
    assert code == 0
    assert (answer["amount"], answer["amount_unit"]) == (20, "g")
    assert "is 20 g" in PAGE
    assert [d["target"] for d in answer["doses"]] == [1, 2, 3, 4, 4.8]
    code, told = ask(f'{line} --target "6 g/L"')
    assert (code, told["refused"]["code"]) == (3, "over-hard-limit")
    assert told["refused"]["limit"] == 5
    assert "Lawson" in told["refused"]["source"]


def test_the_ceiling_holds_over_a_limit_somebody_wrote(own: Path) -> None:
    salt = (SHIPPED / "treatments" / "salt.yaml").read_text(encoding="utf-8")
    mine = own / "treatments" / "salt.yaml"
    mine.write_text(salt.replace("- value: 5 g/L", "- value: 12 g/L"), encoding="utf-8")
    _, told = ask('dose salt --volume 20L --target "11 g/L"')
    assert told["refused"]["limit"] == 10
    assert "iasj 90258" in told["refused"]["source"]


def keys_of(model: type[BaseModel], seen: set[type[BaseModel]]) -> Iterator[str]:
    seen.add(model)
    for name, field in model.model_fields.items():
        yield dashed(name)
        for inner in models_in(field.annotation):
            if inner not in seen:
                yield from keys_of(inner, seen)


def models_in(annotation: object) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from models_in(inner)


MODELS = (TreatmentFile, PlanFile, SignFile, WaterFile, NeverMixFile, RescueFile, ParasiteFile)


@pytest.mark.parametrize("model", MODELS)
def test_every_line_that_may_be_written_is_named(model: type[BaseModel]) -> None:
    named = set(re.findall(r"`([a-z-]+)(?:: [a-z]+)?`", PAGE))
    assert set(keys_of(model, set())) <= named


def test_every_word_that_may_be_written_is_named() -> None:
    for words in (Reading, CheckName, StepKind):
        assert all(word in PAGE for word in get_args(words))
    treatment = TreatmentFile.model_fields
    for name in ("status", "counts", "basis", "after_change", "residue_end", "margin"):
        assert all(f"`{word}`" in PAGE for word in get_args(treatment[name].annotation)), name
    evidence = ConditionBlock.model_fields["evidence"].annotation
    assert all(f"`{word}`" in PAGE for word in get_args(evidence))
    commands = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    assert all(f"`{word}`" in commands for word in get_args(WarningCode))


REFUSED = PAGE.partition("## What is refused, and why")[2]
ADULTS = "      source: the figures are for adults\n"
SALTY = FILES["treatments/sea-salt.yaml"]
SLOW = FILES["plans/slow.yaml"]
HARD = re.search(r"    hard-limits:\n(?:      .*\n)+", SALTY)
assert HARD
BROKEN = [
    ("hard-limit-missing", SALTY.replace(HARD[0], "")),
    ("source-missing", SALTY.replace(ADULTS, "")),
    ("source-missing", SALTY.replace("        mark: published\n", "", 1)),
    ("not-in-order", SALTY.replace("value: 4.8 g/L", "value: 4.9 g/L", 1)),
    ("not-in-order", SALTY.replace("value: 5 g/L", "value: 1 g/L")),
    ("unit-missing", SALTY.replace("value: 5 g/L", "value: 5")),
    ("ambiguous-unit", SALTY.replace("value: 5 g/L", "value: 5 ppm")),
    ("unknown-unit", SALTY.replace("value: 5 g/L", "value: 5 spoons")),
    *(("not-a-number", SALTY.replace("value: 5 g/L", f"value: {n} g/L"))
      for n in ("4,9", "5_000", "05", ".inf")),
    ("not-a-number", SALTY.replace("counts-as: 1", 'counts-as: "1"')),
    ("wrong-kind", SALTY.replace("value: 5 g/L", "value: 5 g/L +/- 1 g/L")),
    ("wrong-kind", SALTY.replace("allowed: [adult]", "allowed: []")),
    ("wrong-kind", SALTY.replace("route: prolonged", "route: feed")),
    ("wrong-kind", SALTY.replace("id: sea-salt", "id: brine")),
    ("missing-key", SALTY.replace("from-label: no\n", "")),
    ("missing-key", SALTY.replace("version: 1\n", "")),
    ("missing-key", SALTY.replace("dry\n    signal", "wet\n    signal")),
    ("missing-key", SALTY.replace("your vet come", "your nose come")),
    ("no-value", SALTY.replace("title: Sea salt", "title:")),
    ("unknown-key", SALTY.replace("from-label", "from-lable")),
    ("no-such-name", SALTY.replace("route: prolonged", "route: long")),
    ("key-twice", SALTY + "version: 2\n"),
    ("out-of-range", SALTY.replace("counts-as: 1", "counts-as: 1.5")),
    ("not-allowed", SALTY.replace("id: sea-salt", "id: &a sea-salt")),
    ("not-text", SALTY.replace("version: 1", "version:\u202e 1")),
    ("not-yaml", SALTY.replace("courses:", "courses: [")),
    ("too-big", SALTY + "# " + "x" * 256 * 1024),
]  # fmt: skip


@pytest.mark.parametrize(("code", "text"), BROKEN)
def test_what_the_page_says_is_refused_is(tmp_path: Path, code: str, text: str) -> None:
    assert text != SALTY
    path = tmp_path / "treatments" / "sea-salt.yaml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    assert code in {p.code for p in check([path])}
    assert f"`{code}`" in REFUSED


@pytest.mark.parametrize(
    ("code", "old", "new"),
    [
        ("out-of-range", "value: 42 d", "value: 0.5 d"),
        ("no-such-time", '"07:30"', '"7:30"'),
        ("no-such-time", '"18:00"', '"25:00"'),
        ("not-in-order", "value: 42 d", "value: 14 d"),
        ("name-taken", "id: temperature", "id: looks"),
    ],
)
def test_what_the_page_says_is_refused_of_a_plan_is(
    tmp_path: Path, code: str, old: str, new: str
) -> None:
    path = tmp_path / "plans" / "slow.yaml"
    path.parent.mkdir()
    path.write_text(SLOW.replace(old, new), encoding="utf-8")
    assert code in {p.code for p in check([path])}
    assert f"`{code}`" in REFUSED


def test_a_pair_with_a_treatment_nobody_knows_is_refused(own: Path) -> None:
    path = own / "never-mix.yaml"
    text = path.read_text(encoding="utf-8").replace("methylene-blue", "methylene-glue")
    path.write_text(text, encoding="utf-8")
    assert [p.code for p in check([path])] == ["no-such-name"]


def test_every_code_a_file_can_have_is_in_the_table() -> None:
    texts = [p.read_text(encoding="utf-8") for p in (ROOT / "intake" / "rules").glob("*.py")]
    begins = "not|no|too|key|wrong|out|name|hard|source|missing|unknown|ambiguous"
    raised = re.compile(rf'"((?:{begins})(?:-[a-z]+)+)"')
    found = {code for text in texts for code in raised.findall(text)}
    keys = {key for model in MODELS for key in keys_of(model, set())}
    found -= keys | {*get_args(CheckName), "not-advised", "never-mix"}
    table = re.findall(r"^\| (`.*?) \|", REFUSED, flags=re.MULTILINE)
    listed = {code for row in table for code in re.findall(r"`([a-z-]+)`", row)}
    assert found <= listed
    assert {code for code, _ in BROKEN} <= listed
