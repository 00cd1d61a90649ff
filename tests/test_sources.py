"""docs/sources.md against every source line in the protocols, the code and the test data."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from intake.science.ceilings import CEILINGS
from intake.science.windows import RISKS

ROOT = Path(__file__).resolve().parents[1]
PAGE = (ROOT / "docs" / "sources.md").read_text(encoding="utf-8")
NAMELESS = PAGE.partition("## Marked published, without a name")[2]
ENTRIES = [" ".join(e.split()) for e in re.split(r"^- ", PAGE, flags=re.MULTILINE)[1:]]
YEAR = re.compile(r"(?<![\d.:/])(?:19|20)\d\d(?![\d(]|[.-]\d)")
CAPITAL = re.compile(r"[A-Z][\w'-]+")
MARKED = re.compile(
    r"\b(?:FA|VM-?|CIR)\d+|SRAC \d+|INAD \d+|21 CFR [\d.]+|iasj \d+|patent \d+|zenodo \d+"
    r"|doi [\w./-]+\d|USGS \d+|SP \d+|TE\d+|41-2025|\d+(?:\(\d+\))?:\d+(?:-\d+)?"
)
"""Numbers of sheets, rules and papers, each a name of its own."""
JOURNALS = re.compile(r"\d+(?:\(\d+\))?:(\d+)(?:-\d+)?")


def scalars(node: object, mark: str = "", key: str = "") -> Iterator[tuple[str, str, str]]:
    """Every text of a protocol file: its key, itself, and the mark beside it."""
    if isinstance(node, dict):
        for name, inner in node.items():
            yield from scalars(inner, str(node.get("mark", "")), str(name))
    elif isinstance(node, list):
        for inner in node:
            yield from scalars(inner, mark, key)
    elif isinstance(node, str):
        yield key, node, mark


def protocol_texts() -> list[tuple[str, str, str]]:
    yaml = YAML(typ="safe")
    files = sorted((ROOT / "protocols").rglob("*.yaml"))
    return [s for f in files for s in scalars(yaml.load(f.read_text(encoding="utf-8")))]


PROTOCOLS = protocol_texts()


def code_sources() -> set[str]:
    """What stands after Source: in a docstring, up to the end of its paragraph."""
    found = re.compile(r"Sources?: (.+?)(?:\"\"\"|\n\s*\n)", re.DOTALL)
    texts = [p.read_text(encoding="utf-8") for p in sorted((ROOT / "intake").rglob("*.py"))]
    return {" ".join(m.split()) for text in texts for m in found.findall(text)}


def data_sources() -> set[str]:
    found: set[str] = set()
    for path in sorted((ROOT / "tests" / "data").glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found |= {row["source"] for row in csv.DictReader(file)}
    return found


def citations(text: str) -> Iterator[tuple[list[str], str]]:
    """Each year a text cites with the capital words before it, nearest part first."""
    for year in YEAR.finditer(text):
        before = text[: year.start()]
        part = re.split(r"[;()]|[.:] (?=[A-Z])|\d, ", before)[-1]
        yield CAPITAL.findall(part) or CAPITAL.findall(before), year.group()


def entry_of(words: list[str], year: str) -> str | None:
    """The entry whose bold names hold one of the words, the first of them first, and the year."""
    for entry in ENTRIES:
        names = " ".join(re.findall(r"\*\*(.+?)\*\*", entry))
        if year in entry and words and set(words[:2]) & set(CAPITAL.findall(names)):
            return entry
    return None


def missing(text: str) -> list[str]:
    """What a text cites that has no entry."""
    text = " ".join(text.split())
    found = [f"{words[:2]} {year}" for words, year in citations(text) if not entry_of(words, year)]
    for name in MARKED.findall(text):
        pages = JOURNALS.fullmatch(name)
        if not re.search(rf"(?<!\d){re.escape(pages[1] if pages else name)}(?!\d)", PAGE):
            found.append(name)
    return found


@pytest.mark.parametrize(
    ("text", "wanting"),
    [
        ("Lawson and Alake 2011, goldfish comets tolerated 1 to 5 g/L", []),
        ("Nobody and Noone 2011, goldfish comets", ["['Nobody', 'Noone'] 2011"]),
        ("Lawson and Alake 2012", ["['Lawson', 'Alake'] 2012"]),
        ("UF/IFAS FA999, 3 g/L", ["FA999"]),
        ("US label, 15 to 25 uL/L (FDA table in Merck 2014, 2019)", []),
        ("J Fish Dis 32:9271", ["32:9271"]),
    ],
)
def test_what_has_no_entry_is_found(text: str, wanting: list[str]) -> None:
    assert missing(text) == wanting


@pytest.mark.parametrize("text", sorted({t for k, t, _ in PROTOCOLS if k == "source"}))
def test_every_source_of_a_protocol_has_an_entry(text: str) -> None:
    assert missing(text) == []


def test_prose_of_the_protocols_cites_nothing_else() -> None:
    prose = {t for k, t, _ in PROTOCOLS if k in ("cautions", "disagree", "biofilter", "text")}
    assert {t: missing(t) for t in prose if missing(t)} == {}


def names() -> list[str]:
    """The bold names, without what stands in brackets or after a comma's year."""
    bold = re.findall(r"\*\*(.+?)\*\*", PAGE)
    return [re.sub(r" ?\(?\d{4}\)?$", "", name) for name in bold]


def test_what_is_published_names_a_source_or_is_listed_as_nameless() -> None:
    published = {t for k, t, m in PROTOCOLS if k == "source" and m == "published"}
    assert len(published) > 40
    known = [n.lower() for n in names()]
    for text in published:
        plain = " ".join(text.split())
        said = any(n in plain.lower() for n in known) or any(citations(plain))
        assert said or f"`{plain}`" in NAMELESS, plain


def test_the_nameless_ones_still_stand_in_a_protocol() -> None:
    texts = {" ".join(t.split()) for k, t, _ in PROTOCOLS if k == "source"}
    listed = re.findall(r"`([^`\n]+)`", NAMELESS.partition("\n- ")[2])
    assert listed
    assert set(listed) <= texts


def test_what_the_code_names_has_an_entry() -> None:
    found = code_sources()
    assert len(found) > 30
    assert {text: missing(text) for text in found if missing(text)} == {}


def test_ceilings_and_virus_windows_have_an_entry() -> None:
    texts = {c.source.text for held in CEILINGS.values() for c in held}
    texts |= {risk.source.text for risk in RISKS}
    assert {text: missing(text) for text in texts if missing(text)} == {}


def test_data_of_others_has_an_entry() -> None:
    found = data_sources()
    assert len(found) > 20
    assert {text: missing(text) for text in found if missing(text)} == {}
