"""The project's own environment: made once, brought up to date, healed, never doubled."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests import bootstrap, place

ROOT = Path(__file__).parent.parent


class Installer:
    """Stands in for the part that needs the network: counts its calls, makes an interpreter."""

    def __init__(self) -> None:
        self.calls: list[list[str]] = []
        self.stops = False

    def __call__(self, folder: str, extras: list[str]) -> None:
        self.calls.append(extras)
        if self.stops:
            raise KeyboardInterrupt
        python = Path(place.environment_python(folder))
        python.parent.mkdir(parents=True, exist_ok=True)
        if not python.exists():
            shutil.copy(sys.executable, python)


@pytest.fixture
def clone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("pyproject.toml", "tests/constraints.txt"):
        (tmp_path / "clone" / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, tmp_path / "clone" / name)
    stand_in(tmp_path / "clone", monkeypatch)
    return tmp_path / "clone"


def stand_in(clone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(place, "ROOT", str(clone))
    monkeypatch.setattr(place, "CONSTRAINTS", str(clone / "tests" / "constraints.txt"))


@pytest.fixture
def installer(monkeypatch: pytest.MonkeyPatch) -> Installer:
    counting = Installer()
    monkeypatch.setattr(bootstrap, "install", counting)
    return counting


def test_a_second_start_installs_nothing(clone: Path, installer: Installer) -> None:
    assert bootstrap.ready(["test"]) == str(clone / ".venv")
    bootstrap.ready(["test"])
    bootstrap.ready([])
    assert installer.calls == [["test"]]


def test_an_environment_of_fewer_extras_is_added_to(clone: Path, installer: Installer) -> None:
    bootstrap.ready([])
    kept = clone / ".venv" / "kept"
    kept.touch()
    bootstrap.ready(["test"])
    bootstrap.ready([])
    assert installer.calls == [[], ["test"]]
    assert kept.exists()


def test_an_interrupted_set_up_begins_again(clone: Path, installer: Installer) -> None:
    installer.stops = True
    with pytest.raises(KeyboardInterrupt):
        bootstrap.ready([])
    half_made = clone / ".venv" / "half-made"
    half_made.touch()
    installer.stops = False
    bootstrap.ready([])
    assert len(installer.calls) == 2
    assert not half_made.exists()


def test_interrupted_adding_begins_again(clone: Path, installer: Installer) -> None:
    bootstrap.ready([])
    installer.stops = True
    with pytest.raises(KeyboardInterrupt):
        bootstrap.ready(["test"])
    installer.stops = False
    bootstrap.ready([])
    assert installer.calls == [[], ["test"], []]


def test_a_moved_clone_heals(
    clone: Path, installer: Installer, monkeypatch: pytest.MonkeyPatch
) -> None:
    bootstrap.ready([])
    moved = clone.rename(clone.with_name("moved elsewhere"))
    stand_in(moved, monkeypatch)
    assert bootstrap.ready([]) == str(moved / ".venv")
    assert len(installer.calls) == 2


def new_pins(clone: Path) -> None:
    with open(clone / "tests" / "constraints.txt", "a", encoding="utf-8") as pins:
        pins.write("another==1.0\n")


def lost_interpreter(clone: Path) -> None:
    Path(place.environment_python(str(clone / ".venv"))).unlink()


def unreadable_stamp(clone: Path) -> None:
    (clone / ".venv" / place.STAMP).write_bytes(b"\xff{")


def other_python(clone: Path) -> None:
    stamp = clone / ".venv" / place.STAMP
    read = json.loads(stamp.read_text(encoding="utf-8"))
    stamp.write_text(json.dumps(read | {"python": ["CPython", "x", [3, 99]]}), encoding="utf-8")


def base_python_gone(clone: Path) -> None:
    stamp = clone / ".venv" / place.STAMP
    read = json.loads(stamp.read_text(encoding="utf-8"))
    stamp.write_text(json.dumps(read | {"base": "/nowhere/python"}), encoding="utf-8")


@pytest.mark.parametrize(
    "change", [new_pins, lost_interpreter, unreadable_stamp, other_python, base_python_gone]
)
def test_what_no_longer_fits_is_made_again(
    change: Callable[[Path], None], clone: Path, installer: Installer
) -> None:
    bootstrap.ready([])
    change(clone)
    bootstrap.ready([])
    bootstrap.ready([])
    assert len(installer.calls) == 2


def test_a_working_environment_somebody_made_is_filled_and_kept(
    clone: Path, installer: Installer
) -> None:
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", clone / ".venv"], check=True)
    (clone / ".venv" / "theirs").touch()
    bootstrap.ready([])
    new_pins(clone)
    bootstrap.ready([])
    assert installer.calls == [[], []]
    assert (clone / ".venv" / "theirs").exists()


def test_a_broken_folder_somebody_made_is_never_deleted(clone: Path, installer: Installer) -> None:
    (clone / ".venv").mkdir()
    (clone / ".venv" / "notes.txt").touch()
    with pytest.raises(place.Stop, match="move it away"):
        bootstrap.ready([])
    assert (clone / ".venv" / "notes.txt").exists()
    assert installer.calls == []


def test_a_read_only_clone_uses_the_cache_folder(
    clone: Path, installer: Installer, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "cache").mkdir()
    read_only = {str(clone), str(tmp_path / "not-writable" / "fishroom-intake")}
    really = place.writable

    def writable(folder: str) -> bool:
        return not any(folder.startswith(start) for start in read_only) and really(folder)

    monkeypatch.setattr(place, "writable", writable)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(sys, "platform", "linux")
    assert Path(bootstrap.ready([])).is_relative_to(tmp_path / "cache")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "not-writable"))
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "temporary"))
    assert Path(bootstrap.ready([])).is_relative_to(tmp_path / "temporary")
    bootstrap.ready([])
    assert len(installer.calls) == 2


def test_a_shared_folder_of_somebody_else_is_not_used(
    clone: Path, installer: Installer, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(place, "ours", lambda folder: "fishroom-intake-" not in folder)
    monkeypatch.setattr(place, "writable", lambda folder: "fishroom-intake-" in folder)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(place.Stop, match="nothing can be set up"):
        bootstrap.ready([])
    assert installer.calls == []


def test_two_starts_install_once(clone: Path) -> None:
    script = textwrap.dedent(f"""
        import subprocess, sys, time
        sys.path.insert(0, {str(ROOT)!r})
        from tests import bootstrap, place
        place.ROOT = {str(clone)!r}
        place.CONSTRAINTS = {str(clone / "tests" / "constraints.txt")!r}
        def install(folder, extras):
            with open(folder + ".calls", "a") as calls:
                calls.write("x")
            time.sleep(0.5)
            subprocess.run([sys.executable, "-m", "venv", "--without-pip", folder], check=True)
        bootstrap.install = install
        bootstrap.ready([])
    """)
    starts = [subprocess.Popen([sys.executable, "-c", script]) for _ in range(3)]
    assert [start.wait(60) for start in starts] == [0, 0, 0]
    assert (clone / ".venv.calls").read_text(encoding="utf-8") == "x"


def test_a_killed_start_leaves_no_lock(clone: Path, installer: Installer) -> None:
    script = (
        f"import sys, os; sys.path.insert(0, {str(ROOT)!r}); from tests import place; "
        f"place.OnlyOne({str(clone / '.venv')!r}).__enter__(); os._exit(9)"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 9
    assert (clone / ".venv.lock").exists()
    bootstrap.ready([])
    assert len(installer.calls) == 1


@pytest.mark.skipif(os.name == "nt", reason="Windows ends the lock with the process that took it")
def test_an_installer_that_outlives_its_start_keeps_the_lock(clone: Path) -> None:
    begun, end = clone / "begun", clone / "end"
    installing = (
        f"import os, time; open({str(begun)!r}, 'w').close()\n"
        f"while not os.path.exists({str(end)!r}): time.sleep(0.01)"
    )
    script = (
        f"import os, sys; sys.path.insert(0, {str(ROOT)!r}); from tests import bootstrap, place\n"
        f"with place.OnlyOne({str(clone / '.venv')!r}):\n"
        f"    bootstrap.run([sys.executable, '-c', {installing!r}], dict(os.environ))"
    )
    start = subprocess.Popen([sys.executable, "-c", script])
    while not begun.exists():
        assert start.poll() is None
        time.sleep(0.01)
    start.kill()
    start.wait()
    handle = os.open(clone / ".venv.lock", os.O_RDWR)
    try:
        assert not place.take(handle)
        end.touch()
        while not place.take(handle):
            time.sleep(0.01)
    finally:
        os.close(handle)
