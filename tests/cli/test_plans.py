"""`intake plan` for each of the four plans, and what `check` says of a plan under its floor."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from intake.paths import shipped_protocols
from tests.cli.ask import ask, run

START = date(2026, 3, 10)
DAYS = {"standard": 30, "minimum": 21, "long": 42, "eggs-and-fry": 42}
"""95 % of 42 public aquaria: 30 days or more (Hadfield & Clayton 2011); Australia: 21 days for
goldfish; 42 common practice."""


@pytest.mark.parametrize("name", DAYS)
def test_each_plan_tells_its_days_from_seven_before(name: str) -> None:
    code, answer = ask(f"plan {name} --start {START} --temp '22 C'")
    assert code == 0
    days = [(date.fromisoformat(t["date"]) - START).days for t in answer["tasks"]]
    assert (min(days), max(days)) == (-7, DAYS[name])
    assert answer["earliest_release"] == (START + timedelta(DAYS[name])).isoformat()
    assert answer["used_for"]


def test_only_what_is_on_offer_is_told_and_none_of_it_is_a_task() -> None:
    answer = ask(f"plan standard --start {START} --temp '22 C'")[1]
    assert [p["treatment"] for p in answer["preventive"]] == ["salt", "praziquantel"]
    assert not [t for t in answer["tasks"] if "raziquantel" in t["task"]]
    text = " ".join(run("plan", "standard", "--start", str(START), "--temp", "22 C")[1].split())
    assert "on offer, only where chosen: salt, course support, day 0 to 1" in text


def test_eggs_at_22_c_hatch_from_day_2_to_7() -> None:
    """45 to 95 degree-days above 6.6 C: 2.9 to 6.2 days, whole days around them."""
    answer = ask(f"plan eggs-and-fry --start {START} --temp '22 C'")[1]
    watch = [t for t in answer["tasks"] if t["task"].startswith("Watch for the first to hatch")]
    assert [(t["from"], t["to"]) for t in watch] == [("2026-03-12", "2026-03-17")]
    cold = ask(f"plan eggs-and-fry --start {START} --temp '12 C'")[1]
    watch = [t for t in cold["tasks"] if t["task"].startswith("Watch for the first to hatch")]
    assert "no day is worked out" in watch[0]["because"]


def test_a_plan_under_its_floor_is_refused_with_its_place(tmp_path: Path) -> None:
    text = (shipped_protocols() / "plans" / "minimum.yaml").read_text(encoding="utf-8")
    own = tmp_path / "plans" / "minimum.yaml"
    own.parent.mkdir()
    own.write_text(text.replace("  value: 21 d", "  value: 20 d", 1), encoding="utf-8")
    code, answer = ask(f"check {own}")
    assert code == 1
    (problem,) = answer["problems"]
    assert problem["code"] == "not-in-order"
    line = text.splitlines().index("  value: 21 d") + 1
    assert (problem["line"], problem["column"]) == (line, 10)
    assert "under floor" in problem["text"]
