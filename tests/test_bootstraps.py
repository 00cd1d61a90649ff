"""tests/run.py and demo/start.py: read by every Python, told what is missing, pinned."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from tests import bootstrap, place
from tests.conftest import OUTSIDE, RunPython

ROOT = Path(__file__).parent.parent
READ_BY_EVERY_PYTHON = ["tests/run.py", "tests/bootstrap.py", "tests/place.py", "demo/start.py"]
NEWER_THAN_2_7 = (
    ast.JoinedStr,
    ast.AnnAssign,
    ast.NamedExpr,
    ast.Nonlocal,
    ast.AsyncFunctionDef,
    ast.Await,
    ast.YieldFrom,
    ast.Match,
    ast.TryStar,
    ast.MatMult,
)


def newer_syntax(source: str) -> list[str]:
    """What a Python 2.7 could not parse: grammar that came later, and `print` as a function."""
    tree = ast.parse(source)
    found = [type(node).__name__ for node in ast.walk(tree) if isinstance(node, NEWER_THAN_2_7)]
    for node in ast.walk(tree):
        match node:
            case ast.arguments(posonlyargs=[_, *_]) | ast.arguments(kwonlyargs=[_, *_]):
                found.append("marked arguments")
            case ast.arg(annotation=ast.expr()) | ast.FunctionDef(returns=ast.expr()):
                found.append("annotation")
            case ast.Raise(cause=ast.expr()):
                found.append("raise from")
            case ast.ClassDef(keywords=[_, *_]):
                found.append("metaclass")
            case ast.List(elts=parts) | ast.Tuple(elts=parts) | ast.Set(elts=parts):
                found += ["unpacking" for part in parts if isinstance(part, ast.Starred)]
            case ast.Dict(keys=keys) if None in keys:
                found.append("unpacking")
            case ast.Call(args=args, keywords=named) if (
                any(isinstance(one, ast.Starred) for one in args[:-1])
                or sum(one.arg is None for one in named) > 1
            ):
                found.append("unpacking")
            case ast.ImportFrom(module="__future__", names=names) if {
                name.name for name in names
            } != {"print_function"}:
                found.append("future")
            case _:
                pass
    if not source.isascii():
        found.append("not ASCII")
    return found


@pytest.mark.parametrize("name", READ_BY_EVERY_PYTHON)
def test_every_python_can_read_them(name: str) -> None:
    source = (ROOT / name).read_text(encoding="utf-8")
    assert newer_syntax(source) == []
    assert "from __future__ import print_function" in source


@pytest.mark.parametrize(
    "line",
    [
        "f'{1}'",
        "x: int = 1",
        "def f(a, *, b): pass",
        "def f(a: int): pass",
        "def f() -> int: pass",
        "[*a, 1]",
        "{**a}",
        "f(*a, *b)",
        "if (a := 1): pass",
        "raise A from b",
        "from __future__ import annotations",
    ],
)
def test_newer_syntax_is_noticed(line: str) -> None:
    assert newer_syntax(line)


@pytest.mark.parametrize(
    ("version", "windows", "newer", "advice"),
    [
        ((2, 7), False, None, "type: python3 demo/start.py"),
        ((3, 10), False, "python3.12", "type: python3.12 demo/start.py"),
        ((3, 8), True, None, "type: py -3 demo/start.py"),
    ],
)
def test_an_old_python_is_told_what_to_type(
    version: tuple[int, int], windows: bool, newer: str | None, advice: str
) -> None:
    told = bootstrap.python_problem("/x/demo/start.py", version, windows, newer)
    assert told is not None
    assert told.startswith("Python 3.11 or newer is needed")
    assert told.replace(os.sep, "/").endswith(advice)


@pytest.mark.parametrize("version", [(3, 11), (3, 12), (4, 0)])
def test_a_new_python_is_told_nothing(version: tuple[int, int]) -> None:
    assert bootstrap.python_problem("/x/demo/start.py", version, False) is None


def test_a_python_in_parts_names_the_missing_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None if "ens" in name else name)
    with pytest.raises(place.Stop, match=r"no ensurepip.*apt install python3\.\d+-venv"):
        bootstrap.check_parts(None)
    bootstrap.check_parts("/usr/bin/uv")
    monkeypatch.setattr("importlib.util.find_spec", lambda _name: None)
    with pytest.raises(place.Stop, match="no venv"):
        bootstrap.check_parts("/usr/bin/uv")


def test_a_full_disk_stops_before_it_begins(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(bootstrap, "SPACE_MB", {"demo": 10**12})
    with pytest.raises(place.Stop, match="MB free and has"):
        bootstrap.check_space(str(tmp_path / "env"), [])


def test_foreign_settings_are_dropped_and_the_way_to_packages_kept() -> None:
    given = {
        "PYTHONPATH": "/x",
        "PYTHONHOME": "/x",
        "PIP_USER": "1",
        "PIP_TARGET": "/x",
        "PIP_CONSTRAINT": "/x",
        "UV_PYTHON": "2.7",
        "VIRTUAL_ENV": "/x",
        "INTAKE_ROOM": "/x",
        "PYTEST_ADDOPTS": "-x",
        "PIP_INDEX_URL": "https://index.invalid/simple",
        "UV_INDEX_OURS_USERNAME": "keeper",
        "PATH": "/bin",
        "HTTPS_PROXY": "http://proxy.invalid",
    }
    kept = place.clean_environment(given)
    set_by_us = {"PYTHONUTF8", "PYTHONNOUSERSITE", "PYTHONSAFEPATH", "PIP_USER"}
    untouched = {"PIP_INDEX_URL", "UV_INDEX_OURS_USERNAME", "PATH", "HTTPS_PROXY"}
    assert set(kept) == untouched | set_by_us
    assert kept["PIP_USER"] == "0"
    assert all(kept[name] == given[name] for name in untouched)


def test_windows_keeps_the_interpreter_elsewhere() -> None:
    assert place.environment_python("env", True) == os.path.join("env", "Scripts", "python.exe")
    assert place.environment_python("env", False) == os.path.join("env", "bin", "python")
    first = place.cache_folders({"LOCALAPPDATA": "C:\\Users\\k\\AppData\\Local"}, "win32")[0]
    assert first.startswith("C:\\Users\\k\\AppData\\Local")


def test_every_requirement_is_bounded_and_pinned() -> None:
    from packaging.requirements import Requirement
    from packaging.utils import canonicalize_name

    lines = (ROOT / "tests" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {
        canonicalize_name(one.name): one
        for one in (Requirement(line) for line in lines if not line.startswith("#"))
    }
    assert all({part.operator for part in one.specifier} == {"=="} for one in pinned.values())
    asked = [Requirement(text) for listed in place.asked_for().values() for text in listed]
    assert len(asked) > 20
    for one in asked:
        pin = str(pinned[canonicalize_name(one.name)].specifier).removeprefix("==")
        assert one.specifier.contains(pin), f"{one} is pinned to {pin}"
        if one.name != "editables":
            assert {part.operator for part in one.specifier} >= {">=", "<"}, str(one)


@pytest.mark.parametrize("words", [["tests/run.py", "fast"], ["demo/start.py", "--chek"]])
def test_an_unknown_word_is_usage(words: list[str], run_python: RunPython) -> None:
    done = run_python(str(ROOT / words[0]), words[1])
    assert done.returncode == 2
    assert done.stderr.startswith("usage: python3 " + words[0])


@pytest.mark.full
def test_a_clean_clone_starts_the_demo(tmp_path: Path) -> None:
    clone = tmp_path / "a clean clone"
    ignored = shutil.ignore_patterns(".*", "__pycache__", "dist", "build")
    shutil.copytree(ROOT, clone, ignore=ignored)
    started = [place.base_python(), str(clone / "demo" / "start.py"), "--check"]
    foreign = OUTSIDE | {"PYTHONPATH": str(tmp_path / "nowhere"), "PIP_USER": "1"}
    for _ in range(2):
        done = subprocess.run(
            started, env=foreign, cwd=tmp_path, capture_output=True, encoding="utf-8", check=False
        )
        assert done.returncode == 0, done.stderr
        assert "$ intake verify" in done.stdout
    assert "Setting up" not in done.stderr
