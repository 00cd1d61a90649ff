"""What may import what, seen while running, and that the contracts in pyproject.toml bite."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import pytest

from tests.conftest import RunPython

ROOT = Path(__file__).parent.parent
LINT_IMPORTS = "from importlinter.cli import lint_imports_command as run; run()"

AFTERWARDS = """
import json, runpy, sys
sys.argv = ["intake", *{words}]
try:
    runpy.run_module("intake", run_name="__main__")
except SystemExit as ended:
    code = ended.code
print()
print(json.dumps([code, sorted({{name.partition(".")[0] for name in sys.modules}})]))
"""


@pytest.mark.parametrize(
    ("words", "absent"),
    [
        (
            ["--version"],
            {
                "argparse",
                "textual",
                "rich",
                "pydantic",
                "sqlmodel",
                "sqlalchemy",
                "ruamel",
                "pint",
            },
        ),
        (["check", str(ROOT / "protocols")], {"textual", "sqlmodel", "sqlalchemy", "alembic"}),
    ],
    ids=["version", "check"],
)
def test_a_command_loads_only_what_it_needs(
    words: list[str], absent: set[str], run_python: RunPython
) -> None:
    done = run_python("-c", AFTERWARDS.format(words=words))
    code, loaded = json.loads(done.stdout.splitlines()[-1])
    assert code == 0, done.stderr
    assert "intake" in loaded
    assert not absent & set(loaded)


WATER_A = ["--a-ph", "6.4", "--a-kh", "3 dKH", "--a-temp", "20 C", "--a-tan", "8 mg/L as N"]
WATER_B = ["--b-ph", "8", "--b-kh", "6 dKH", "--b-temp", "20 C"]
BAG = ["--bag-ph", "6.4", "--bag-kh", "3 dKH", "--vessel-ph", "8", "--vessel-kh", "6 dKH"]


@pytest.mark.parametrize(
    "words",
    [
        ["water", "blend", "--share", "0.5", *WATER_A, *WATER_B],
        ["acclimate", *BAG, "--vessel-temp", "20 C"],
    ],
    ids=["blend", "acclimate"],
)
def test_one_water_is_worked_out_without_arrays(words: list[str], run_python: RunPython) -> None:
    done = run_python("-c", AFTERWARDS.format(words=words))
    code, loaded = json.loads(done.stdout.splitlines()[-1])
    assert code == 0, done.stderr
    assert not {"numpy", "textual"} & set(loaded)


def test_papers_and_events_load_their_libraries_only_when_one_is_made(
    run_python: RunPython,
) -> None:
    script = (
        "import json, sys; import intake.cli.calendar, intake.cli.report, intake.flows.jobs; "
        "print(json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))"
    )
    done = run_python("-c", script)
    assert done.returncode == 0, done.stderr
    loaded = set(json.loads(done.stdout))
    assert "intake" in loaded
    assert not {"icalendar", "typst", "textual"} & loaded


def test_nothing_asks_for_arrays_without_being_asked() -> None:
    text = "\n".join(
        f"{path.relative_to(ROOT)}: {line.strip()}"
        for path in sorted((ROOT / "intake").rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.startswith(("import numpy", "from numpy"))
    )
    assert {line.partition(":")[0] for line in text.splitlines()} == {"intake/science/arrays.py"}


def test_science_needs_nothing_installed_but_calendar_rules(run_python: RunPython) -> None:
    modules = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for path in sorted((ROOT / "intake" / "science").rglob("*.py"))
        if path.name != "arrays.py"  # an extra of its own
    ]
    script = (
        "import importlib, json, sys; before = set(sys.modules); "
        f"[importlib.import_module(name) for name in {modules}]; "
        "new = {name.partition('.')[0] for name in set(sys.modules) - before}; "
        "print(json.dumps(sorted(new - set(sys.stdlib_module_names))))"
    )
    done = run_python("-c", script)
    assert done.returncode == 0, done.stderr
    loaded = {name for name in json.loads(done.stdout) if not name.startswith("_")}
    assert "intake" in loaded
    assert loaded <= {"intake", "dateutil", "six"}


PLANTS = [
    ("Imports point down", {"science/planted.py": "import intake.clock"}),
    ("The science core is pure", {"science/planted.py": "import os"}),
    ("The science core is pure", {"science/planted.py": "def f() -> None:\n    import random"}),
    ("Only the store speaks SQL", {"flows/planted.py": "import sqlalchemy"}),
    ("Only screens draw", {"report/planted.py": "import rich"}),
    (
        "Rules and science know no clock, path or setting",
        {"rules/planted.py": "import intake.paths"},
    ),
    ("Screens and commands go through flows", {"cli/planted.py": "import intake.store"}),
    ("Screens and commands go through flows", {"screens/planted.py": "import intake.report"}),
    (
        "No sibling cycles",
        {
            "flows/planted.py": "import intake.flows.planted_too",
            "flows/planted_too.py": "import intake.flows.planted",
        },
    ),
]


@pytest.fixture
def copied_house(tmp_path: Path) -> Path:
    copy = tmp_path / "copy"
    ignored = shutil.ignore_patterns("__pycache__")
    shutil.copytree(ROOT / "intake", copy / "intake", ignore=ignored)
    shutil.copy(ROOT / "pyproject.toml", copy)
    return copy


def contracts(copy: Path, run_python: RunPython) -> tuple[int, str]:
    done = run_python("-c", LINT_IMPORTS, "--no-cache", cwd=copy)
    return done.returncode, done.stdout + done.stderr


@pytest.mark.slow
@pytest.mark.parametrize(("contract", "files"), PLANTS)
def test_a_contract_notices_what_it_forbids(
    contract: str, files: dict[str, str], copied_house: Path, run_python: RunPython
) -> None:
    for name, text in files.items():
        (copied_house / "intake" / name).write_text(text + "\n", encoding="utf-8")
    code, said = contracts(copied_house, run_python)
    assert code != 0
    assert f"{contract} BROKEN" in said


@pytest.mark.slow
def test_a_new_module_must_be_given_a_place(copied_house: Path, run_python: RunPython) -> None:
    (copied_house / "intake" / "planted.py").write_text("", encoding="utf-8")
    code, said = contracts(copied_house, run_python)
    assert code != 0
    assert "planted" in said


def test_the_house_itself_is_what_the_tests_import() -> None:
    import intake

    assert Path(intake.__file__).parent == ROOT / "intake", sys.path
