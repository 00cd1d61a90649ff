from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from intake.clock import Clock
from intake.flows import demo
from intake.flows.desk import Desk
from intake.flows.record import record
from intake.flows.rooms import new_room
from tests.bench.figures import TABLE, Table, python_environment

NOW = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The table stands last, where it is looked for."""
    if TABLE.figures:
        terminalreporter.section("figures")
        for line in TABLE.lines():
            terminalreporter.write_line(line)


@pytest.fixture(scope="session")
def table() -> Table:
    return TABLE


@pytest.fixture(scope="session")
def environ(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The environment of every Python that is started to be measured."""
    return python_environment(tmp_path_factory.mktemp("bytecode"))


@pytest.fixture(scope="session")
def demo_room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo room, on an evening that never changes."""
    path = tmp_path_factory.mktemp("demo") / "demo.room"
    demo.build(path, NOW)
    return path


@pytest.fixture(scope="session")
def bare_room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A room with two tubs and nothing in them: there is a list to move in, and no more."""
    path = tmp_path_factory.mktemp("bare") / "bare.room"
    desk = Desk(path, clock=Clock(NOW), keeper="Ana")
    new_room(desk, {"time_zone": "Europe/Lisbon"})
    for name in ("First", "Second"):
        sizes = {"shape": "box", "length": "1 m", "width": "50 cm", "depth": "40 cm"}
        record(desk, "vessel", {"name": name, **sizes})
    return path
