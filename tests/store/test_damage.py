"""A room somebody or something changed: told, never written to, never a traceback."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from intake.flows import kept
from tests.store.commanded import COMMANDS, READING, Run, code_of
from tests.store.rows import by_hand


def _flipped(path: Path, was: bytes, now: bytes) -> None:
    whole = path.read_bytes()
    assert len(was) == len(now)
    at = whole.rindex(was)
    path.write_bytes(whole[:at] + now + whole[at + len(was) :])


@pytest.mark.parametrize(
    ("was", "now"),
    [
        (b'"text":"7.4"', b'"text":"9.4"'),
        (b'"value":7.4', b'"value":9.4'),
        (b'"value":7.4', b'"value":\xff.4'),
    ],
)
def test_one_flipped_byte_stops_writes_and_doses_but_not_reading(
    was: bytes, now: bytes, path: Path, run: Run
) -> None:
    _flipped(path, was, now)
    before = path.read_bytes()
    for words in (READING, (*READING, "--dry-run"), ("correct", "4", "--void", "--why", "x")):
        ended, answer = run(*words)
        assert (ended, code_of(answer)) == (4, "room-damaged")
    ended, answer = run("dose", "salt", "--vessel", "Tub")
    assert (ended, code_of(answer)) == (4, "room-damaged")
    ended, answer = run("verify")
    assert (ended, answer["ok"], answer["first_bad"]) == (1, False, 4)
    ended, answer = run("verify", "--replay")
    assert (ended, answer["ok"], answer["projections_match"]) == (1, False, None)
    if b"\xff" not in now:
        assert [run(*words)[0] for words in (*COMMANDS[1:4], ("today",))] == [0, 0, 0, 0]
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "change",
    [
        "content = replace(content, '\"read\"', '\"raed\"')",
        "content = replace(content, '{', '[')",
        "content = 'x'",
        "content = '[]'",
        "content = replace(content, '\"value\"', '\"valu3\"')",
        "at = 'yesterday'",
    ],
)
def test_an_entry_changed_past_reading_is_told_everywhere(
    change: str, path: Path, run: Run
) -> None:
    by_hand(path, f"UPDATE journal SET {change} WHERE sequence = 4")
    commands: list[tuple[str, ...]] = [*COMMANDS, ("correct", "4", "--void", "--why", "x")]
    for words in commands:
        ended, answer = run(*words)
        assert (ended, code_of(answer)) == (4, "room-damaged"), words
    ended, answer = run("verify", "--replay")
    assert (ended, answer["first_bad"]) == (1, 4)


def test_files_spoiled_at_random_never_end_in_a_traceback(
    whole: bytes, path: Path, run: Run
) -> None:
    draw = random.Random(20261125)
    copy = path.with_name("copy.db")
    seen = set()
    for _ in range(60):
        spoiled = bytearray(whole)
        if draw.random() < 0.2:
            del spoiled[draw.randrange(len(spoiled)) :]
        for _ in range(draw.choice([1, 1, 4, 200])):
            if spoiled:
                spoiled[draw.randrange(len(spoiled))] = draw.randrange(256)
        copy.write_bytes(bytes(spoiled))
        kept.forget(copy)
        kept._followed.pop(copy, None)
        for words in (("verify",), ("room", "show"), ("history", "Tub"), READING):
            ended, answer = run(*words, room=copy)
            assert ended in (0, 1, 4), (words, answer)
            if words[0] == "verify":
                verified = ended
            elif words == READING and ended == 0:
                assert verified == 0
            seen.add(ended)
        path.with_name("copy.db-journal").unlink(missing_ok=True)
    assert seen == {0, 1, 4}
