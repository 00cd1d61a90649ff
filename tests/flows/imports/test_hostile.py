"""Files that are wrong on purpose: everything is told by line, nothing is half read."""

from __future__ import annotations

import os
import tracemalloc
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.flows.imports import logger, opened
from intake.flows.imports.cells import read_temperature
from intake.flows.imports.logger import HowRead, Logged, read_logger
from intake.science.problem import Problem, Unreadable
from tests.flows.imports.files import LISBON, NOW, SINCE, days, problems, read

HEAD = "Time,Temp C\n"
GOOD = "2026-03-13 08:00,20\n"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("2026-03-13 08:00", "wrong-kind"),
        ("2026-03-13 08:00,20,5", "wrong-kind"),
        ("2026-03-13 08:00,twenty", "not-a-number"),
        ("2026-03-13 08:00,=1+19", "not-a-number"),
        ("2026-03-13 08:00,@SUM(A1)", "not-a-number"),
        ("2026-03-13 08:00,inf", "not-a-number"),
        ("2026-03-13 08:00,2e1", "not-a-number"),
        ("2026-03-13 08:00,1.020,5", "wrong-kind"),
        ("2026-03-13 08:00,-2.1", "out-of-range"),
        ("2026-03-13 08:00,45.1", "out-of-range"),
        ("2026-03-13 08:00,85", "out-of-range"),
        ("2026-03-13 08:00,20 F", "ambiguous-unit"),
        ("=HYPERLINK(1),20", "no-such-time"),
        ("end of data,", "no-such-time"),
        ("2026-02-30 08:00,20", "no-such-time"),
        ("2027-03-13 08:00,20", "in-future"),
        ('2026-03-13 08:00,"20', "not-text"),
    ],
)
def test_a_bad_line_is_named(line: str, code: str) -> None:
    found = problems(HEAD + GOOD + line + "\n")
    assert [(p.code, p.line) for p in found] == [(code, 3)]


def test_lines_are_counted_over_blank_ones_and_a_preamble() -> None:
    found = problems("Made by: us\n\n" + HEAD + "\n" + GOOD + "\n" + "2026-03-13 09:00,warm\n")
    assert [p.line for p in found] == [7]


def test_every_problem_is_counted_and_the_first_twenty_told() -> None:
    found = problems(HEAD + GOOD + "2026-03-13 08:00,hot\n" * 50)
    assert [p.line for p in found[:-1]] == list(range(3, 23))
    assert found[-1].code == "more-problems"
    assert "50 lines" in found[-1].text


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "no-columns"),
        (b"\n\n\n", "no-columns"),
        (b"\x00" * 5000, "not-text"),
        (HEAD.encode() + b"2026-03-13 08:00,2\x000\n", "not-text"),
        (b"A" * 20_000, "not-text"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(1, 256)) * 30, "no-columns"),
        (HEAD.encode(), "nothing-to-read"),
        (HEAD.encode() + b"2026-03-13 08:00,\n", "nothing-to-read"),
        (HEAD.encode() + b"2024-03-13 08:00,20\n", "nothing-to-read"),
    ],
)
def test_what_is_no_table_of_temperatures(content: bytes, code: str) -> None:
    assert problems(content)[0].code == code


def test_names_in_a_heading_cannot_act() -> None:
    found = read("Time,\x1b[31mTemp C\n" + GOOD)
    assert found.layout.named == ("Time", "\u241b[31mTemp C")


def test_a_heading_of_many_columns_is_read_in_its_place() -> None:
    wide = ",".join(f"c{n}" for n in range(400))
    found = read(f"{wide},Time,Temp C\n{',' * 400}2026-03-13 08:00,20\n")
    assert days(found) == [("2026-03-13", 20, 20, 1)]


def read_at(path: Path) -> str:
    with pytest.raises(Unreadable) as told:
        read_logger(str(path), HowRead(), LISBON, SINCE, NOW)
    (problem,) = told.value.problems
    return problem.code


def test_only_a_plain_file_is_read(tmp_path: Path) -> None:
    real = tmp_path / "real.csv"
    real.write_text(HEAD + GOOD)
    (tmp_path / "link.csv").symlink_to(real)
    os.mkfifo(tmp_path / "pipe.csv")
    for name in ("link.csv", "pipe.csv", "nothing.csv", ".", "a\0b"):
        assert read_at(tmp_path / name) == "not-a-file"
    assert read_at(Path("/dev/zero")) == "not-a-file"


def test_too_many_bytes_and_too_many_rows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEAD + GOOD * 5)
    monkeypatch.setattr(logger, "MOST_ROWS", 4)
    assert read_at(path) == "too-big"
    monkeypatch.setattr(opened, "MOST_BYTES", 50)
    assert read_at(path) == "too-big"


def test_a_file_that_changes_while_it_is_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEAD + GOOD)
    source = opened.look_through(str(path))
    path.write_text(HEAD + GOOD + GOOD)
    with pytest.raises(Unreadable, match="changed while it was read"):
        list(opened.lines_of(source))


@pytest.mark.slow
def test_a_hundred_thousand_rows_stay_small(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    begun = datetime(2026, 3, 1, tzinfo=UTC)
    with path.open("w") as file:
        file.write(HEAD)
        for n in range(100_000):
            file.write(f"{begun + timedelta(minutes=n):%Y-%m-%d %H:%M}Z,2{n % 5}\n")
    told: list[float] = []
    tracemalloc.start()
    found = read_logger(str(path), HowRead(), LISBON, SINCE, NOW, told.append)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert sum(d.rows for d in found.days) == 100_000
    assert most < path.stat().st_size * 2
    assert told == sorted(told)
    assert told[-1] == 1


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ("20", 20.0), ("+20.5", 20.5), ("-1,5", -1.5), ("\u22121.5", -1.5), ("68 F", 20.0),
        ("45", 45.0), ("-2", -2.0), ("20 deg C", 20.0), ("20\u00baC", 20.0), ("20 Celsius", 20.0),
    ],
)  # fmt: skip
def test_cells(cell: str, expected: float) -> None:
    unit = None if cell.casefold().endswith(("c", "f", "celsius")) else "C"
    assert read_temperature(cell, unit) == expected


@pytest.mark.parametrize("cell", ["", " ", "N/A", "nan", "---", "NULL", "Error", "#N/A"])
def test_cells_without_a_temperature(cell: str) -> None:
    assert read_temperature(cell, "C") is None


def test_a_number_without_its_unit_is_no_temperature() -> None:
    found = read_temperature("20", None)
    assert isinstance(found, Problem)
    assert found.code == "unit-missing"


CELLS = st.sampled_from(
    ["20", "68 F", "-", "2026-03-13 08:00", "13/03/2026", "25/10/2026 01:30", "08:00 PM", "9" * 40,
     "9999-12-31 23:59", "1773388800", "20,5", '"', "'", "=1", "\x1b[2J", "Temp C", "Date", "Time",
     "\ud7ff", "\u202e", "Unit: F", "sep=;", "2026-03-29 01:30", "20 K", "+1:00", ""]
)  # fmt: skip


@given(
    st.lists(st.lists(CELLS, min_size=1, max_size=4), max_size=12),
    st.sampled_from([",", ";", "\t", "|"]),
    st.booleans(),
)
def test_any_table_is_read_or_refused(
    table: list[list[str]], delimiter: str, headed: bool
) -> None:
    lines = [delimiter.join(row) for row in table]
    whole = "\n".join([f"Time{delimiter}Temp C", *lines] if headed else lines)
    assert_read_or_refused(whole.encode())


@given(st.binary(max_size=300), st.integers(0, 60))
def test_any_bytes_in_a_good_file_are_read_or_refused(noise: bytes, at: int) -> None:
    good = (HEAD + GOOD * 3).encode()
    assert_read_or_refused(noise)
    assert_read_or_refused(good[:at] + noise + good[at:])


def assert_read_or_refused(content: bytes) -> None:
    """Never a bug: days that hold together, or problems that say where."""
    found, wrong = tried(content)
    assert (found is None) == bool(wrong)
    assert all(p.line >= 1 and p.text for p in wrong)
    if found is not None:
        assert all(-2 <= d.low_c <= d.mean_c <= d.high_c <= 45 for d in found.days)
        assert all(d.first_utc <= d.last_utc for d in found.days)


def tried(content: bytes) -> tuple[Logged | None, tuple[Problem, ...]]:
    try:
        return read(content), ()
    except Unreadable as no:
        return None, tuple(no.problems)
