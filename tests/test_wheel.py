"""The wheel people install: what is in it, and that it works away from the clone."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from collections.abc import Mapping
from email.message import Message
from email.parser import Parser
from pathlib import Path

import pytest
from packaging.requirements import Requirement

import intake
from tests import bootstrap, place
from tests.conftest import OUTSIDE

ROOT = Path(__file__).parent.parent


def run(
    *words: str | Path, cwd: Path, environ: Mapping[str, str] = os.environ
) -> subprocess.CompletedProcess[str]:
    settings = place.clean_environment(dict(environ))
    return subprocess.run(
        words, cwd=cwd, env=settings, capture_output=True, encoding="utf-8", check=False
    )


def fresh_environment(
    folder: Path, *requirements: str | Path, environ: Mapping[str, str] = os.environ
) -> Path:
    """A new environment with these installed by the set-up's own installer; its folder."""
    made = run(place.base_python(), "-m", "venv", "--without-pip", folder, cwd=folder.parent)
    assert made.returncode == 0, made.stderr
    python = place.environment_python(str(folder))
    command = bootstrap.installer(sys.executable, shutil.which("uv"))
    if "--python" in command:
        command[command.index("--python") + 1] = python
    else:
        command[3:3] = ["--python", python]
    installed = run(*command, *requirements, cwd=folder.parent, environ=environ)
    assert installed.returncode == 0, installed.stderr
    return folder


def intake_command(folder: Path) -> Path:
    scripts = Path(place.environment_python(str(folder))).parent
    return scripts / ("intake.exe" if os.name == "nt" else "intake")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    built = run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, cwd=ROOT)
    assert built.returncode == 0, built.stderr
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An environment with the wheel alone, its requirements lent by the tests' environment."""
    folder = fresh_environment(tmp_path_factory.mktemp("installed") / "env", "--no-deps", wheel)
    own = sysconfig.get_path("purelib", vars={"base": str(folder), "platbase": str(folder)})
    (Path(own) / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return folder


def metadata(wheel: Path) -> Message:
    with zipfile.ZipFile(wheel) as archive:
        (name,) = (name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        return Parser().parsestr(archive.read(name).decode("utf-8"))


def test_the_wheel_says_who_it_is(wheel: Path) -> None:
    said = metadata(wheel)
    assert said["Name"] == "fishroom-intake"
    assert said["Version"] == intake.__version__
    assert said["License-Expression"] == "MIT"
    assert said["Requires-Python"] == ">=3.11"
    extras = {"arrays", "pdf", "postgres", "web", "test", "test-full"}
    assert set(said.get_all("Provides-Extra", [])) == extras


def test_every_requirement_of_the_wheel_has_an_upper_bound(wheel: Path) -> None:
    asked = [Requirement(text) for text in metadata(wheel).get_all("Requires-Dist", [])]
    assert len(asked) > 15
    assert [
        str(one) for one in asked if not {"<", "=="} & {s.operator for s in one.specifier}
    ] == []


def test_the_wheel_holds_the_code_the_protocols_and_the_licence(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        shipped = [path for path in (ROOT / "protocols").rglob("*") if path.is_file()]
        assert shipped
        for path in shipped:
            inside = "intake/_protocols/" + path.relative_to(ROOT / "protocols").as_posix()
            assert archive.read(inside) == path.read_bytes()
    code = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "intake").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert code <= names
    assert any(name.endswith("/licenses/docs/licence.txt") for name in names)
    assert {name.partition("/")[0].partition("-")[0] for name in names} == {
        "intake",
        "fishroom_intake",
    }


@pytest.mark.slow
def test_the_installed_command_checks_its_own_protocols(installed: Path, tmp_path: Path) -> None:
    where = run(
        place.environment_python(str(installed)),
        "-c",
        "import intake.paths; print(intake.__file__, intake.paths.shipped_protocols())",
        cwd=tmp_path,
    )
    assert where.stdout.count(str(installed)) == 2, where.stdout + where.stderr
    assert "_protocols" in where.stdout
    version = run(intake_command(installed), "--version", cwd=tmp_path)
    assert version.stdout == f"intake {intake.__version__}\n"
    checked = run(intake_command(installed), "check", cwd=tmp_path)
    assert checked.returncode == 0, checked.stdout + checked.stderr


@pytest.mark.slow
@pytest.mark.parametrize("left", ['"""Of another distribution."""\n__version__ = "2.0.0"\n', None])
def test_foreign_files_are_a_sentence_not_a_crash(
    left: str | None, installed: Path, tmp_path: Path
) -> None:
    """Another distribution puts its `intake/__init__.py` over ours; removed, it leaves none."""
    copy = tmp_path / "env"
    shutil.copytree(installed, copy, symlinks=True)
    own = Path(sysconfig.get_path("purelib", vars={"base": str(copy), "platbase": str(copy)}))
    first = own / "intake" / "__init__.py"
    if left is None:
        first.unlink()
    else:
        first.write_text(left, encoding="utf-8")
    for words in (["--version"], ["check"]):
        said = run(place.environment_python(str(copy)), "-m", "intake", *words, cwd=tmp_path)
        assert said.returncode == 70
        assert said.stdout == ""
        assert said.stderr.startswith("intake: files of this program are missing, or replaced")
        assert "pipx install fishroom-intake" in said.stderr
        assert len(said.stderr.splitlines()) == 1


@pytest.mark.full
def test_a_whole_installation_needs_nothing_from_the_clone(wheel: Path, tmp_path: Path) -> None:
    settings = OUTSIDE | {"UV_CACHE_DIR": str(tmp_path / "cache")}
    wanted = ("-c", place.CONSTRAINTS, wheel)
    folder = fresh_environment(tmp_path / "env", *wanted, environ=settings)
    checked = run(intake_command(folder), "check", cwd=tmp_path)
    assert checked.returncode == 0, checked.stdout + checked.stderr


@pytest.mark.full
def test_the_source_archive_makes_the_same_wheel(wheel: Path, tmp_path: Path) -> None:
    build = (sys.executable, "-m", "hatchling", "build", "-d", str(tmp_path), "-t")
    assert run(*build, "sdist", cwd=ROOT).returncode == 0
    (archive,) = tmp_path.glob("*.tar.gz")
    shutil.unpack_archive(archive, tmp_path / "source")
    (source,) = (tmp_path / "source").iterdir()
    assert run(*build, "wheel", cwd=source).returncode == 0
    (again,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as first, zipfile.ZipFile(again) as second:
        assert set(first.namelist()) == set(second.namelist())
