from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from intake.store import files
from tests.flows.furnished import furnish


@pytest.fixture
def quick_files() -> Iterator[None]:
    """What survives a power cut is tested with the store; here nobody waits for the disk."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(files._PRAGMAS, "synchronous", 0)
        yield


@pytest.fixture
def path(quick_files: None, tmp_path: Path) -> Path:
    """A furnished room."""
    return furnish(tmp_path / "room.db")
