"""`intake report waterline`: the rows are what the level command says, and no file is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.ask import Room

DAY = "2026-03-02 09:00"
TUB = (
    'record vessel Tub oval --length "120 cm" --width "70 cm" --floor-length "100 cm" '
    '--floor-width "60 cm" --depth "35 cm" --height "41.5 cm" --gravel "8 L"'
)


@pytest.fixture
def room(tmp_path: Path) -> Room:
    room = Room(tmp_path / "room.db")
    room.at(DAY, TUB)
    return room


def test_every_row_is_what_the_level_command_finds(room: Room, tmp_path: Path) -> None:
    answer = room.at(DAY, f"report waterline Tub --out '{tmp_path / 'a.txt'}'")
    rows = {row["depth_cm"]: row for row in answer["rows"]}
    assert list(rows) == [*(float(n) for n in range(1, 42)), 41.5]
    for depth in (12.0, 20.0, 36.0, 41.5):
        level = room.at(DAY, f'record level Tub --depth "{depth} cm"')
        for key in ("volume_l", "volume_l_low", "volume_l_high"):
            assert rows[depth][key] == pytest.approx(level[key], rel=1e-9)
    per_cm = rows[21.0]["volume_l"] - rows[20.0]["volume_l"]
    assert rows[21.0]["per_cm_l"] == pytest.approx(per_cm)


def test_the_gravel_s_own_lines_are_marked(room: Room, tmp_path: Path) -> None:
    """8 L in bulk lie about 1.7 cm high on 100 x 60 cm: pi/4 x 10 x 6 dm2 is 4.7 L to the cm."""
    answer = room.at(DAY, f"report waterline Tub --out '{tmp_path / 'a.txt'}'")
    dry = [row["depth_cm"] for row in answer["rows"] if row["partly_dry"]]
    assert dry == [1.0]
    assert any("stands out of the water" in text for text in answer["because"])


def test_connected_water_is_told_and_not_counted(room: Room, tmp_path: Path) -> None:
    sizes = 'box --length "100 cm" --width "50 cm" --depth "40 cm" --height "45 cm"'
    room.at(DAY, f'record vessel Deep {sizes} --connected "60 L"')
    answer = room.at(DAY, f"report waterline Deep --every '2 cm' --out '{tmp_path / 'd.txt'}'")
    at = {row["depth_cm"]: row["volume_l"] for row in answer["rows"]}
    assert at[40.0] == pytest.approx(200.0)
    assert list(at)[-2:] == [44.0, 45.0]
    assert any("60 L, is the water system's" in text for text in answer["because"])


@pytest.mark.parametrize("end", ["txt", "html", "pdf"])
def test_a_file_that_is_there_is_never_written_over(room: Room, tmp_path: Path, end: str) -> None:
    path = tmp_path / f"tub.{end}"
    assert room.at(DAY, f"report waterline Tub --out '{path}'")["file"] == str(path)
    made = path.read_bytes()
    assert len(made) > 1000
    room.fails(DAY, f"report waterline Tub --out '{path}'", 1, "name-taken")
    assert path.read_bytes() == made


def test_a_level_table_ends_at_its_last_mark(room: Room, tmp_path: Path) -> None:
    table = '--table "10cm:60L 20cm:131L 30cm:208L" --depth "25 cm" --height "50 cm"'
    room.at(DAY, f"record vessel Odd levels {table}")
    answer = room.at(DAY, f"report waterline Odd --out '{tmp_path / 'o.txt'}'")
    assert answer["rows"][-1]["depth_cm"] == 30.0
    assert {r["depth_cm"]: r["volume_l"] for r in answer["rows"]}[20.0] == pytest.approx(131.0)
    assert any("the last mark of its table" in text for text in answer["because"])


def test_what_was_gauged_at_one_line_has_no_table(room: Room, tmp_path: Path) -> None:
    room.at(DAY, 'record vessel Vat metered --bucket "10 L" --count 38')
    told = room.fails(DAY, f"report waterline Vat --out '{tmp_path / 'v.txt'}'", 3,
                      "volume-unknown")  # fmt: skip
    assert "bucket by bucket" in told["way_out"]
    assert not (tmp_path / "v.txt").exists()


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("report waterline Tub --out tub.doc", "wrong-kind"),
        ("report waterline Tub --out /no/such/folder/tub.txt", "wrong-kind"),
        ("report waterline Tub --out tub.txt --every '3 cm'", "out-of-range"),
        ("report waterline Tub --out tub.txt --every 2", "unit-missing"),
        ("report waterline Tab --out tub.txt", "no-such-name"),
    ],
)
def test_what_is_typed_wrong(
    room: Room, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, line: str, code: str
) -> None:
    monkeypatch.chdir(tmp_path)
    room.fails(DAY, line, 1, code)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["room.db"]


def test_another_paper_is_usage(room: Room) -> None:
    assert room.ask(DAY, "report novel Tub --out x.txt")[0] == 2
    assert room.ask(DAY, "report waterline Tub")[0] == 2
