"""A rescue file: what it has to say, and what is refused with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from intake.rules.one_file import parse_bytes
from intake.rules.protocol_file import FileBytes
from intake.rules.rescue_file import Sum, WaterState, WorkedOut
from intake.rules.shelf import load_shelf
from intake.science.problem import Problem
from intake.science.rescue import LINES, SUMS, WATERS, Rescue

TEXT = (shipped_protocols() / "rescues" / "gasping.yaml").read_text(encoding="utf-8")


def problems(text: str) -> tuple[Problem, ...]:
    return parse_bytes(FileBytes("x.yaml", text.encode(), ""), "rescue", "gasping").problems


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("id: gasping", "id: gasp", "wrong-kind"),
        ("{third}, {most}", "{all}, {most}", "no-such-name"),
        ("command: intake record look", "command: intake dose salt", "wrong-kind"),
        ("amounts: [water, chlorine", "amounts: [water, water", "name-taken"),
        ("amounts: [water, chlorine", "amounts: [water, sulfur", "no-such-name"),
        ("water: [plain]", "water: [blue]", "no-such-name"),
        ("caution: The product label and your vet come first", "caution: Mind", "missing-key"),
        ("    mark: published\n", "", "source-missing"),
        ("title: Fish gasp at the surface\n", "", "missing-key"),
        ("title: Fish", "titel: Fish", "unknown-key"),
        ("    water: [plain]\n", "    water: [plain]\n    lines: crash-plan\n", "missing-key"),
    ],
)
def test_what_is_refused(old: str, new: str, code: str) -> None:
    assert old in TEXT
    assert problems(TEXT) == ()
    found = problems(TEXT.replace(old, new, 1))
    assert code in {p.code for p in found}
    assert all(p.line for p in found)


def test_a_file_with_nothing_to_do_at_once_is_refused() -> None:
    lines = [f"    water: [plain]\n{x}" if x.startswith("    source") else x
             for x in TEXT.split("\n")]  # fmt: skip
    once = "\n".join(lines).replace("    water: [plain]\n    water: [plain]", "    water: [plain]")
    text = once.replace("    water: [unread]\n    water: [plain]", "    water: [plain]").replace(
        "    water: [raises-ammonia]\n    water: [plain]", "    water: [plain]"
    )
    assert any("nothing to do at once" in p.text for p in problems(text))


def test_names_of_the_file_are_those_of_the_science() -> None:
    assert (Sum.__args__, WaterState.__args__, WorkedOut.__args__) == (  # type: ignore[attr-defined]
        SUMS, WATERS, LINES,
    )  # fmt: skip


def test_ones_own_takes_the_place_and_a_broken_one_leaves_none(tmp_path: Path) -> None:
    own = tmp_path / "rescues"
    own.mkdir()
    (own / "gasping.yaml").write_text(TEXT.replace("Air on full", "Both pumps on"), "utf-8")
    shelf, found = load_shelf([shipped_protocols(), tmp_path])
    assert found == []
    assert shelf.rescues["gasping"].do[0].text.startswith("Both pumps on")
    assert isinstance(shelf.rescues["ph-crash"], Rescue)
    (own / "gasping.yaml").write_text("id: gasping", "utf-8")
    shelf, found = load_shelf([shipped_protocols(), tmp_path])
    assert found
    assert "gasping" not in shelf.rescues
