"""Plan files: what a mistake in one is told, and where; a text kept by an old quarantine."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.rules.shelf import check, parse_plan
from intake.science.plan import Plan

OLD = Path(__file__).parents[1] / "data" / "plan_standard_1_0.yaml"
"""The standard plan as quarantines of the first version keep it."""
SMALL = """\
id: small
title: A plan for tests
version: 1
days:
  value: 30 d
  source: made for the test
  mark: common practice
floor:
  value: 21 d
  source: made for the test
  mark: common practice
stages:
  - id: all
    title: All of it
    from-day: -7
steps:
  - id: ready
    kind: prepare
    task: Have it ready
    from-day: -7
    to-day: -1
    evidence: [volume, kits]
    source: made for the test
    mark: common practice
  - id: salt-down
    kind: change
    task: Take the salt out
    from-day: 9
    to-day: 24
    every-weeks: 1
    only-where: salt-in-water
    source: made for the test
    mark: common practice
checks:
  - check: days-served
    source: made for the test
    mark: common practice
left-out:
  - check: slides
    because: none of eggs
    source: made for the test
    mark: common practice
preventive:
  - treatment: salt
    course: support
    against: [strain]
    from-day: 0
    to-day: 1
    source: made for the test
    mark: common practice
hatching:
  above: 6.6 C
  least: 45
  most: 95
  low: 15 C
  high: 24 C
  source: made for the test
  mark: common practice
life-stages: [eggs, fry]
restarts:
  sign-grade: 1
  same-sign-fish: 2
  sign-days: 14
  death-after-day: 3
  stands-after: 72 h
  source: made for the test
  mark: common practice
"""


def test_a_plan_with_everything_in_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "plans" / "small.yaml"
    path.parent.mkdir()
    path.write_text(SMALL, encoding="utf-8")
    assert check([path]) == []
    plan = parse_plan(SMALL, "plans/small.yaml")
    assert isinstance(plan, Plan)
    assert plan.steps[0].evidence == ("volume", "kits")
    assert (plan.steps[1].every_weeks, plan.steps[1].only_where) == (1, "salt-in-water")
    assert plan.steps[1].repeats
    offer = plan.offer("salt")
    assert offer is not None
    assert (offer.course, offer.from_day, offer.to_day) == ("support", 0, 1)
    assert plan.offer("formalin") is None
    assert [c.check for c in plan.left_out] == ["slides"]
    assert plan.hatching is not None
    assert plan.hatching.least == 45
    assert plan.hatching.most == 95
    assert plan.life_stages == ("eggs", "fry")


MISTAKES = {
    "under-its-floor": ("value: 30 d", "value: 20 d", 5, 10, "not-in-order"),
    "no-such-evidence": ("[volume, kits]", "[volume, nets]", 22, 24, "no-such-name"),
    "evidence-twice": ("[volume, kits]", "[volume, volume]", 22, 24, "name-taken"),
    "no-such-condition": ("only-where: salt-in", "only-where: sugar-in", 31, 17, "no-such-name"),
    "weeks-and-days": ("every-weeks: 1", "every-weeks: 1\n    every-days: 2", 30, 5, "wrong-kind"),
    "weeks-below-none": ("every-weeks: 1", "every-weeks: -1", 30, 18, "out-of-range"),
    "asked-and-left-out": ("check: slides", "check: days-served", 39, 12, "name-taken"),
    "before-they-come": ("from-day: 0\n    to-day: 1", "from-day: -1\n    to-day: 1", 47, 15,
                         "out-of-range"),
    "no-course": ("    course: support\n", "", 44, 5, "missing-key"),
    "misspelt-treatment": ("treatment: salt", "treatment: slat", 44, 16, "no-such-name"),
    "cold-over-warm": ("low: 15 C", "low: 25 C", 56, 9, "not-in-order"),
    "least-over-most": ("least: 45", "least: 96", 54, 9, "not-in-order"),
    "no-such-stage": ("[eggs, fry]", "[eggs, larva]", 59, 21, "no-such-name"),
    "evidence-once-they-are-in": ("from-day: -7\n    to-day: -1", "from-day: 0\n    to-day: 1",
                                  22, 5, "wrong-kind"),
}  # fmt: skip


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_told_with_its_line_and_column(tmp_path: Path, name: str) -> None:
    old, new, line, column, code = MISTAKES[name]
    assert SMALL.count(old) == 1 or name == "evidence-once-they-are-in"
    path = tmp_path / "plans" / "small.yaml"
    path.parent.mkdir()
    path.write_text(SMALL.replace(old, new, 1), encoding="utf-8")
    found = [(p.line, p.column, p.code) for p in check([path])]
    assert (line, column, code) in found, check([path])


def test_a_plan_text_of_the_first_version_is_still_read() -> None:
    plan = parse_plan(OLD.read_text(encoding="utf-8"), "plans/standard.yaml")
    assert isinstance(plan, Plan), plan
    assert (plan.id, plan.version, plan.days, len(plan.steps)) == ("standard", "1.0", 30, 24)
    assert plan.preventive == ()
    assert plan.left_out == ()
    assert all(s.evidence == () and s.only_where == "" for s in plan.steps)
