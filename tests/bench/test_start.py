"""How long a command takes from nothing, against what Python itself takes."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.flows.demo_story import KEEPER
from tests.bench.figures import Table, fastest_starts

pytestmark = pytest.mark.bench

COLD_TODAY = """
from datetime import UTC, datetime
from pathlib import Path
from intake.clock import Clock
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
RoomJobs(Desk(Path({room!r}), clock=Clock(datetime(2026, 11, 25, 18, tzinfo=UTC)))).today()
"""


def test_commands_that_open_no_room(table: Table, environ: dict[str, str]) -> None:
    box = ["--length", "120 cm", "--width", "40 cm", "--depth", "35 cm"]
    took = fastest_starts(
        {
            "argparse": ["-c", "import argparse"],
            "version": ["-m", "intake", "--version"],
            "volume": ["-m", "intake", "volume", "box", *box],
            "check": ["-m", "intake", "check"],
        },
        environ,
    )
    table.most(
        "intake --version, against import argparse", took["version"] / took["argparse"], 1.6
    )
    table.most("intake volume, against import argparse", took["volume"] / took["argparse"], 3.0)
    table.most("intake check, against import argparse", took["check"] / took["argparse"], None)


def test_commands_that_open_a_room(table: Table, environ: dict[str, str], demo_room: Path) -> None:
    desk = ["-m", "intake", "--at", "2026-11-25T18:00Z", "--room", str(demo_room)]
    rehearsed = [*desk, "--dry-run", "--keeper", KEEPER, "record"]
    took = fastest_starts(
        {
            "sqlmodel": ["-c", "import sqlmodel, sqlite3"],
            "person": [*rehearsed, "person", "Ida", "--role", "vet"],
            "look": [*rehearsed, "look", "North tub"],
            "today": [*desk, "today"],
            "job": ["-c", COLD_TODAY.format(room=str(demo_room))],
        },
        environ,
        rounds=5,
    )
    floor = took["sqlmodel"]
    for name, said, wanted in (
        ("person", "intake record person", 1.5),
        ("look", "intake record look", 2.0),
        ("today", "intake today", 2.5),
        ("job", "today's view for the screens, cold", 2.5),
    ):
        note = f"{took[name]:.2f} s"
        table.most(f"{said}, against import sqlmodel", took[name] / floor, wanted, note=note)
