"""The catalogue of bad rule files, B61 to B77, each by its number.

B78 is of a table imported from elsewhere, which nothing here reads yet.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from intake.rules.protocol_file import SIZE_MAX_BYTES
from intake.rules.shelf import check, load_shelf
from intake.science.dose import DoseRequest
from intake.science.dosing import plan_dose
from intake.science.problem import Problem
from tests.rules.sample import TREATMENT
from tests.science.doses import NOW, litres


def told(folder: Path, text: str | bytes, name: str = "sample.yaml") -> list[Problem]:
    """The problems of a file of that content."""
    path = folder / "treatments" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return check([path])


def codes(folder: Path, text: str | bytes) -> set[str]:
    return {p.code for p in told(folder, text)}


def swapped(old: str, new: str) -> str:
    assert old in TREATMENT
    return TREATMENT.replace(old, new, 1)


BOMB = "a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a, *a]\n" for n in range(30))
MERGE = "a: &a {k: v}\nb: &b {<<: [*a, *a]}\nc: {<<: [*b, *b]}\n"


@pytest.mark.parametrize("text", [BOMB, MERGE, "a: &a [*a]\n"], ids=["alias", "merge", "self"])
def test_b61_bombs_are_refused_by_what_they_are_made_of(tmp_path: Path, text: str) -> None:
    assert "not-allowed" in codes(tmp_path, text)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("[" * 100_000, "too-big"),
        ("x" * (SIZE_MAX_BYTES + 1), "too-big"),
        ("a" + ".b" * 20_000 + ": 1\n", "not-yaml"),
        ("a: " + "[" * 21 + "]" * 21 + "\n", "too-big"),
    ],
    ids=["brackets", "large", "dotted", "deep"],
)
def test_b62_size_and_depth_are_capped(tmp_path: Path, text: str, code: str) -> None:
    assert code in codes(tmp_path, text)


@pytest.mark.parametrize("tag", ["!!python/object:os.system", "!foo", "!!str"])
def test_b63_tags_are_refused_at_their_line(tmp_path: Path, tag: str) -> None:
    (problem, *_) = told(tmp_path, swapped("title: Sample", f"title: {tag} Sample"))
    assert (problem.code, problem.line) == ("not-allowed", 2)


def test_b64_another_yaml_is_refused(tmp_path: Path) -> None:
    assert codes(tmp_path, "%YAML 1.1\n---\n" + TREATMENT) & {"not-allowed", "not-yaml"}


def test_b65_a_key_twice_is_told_with_both_lines(tmp_path: Path) -> None:
    text = swapped("version: 1.2\n", "version: 1.2\nversion: 9\n")
    (problem,) = [p for p in told(tmp_path, text) if p.code == "key-twice"]
    assert problem.line == 4
    assert "3" in problem.text + problem.hint


@pytest.mark.parametrize(
    ("old", "new", "meant"),
    [
        ("from-label:", "from-lable:", "from-label"),
        ("    hard-limits:", "    hard-limit:", "hard-limits"),
    ],
)
def test_b66_an_unknown_key_is_told_with_the_nearest(
    tmp_path: Path, old: str, new: str, meant: str
) -> None:
    found = [p for p in told(tmp_path, swapped(old, new)) if p.code == "unknown-key"]
    assert any(meant in p.hint for p in found)


def test_b67_without_a_hard_limit_it_cannot_be_dosed(tmp_path: Path) -> None:
    start, end = TREATMENT.index("    hard-limits:"), TREATMENT.index("    soft-limits:")
    assert "hard-limit-missing" in codes(tmp_path, TREATMENT[:start] + TREATMENT[end:])
    shelf, problems = load_shelf([shipped_protocols(), tmp_path])
    assert problems
    assert "sample" not in shelf.treatments


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("value: 2.5 g/L", "value: 5.5 g/L"),
        ("value: 1 g/L", "value: 2.1 g/L"),
        ("value: 3 g/L", "value: 6 g/L"),
        ("value: 2000 mg/L", "value: 5 g/L"),
    ],
    ids=["soft over hard", "least over usual", "high over hard", "usual on its limit"],
)
def test_b68_figures_that_contradict_each_other(tmp_path: Path, old: str, new: str) -> None:
    assert "not-in-order" in codes(tmp_path, swapped(old, new))


@pytest.mark.parametrize(
    "number", [".nan", ".inf", "1e400", "1,5", "1_000", "010", '"5"', "0x10", "1:30"]
)
def test_b69_only_plain_decimals_are_numbers(tmp_path: Path, number: str) -> None:
    assert "not-a-number" in codes(tmp_path, swapped("counts-as: 1\n", f"counts-as: {number}\n"))
    if not number.startswith('"'):
        text = swapped("value: 5 g/L", f"value: {number} g/L")
        assert codes(tmp_path, text) & {"not-a-number", "unit-missing", "unknown-unit"}


@pytest.mark.parametrize("nothing", ["", " #5", " ~", " null", ' ""'])
def test_b70_a_key_without_a_value(tmp_path: Path, nothing: str) -> None:
    text = swapped("margin: wide\n", f"margin:{nothing}\n")
    assert codes(tmp_path, text) & {"no-value", "no-such-name"}


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n"])
def test_b70_a_file_without_anything(tmp_path: Path, text: str) -> None:
    assert told(tmp_path, text)


@pytest.mark.parametrize(
    "content",
    [
        TREATMENT.encode("utf-16"),
        TREATMENT.replace("Sample", "S\u00e4mple").encode("latin-1"),
        TREATMENT.replace("\n  - form", "\n\t- form", 1).encode(),
        TREATMENT.replace("Sample", "Sam\x00ple").encode(),
        TREATMENT.replace("Sample", '"\\e[31mSample"').encode(),
    ],
    ids=["utf-16", "latin-1", "tab", "nul", "escape"],
)
def test_b71_other_bytes_are_refused(tmp_path: Path, content: bytes) -> None:
    assert codes(tmp_path, content) & {"not-text", "not-yaml"}


@pytest.mark.parametrize(
    "content", [b"\xef\xbb\xbf" + TREATMENT.encode(), TREATMENT.replace("\n", "\r\n").encode()]
)
def test_b71_a_mark_in_front_and_long_line_ends_are_fine(tmp_path: Path, content: bytes) -> None:
    assert told(tmp_path, content) == []


@pytest.mark.parametrize("text", [f"{TREATMENT}---\n{TREATMENT}", "- a\n- b\n", "salt\n"])
def test_b72_anything_but_one_block_of_lines(tmp_path: Path, text: str) -> None:
    assert told(tmp_path, text)


def test_b73_only_a_plain_file_is_read(tmp_path: Path) -> None:
    folder = tmp_path / "treatments"
    folder.mkdir()
    real = tmp_path / "real"
    real.write_text(TREATMENT)
    (folder / "link.yaml").symlink_to(real)
    (folder / "folder.yaml").mkdir()
    os.mkfifo(folder / "pipe.yaml")
    (folder / "zero.yaml").symlink_to("/dev/zero")
    found = {(Path(p.path).name, p.code) for p in check([tmp_path]) if p.path != str(real)}
    assert found == {(path.name, "not-a-file") for path in folder.iterdir()}


def test_b74_a_file_that_is_replaced_while_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Read twice and then refused; the second reading counts where it is whole."""
    path = tmp_path / "sample.yaml"
    path.write_text(TREATMENT)
    real = os.read

    def replaced(handle: int, size: int) -> bytes:
        got = real(handle, size)
        if got:
            new = tmp_path / "new"
            new.write_text(path.read_text() + "# more\n")
            new.replace(path)
        return got

    monkeypatch.setattr(os, "read", replaced)
    assert {p.code for p in check([path])} == {"not-a-file"}


def test_b75_a_dose_keeps_the_fingerprint_of_the_rule_it_was_worked_out_with(
    tmp_path: Path,
) -> None:
    prints = []
    for text in (TREATMENT, swapped("value: 2000 mg/L", "value: 1500 mg/L")):
        assert told(tmp_path, text) == []
        shelf, _ = load_shelf([shipped_protocols(), tmp_path])
        request = DoseRequest(shelf.treatments["sample"], NOW, volume=litres("10"), target=None)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr("intake.science.dose_checks.judge_conditions", lambda *_: ())
            patch.setattr("intake.science.dose_words.judge_conditions", lambda *_: ())
            prints.append(plan_dose(request).protocol_sha256)
    assert prints[0] != prints[1]


def test_b76_the_same_treatment_in_two_files_names_both(tmp_path: Path) -> None:
    folder = tmp_path / "treatments"
    folder.mkdir()
    for name in ("sample.yaml", "sample.yml"):
        (folder / name).write_text(TREATMENT)
    found = check([tmp_path])
    assert {p.code for p in found} == {"name-taken"}
    assert all("sample.yaml" in p.text and "sample.yml" in p.text for p in found)


@pytest.mark.parametrize("text", ["include: ../../other.yaml\n", "include: /etc/passwd\n"])
def test_b77_nothing_is_included(tmp_path: Path, text: str) -> None:
    assert "unknown-key" in codes(tmp_path, TREATMENT + text)
