"""Every text of every answer, at the smallest and the largest a keeper meets, is fit to read.

Source: ISMP, List of Error-Prone Abbreviations, Symbols and Dose Designations: a zero before the
point, none trailing, a blank before the unit, thousands apart, no mu, no > or <.
"""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from intake.flows.desk import load_protocols
from intake.science.treatment import Treatment
from tests.cli.ask import Room, run

VOLUMES = ("0.5 L", "3.7 L", "40 US gal", "314.16 L", "1234.5 L", "50000 L")
TOOLS = ("0.001 g", "0.1 g", "1 kg", "0.1 mL", "50 mL")
TARGETS = ("0.0123456", "1", "5.00000001", "1234567")

EXPONENT = re.compile(r"\d[eE][-+]?\d")
BARE_POINT = re.compile(r"(?<![\d.])\.\d")
TRAILING_ZERO = re.compile(r"(?<![\d.])(?<!CFR )\d[\d,]*\.\d*0(?![\d.])(?! C\b| to \d+\.\d C\b)")
"""A thermometer shows tenths, so 20.0 C is its own step; a section of a law is no number."""
NO_BLANK = re.compile(r"\d(?:mg|mcg|g|kg|mL|uL|L|cm|C|min|h|%|dKH|meq|US|imp)\b")
THOUSANDS = re.compile(r"(?<![\d.])\d{5,} (?:L|mL|g|kg|mg|cm)\b")
DOI = re.compile(r"doi 10\.\S+")
"""The name of a paper, no number."""
MU = re.compile("[\u00b5\u03bc]")

NOT_SAID = ("path", "sha256", "version", "content", "usage")
"""Keys whose text is no sentence of the program."""


def faults(text: str) -> Iterator[str]:
    """What is wrong with a text by the rules numbers are written by."""
    text = DOI.sub("doi", text)
    rules = (EXPONENT, BARE_POINT, TRAILING_ZERO, NO_BLANK, THOUSANDS, MU)
    for rule in rules:
        if found := rule.search(text):
            yield f"{found[0]!r} in {text!r}"


def texts(value: Any, key: str = "") -> Iterator[str]:
    """Every sentence of an answer; names, paths and sums are none."""
    if key in NOT_SAID:
        return
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from texts(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner, key)


def check(line: str, *more: str, dosed: bool = False) -> int:
    """Runs a line both ways and holds every text against the rules; answers its exit code."""
    asked = shlex.split(line)
    code, out, _ = run(*asked, *more, "--json")
    said = list(texts(json.loads(out)))
    plain_code, shown, talk = run(*asked, *more)
    assert plain_code == code
    typed = [value for value in asked if not value.startswith("--")]
    wrong = []
    for text in [*said, *shown.splitlines(), *talk.splitlines()]:
        for value in sorted(typed, key=len, reverse=True):
            text = text.replace(f"'{value}'", "''").replace(f"{value} taken", "taken")
        wrong += [*faults(text)]
        if dosed and re.search("[<>]", text):
            wrong.append(f"< or > in {text!r}")
    assert not wrong, line + "\n" + "\n".join(wrong)
    return code


TREATMENTS = sorted(load_protocols().treatments.items())
WATER = (
    '--temp "18.5 C" --ph 7.4 --kh "6 dKH" --gh "8 dGH" --oxygen "8.25 mg/L" '
    '--tan "0.25 mg/L as N"'
)


def _doses(treatment: Treatment) -> Iterator[str]:
    for course in treatment.courses:
        asked = f"dose {treatment.id} --course {course.name} {WATER}"
        whats = [f'--volume "{v}"' for v in VOLUMES] if course.unit.endswith("/L") else []
        over = max((b.value for b in course.bounds), default=0) + 1
        whats = whats or [f'--fish-mass "{m}" --ration "1.5 %"' for m in ("0.75 g", "12.5 kg")]
        for what in whats:
            yield f"{asked} {what}"
            yield from (f'{asked} {what} --tool "{tool}"' for tool in TOOLS)
            yield from (f'{asked} {what} --target "{t} {course.unit}"' for t in TARGETS)
            yield f'{asked} {what} --already "0.00123 {course.unit} +/- 0.0005"'
            yield f'{asked} {what} --target "{over} {course.unit}"'


@pytest.mark.parametrize(("name", "treatment"), TREATMENTS)
def test_every_dose(name: str, treatment: Treatment) -> None:
    codes = [check(line, dosed=True) for line in _doses(treatment)]
    assert name == treatment.id
    assert set(codes) <= {0, 1, 3}
    assert 3 in codes or not codes
    assert 0 in codes or treatment.status in ("not advised", "vet only")


SIDES = (("8 cm", "5 cm", "12 cm"), ("97.3 cm", "48 in", "0.405 m"), ("9 m", "4 m", "1.4 m"))


@pytest.mark.parametrize(("length", "width", "depth"), SIDES)
def test_every_volume(length: str, width: str, depth: str) -> None:
    lying = f'--length "{length}" --width "{width}" --depth "{depth}"'
    lines = [
        f'volume box {lying} --gravel "0.2 L" --rock-mass "150 g" --connected "1234.5 L"',
        f"volume oval {lying}",
        f"volume racetrack {lying}",
        f'volume bow {lying} --bow "1.25 cm"',
        f'volume lshape {lying} --cut-length "2 cm" --cut-width "1.5 cm"',
        f'volume box {lying} --floor-length "6 cm" --floor-width "4 cm" --depths "7cm 8.5cm"',
        f'volume round --diameter "{length}" --depth "{depth}" --middle-diameter "{length}"',
        f'volume polygon --sides 7 --across "{length}" --depth "{depth}"',
        f'volume drum --diameter "{length}" --length "{depth}" --depth "3.25 cm"',
        f'volume bowl --diameter "{length}" --depth "4.5 cm"',
        f'volume slices --slice "{length} x {width} x {depth}" --slice "8cm x 5cm x 0.5cm"',
        'volume levels --table "10cm:60L 20.5cm:131L 30cm:20800L" --depth "25.5 cm"',
        'volume metered --bucket "9.75 L" --count 4321',
        'volume flow --rate "12.5 L/min" --time "75 h"',
        'volume by-salt --salt "50 kg" --before "0.1 g/L" --after "1.1 g/L"',
        'volume by-salt --salt "1.5 g" --before "412 uS/cm" --after "1712.5 uS/cm"',
    ]
    codes = [check(line) for line in lines]
    assert codes.count(0) > len(codes) / 2


VESSEL = '--vessel-ph 7.8 --vessel-kh "6 dKH" --vessel-temp "20 C"'


@pytest.mark.parametrize(
    "line",
    [
        'water ammonia --tan "0.002 mg/L as N" --ph 6.2 --temp "4 C"',
        'water ammonia --tan "1234 mg/L as NH3" --diluted 10 --ph 9.75 --temp "90 F"',
        'water ammonia --tan "0.5..1 mg/L as N" --ph 7.4..7.8 --temp "20 C" --salt "3 g/L"',
        'water blend --a-ph 6.5 --a-kh "1 dKH" --a-temp "24 C" --a-tan "640 mg/L as N"'
        ' --b-ph 8.2 --b-kh "12.5 dKH" --b-temp "16.25 C" --share 0.125',
        'water oxygen --temp "20 C" --altitude "1850 m"',
        'water oxygen --temp "0.5 C" --salt "30 g/L"',
        'water salt "3 g/L"',
        'water salt "5694 uS/cm" --temp "12.5 C"',
        'water salt "1.002 SG"',
        'water dechlorinate --volume "50000 L" --free "0.05 mg/L" --combined "2.5 mg/L"'
        " --using thiosulfate-anhydrous",
        'water dechlorinate --volume "0.5 L" --free "0.01 mg/L" --using thiosulfate-pentahydrate',
        f"acclimate {VESSEL}",
        f'acclimate {VESSEL} --fish 3 --hours-packed 1000 --fish-mass "12 kg"'
        ' --bag-volume "0.5 L"',
        f'acclimate {VESSEL} --vessel-volume "50000 L" --bag-salt "9 g/L" --bag-ph 6.4'
        ' --bag-kh "3 dKH" --bag-temp "29.5 C" --bag-tan "8 mg/L as N" --bag-volume "2.25 L"'
        ' --drip "5000 mL/min" --air aerated',
        'plan standard --start 2026-11-28 --temp "20.5 C" --night "18.25 C" --for white-spot'
        " --with salt",
        'plan standard --start 2026-11-28 --temp "9 C" --for anchor-worm',
        'plan standard --start 2026-11-28 --temp "5 C" --for gill-flukes',
        "check",
    ],
)
def test_every_working(line: str) -> None:
    assert check(line) in (0, 3)


def _recorded(amount: str, volume: str) -> Iterator[str]:
    yield f'record dose Tub salt --amount "{amount}"'
    yield f'record given Tub salt --amount "{amount}" --why "tipped in"'
    yield 'dose salt --vessel Tub --target "3 g/L"'
    yield f'record top-up Tub --volume "{volume}"'
    yield "record change Tub --percent 12.5 --dry-run"
    yield "residue Tub"
    yield 'record reading Tub --temp "20.5 C" --ph 7.6 --tan "0.25 mg/L as N" --no2 "1234 mg/L"'
    yield "tasks"
    yield "today"
    yield "checks Tub"
    yield "history Tub"
    yield "room show"


@pytest.mark.parametrize(
    ("sizes", "amount", "volume"),
    [
        ('--length "10 cm" --width "6 cm" --depth "9 cm"', "0.001 g", "0.0125 L"),
        ('--length "30 cm" --width "20 cm" --depth "18 cm"', "50 kg", "0.25 L"),
        ('--length "110 cm" --width "70.5 cm" --depth "41 cm"', "310.25 g", "9.75 L"),
        ('--length "8 m" --width "4 m" --depth "1.5 m"', "50 kg", "1234.5 L"),
    ],
)
def test_everything_said_in_a_room(tmp_path: Path, sizes: str, amount: str, volume: str) -> None:
    room = Room(tmp_path / "room.db")
    room.at("2026-03-01 09:00", f"record vessel Tub box {sizes}")
    room.at("2026-03-01 09:00", "record group Ryukins --count 3 --variety ryukin --into Tub")
    room.at("2026-03-01 09:05", "record quarantine Tub")
    at = ("--room", str(room.path), "--at", "2026-03-02 10:00")
    assert [check(line, *at) for line in _recorded(amount, volume)].count(0) > 8


def test_a_key_that_is_only_a_unit_is_told_in_it() -> None:
    _, out, _ = run("water", "salt", "3 g/L")
    assert out.splitlines()[0].split() == ["in", "g/L", "3", "g/L"]
