"""Files as loggers write them, invented here: the same two days in every one of them."""

from __future__ import annotations

from textwrap import dedent

import pytest

from tests.flows.imports.files import days, problems, read

TWO_DAYS = [("2026-03-13", 19.5, 22.0, 2), ("2026-03-14", 20.0, 20.0, 1)]


def text(table: str) -> str:
    return dedent(table).lstrip("\n").replace("→", "\t")


FORMATS = {
    "comma": """
        Timestamp,Temperature (C)
        2026-03-13 08:00,19.5
        2026-03-13 14:00,22.0
        2026-03-14 08:00,20
        """,
    "semicolon and decimal comma": """
        Datum/Uhrzeit;Temperatur [°C];rel. Feuchte [%]
        13.03.2026 08:00:00;19,5;61
        13.03.2026 14:00:00;22,0;60
        14.03.2026 08:00:00;20,0;60
        """,
    "tab": """
        No.→Date→Time→Temp °C→Battery V
        1→2026/03/13→08:00→19.5→3.0
        2→2026/03/13→14:00→22.0→3.0
        3→2026/03/14→08:00→20.0→3.0
        """,
    "preamble and a serial number in the heading": """
        "Plot Title: Tub north"
        "#","Date Time, GMT+00:00","Temp, °C (SEN S/N: 1000077)","Stopped"
        "1","03/13/26 08:00:00 AM","19.5",""
        "2","03/13/26 02:00:00 PM","22.0",""
        "3","03/14/26 08:00:00 AM","20.0",""
        "4","03/14/26 09:00:00 AM","","Logged"
        """,
    "offsets": """
        time,temp_c
        2026-03-13T09:00:00+01:00,19.5
        2026-03-13T14:00:00Z,22.0
        2026-03-14T03:00:00.000-05:00,20.0
        """,
    "fahrenheit by its heading": """
        Date,Time,Temperature (°F)
        2026-03-13,8:00 AM,67.1
        2026-03-13,2:00 PM,71.6
        2026-03-14,8:00 AM,68
        """,
    "units in every cell": """
        Recorded,Probe temp
        2026-03-13 08:00,19.5 °C
        2026-03-13 14:00,71.6 °F
        2026-03-14 08:00,20.0C
        """,
    "a column of units": """
        Date;Time;Temp;Unit
        13-Mar-2026;08:00;19,5;C
        13-Mar-2026;14:00;71,6;F
        14-Mar-2026;08:00;20,0;°C
        """,
    "the unit before the table": """
        Device: pond logger
        Temperature unit: Celsius

        Date,Time,Temp
        "Mar 13, 2026",08:00,19.5
        "Mar 13, 2026",14:00,22.0
        "Mar 14, 2026",08:00,20.0
        """,
    "missing cells, blank lines and a decimal comma in quotes": """
        date time,water temp C,air temp C

        2026-03-13 08:00,"19,5",15

        2026-03-13 09:00,N/A,15
        2026-03-13 10:00,---,15
        2026-03-13 14:00,"22,0",15
        2026-03-13 15:00,,15
        2026-03-14 08:00,"20,0",15
        ,,
        """,
    "a separator line": """
        sep=;
        Date;Time;Celsius
        2026-03-13;08:00;19.5
        2026-03-13;14:00;22.0
        2026-03-14;08:00;20.0
        """,
    "seconds since 1970": """
        epoch,temperature_celsius
        1773388800,19.5
        1773410400000,22.0
        1773475200,20.0
        """,
    "newest first": """
        Time,Temp (C)
        2026-03-14 08:00,20.0
        2026-03-13 14:00,22.0
        2026-03-13 08:00,19.5
        """,
    "whole times beside a column of time": """
        Date,Time,Elapsed time,Temp C
        2026-03-13 08:00,08:00,0,19.5
        2026-03-13 14:00,14:00,6,22.0
        2026-03-14 08:00,08:00,24,20.0
        """,
}


@pytest.mark.parametrize("name", FORMATS)
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_every_format_tells_the_same_days(name: str, ends: str, encoding: str) -> None:
    whole = text(FORMATS[name]).replace("\n", ends)
    assert days(read(whole.encode(encoding))) == TWO_DAYS


def test_a_table_without_a_heading_needs_its_unit() -> None:
    bare = text("""
        2026-03-13 08:00;19,5
        2026-03-13 14:00;22,0
        2026-03-14 08:00;20,0
        """)
    assert days(read(bare, unit="C")) == TWO_DAYS
    assert [p.code for p in problems(bare)] == ["unit-missing"]


def test_what_was_left_out_is_counted() -> None:
    found = read(text(FORMATS["missing cells, blank lines and a decimal comma in quotes"]))
    assert (found.rows, found.missing, found.before) == (6, 3, 0)


def test_slashes_that_may_be_two_days_are_asked_about() -> None:
    rows = "Date,Temp C\n03/04/2026 08:00,19\n05/04/2026 08:00,20\n"
    (problem,) = problems(rows)
    assert problem.code == "ambiguous-time"
    assert "--dates day-first" in problem.hint
    assert "--dates month-first" in problem.hint
    assert days(read(rows, dates="day-first"))[0][0] == "2026-04-03"
    assert days(read(rows, dates="month-first"))[0][0] == "2026-03-04"


def test_one_date_that_can_only_be_one_day_tells_the_others() -> None:
    first = "Date,Temp C\n03/04/2026 08:00,19\n13/04/2026 08:00,20\n"
    assert days(read(first))[0][0] == "2026-04-03"
    last = "Date,Temp C\n03/04/2026 08:00,19\n04/13/2026 08:00,20\n"
    assert days(read(last))[0][0] == "2026-03-04"


def test_dates_of_both_orders_are_refused_by_line() -> None:
    both = "Date,Temp C\n13/04/2026 08:00,19\n04/13/2026 08:00,20\n"
    (problem,) = problems(both)
    assert (problem.code, problem.line) == ("no-such-time", 3)
    mixed = "Date,Temp C\n2026-04-13 08:00,19\n03/04/2026 08:00,20\n"
    (problem,) = problems(mixed)
    assert (problem.code, problem.line) == ("ambiguous-time", 3)


def test_dates_the_keeper_orders_wrongly_are_refused() -> None:
    (problem,) = problems("Date,Temp C\n13/04/2026 08:00,19\n", dates="month-first")
    assert problem.code == "no-such-time"


@pytest.mark.parametrize(
    ("heading", "said", "code"),
    [
        ("Temp", {}, "unit-missing"),
        ("Temp (°C)", {"unit": "F"}, "ambiguous-unit"),
        ("Temp (K)", {}, "ambiguous-unit"),
        ("Temp °C / °F", {}, "ambiguous-unit"),
    ],
)
def test_a_unit_is_never_guessed(heading: str, said: dict[str, str], code: str) -> None:
    (problem,) = problems(f"Time,{heading}\n2026-03-13 08:00,20\n", **said)
    assert problem.code == code


def test_a_unit_asked_for_is_taken() -> None:
    plain = "Time,Temp\n2026-03-13 08:00,68\n"
    assert days(read(plain, unit="F")) == [("2026-03-13", 20.0, 20.0, 1)]


def test_fahrenheit_read_as_celsius_is_told_from_its_size() -> None:
    (problem,) = problems("Time,Temp\n2026-03-13 08:00,68\n", unit="C")
    assert (problem.code, problem.line) == ("out-of-range", 2)
    assert "--unit F" in problem.hint


TWO_PROBES = "Time,Temp 1 (C),Temp 2 (C)\n2026-03-13 08:00,19,25\n"


def test_several_temperatures_are_asked_about() -> None:
    (problem,) = problems(TWO_PROBES)
    assert problem.code == "no-such-name"
    assert "'Temp 1 (C)', 'Temp 2 (C)'" in problem.text
    for column in ("temp 2 (c)", "Temp 2", "3"):
        assert days(read(TWO_PROBES, column=column))[0][1] == 25
    assert problems(TWO_PROBES, column="Temp")[0].code == "no-such-name"
    assert problems(TWO_PROBES, column="9")[0].code == "no-such-name"


def test_the_waters_temperature_is_taken_before_the_airs() -> None:
    found = read("Time,Air temp C,Dew point °C,Temp C\n2026-03-13 08:00,9,5,21\n")
    assert found.layout.named == ("Time", "Temp C")


def test_a_file_of_something_else_says_what_can_be_read() -> None:
    (problem,) = problems("fish,sign,grade\nAda,spots,2\n")
    assert problem.code == "no-columns"
    assert "logger's temperatures" in problem.hint
