"""How the program ends: quietly when its reader goes, with a private log when it fails."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from intake.__main__ import LOG_BYTES

BEGIN = """
import sys, types
stand_in = types.ModuleType("intake.cli")
def main(words):
    {body}
stand_in.main = main
sys.modules["intake.cli"] = stand_in
from intake.__main__ import run
sys.exit(run())
"""


def begin(body: str, home: Path, **settings: str) -> subprocess.CompletedProcess[bytes]:
    """Runs the program with a command line that does `body` instead of its own."""
    names = ("XDG_STATE_HOME", "HOME", "LOCALAPPDATA")
    environ = os.environ | {name: str(home) for name in names} | settings
    command = [sys.executable, "-c", BEGIN.format(body=body)]
    return subprocess.run(command, env=environ, capture_output=True, check=False)


def test_a_bug_leaves_a_private_log_and_one_line(tmp_path: Path) -> None:
    for _ in range(2):
        done = begin("raise LookupError('odd')", tmp_path)
        assert done.returncode == 70
        assert done.stdout == b""
        assert done.stderr.startswith(b"intake: a bug: LookupError. Details are kept in ")
        assert len(done.stderr.splitlines()) == 1
    (log,) = tmp_path.rglob("failures.log")
    assert log.read_text(encoding="utf-8").count("LookupError: odd") == 2
    if os.name == "posix":
        assert stat.S_IMODE(log.stat().st_mode) == 0o600
        assert stat.S_IMODE(log.parent.stat().st_mode) == 0o700


def test_a_log_that_has_grown_is_begun_again(tmp_path: Path) -> None:
    begin("raise LookupError('odd')", tmp_path)
    (log,) = tmp_path.rglob("failures.log")
    log.write_bytes(b"x" * (LOG_BYTES + 1))
    begin("raise LookupError('odd')", tmp_path)
    assert log.read_bytes().count(b"x") < 100


def test_a_bug_is_told_even_when_no_log_can_be_kept(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = begin("raise LookupError('odd')", tmp_path / "file")
    assert done.returncode == 70
    assert b"LookupError: odd" in done.stderr
    assert b"cannot be written" in done.stderr


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ("return 3", 3),
        ("raise SystemExit(2)", 2),
        ("raise SystemExit(None)", 0),
        ("raise KeyboardInterrupt", 130),
    ],
)
def test_the_exit_code_is_the_command_lines(body: str, code: int, tmp_path: Path) -> None:
    done = begin(body, tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (code, b"", b"")


def test_the_last_words_of_the_command_line_are_said(tmp_path: Path) -> None:
    done = begin("raise SystemExit('a sentence')", tmp_path)
    assert (done.returncode, done.stderr.split()) == (1, [b"a", b"sentence"])


def test_output_is_utf_8_whatever_the_terminal_says(tmp_path: Path) -> None:
    body = "print('20 \\u00b1 1 \\u00b0C'); print('\\u00b1', file=sys.stderr); return 0"
    done = begin(body, tmp_path, PYTHONIOENCODING="ascii", PYTHONUTF8="0", LC_ALL="C")
    assert done.stdout.decode("utf-8").split() == ["20", "±", "1", "°C"]
    assert done.stderr.decode("utf-8").strip() == "±"


@pytest.mark.skipif(os.name == "nt", reason="a closed pipe is another error on Windows")
@pytest.mark.parametrize("lines", [1, 100_000])
def test_a_reader_that_goes_away_is_no_failure(lines: int, tmp_path: Path) -> None:
    body = f"sys.stdin.read(); [print('fish') for _ in range({lines})]; return 0"
    started = subprocess.Popen(
        [sys.executable, "-c", BEGIN.format(body=body)],
        env=os.environ | {"XDG_STATE_HOME": str(tmp_path)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert started.stdin is not None
    assert started.stdout is not None
    assert started.stderr is not None
    started.stdout.close()
    started.stdin.close()
    assert started.wait(30) == 141
    assert started.stderr.read() == b""
    started.stderr.close()
    assert list(tmp_path.rglob("failures.log")) == []
