"""--at is the program's clock and is kept as entered; --when is when it happened."""

from __future__ import annotations

import json
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from intake.cli import main
from intake.flows import rooms
from intake.flows.desk import Desk
from intake.flows.record import record
from tests.flows.furnished import BOX, desk_at, rows


def run_reading(path: Path, *said: str) -> tuple[int, dict[str, Any]]:
    words = ["record", "reading", "Tub", "--ph", "7.4", "--room", str(path), "--json", *said]
    with redirect_stdout(StringIO()) as out:
        code = main(words)
    return code, json.loads(out.getvalue())


def times(path: Path) -> tuple[str, str, str]:
    row = rows(path)[-1]
    return row[1], row[3], row[2]


@pytest.mark.parametrize(
    ("said", "at", "entered"),
    [
        (("--at", "2026-11-25 10:00"), "2026-11-25T10:00:00Z", "2026-11-25T10:00:00Z"),
        (
            ("--at", "2026-11-25 10:00", "--when", "2026-11-24 10:00"),
            "2026-11-24T10:00:00Z",
            "2026-11-25T10:00:00Z",
        ),
        (
            ("--at", "2026-11-25 10:00", "--when", "2026-11-25 10:00"),
            "2026-11-25T10:00:00Z",
            "2026-11-25T10:00:00Z",
        ),
        (
            ("--at", "2026-11-25 10:00+02:00", "--when", "2026-11-21 10:00", "--why", "away"),
            "2026-11-21T10:00:00Z",
            "2026-11-25T08:00:00Z",
        ),
    ],
)
def test_both_times_are_kept(said: tuple[str, ...], at: str, entered: str, path: Path) -> None:
    code, answer = run_reading(path, *said)
    assert (code, answer["entry"]) == (0, 6)
    assert times(path) == (at, entered, "Europe/Lisbon")


@pytest.mark.parametrize(
    ("said", "code", "option"),
    [
        (("--when", "2026-11-24 09:59"), "reason-missing", "--why"),
        (("--when", "2026-11-24 09:59", "--why", "  "), "reason-missing", "--why"),
        (("--when", "2026-11-25 10:01"), "in-future", "--when"),
        (("--when", "2027-11-25 10:01", "--why", "x"), "in-future", "--when"),
        (("--when", "2026-10-25 01:30", "--why", "x"), "ambiguous-time", "--when"),
        (("--when", "2026-03-29 01:30", "--why", "x"), "no-such-time", "--when"),
        (("--when", "yesterday"), "no-such-time", "--when"),
        (("--when", "2026-02-29", "--why", "x"), "no-such-time", "--when"),
    ],
)
def test_times_that_cannot_be_are_problems(
    said: tuple[str, ...], code: str, option: str, path: Path
) -> None:
    before = rows(path)
    ended, answer = run_reading(path, "--at", "2026-11-25 10:00", *said)
    assert ended == 1
    assert [(p["code"], p["path"]) for p in answer["problems"]] == [(code, option)]
    assert rows(path) == before


@pytest.mark.parametrize(
    ("at", "code"),
    [
        ("2027-03-28 01:30", "no-such-time"),
        ("2027-10-31 01:30", "ambiguous-time"),
        ("2026-13-01 10:00", "no-such-time"),
        ("now", "no-such-time"),
    ],
)
def test_the_clock_itself_is_read_as_strictly(at: str, code: str, path: Path) -> None:
    ended, answer = run_reading(path, "--at", at)
    assert (ended, answer["problems"][0]["code"]) == (1, code)
    assert answer["problems"][0]["path"] == "--at"
    if code == "ambiguous-time":
        for offset, stored in (("+01:00", "T00:30:00Z"), ("+00:00", "T01:30:00Z")):
            assert run_reading(path, "--at", at + offset)[0] == 0
            assert times(path)[0] == "2027-10-31" + stored


def test_before_the_vessel_was_there_there_is_no_such_vessel(path: Path) -> None:
    said = ("--at", "2026-11-25 10:00", "--when", "2026-11-20 07:59", "--why", "x")
    ended, answer = run_reading(path, *said)
    assert (ended, answer["problems"][0]["code"]) == (1, "no-such-name")


def test_a_clock_that_goes_back_warns_and_keeps_the_order(path: Path) -> None:
    assert run_reading(path, "--at", "2026-11-25 10:00")[1]["warnings"] == []
    assert run_reading(path, "--at", "2026-11-25 09:59")[1]["warnings"] == []
    warned = run_reading(path, "--at", "2025-11-25 10:00", "--when", "2025-11-25 10:00")
    assert warned[0] == 1
    record(desk_at(path, 600), "vessel", {"name": "Barrel", **BOX})
    code, answer = run_reading(path, "--at", "2026-11-25 11:00")
    assert (code, [w["code"] for w in answer["warnings"]]) == (0, ["clock-back"])
    assert [row[0] for row in rows(path)] == list(range(1, 10))
    assert rooms.verify(Desk(path), replay=True)["ok"]
