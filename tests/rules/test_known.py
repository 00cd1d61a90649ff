"""Shipped treatments and plans are read when asked for, and only while they are as shipped."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from intake.rules.known import KNOWN, fingerprints, known
from intake.rules.one_file import parse_path
from intake.rules.shelf import load_shelf
from intake.science.problem import Unreadable

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The shipped protocols, to change."""
    return Path(shutil.copytree(shipped_protocols(), tmp_path / "protocols"))


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the known files that were read."""
    names: list[str] = []

    def noted(path: Path, kind: str = "") -> object:
        names.append(path.stem)
        return parse_path(path, kind)

    monkeypatch.setattr("intake.rules.known.parse_path", noted)
    return names


def test_the_list_fits_the_shipped_files() -> None:
    """Written anew by: python -m intake.rules.schema protocols/schema."""
    shipped = ROOT / "protocols"
    assert (shipped / KNOWN).read_text(encoding="utf-8") == fingerprints(shipped)


def test_a_treatment_is_read_once_and_only_when_asked_for(folder: Path, reads: list[str]) -> None:
    shelf, problems = load_shelf([folder])
    assert (problems, reads) == ([], [])
    assert "salt" in shelf.treatments
    assert len(shelf.treatments) == len(list((folder / "treatments").glob("*.yaml")))
    first = shelf.treatments["salt"]
    assert (shelf.treatments["salt"], reads) == (first, ["salt"])


def test_a_plan_is_read_once_and_only_when_asked_for(folder: Path, reads: list[str]) -> None:
    shelf, _ = load_shelf([folder])
    assert sorted(shelf.plans) == ["eggs-and-fry", "long", "minimum", "standard"]
    assert reads == []
    assert (shelf.plans["long"].days, shelf.plans["long"].days) == (42, 42)
    assert reads == ["long"]
    path = folder / "plans" / "minimum.yaml"
    path.write_text(path.read_text("utf-8").replace("21 d", "20 d"), "utf-8")
    with pytest.raises(Unreadable):
        _ = shelf.plans["minimum"]


def test_one_that_is_not_the_shipped_one_is_checked_at_once(folder: Path) -> None:
    path = folder / "treatments" / "salt.yaml"
    path.write_text(path.read_text("utf-8").replace("value: 5 g/L", "value: 5 ppm"), "utf-8")
    shelf, problems = load_shelf([folder])
    assert {p.code for p in problems} >= {"ambiguous-unit"}
    assert "salt" not in shelf.treatments


@pytest.mark.parametrize("text", [None, "not json", "[]"])
def test_a_list_that_cannot_be_read_knows_nothing(folder: Path, text: str | None) -> None:
    (folder / KNOWN).unlink()
    if text is not None:
        (folder / KNOWN).write_text(text, encoding="utf-8")
    assert known(folder) == {}


def test_without_the_list_everything_is_read_at_once(folder: Path, reads: list[str]) -> None:
    (folder / KNOWN).unlink()
    for path in (folder / "treatments").glob("*.yaml"):
        if path.stem not in ("salt", "formalin"):
            path.unlink()
    shelf, problems = load_shelf([folder])
    assert (problems, shelf.treatments["salt"].id, reads) == ([], "salt", [])


def test_one_changed_while_the_program_runs_is_not_dosed(folder: Path) -> None:
    shelf, _ = load_shelf([folder])
    path = folder / "treatments" / "salt.yaml"
    path.write_text(path.read_text("utf-8").replace("value: 2 g/L", "value: 3 g/L"), "utf-8")
    with pytest.raises(Unreadable):
        _ = shelf.treatments["salt"]


def test_ones_own_file_takes_the_place_and_a_broken_one_leaves_nothing(
    folder: Path, tmp_path: Path
) -> None:
    own = tmp_path / "own" / "treatments"
    own.mkdir(parents=True)
    text = (folder / "treatments" / "salt.yaml").read_text("utf-8")
    (own / "salt.yaml").write_text(text.replace("value: 2 g/L", "value: 1.5 g/L"), "utf-8")
    shelf, problems = load_shelf([folder, own.parent])
    assert (problems, float(shelf.treatments["salt"].courses[0].usual)) == ([], 1.5)
    (own / "salt.yaml").write_text(text.replace("value: 5 g/L", "value: 5"), "utf-8")
    assert "salt" not in load_shelf([folder, own.parent])[0].treatments


def test_a_second_file_of_the_same_name_is_still_told(folder: Path) -> None:
    path = folder / "treatments" / "salt.yaml"
    shutil.copy(path, path.with_suffix(".yml"))
    shelf, problems = load_shelf([folder])
    assert {p.code for p in problems} == {"name-taken"}
    assert "salt" not in shelf.treatments
