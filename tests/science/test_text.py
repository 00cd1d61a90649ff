"""Names and notes as people and other programs type them."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.problem import Problem
from intake.science.text import first_unshowable, inert, quoted, read_name, read_note, twin_key


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("North tub", "North tub"),
        ("  North tub ", "North tub"),
        ("[/red]Bob", "[/red]Bob"),  # refused below for its slash
        ("[black on black]0", "[black on black]0"),
        ("Jose\u0301", "Jos\u00e9"),
        ("\u91d1\u9b5a", "\u91d1\u9b5a"),
        ("\u05d3\u05d2", "\u05d3\u05d2"),
        ("\U0001f41f", "\U0001f41f"),
        ("3", "3"),
        ("CON", "CON"),
        ("=SUM(1)", "=SUM(1)"),
        ("x" * 40, "x" * 40),
    ],
)
def test_ordinary_and_odd_names(text: str, name: str) -> None:
    read = read_name(text)
    if "/" in text:
        assert isinstance(read, Problem)
    else:
        assert read == name


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("", 1),
        ("   ", 1),
        ("a/b", 2),
        ("/etc/x", 1),
        ("a,b", 2),
        ("a:b", 2),
        ("Tub #3", 5),
        ("-rf", 1),
        (" -rf", 1),
        ("..", 1),
        ("...", 1),
        ("a\nb", 2),
        ("a\n", 2),
        ("a\x1b[31m", 2),
        ("a\x9b31m", 2),
        ("a\x00", 2),
        ("a\u202eb", 2),
        ("a\u200d", 2),
        ("a\u2028b", 2),
        ("a\ue000", 2),
        ("a\ud800", 2),
        ("a\uffff", 2),
        ("\u3164", 1),
        ("Z" + "\u0301" * 4, 5),
        ("Z" + "\u0335" * 500, 5),
        ("x" * 41, 41),
        ("x" * 300, 41),
    ],
)
def test_names_that_are_refused_and_where(text: str, column: int) -> None:
    read = read_name(text)
    assert isinstance(read, Problem), read
    assert (read.code, read.column) == ("out-of-range", column)
    assert read.hint
    assert inert(read.text) == read.text


def test_three_marks_on_a_letter_are_a_name() -> None:
    # Vietnamese and phonetic letters carry two; three is the cap
    assert isinstance(read_name("q" + "\u0301" * 3), str)


def test_a_long_text_is_counted_and_never_cut() -> None:
    name = read_name("x" * 300)
    assert isinstance(name, Problem)
    assert "300" in name.text
    note = read_note("x" * 10_000)
    assert isinstance(note, Problem)
    assert "10,000" in note.text
    assert read_note("x" * 2000) == "x" * 2000


def test_notes_take_any_plain_text() -> None:
    for text in ("-5", "=cmd|' /C calc'!A0", "@SUM", "a/b, c: #1", "", "<script>", "[red]x"):
        assert read_note(text) == text
    for text in ("a\nb", "a\r\nEND:VEVENT", "\x1b]52;c;x\x07", "a\u202eb"):
        assert isinstance(read_note(text), Problem)


TWINS = [
    ("Jos\u00e9", "Jose\u0301"),
    ("Tub A", "tub a"),
    ("Tub A", "Tub A "),
    ("Tub A", "Tub  A"),
    ("Tub A", "Tub\u00a0A"),
    ("Tub A", "Tub \u0410"),  # Cyrillic
    ("Tub A", "Tub \u0391"),  # Greek
    ("Tub A", "\uff34ub A"),  # full width
    ("cope", "\u0441\u043e\u0440\u0435"),
    ("KOI", "\u039aOI"),
    ("Hope", "\u041d\u043e\u0440\u0435"),
    ("stra\u00dfe", "STRASSE"),
]


@pytest.mark.parametrize(("one", "two"), TWINS)
def test_names_too_alike_to_tell_apart(one: str, two: str) -> None:
    assert twin_key(one) == twin_key(two)


@pytest.mark.parametrize(
    ("one", "two"), [("Tub 1", "Tub 2"), ("Tub A", "Tub B"), ("North", "Nord"), ("A1", "A 1")]
)
def test_names_that_differ_stay_apart(one: str, two: str) -> None:
    assert twin_key(one) != twin_key(two)


def test_everything_that_could_act_is_made_visible() -> None:
    assert inert("a\x1b[2Jb") == "a\u241b[2Jb"
    assert inert("\x00\t\n\x7f") == "\u2400\u2409\u240a\u2421"
    assert inert("a\x9b\u202e\u200d\u2028\ue000\ud800\ufffe") == "a" + "\ufffd" * 7
    assert inert("Caf\u00e9 \u91d1 \U0001f41f [red]") == "Caf\u00e9 \u91d1 \U0001f41f [red]"
    assert quoted("x" * 50) == "'" + "x" * 40 + "...'"


ANY = st.text(st.characters(codec=None), max_size=60)


@given(ANY)
def test_shown_text_holds_nothing_that_acts(text: str) -> None:
    shown = inert(text)
    assert len(shown) == len(text)
    assert inert(shown) == shown
    categories = {unicodedata.category(char) for char in shown}
    assert not categories & {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}
    shown.encode("utf-8")


@given(ANY)
def test_any_text_is_a_stored_name_or_a_problem(text: str) -> None:
    read = read_name(text)
    if isinstance(read, str):
        assert read_name(read) == read
        assert unicodedata.is_normalized("NFC", read)
        assert 1 <= len(read) <= 40
        assert first_unshowable(read) is None
        assert inert(read) == read
        assert not set(read) & set("/,:#")
        assert not read.startswith("-")
    else:
        assert 1 <= read.column <= max(len(text), 40) + 1


@given(ANY)
def test_any_note_is_kept_or_a_problem(text: str) -> None:
    read = read_note(text)
    if isinstance(read, str):
        assert read_note(read) == read
        assert read == unicodedata.normalize("NFC", text).strip()


@given(ANY)
def test_a_name_is_its_own_twin_in_any_form(text: str) -> None:
    key = twin_key(text)
    assert twin_key(unicodedata.normalize("NFD", text)) == key
    assert twin_key(f" {text} ") == key
    assert twin_key(key) == key
