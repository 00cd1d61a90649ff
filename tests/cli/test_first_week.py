"""docs/first-week.md, line by line: the main job as a keeper types it."""

from __future__ import annotations

import json
import math
import re
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from intake.cli import main

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "first-week.md").read_text(encoding="utf-8")
LINES = [
    line
    for block in re.findall(r"```sh\n(.*?)```", PAGE, flags=re.DOTALL)
    for line in block.splitlines()
    if line.strip()
]
OVAL_L = math.pi / 4 * 120 * 70 * 35 / 1000
"""Volume of the page's tub: the area of an ellipse times its depth (geometry)."""

Answers = list[tuple[str, dict[str, Any]]]


def run_lines(lines: list[str], room: Path, capsys: pytest.CaptureFixture[str]) -> Answers:
    answers: Answers = []
    for line in lines:
        word, *argv = shlex.split(line)
        assert word == "intake"
        code = main([*argv, "--json", "--room", str(room)])
        out = capsys.readouterr().out
        assert code == 0, f"{line}\n{out}"
        answers.append((line, json.loads(out)))
    return answers


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> Answers:
    room = tmp_path_factory.mktemp("week") / "room.db"
    found: Answers = []
    import contextlib
    import io

    for line in LINES:
        out = io.StringIO()
        with contextlib.redirect_stdout(out):
            code = main([*shlex.split(line)[1:], "--json", "--room", str(room)])
        assert code == 0, f"{line}\n{out.getvalue()}"
        found.append((line, json.loads(out.getvalue())))
    return found


@pytest.fixture
def last(answers: Answers) -> Callable[..., dict[str, Any]]:
    def find(*words: str) -> dict[str, Any]:
        hits = [a for line, a in answers if all(w in line for w in words)]
        assert hits, words
        return hits[-1]

    return find


Find = Callable[..., dict[str, Any]]


def test_the_oval_is_an_ellipse(last: Find) -> None:
    tub = last("record vessel", "Tub 1")
    assert tub["volume_l"] == pytest.approx(OVAL_L, rel=1e-9)
    assert tub["volume_l_low"] < OVAL_L < tub["volume_l_high"]


def test_the_bag_is_lifted_across_and_dilution_is_undone(last: Find) -> None:
    answer = last("intake acclimate")
    assert answer["choice"] == "float-and-lift"
    assert answer["nh3_now_n_mg_l"] < 0.02 < answer["nh3_opened_n_mg_l"]
    assert last("record acclimation", "--bag 1")["offered"] == "float-and-lift"
    assert last("--diluted 2")["bag"] == 2


def test_quarantine_begins_on_the_day_the_last_fish_went_in(last: Find) -> None:
    begun = last("record quarantine")
    assert (begun["day_0"], begun["earliest_release"]) == ("2026-03-10", "2026-04-09")
    due = last("intake tasks", "2026-03-17")["tasks"]
    assert all("2026" not in t["id"] for t in due)
    assert all(t["because"] for t in due)


def test_the_second_step_counts_what_the_change_left(last: Find) -> None:
    first = last("intake dose", "1 g/L")
    assert (first["amount"], first["measured"]) == (pytest.approx(OVAL_L, rel=1e-6), 231.0)
    after = last("record change")["residue"][0]
    assert after["after"] == pytest.approx(0.7 * 231 / OVAL_L, rel=1e-6)
    second = last("intake dose", "2 g/L")
    assert second["already"] == pytest.approx(0.7 * 231 / OVAL_L, rel=1e-6)
    # residue_end is high for salt: the amount is worked out from the high end of what is there.
    assert second["measured"] == pytest.approx((2 - 0.7) * OVAL_L, rel=0.02)
    left = last("intake residue", "21:11")["substances"][0]
    assert left["now"] == pytest.approx((0.7 * 231 + 300) / OVAL_L, rel=1e-6)


def test_a_death_nobody_explains_restarts_the_days(last: Find) -> None:
    checks = last("intake checks")
    assert checks["days_served"] == 4
    assert checks["earliest_release"] >= "2026-04-15"
    states = {c["check"]: c["state"] for c in checks["checks"]}
    assert states["no-deaths"] == "open"
    assert states["sign-free"] == "open"
    assert {t["state"] for t in last("intake tasks", "2026-03-20")["tasks"]} & {"overdue", "due"}
    death = last("record death")
    assert death["hours_since_alive"] == 9.5


def test_the_correction_and_the_overdose_are_told(last: Find) -> None:
    given = last("record given")
    assert given["broke"][0]["code"] == "over-hard-limit"
    assert given["broke"][0]["limit"] == 5.0
    alerts = last("intake today", "09:01")["alerts"]
    assert alerts[0]["urgency"] == "call-vet"
    assert alerts[0]["entry"] == given["entry"]
    entries = last("intake history")["entries"]
    fixed = [e for e in entries if e["corrects"]]
    assert fixed[0]["why"] == "the meter says 7.7, I wrote 8.7"
    assert fixed[0]["content"]["read"]["ph"]["value"] == 7.7
    assert fixed[0]["content"]["read"]["temp"]["value"] == 20.4
    assert last("intake verify")["ok"] is True


def test_readme_first_shipment_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.search(r"<!-- first shipment -->\n```sh\n(.*?)```", readme, flags=re.DOTALL)
    assert block
    lines = [line for line in block[1].splitlines() if line.strip()]
    answers = run_lines(lines, tmp_path / "room.db", capsys)
    assert answers[-1][1]["decided_by"]
