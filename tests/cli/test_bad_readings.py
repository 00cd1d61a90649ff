"""What cannot be read as a number with its unit, typed for every reading of water and bag."""

from __future__ import annotations

import shlex

import pytest

from tests.cli.ask import ask

BLEND = {
    "share": "0.5",
    "a-ph": "6.4",
    "a-kh": "3 dKH",
    "a-temp": "20 C",
    "a-tan": "8 mg/L as N",
    "a-salt": "1 g/L",
    "a-gh": "5 dGH",
    "b-ph": "8",
    "b-kh": "6 dKH",
    "b-temp": "20 C",
}
ACCLIMATE = {
    "bag-ph": "6.4",
    "bag-kh": "3 dKH",
    "bag-temp": "20 C",
    "bag-tan": "8 mg/L as N",
    "bag-volume": "2 L",
    "bag-salt": "1 g/L",
    "hours-packed": "5",
    "fish-mass": "60 g",
    "fish": "2",
    "vessel-ph": "8",
    "vessel-kh": "6 dKH",
    "vessel-temp": "20 C",
    "vessel-tan": "0 mg/L as N",
    "vessel-volume": "300 L",
    "drip": "20 mL/min",
}
COMMANDS = {"water blend": BLEND, "acclimate": ACCLIMATE}

NEVER = [
    *("1,5", "1,000", "1.000,5", "1 000", "1'000", "1_000"),
    *("5.", "05", "007", "010", "0x10", "1.2.3", "nan", "inf", "1e3", "1e-400", "1e400"),
    *("--5", "\u22125", "+5", "1O", "5+3", "9**9", "", " ", "\t", "12\n34", "1\u200b2"),
    *("\uff15", "\u0665", "\u00b2", "\u00bd", "1\u00a0000", "\x1b[1m5", "9" * 5000),
]
"""B2 to B22 of numbers that are refused whole, whatever unit follows."""


def line(command: str, **changed: str) -> str:
    typed = COMMANDS[command] | changed
    return f"{command} " + " ".join(f"--{n}={shlex.quote(t)}" for n, t in typed.items())


def unit_of(text: str) -> str:
    return text.partition(" ")[2]


@pytest.mark.parametrize("command", COMMANDS)
def test_the_line_itself_is_fine(command: str) -> None:
    code, answer = ask(line(command))
    assert code == 0, answer


@pytest.mark.parametrize(
    ("command", "name"), [(command, name) for command, typed in COMMANDS.items() for name in typed]
)
def test_a_number_that_is_none_is_told_at_its_option(command: str, name: str) -> None:
    unit = unit_of(COMMANDS[command][name])
    for number in NEVER:
        code, answer = ask(line(command, **{name: f"{number} {unit}".rstrip(" ")}))
        assert code == 1, (number, answer)
        assert [p["path"] for p in answer["problems"]] == [f"--{name}"], number


@pytest.mark.parametrize(
    ("command", "name"),
    [
        (command, name)
        for command, typed in COMMANDS.items()
        for name, text in typed.items()
        if unit_of(text)
    ],
)
def test_a_unit_left_out_or_of_another_kind_is_told(command: str, name: str) -> None:
    number = COMMANDS[command][name].partition(" ")[0]
    for unit in ("", " cm", " u", " MG", " drops", " ppt", " furlong"):
        code, answer = ask(line(command, **{name: number + unit}))
        assert code == 1, (unit, answer)
        assert [p["path"] for p in answer["problems"]] == [f"--{name}"], unit


@pytest.mark.parametrize("command", COMMANDS)
def test_every_problem_comes_at_once(command: str) -> None:
    names = list(COMMANDS[command])
    code, answer = ask(line(command, **dict.fromkeys(names, "1e3")))
    assert code == 1
    assert sorted(p["path"] for p in answer["problems"]) == sorted(f"--{n}" for n in names)


@pytest.mark.parametrize(
    ("command", "name", "text"),
    [
        ("water blend", "share", "1.01"),
        ("water blend", "share", "-0.01"),
        ("water blend", "a-kh", "-1 dKH"),
        ("water blend", "a-tan", "-1 mg/L as N"),
        ("water blend", "a-temp", "68 C"),
        ("water blend", "a-ph", "15"),
        ("acclimate", "bag-volume", "0 L"),
        ("acclimate", "bag-volume", "-2 L"),
        ("acclimate", "vessel-volume", "0 L"),
        ("acclimate", "hours-packed", "-1"),
        ("acclimate", "fish-mass", "-60 g"),
        ("acclimate", "bag-temp", "68 C"),
        ("acclimate", "vessel-ph", "15"),
        ("acclimate", "drip", "-5 mL/min"),
    ],
)
def test_what_cannot_be_measured_is_never_worked_with(command: str, name: str, text: str) -> None:
    code, answer = ask(line(command, **{name: text}))
    assert code in (1, 3), answer
    if code == 1:
        assert [p["path"] for p in answer["problems"]] == [f"--{name}"]
