from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from intake.cli import main
from intake.flows.desk import Desk
from intake.flows.record import record
from intake.flows.rooms import new_room
from tests.store.commanded import Run


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A room with a vessel (entry 3) and two readings of it."""
    path = tmp_path_factory.mktemp("whole") / "room.db"
    desk = Desk(path, keeper="Ana")
    new_room(desk, {"time_zone": "Europe/Lisbon"})
    typed = {"name": "Tub", "shape": "box", "length": "1 m", "width": "50 cm", "depth": "40 cm"}
    record(desk, "vessel", typed)
    for ph in ("7.4", "7.6"):
        record(desk, "reading", {"subject": "Tub", "ph": ph})
    return path.read_bytes()


@pytest.fixture
def path(whole: bytes, tmp_path: Path) -> Path:
    """That room as a file of its own, under a name that a URI has to quote."""
    path = tmp_path / "fish room" / "räume #1?.db"
    path.parent.mkdir()
    path.write_bytes(whole)
    return path


@pytest.fixture
def run(path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command on the room and answers its code and JSON."""

    def run(*words: str, room: Path = path) -> tuple[int, dict[str, Any]]:
        code = main([*words, "--json", "--room", str(room)])
        out = capsys.readouterr()
        assert out.err == ""
        return code, json.loads(out.out)

    return run
