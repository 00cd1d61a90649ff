from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("repeatable", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None, print_blob=True)
settings.load_profile("repeatable")

OUTSIDE = dict(os.environ)
"""The environment the tests were started in, for the few that install something."""
FOLDERS = "HOME USERPROFILE APPDATA LOCALAPPDATA XDG_DATA_HOME XDG_STATE_HOME XDG_CACHE_HOME"

RunPython = Callable[..., "subprocess.CompletedProcess[str]"]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Slow ones first, so that no process is left with one when the others are done."""
    items.sort(key=lambda item: item.get_closest_marker("slow") is None)


@pytest.fixture(autouse=True, scope="session")
def _own_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keeps the room and settings of whoever runs the tests out of them, and them out of it."""
    home = str(tmp_path_factory.mktemp("home"))
    with pytest.MonkeyPatch.context() as patch:
        for name in [*FOLDERS.split(), "XDG_CONFIG_HOME"]:
            patch.setenv(name, home)
        for name in [name for name in os.environ if name.startswith("INTAKE_")]:
            patch.delenv(name)
        yield


@pytest.fixture
def quick_files() -> Iterator[None]:
    """What survives a power cut is tested with the store; here nobody waits for the disk."""
    from intake.store import files

    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(files._PRAGMAS, "synchronous", 0)
        yield


@pytest.fixture
def run_python(tmp_path: Path) -> RunPython:
    """Runs this interpreter, never a program from PATH, with the words, in an empty folder."""

    def run(*words: str, cwd: Path = tmp_path) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, *words],
            cwd=cwd,
            capture_output=True,
            encoding="utf-8",
            stdin=subprocess.DEVNULL,
            check=False,
        )

    return run
