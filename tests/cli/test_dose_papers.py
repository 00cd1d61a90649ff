"""`intake report dose` has all twenty fields, and `report tub-card` what must be read at the tub.

The twenty are those of a record of a treatment (21 CFR 530.5, licence and farm rules): the test
walks them for a dose of which all was said, and for something given of which nothing was.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from intake import __version__
from intake.flows.dose_event import UNKNOWN
from intake.science import stored_again
from intake.science.amount import bath_added
from tests.cli.ask import Answer, Room

DAY, LATER = "2026-03-01 12:00", "2026-03-02 09:00"
BOX = 'box --length "100 cm" --width "50 cm" --depth "40 cm"'
NAMES = [
    "Entry", "Begun", "Written down", "By", "Vessel and water system", "Fish treated",
    "Treated for", "Product", "What is in it", "Batch and dates", "Target", "Water", "Amount",
    "Measured with", "Way it was given", "How long", "Water at the start", "Not for food",
    "What came of it", "Worked out by",
]  # fmt: skip


@pytest.fixture
def room(tmp_path: Path) -> Room:
    room = Room(tmp_path / "room.db")
    for line in (
        f"record vessel Tub {BOX}",
        "record group Ryukins --count 6 --variety ryukin --into Tub",
        "record equipment Tub --air on --sponge cycled --carbon out",
        "record reading Tub --temp '19 C' --ph 7.6 --kh '5 dKH' --oxygen '8 mg/L'",
        "record tool '0.01 g' --name 'fine scale'",
        "record product praziquantel --strength '98 %' --name 'Prazi pot' --batch P-2281 "
        "--expires 2027-05-31 --opened 2026-02-01",
    ):
        room.at(DAY, line)
    return room


def fields(room: Room, when: str, entry: int, folder: Path) -> dict[int, list[str]]:
    """The lines of each of the twenty; every one is there and none is empty."""
    answer = room.at(when, f"report dose {entry} --out '{folder / f'{entry}-{when[8:10]}.txt'}'")
    assert [f["name"] for f in answer["fields"]] == NAMES
    assert [f["number"] for f in answer["fields"]] == list(range(1, 21))
    for field in answer["fields"]:
        assert field["lines"], field
        assert all(line.strip() for line in field["lines"]), field
    return {f["number"]: f["lines"] for f in answer["fields"]}


DOSE = (
    "record dose Tub praziquantel --amount '0.41 g' --strength '98 %' --product 'Prazi pot' "
    "--tool 'fine scale' --target '2 mg/L' --reason 'gill flukes on a slide' "
    "--diagnosed-by 'Ana, slide of 1 March' --holding '90 days' --soft 'crowded: few fish'"
)


def test_the_twenty_of_a_dose(room: Room, tmp_path: Path) -> None:
    """2 mg/L in 200 L are 0.4 g, of a 98 % powder 0.408 163 g: by hand."""
    entry = room.at(DAY, DOSE)["entry"]
    told = fields(room, DAY, entry, tmp_path)
    assert told[1] == [f"entry {entry}, dose"]
    assert told[2] == ["Sun 1 Mar 2026 12:00:00 +0000 Europe/Lisbon", "2026-03-01 12:00:00 UTC"]
    assert told[3] == ["Sun 1 Mar 2026 12:00:00 +0000 Europe/Lisbon"]
    assert told[4] == ["Ana"]
    assert told[5] == ["Tub", "the water reaches: Tub"]
    assert told[6][0].startswith("Ryukins (entry ")
    assert told[6][0].endswith("): 6, ryukin, adult")
    assert told[6][1] == "treated: 6"
    assert told[7] == [
        "gill flukes on a slide", "found by: Ana, slide of 1 March", "vet: unknown",
    ]  # fmt: skip
    assert told[8] == ["Prazi pot"]
    assert told[9][0] == "Praziquantel, 98 % w/w"
    assert told[10] == ["batch P-2281", "expires 2027-05-31", "opened 2026-02-01"]
    assert told[11] == ["2 mg/L, asked for", "comes to 2.009 mg/L; there before it: 0 mg/L"]
    assert told[12][0].startswith("200 L, likely 19")
    assert "line 40 cm" in told[12][1]
    assert told[13][0].startswith("worked out: 0.4081632653")
    assert told[13][1] == "measured: 0.41 g (typed: 0.41 g)"
    assert told[14] == ["fine scale, in steps of 0.01 g"]
    assert told[15] == ["prolonged, course long-bath of praziquantel"]
    assert told[16] == ["planned: 24 h to 168 h", "repeats: every 168 h, 2 in all",
                        "ended: not ended"]  # fmt: skip
    assert told[17][0] == "temperature: 18.5 to 19.5 C, measured 2026-03-01 12:00 UTC" or (
        told[17][0].startswith("temperature: 19 C")
    )
    assert told[17][3] == "GH: unknown"
    assert told[17][-1] == "air: on; filter: cycled; carbon: out"
    assert told[18] == ["ornamental, not for food", "held back before sale: 90 days"]
    assert told[19][0] == "no look was recorded"
    assert told[20][0].startswith("treatments/praziquantel.yaml version ")
    assert len(told[20][1].removeprefix("sha256 ")) == 64
    assert told[20][2] == f"intake {__version__}"


def test_the_hash_before_it_is_the_journal_s(room: Room, tmp_path: Path) -> None:
    entry = room.at(DAY, DOSE)["entry"]
    told = fields(room, DAY, entry, tmp_path)
    with sqlite3.connect(room.path) as journal:
        query = "SELECT hash FROM journal WHERE sequence IN (?, ?) ORDER BY sequence"
        before, own = (row[0] for row in journal.execute(query, (entry - 1, entry)))
    assert told[20][-2:] == [f"hash before it: {before}", f"its own: {own}"]


def test_the_twenty_of_something_given_of_which_nothing_was_said(
    tmp_path: Path,
) -> None:
    room = Room(tmp_path / "bare.db")
    room.at(DAY, f"record vessel Tub {BOX}")
    line = "record given Tub formalin --amount '30 mL' --why 'it was in before I looked'"
    entry = room.at(DAY, line)["entry"]
    told = fields(room, DAY, entry, tmp_path)
    assert told[6] == ["no fish recorded there", "treated: unknown"]
    assert told[7] == ["unknown", "found by: unknown", "vet: unknown"]
    assert told[8] == ["unknown"]
    assert told[9][0].endswith(", unknown")
    assert told[10] == ["batch unknown", "expires unknown", "opened unknown"]
    assert told[14] == ["unknown, in steps of unknown"]
    assert told[17][:6] == [
        "temperature: unknown", "pH: unknown", "KH: unknown", "GH: unknown", "salt: unknown",
        "oxygen: unknown",
    ]  # fmt: skip
    assert told[17][6] == "air: unknown; filter: unknown; carbon: unknown"
    assert told[18][1] == "held back before sale: unknown"
    broken = [line for line in told[20] if line.startswith("limit broken: over-hard-limit")]
    assert broken, told[20]
    assert any("reason: it was in before I looked" in line for line in told[20])


def test_what_is_stored_is_never_absent(room: Room) -> None:
    """Nothing of the event is null or empty: it has a value or the word."""
    entry = room.at(DAY, "record dose Tub salt --amount '100 g'")["entry"]
    event = content(room, entry)["event"]
    for name, value in flat(event):
        assert value not in (None, "") or name == ".at_start.ph.unit", name
    assert event["sign"] == event["holding"] == event["tool"]["name"] == UNKNOWN


def content(room: Room, entry: int) -> Answer:
    told = room.at(DAY, "history Tub")["entries"]
    found: Answer = next(e["content"] for e in told if e["entry"] == entry)
    return found


def flat(value: Any, name: str = "") -> list[tuple[str, Any]]:
    """Everything inside but the ends a reading leaves open."""
    if not isinstance(value, dict):
        return [(name, value)]
    kept = {k: v for k, v in value.items() if k not in ("low", "high")}
    return [pair for key, inner in kept.items() for pair in flat(inner, f"{name}.{key}")]


def test_the_end_and_the_outcome_follow_from_later_entries(room: Room, tmp_path: Path) -> None:
    entry = room.at(DAY, DOSE)["entry"]
    room.at("2026-03-02 08:00", "record look Ryukins --sign clamped-fins:1 --affected 2")
    room.at("2026-03-03 08:00", "record death Ryukins --count 1 --how found")
    stopped = room.at("2026-03-03 09:00", f"record stop {entry} --wash-out")["entry"]
    told = fields(room, "2026-03-03 10:00", entry, tmp_path)
    assert told[16][-1] == f"ended: stopped Tue 3 Mar 09:00, washed out, entry {stopped}"
    assert any("clamped-fins 1" in line for line in told[19])
    assert any(line.startswith("died: Tue 3 Mar 08:00: 1 of 6") for line in told[19])
    assert "followed up to" in told[19][-1]
    assert "clamped" not in str(content(room, entry)), "shown, not stored"


def test_the_twenty_of_a_bath(room: Room, tmp_path: Path) -> None:
    """2 of 6 fish in a bucket of 10 L: 50 g are 5 g/L; they are followed when they are home."""
    line = (
        "record bath salt --in '10 L' --fish Ryukins:2 --amount '50 g' "
        "--started '2026-03-01 12:00' --for '20 min' --reason costia"
    )
    entry = room.at(DAY, line)["entry"]
    told = fields(room, DAY, entry, tmp_path)
    assert told[1] == [f"entry {entry}, bath"]
    assert told[5] == ["a bucket of its own", "the water reaches: no vessel"]
    assert told[6][0].endswith("): 2, ryukin, adult")
    assert told[6][1] == "treated: 2"
    assert told[7][0] == "costia"
    assert told[11][1].startswith("comes to 5 g/L")
    assert told[12] == ["10 L, taken as exact", "found by: bucket"]
    assert told[15] == ["bath, course bath of salt"]
    assert told[16][-2:] == ["meant to last: 20 min", "ended: not ended, due out Sun 1 Mar 12:20"]
    room.at("2026-03-01 12:18", f"record stop {entry}")
    room.at("2026-03-02 08:00", "record look Ryukins --sign clamped-fins:1 --affected 2")
    told = fields(room, "2026-03-02 09:00", entry, tmp_path)
    assert told[16][-1] == "ended: lifted out Sun 1 Mar 12:18"


def test_a_fish_is_followed_where_it_went(room: Room, tmp_path: Path) -> None:
    room.at(DAY, f"record vessel Sick {BOX} --zone hospital")
    entry = room.at(DAY, DOSE)["entry"]
    move = "record move Ryukins --count 1 --to Sick --new-name Wen --why 'lies down'"
    room.at("2026-03-02 08:00", move)
    room.at("2026-03-02 10:00", "record death Wen --how found")
    told = fields(room, "2026-03-02 11:00", entry, tmp_path)
    assert any(line.startswith("died: Mon 2 Mar 10:00: 1 of 1") for line in told[19]), told[19]


def test_a_late_entry_and_a_correction_are_told(room: Room, tmp_path: Path) -> None:
    line = "record given Tub salt --amount '100 g' --when '2026-03-01 12:00' --why 'on paper'"
    entry = room.at("2026-03-04 12:00", line)["entry"]
    told = fields(room, "2026-03-04 12:00", entry, tmp_path)
    assert told[3] == ["Wed 4 Mar 2026 12:00:00 +0000 Europe/Lisbon", "late: on paper"]
    again = room.at("2026-03-05 12:00", f"correct {entry} --amount '90 g' --why 'read again'")
    told = fields(room, "2026-03-05 12:00", entry, tmp_path)
    assert told[1][1].startswith(f"corrected by entry {again['entry']}")
    assert told[13][1] == "measured: 90 g (typed: 90 g)"


def test_what_is_no_dose_has_no_record(room: Room, tmp_path: Path) -> None:
    for number in ("2", "999", "x", "1.5", "\u0661"):
        line = f"report dose {number} --out '{tmp_path / 'n.txt'}'"
        room.fails(DAY, line, 1, "no-such-name")
    assert not list(tmp_path.glob("n.txt"))


def test_a_slip_in_a_working_stores_nothing(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    before = len(room.at(DAY, "history Tub")["entries"])
    monkeypatch.setattr(stored_again, "bath_added", lambda *a: bath_added(*a) * 10)
    with pytest.raises(ArithmeticError, match="differ"):
        room.ask(DAY, DOSE)
    monkeypatch.undo()
    assert len(room.at(DAY, "history Tub")["entries"]) == before


@pytest.fixture
def rack(room: Room) -> Room:
    """Adults and fry in one water, a stepped course under way, praziquantel of the day before."""
    yard = f"{BOX} --system Yard --height '45 cm'"
    for line in (
        f"record vessel Pool {yard}",
        f"record vessel Nursery {yard} --zone fry",
        "record group Orandas --count 4 --variety oranda --into Pool",
        "record reading Yard --temp '19 C' --ph 7.6 --kh '5 dKH' --oxygen '8 mg/L'",
        "record tool '1 g' --name 'kitchen scale'",
        "record person 'Dr Reis' --role vet --phone '555 0101'",
        "record given Yard salt --course stepped --amount '400 g' --why 'before it was asked'",
        "record change Yard --volume '100 L'",
    ):
        room.at(DAY, line)
    room.at("2026-03-01 13:00", "record given Yard formalin --amount '2 mL' --why 'by mistake'")
    return room


def test_the_card_says_what_is_read_at_the_tub(rack: Room, tmp_path: Path) -> None:
    path = tmp_path / "card.txt"
    answer = rack.at(LATER, f"report tub-card Pool --out '{path}'")
    text = path.read_text(encoding="utf-8")
    assert max(map(len, text.splitlines())) <= 80
    assert (answer["volume_l"], answer["most_sensitive"]) == (200.0, "fry, in Nursery")
    assert text.startswith("Pool\n")
    for words in (
        "200 L of 400 L shared at the mark, 40 cm; likely 19", "4 fish: 4 adult",
        "water system Yard",
        "a dose is for all of it, 400", "Salt: 0.7", "Formalin", "never with",
        "Sun 1 Mar 12:00, 100 L out, 100 L in", "none runs in this water",
        "Stop at once if", "The label and your vet come first.", "Vet: Dr Reis, 555 0101",
        "Printed Mon 2 Mar 09:00 2026 by Ana", "Journal at entry ",
    ):  # fmt: skip
        assert words in " ".join(text.split()), words
    with sqlite3.connect(rack.path) as journal:
        query = "SELECT hash FROM journal ORDER BY sequence DESC LIMIT 1"
        assert str(journal.execute(query).fetchone()[0]) in text
    assert "safe" not in text.lower()


def test_the_card_s_next_dose_is_what_dose_answers_then(room: Room, tmp_path: Path) -> None:
    """Nothing happens in between, so the card of today and the dose of that hour agree."""
    room.at(DAY, "record tool '1 g' --name 'kitchen scale'")
    room.at("2026-03-01 13:00", "record dose Tub salt --course stepped --amount '200 g'")
    card = room.at("2026-03-01 18:00", f"report tub-card Tub --out '{tmp_path / 'a.txt'}'")
    (dose,) = card["doses"]
    assert dose["when"].startswith("Next Mon 2 Mar ")
    then = room.at(f"2026-03-02 {dose['when'][-5:]}", "dose salt --course stepped --vessel Tub")
    assert float(dose["amount"]) == then["measured"]
    assert dose["unit"] == then["amount_unit"] == "g"


def test_a_dose_that_is_barred_is_no_amount_on_the_card(rack: Room, tmp_path: Path) -> None:
    path = tmp_path / "b.txt"
    card = rack.at("2026-03-01 18:00", f"report tub-card Pool --out '{path}'")
    assert {d["amount"] for d in card["doses"]} == {""}
    text = " ".join(path.read_text(encoding="utf-8").split())
    assert "not worked out: fry are in the water this dose reaches" in text


def test_who_is_in_a_bucket_and_who_stands_less_is_on_the_card(room: Room, tmp_path: Path) -> None:
    room.at(DAY, "record group Snails --count 3 --variety 'mystery snail' --into Tub")
    room.at(
        DAY,
        "record bath salt --in '10 L' --fish Ryukins:2 --amount '50 g' "
        "--started '2026-03-01 12:00' --for '20 min'",
    )
    path = tmp_path / "c.txt"
    answer = room.at("2026-03-01 12:05", f"report tub-card Tub --out '{path}'")
    assert answer["most_sensitive"] == "adult; mystery snail: some treatments are not for them"
    text = " ".join(path.read_text(encoding="utf-8").split())
    assert "9 fish: 9 adult; in a bath now: 2 of Ryukins, due out Sun 1 Mar 12:20" in text


def test_a_quarantine_is_on_the_card(rack: Room, tmp_path: Path) -> None:
    rack.at(DAY, "record quarantine Yard --plan standard")
    path = tmp_path / "q.txt"
    rack.at("2026-03-05 09:00", f"report tub-card Pool --out '{path}'")
    text = path.read_text(encoding="utf-8")
    assert "day 4 of at least 30" in text
    assert "release not before Sun 5 Apr 2026 (since-treatment)" in text


@pytest.mark.parametrize("end", ["txt", "html", "pdf"])
@pytest.mark.parametrize("kind", ["tub-card Pool", "dose 17"])
def test_a_paper_that_is_there_is_never_written_over(
    rack: Room, tmp_path: Path, end: str, kind: str
) -> None:
    path = tmp_path / f"paper.{end}"
    assert rack.at(LATER, f"report {kind} --out '{path}'")["file"] == str(path)
    made = path.read_bytes()
    assert len(made) > 1000
    rack.fails(LATER, f"report {kind} --out '{path}'", 1, "name-taken")
    assert path.read_bytes() == made


def test_a_vessel_without_a_size_says_so(room: Room, tmp_path: Path) -> None:
    room.fails(DAY, f"report tub-card Nowhere --out '{tmp_path / 'n.txt'}'", 1, "no-such-name")
