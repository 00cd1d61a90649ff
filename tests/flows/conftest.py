from __future__ import annotations

from pathlib import Path

import pytest

from tests.flows.furnished import furnish


@pytest.fixture
def path(quick_files: None, tmp_path: Path) -> Path:
    """A furnished room."""
    return furnish(tmp_path / "room.db")
