"""What a file of parasites may say, and what is refused with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import check, load_shelf
from intake.science.course_parts import Source

GILL = """\
version: 1
parasites:
  - id: gill-flukes
    title: Mine
    rule: eggs
    range: {at-least: 12 C, at-most: 28 C, source: a paper, mark: published}
    below: too cold
    above: too warm
    doses: {at-least: 2, source: mine, mark: common practice}
    times:
      - {name: last-hatch, degree-days: 83, above: 8 C, source: a paper, mark: published}
      - {name: first-layer, degree-days: 95, above: 8 C, source: a paper, mark: published}
      - name: generation
        between: degree-days
        rows:
          - {at: 12 C, takes: 20 d}
          - {at: 20 C, takes: 48 h}
        source: a paper
        mark: published
    source: mine
    mark: common practice
"""
COVER = """\
version: 1
parasites:
  - id: spots
    title: Spots
    names: [dots]
    rule: cover
    range: {at-least: 10 C, at-most: 28 C, source: a paper, mark: published}
    below: too cold
    above: too warm
    every:
      - {at: 10 C, takes: 48 h, source: a paper, mark: published}
      - {at: 16 C, takes: 1 d, source: another, mark: common practice}
    slack: {value: 1 d, source: mine, mark: common practice}
    cycles: {value: 1.5, source: mine, mark: common practice}
    look-after: {value: 7 d, source: mine, mark: common practice}
    times:
      - name: generation
        between: steps
        range: {at-least: 10 C, at-most: 20 C, source: a paper, mark: published}
        rows: [{at: 10 C, takes: 35 d}]
        source: a paper
        mark: published
    notes: [look at the fish]
    source: mine
    mark: common practice
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "parasites.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_parasite_becomes_a_frozen_shape(tmp_path: Path) -> None:
    written(tmp_path, COVER)
    shelf, problems = load_shelf([tmp_path])
    assert problems == []
    spots = shelf.parasites["spots"]
    assert (spots.rule, spots.low_c, spots.high_c) == ("cover", 10, 28)
    assert (spots.every, spots.cycles, spots.slack_d, spots.look_d) == (
        ((10, 2), (16, 1)), 1.5, 1, 7,
    )  # fmt: skip
    assert (spots.every_d(15.9), spots.every_d(16)) == (2, 1)
    assert (spots.slow_d("generation", 20), spots.slow_d("generation", 20.1)) == (35, None)
    assert Source("another", "common practice") in spots.sources()
    assert spots.named_in("two Dots on the tail")
    assert not spots.named_in("anecdotes")


def test_the_keepers_own_takes_the_place_by_id(tmp_path: Path) -> None:
    written(tmp_path, GILL)
    shelf, problems = load_shelf([shipped_protocols(), tmp_path])
    assert problems == []
    assert shelf.parasites["gill-flukes"].title == "Mine"
    assert shelf.parasites["gill-flukes"].slow_d("last-hatch", 20) == pytest.approx(83 / 12)
    assert "white-spot" in shelf.parasites


def test_the_kind_is_known_by_the_key_under_another_name(tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text(GILL, encoding="utf-8")
    assert check([path]) == []


@pytest.mark.parametrize(
    ("text", "before", "after", "code"),
    [
        (GILL, "at-least: 12 C", "at-least: 29 C", "not-in-order"),
        (GILL, "above: 8 C", "above: 12 C", "out-of-range"),  # endless at the cold end
        (GILL, "above: 8 C, ", "", "missing-key"),
        (GILL, "degree-days: 83", "degree-days: 0", "out-of-range"),
        (GILL, "degree-days: 83, above: 8 C, ", "", "missing-key"),
        (GILL, "{at: 20 C, takes: 48 h}", "{at: 20 C, takes: 21 d}", "not-in-order"),
        (GILL, "{at: 20 C, takes: 48 h}", "{at: 11 C, takes: 48 h}", "not-in-order"),
        (GILL, "{at: 12 C, takes: 20 d}", "{at: 18 C, takes: 20 d}", "out-of-range"),
        (GILL, "        between: degree-days\n", "", "missing-key"),
        (GILL, "takes: 48 h", "takes: 48", "unit-missing"),
        (GILL, "at: 20 C", "at: 20 d", "wrong-kind"),
        (GILL, "name: last-hatch", "name: last-hatched", "missing-key"),
        (GILL, "rule: eggs", "rule: egg", "no-such-name"),
        (GILL, "rule: eggs", "rule: cover", "missing-key"),
        (GILL, "source: a paper, mark: published}\n    below", "mark: published}\n    below",
         "source-missing"),
        (GILL, "parasites:\n", "parasites:\n" + GILL.split("parasites:\n")[1], "name-taken"),
        (GILL, "    doses:", "    dosis:", "unknown-key"),
        (COVER, "takes: 48 h", "takes: 50 h", "wrong-kind"),
        (COVER, "at: 16 C, takes: 1 d", "at: 16 C, takes: 3 d", "not-in-order"),
        (COVER, "- {at: 10 C, takes: 48 h", "- {at: 11 C, takes: 48 h", "out-of-range"),
        (COVER, "value: 7 d", "value: 7.5 d", "wrong-kind"),
        (COVER, "    look-after: {value: 7 d, source: mine, mark: common practice}\n", "",
         "missing-key"),
    ],
)  # fmt: skip
def test_what_is_refused(tmp_path: Path, text: str, before: str, after: str, code: str) -> None:
    assert before in text
    path = written(tmp_path, text.replace(before, after, 1))
    problems = check([path])
    assert code in [p.code for p in problems], problems
    assert all(p.line > 1 for p in problems)


def test_a_time_the_windows_need_is_known_in_the_whole_range(tmp_path: Path) -> None:
    part = "above: 8 C, source: a paper"
    ranged = "above: 8 C, range: {at-least: 15 C, at-most: 28 C, source: x, mark: published}, "
    path = written(tmp_path, GILL.replace(part, ranged + "source: a paper", 1))
    assert [p.code for p in check([path])] == ["out-of-range"]
