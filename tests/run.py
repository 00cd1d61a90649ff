"""Every check of the project, from a clean clone on: python3 tests/run.py [quick|full|bench].

quick leaves out the slow tests, full adds the very slow ones, bench prints the figures. Any
Python since 2.7 can read this file; it is told what is missing.
"""

from __future__ import print_function

import os
import subprocess
import sys
import time

sys.path[0] = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))

from tests import bootstrap, place

SELECTIONS = {
    "": "not full and not bench",
    "quick": "not slow and not full and not bench",
    "full": "not bench",
    "bench": "bench",
}
"""Which tests a mode runs, as a pytest marker expression."""


def steps(mode, folder, caches):
    # type: (str, str, str) -> list[tuple[str, list[str]]]
    """The checks before the tests: a name and a command each."""
    python = place.environment_python(folder)
    places = ["intake", "tests", "demo"]
    ruff = [python, "-m", "ruff"]
    ruff_cache = ["--cache-dir", os.path.join(caches, "ruff")]
    lint_imports = os.path.join(os.path.dirname(python), "lint-imports")
    if mode == "bench":
        return []
    return [
        ("lint", ruff + ["check", "--quiet"] + ruff_cache + places),
        ("format", ruff + ["format", "--check", "--quiet"] + ruff_cache + places),
        ("types", [python, "-m", "mypy", "--cache-dir", os.path.join(caches, "mypy")] + places),
        ("imports", [lint_imports, "--no-logo", "--cache-dir", os.path.join(caches, "imports")]),
        ("protocols", [python, "-m", "intake", "check", "protocols"]),
    ]


def pytest_command(mode, folder, caches):
    # type: (str, str, str) -> list[str]
    """The tests of a mode; bench runs in one process, so that nothing else is on the clock."""
    command = [place.environment_python(folder), "-m", "pytest", "-m", SELECTIONS[mode]]
    command += ["-o", "cache_dir=" + os.path.join(caches, "pytest")]
    command += ["--junitxml", os.path.join(caches, "tests.xml")]
    if mode == "bench":
        return command + ["-s"]
    if mode == "full":
        command += ["--hypothesis-profile", "search"]
    # One more than the cores: tests of screens wait about as long as they work.
    workers = max(3, min((os.cpu_count() or 2) + 1, 8))
    return command + ["-n", str(workers), "--dist", "worksteal"]


def counted(path):
    # type: (str) -> tuple[int, int, int]
    """How many tests passed, failed and were skipped, from pytest's own record."""
    from xml.etree import ElementTree

    try:
        suites = list(ElementTree.parse(path).getroot().iter("testsuite"))
    except (OSError, ElementTree.ParseError):
        return 0, 1, 0

    def total(name):
        # type: (str) -> int
        return sum(int(suite.get(name, "0")) for suite in suites)

    failed, skipped = total("failures") + total("errors"), total("skipped")
    return total("tests") - failed - skipped, failed, skipped


def step(name, command, environ):
    # type: (str, list[str], dict[str, str]) -> bool
    """Runs a check before the tests, prints its verdict, and its output when it failed."""
    at = time.monotonic()
    done = subprocess.run(
        command, cwd=place.ROOT, env=environ, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    verdict = "failed" if done.returncode else "passed"
    print("%-10s %s  %.1f s" % (name, verdict, time.monotonic() - at), flush=True)
    if done.returncode:
        sys.stdout.buffer.write(done.stdout)
        sys.stdout.flush()
    return done.returncode == 0


def tests(mode, folder, environ):
    # type: (str, str, dict[str, str]) -> tuple[int, int]
    """Runs the tests of a mode; how many passed and failed, at least one when pytest says so."""
    record = os.path.join(folder, "caches", "tests.xml")
    if os.path.exists(record):
        os.remove(record)
    command = pytest_command(mode, folder, os.path.dirname(record))
    code = subprocess.run(command, cwd=place.ROOT, env=environ).returncode
    passed, failed, skipped = counted(record)
    print("tests      %d passed, %d failed, %d skipped" % (passed, failed, skipped))
    return passed, max(failed, 1 if code else 0)


def main(mode):
    # type: (str) -> int
    """Runs every check whatever the others say; the last line counts them, one for each step."""
    extras = ["test", "test-full"] if mode in ("full", "bench") else ["test"]
    folder = bootstrap.begin(__file__, extras)
    caches = os.path.join(folder, "caches")
    environ = place.clean_environment(os.environ)
    environ["HYPOTHESIS_STORAGE_DIRECTORY"] = os.path.join(caches, "hypothesis")
    environ["PYTHONPYCACHEPREFIX"] = os.path.join(caches, "bytecode")
    began = time.monotonic()
    verdicts = [step(name, command, environ) for name, command in steps(mode, folder, caches)]
    passed, failed = tests(mode, folder, environ)
    passed, failed = passed + verdicts.count(True), failed + verdicts.count(False)
    print("everything in %.0f s" % (time.monotonic() - began))
    print("%d passed, %d failed" % (passed, failed))
    return 1 if failed else 0


if __name__ == "__main__":
    asked = sys.argv[1] if len(sys.argv) == 2 else ""
    if len(sys.argv) > 2 or asked not in SELECTIONS:
        sys.stderr.write("usage: python3 tests/run.py [quick|full|bench]\n")
        sys.exit(2)
    sys.exit(main(asked))
