"""The paper of a way across: asked for by a command and on a screen, never over a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.flows.jobs import crossing_paper, receive
from intake.science.problem import Refused, Unreadable
from tests.flows import test_jobs_receive as lisle
from tests.flows.test_jobs_receive import BOX, desk_at

room = lisle.room


@pytest.mark.parametrize("end", [".txt", ".html", ".pdf"])
def test_a_run_is_put_on_paper(room: Path, tmp_path: Path, end: str) -> None:
    lisle.afloat(room)
    receive.checkpoint(desk_at(room, 34), BOX, 1, {"temp": "15.8"})
    out = tmp_path / f"run{end}"
    answer = crossing_paper.write(desk_at(room, 35), "Lisle", 1, str(out))
    assert answer["charts"] == ["temperature", "pH", "NH3"]
    made = out.read_bytes()
    assert made.startswith(b"%PDF-") or b"slower: end moved" in made
    with pytest.raises(Unreadable) as taken:
        crossing_paper.write(desk_at(room, 36), "Lisle", 1, str(out))
    assert taken.value.problems[0].code == "name-taken"
    assert out.read_bytes() == made


def test_a_bag_whose_fish_are_settled_has_its_paper_too(
    room: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lisle.across(room)
    receive.settle(desk_at(room, 55), BOX, 1, "Back tub", {"alive": "3"})
    monkeypatch.chdir(tmp_path)
    desk = desk_at(room, 60)
    first, second = (receive.paper(desk, BOX, 1, ".html") for _ in range(2))
    assert first != second
    for said in (first, second):
        page = Path(said.removeprefix("its way across is in ")).read_text()
        assert ">now<" not in page
        assert "nothing was read on the way" in page


def test_a_bag_without_a_way_is_refused_and_one_that_is_none_is_a_problem(
    room: Path, tmp_path: Path
) -> None:
    lisle.landed(room)
    out = str(tmp_path / "run.txt")
    with pytest.raises(Refused):
        crossing_paper.write(desk_at(room, 5), BOX, 1, out)
    for bag in (None, 7):
        with pytest.raises(Unreadable) as wrong:
            crossing_paper.write(desk_at(room, 5), BOX, bag, out)
        assert wrong.value.problems[0].code == "no-such-name"
    assert not Path(out).exists()
