"""The pages about the project: links lead somewhere, paths and first amounts are so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.ceilings import CEILINGS
from intake.science.treatment import Treatment

ROOT = Path(__file__).resolve().parents[1]
PAGES = sorted([ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")])
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SAFETY = (ROOT / "docs" / "changes.md").read_text(encoding="utf-8").partition("### Safety")[2]
TREATMENTS = load_shelf([shipped_protocols()])[0].treatments


def heads(page: Path) -> set[str]:
    found = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return {re.sub(r"[^a-z0-9 -]", "", head.lower()).replace(" ", "-") for head in found}


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_every_link_leads_somewhere(page: Path) -> None:
    links = re.findall(r"\]\(([^)\s]+)\)", page.read_text(encoding="utf-8"))
    for link in links:
        name, _, head = link.partition("#")
        to = (page.parent / name) if name else page
        assert to.is_file(), link
        assert not head or head in heads(to), link


def test_the_links_looked_at_are_not_none() -> None:
    texts = [page.read_text(encoding="utf-8") for page in PAGES]
    assert sum(len(re.findall(r"\]\(", text)) for text in texts) > 20


HOUSE = DEVELOPERS.partition("## The house")[2].partition("Imports point down")[0]
BASES = ("", "intake", "intake/science", "intake/science/volume", "intake/flows", "intake/cli",
         "intake/flows/forms", "intake/screens", "intake/rules", "intake/store")  # fmt: skip


def test_every_path_told_to_developers_is_there() -> None:
    named = re.findall(r"`([a-z_./]+(?:\.[a-z]+|/))`", DEVELOPERS)
    paths = [n for n in named if "/" in n or n.endswith(".py")]
    assert len(paths) > 30
    for path in paths:
        if path not in (".venv/", "dist/"):
            assert any((ROOT / base / path).exists() for base in BASES), path


def test_every_part_of_the_house_is_in_the_tree() -> None:
    parts = {p.name for p in (ROOT / "intake").iterdir() if p.suffix in ("", ".py")}
    parts -= {"__init__.py", "__pycache__", "_protocols"}
    for part in parts:
        assert re.search(rf"^ +{re.escape(part)}/?\s", HOUSE, flags=re.MULTILINE), part


@pytest.mark.parametrize("treatment", TREATMENTS.values(), ids=lambda t: t.id)
def test_the_first_amounts_stand_under_safety(treatment: Treatment) -> None:
    (line,) = re.findall(rf"^- First amounts, {treatment.id}: (.*)$", SAFETY, flags=re.MULTILINE)
    numbers = set(re.findall(r"\d+(?:\.\d+)?", line))
    for course in treatment.courses:
        if course.by_vet:
            assert "vet" in line
            continue
        hard = [b.value for b in course.bounds if b.hard]
        told = [course.low, course.usual, course.high, *hard]
        if course.name == "short-bath":  # its low end is its usual one
            told.remove(course.low)
        assert {f"{value:f}" for value in told} <= numbers, course.name


def test_the_ceilings_of_what_is_shipped_stand_under_safety() -> None:
    (line,) = re.findall(r"^- Ceilings no file passes: (.*)$", SAFETY, flags=re.MULTILINE)
    numbers = set(re.findall(r"\d+(?:\.\d+)?", line))
    for name in TREATMENTS:
        assert {f"{c.value:f}" for c in CEILINGS.get(name, ())} <= numbers
