"""Protocols on the screens: what is in force, what a change does, saving and setting aside."""

from __future__ import annotations

import hashlib
import os
import stat
from pathlib import Path
from typing import Any

import pytest

from intake import paths
from intake.flows import own_protocols
from intake.flows.desk import Desk, at_work, load_protocols
from intake.flows.dosing import dose_anywhere
from intake.flows.jobs import RoomJobs
from intake.flows.protocol_files import in_force
from intake.flows.protocols import problems_in
from intake.flows.rooms import verify
from intake.flows.usage import RoomTrouble
from intake.flows.views.protocols import Effect
from intake.science.problem import Refused, Unreadable
from tests.flows.job_rooms import demo_desk

PRAZI = "treatments/praziquantel"
WHY = "the packet says seven"


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The keeper's own folder, not there yet."""
    folder = tmp_path / "own" / "protocols"
    monkeypatch.setenv("INTAKE_PROTOCOLS", str(folder))
    return folder


@pytest.fixture
def jobs(own: Path, tmp_path: Path) -> RoomJobs:
    assert not own.exists()
    return RoomJobs(demo_desk(tmp_path))


def shipped(id_: str) -> str:
    return (paths.shipped_protocols() / f"{id_}.yaml").read_text(encoding="utf-8")


def changed(text: str, old: str, new: str) -> str:
    assert old in text
    return text.replace(old, new)


def higher() -> str:
    """The shipped text with its hard limit of the first course at 7 mg/L."""
    return changed(shipped(PRAZI), "- value: 6 mg/L", "- value: 7 mg/L")


def entries(desk: Desk) -> list[dict[str, Any]]:
    from intake.store import journal

    with at_work(desk) as book:
        every = journal.effective(book.connection)
        return [{**e.content, "_why": e.why, "_entry": e.entry} for e in every
                if e.kind == "protocol"]  # fmt: skip


def test_every_file_of_the_shipped_folder_is_listed_once(jobs: RoomJobs) -> None:
    view = jobs.protocols()
    folder = paths.shipped_protocols()
    files = {
        p.relative_to(folder).with_suffix("").as_posix()
        for p in folder.rglob("*.yaml")
        if p.parent.name != "schema"
    }
    assert {line.id for line in view.lines} == files
    assert (view.files, view.problem_files, view.own_files) == (len(files), 0, 0)
    status = {line.id: line.status for line in view.lines}
    for name, treatment in load_protocols().treatments.items():
        assert status[f"treatments/{name}"] == treatment.status


def test_what_is_in_use_is_counted_from_the_room(jobs: RoomJobs) -> None:
    use = {line.id: line.in_use for line in jobs.protocols().lines}
    assert use["plans/standard"] == "2 systems"
    # Blue pool, 11 days ago; North tub's is longer ago than that
    assert use["treatments/salt"] == "1 course"
    assert use[PRAZI] == "no"
    assert use["water"] == "always"


def test_the_sample_tub_is_the_dose_of_the_command(jobs: RoomJobs) -> None:
    opened = jobs.protocol(PRAZI)
    told = dose_anywhere({"treatment": "praziquantel", "volume": "100 L", "temp": "19 C",
                          "oxygen": "8 mg/L", "ph": "7.4", "kh": "6 dKH"})  # fmt: skip
    amount, limit, days = opened.effects
    assert amount == Effect("amount", f"{told['amount']:g} g", f"{told['amount']:g} g", "same")
    assert float(limit.yours) == told["hard_limit"]
    assert days.yours == "7"
    assert opened.sample == "praziquantel on a tub of 100 L, 19 C"
    assert (opened.limit_moved, opened.writable, opened.problems) == (False, True, ())
    assert opened.text == opened.shipped_text == shipped(PRAZI)


def test_a_change_shows_its_effect_before_it_is_saved(jobs: RoomJobs, own: Path) -> None:
    text = changed(higher(), "usual-every: 7 d", "usual-every: 5 d")
    text = changed(text, "usual:\n        value: 2 mg/L", "usual:\n        value: 3 mg/L")
    seen = jobs.protocol_check(PRAZI, text)
    amount, limit, days = seen.effects[:3]
    assert amount == Effect("amount", "0.2 g", "0.3 g", "50 % more", "care")
    assert limit == Effect("hard limit, mg/L", "6", "7", "17 % more", "care")
    assert days == Effect("days between doses", "7", "5", "shorter", "care")
    assert [e.label for e in seen.effects[3:]] == ["bath: days between doses"]
    assert seen.limit_moved
    assert not own.exists()


def test_an_amount_over_the_shipped_limit_is_marked_stop(jobs: RoomJobs) -> None:
    old, new = (f"value: {n} mg/L\n        source: Thomas" for n in ("2", "6.5"))
    text = changed(higher(), old, new)
    text = changed(text, "high:\n        value: 5 mg/L", "high:\n        value: 6.5 mg/L")
    amount = jobs.protocol_check(PRAZI, text).effects[0]
    assert (amount.yours, amount.mark) == ("0.65 g", "stop")
    assert "over the shipped hard limit" in amount.said


def test_no_file_passes_a_ceiling_of_the_program(jobs: RoomJobs) -> None:
    text = changed(shipped("treatments/salt"), "- value: 5 g/L", "- value: 90 g/L")
    seen = jobs.protocol_check("treatments/salt", text)
    assert seen.problems == ()
    told = dose_anywhere({"treatment": "salt", "volume": "100 L"})
    limit = seen.effects[1]
    assert float(limit.shipped) == told["hard_limit"]
    assert float(limit.yours) < 90


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("- value: 6 mg/L", "- value: 6.1 mg/L"),
        ("not-before: 72 h", "not-before: 71 h"),
        ("allowed: [fry, juvenile, adult]", "allowed: [juvenile, adult]"),
        ("at-most: 7 d", "at-most: 8 d"),
        ("after-change: ask", "after-change: replace"),
        ("status: common practice", "status: label"),
        ("strength: 100 % w/w", "strength: 98 % w/w"),
    ],
)
def test_each_kind_of_limit_that_moves_asks_why(
    jobs: RoomJobs, own: Path, old: str, new: str
) -> None:
    text = changed(shipped(PRAZI), old, new)
    assert jobs.protocol_check(PRAZI, text).limit_moved
    with pytest.raises(Unreadable) as no:
        jobs.protocol_save(PRAZI, text, "  ")
    assert [(p.code, p.path) for p in no.value.problems] == [("reason-missing", "--why")]
    assert not own.exists()
    assert entries(jobs.desk) == []


def test_words_may_change_without_a_reason(jobs: RoomJobs, own: Path) -> None:
    text = changed(shipped(PRAZI), "pour all of it in.", "pour all of it in, slowly.")
    assert not jobs.protocol_check(PRAZI, text).limit_moved
    jobs.protocol_save(PRAZI, text, "")
    assert (own / f"{PRAZI}.yaml").read_text(encoding="utf-8") == text


def test_a_plan_and_the_water_targets_have_limits_too(jobs: RoomJobs) -> None:
    plan = changed(shipped("plans/standard"), "value: 30 d", "value: 25 d")
    seen = jobs.protocol_check("plans/standard", plan)
    assert seen.limit_moved
    assert seen.effects[0] == Effect("days to serve", "30", "25", "shorter", "care")
    peak = "- name: nh3-peak\n    value: "
    text = changed(shipped("water"), f"{peak}0.05", f"{peak}0.06")
    water = jobs.protocol_check("water", text)
    assert (water.problems, water.limit_moved) == ((), True)
    assert [(e.label, e.shipped, e.yours) for e in water.effects] == [
        ("nh3-peak", "0.05 mg/L as N", "0.06 mg/L as N")
    ]
    calmer = changed(shipped("signs"), "do: [test-water, call-vet]", "do: [test-water]")
    assert jobs.protocol_check("signs", calmer).limit_moved
    assert not jobs.protocol_check("signs", shipped("signs") + "# mine\n").limit_moved


def test_problems_stand_at_their_line_and_column(jobs: RoomJobs, own: Path) -> None:
    lines = shipped(PRAZI).split("\n")
    at = next(n for n, x in enumerate(lines) if x.startswith("title:"))
    lines[at] = "titel: Praziquantel"
    seen = jobs.protocol_check(PRAZI, "\n".join(lines))
    wrong = next(p for p in seen.problems if p.code == "unknown-key")
    assert (wrong.line, wrong.column, wrong.path) == (at + 1, 1, f"{PRAZI}.yaml")
    assert "title" in wrong.hint
    assert seen.effects == ()
    with pytest.raises(Unreadable) as no:
        jobs.protocol_save(PRAZI, "\n".join(lines), WHY)
    assert no.value.problems == seen.problems
    assert not own.exists()


@pytest.mark.parametrize("text", ["", "\t", "a: &x 1\nb: *x", "id: [", "\x00", "!!python/none"])
def test_nothing_that_cannot_be_read_is_saved(jobs: RoomJobs, own: Path, text: str) -> None:
    assert jobs.protocol_check(PRAZI, text).problems
    with pytest.raises(Unreadable):
        jobs.protocol_save(PRAZI, text, WHY)
    assert not own.exists()


def test_a_pair_that_names_no_treatment_is_not_saved(jobs: RoomJobs) -> None:
    text = changed(shipped("never-mix"), "formalin", "formaline")
    codes = {p.code for p in jobs.protocol_check("never-mix", text).problems}
    assert codes == {"no-such-name"}
    with pytest.raises(Unreadable):
        jobs.protocol_save("never-mix", text, WHY)


def test_saving_puts_the_file_in_force_and_writes_it_down(jobs: RoomJobs, own: Path) -> None:
    text = higher()
    told = jobs.protocol_save(PRAZI, text, WHY)
    path = own / f"{PRAZI}.yaml"
    assert path.read_bytes() == text.encode()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [p.name for p in path.parent.iterdir()] == ["praziquantel.yaml"]
    (entry,) = entries(jobs.desk)
    assert entry["_entry"] == told.entry
    assert entry["id"] == PRAZI
    assert entry["old_sha256"] == hashlib.sha256(shipped(PRAZI).encode()).hexdigest()
    assert entry["sha256"] == hashlib.sha256(text.encode()).hexdigest()
    assert (entry["version"], entry["_why"], entry["limit_moved"]) == ("1", WHY, True)
    line = next(x for x in jobs.protocols().lines if x.id == PRAZI)
    assert (line.own, line.path) == ("yours since 25 Nov", str(path))
    assert jobs.protocol(PRAZI).effects[1].yours == "7"
    answer = dose_anywhere({"treatment": "praziquantel", "volume": "100 L"})
    assert answer["protocol"]["sha256"] == entry["sha256"]
    assert answer["hard_limit"] == 7
    assert problems_in(()) == []
    assert verify(jobs.desk, replay=True)["projections_match"]


def test_the_next_save_is_held_against_the_file_in_force(jobs: RoomJobs) -> None:
    jobs.protocol_save(PRAZI, higher(), WHY)
    assert not jobs.protocol_check(PRAZI, higher()).limit_moved
    assert jobs.protocol_check(PRAZI, shipped(PRAZI)).limit_moved
    jobs.protocol_save(PRAZI, higher() + "# checked\n", "")
    first, second = entries(jobs.desk)
    assert second["old_sha256"] == first["sha256"]


def test_restoring_sets_the_own_file_aside_and_writes_it_down(jobs: RoomJobs, own: Path) -> None:
    jobs.protocol_save(PRAZI, higher(), WHY)
    told = jobs.protocol_restore(PRAZI)
    names = sorted(p.name for p in (own / "treatments").iterdir())
    assert names == ["praziquantel.yaml.old-2026-11-25"]
    assert told.next_text == "yours is kept as praziquantel.yaml.old-2026-11-25"
    assert (own / "treatments" / names[0]).read_text(encoding="utf-8") == higher()
    saved, restored = entries(jobs.desk)
    assert restored["action"] == "restored"
    assert (restored["old_sha256"], restored["sha256"]) == (saved["sha256"], saved["old_sha256"])
    assert jobs.protocols().own_files == 0
    assert dose_anywhere({"treatment": "praziquantel", "volume": "100 L"})["hard_limit"] == 6
    jobs.protocol_save(PRAZI, higher(), WHY)
    jobs.protocol_restore(PRAZI)
    assert len(list((own / "treatments").iterdir())) == 2
    with pytest.raises(Unreadable) as no:
        jobs.protocol_restore(PRAZI)
    assert no.value.problems[0].code == "no-such-name"


def test_a_broken_own_file_is_shown_and_can_be_restored(jobs: RoomJobs, own: Path) -> None:
    path = own / f"{PRAZI}.yaml"
    path.parent.mkdir(parents=True)
    path.write_text("id: praziquantel\ntemprature: 19 C\n", encoding="utf-8")
    view = jobs.protocols()
    assert (view.problem_files, view.own_files) == (1, 1)
    assert view.because.startswith(f"{PRAZI} cannot be read")
    assert jobs.protocol(PRAZI).problems
    assert jobs.protocol(PRAZI).limit_moved is False
    jobs.protocol_restore(PRAZI)
    assert jobs.protocols().problem_files == 0


def test_a_new_file_of_ones_own(jobs: RoomJobs) -> None:
    text = changed(shipped(PRAZI), "id: praziquantel\n", "id: prazi-local\n")
    seen = jobs.protocol_check("treatments/prazi-local", text)
    assert (seen.problems, seen.limit_moved, seen.shipped_text) == ((), True, "")
    assert seen.effects[0].shipped == "-"
    jobs.protocol_save("treatments/prazi-local", text, WHY)
    assert "prazi-local" in load_protocols().treatments
    told = jobs.protocol_restore("treatments/prazi-local")
    assert "nothing stands for it now" in told.text


@pytest.mark.parametrize(
    "id_", ["../x", "treatments/../../x", "/etc/passwd", "treatments/", "treatments/A b", "", "x"]
)
def test_no_id_leads_out_of_the_folder(jobs: RoomJobs, own: Path, id_: str) -> None:
    for ask in (
        lambda: jobs.protocol(id_),
        lambda: jobs.protocol_check(id_, higher()),
        lambda: jobs.protocol_save(id_, higher(), WHY),
        lambda: jobs.protocol_restore(id_),
    ):
        with pytest.raises(Unreadable) as no:
            ask()
        assert no.value.problems[0].code == "no-such-name"
    assert not own.exists()


def test_nobody_changes_a_protocol_without_being_named(jobs: RoomJobs, own: Path) -> None:
    stranger = RoomJobs(Desk(jobs.desk.room, clock=jobs.desk.clock))
    assert not stranger.protocol(PRAZI).writable
    with pytest.raises(Refused) as no:
        stranger.protocol_save(PRAZI, higher(), WHY)
    assert no.value.code == "keeper-unknown"
    assert not own.exists()


def test_a_folder_that_cannot_be_written_leaves_no_entry(jobs: RoomJobs, own: Path) -> None:
    own.parent.mkdir()
    own.write_text("a file where the folder goes", encoding="utf-8")
    assert not jobs.protocol(PRAZI).writable
    with pytest.raises(Refused) as no:
        jobs.protocol_save(PRAZI, higher(), WHY)
    assert no.value.code == "room-read-only"
    with pytest.raises(RoomTrouble):
        own_protocols.save(jobs.desk, PRAZI, higher(), WHY)
    assert entries(jobs.desk) == []


@pytest.mark.parametrize("saved_before", [False, True])
def test_where_the_journal_fails_the_file_is_as_it_was(
    jobs: RoomJobs, own: Path, monkeypatch: pytest.MonkeyPatch, saved_before: bool
) -> None:
    path = own / f"{PRAZI}.yaml"
    if saved_before:
        jobs.protocol_save(PRAZI, higher() + "# mine\n", WHY)
    before = path.read_bytes() if saved_before else None
    put = own_protocols._put

    def failing(where: Path, content: bytes) -> None:
        put(where, content)
        if content == higher().encode():
            raise KeyboardInterrupt  # after the file is in place, before the entry is kept

    monkeypatch.setattr(own_protocols, "_put", failing)
    with pytest.raises(KeyboardInterrupt):
        jobs.protocol_save(PRAZI, higher(), WHY)
    assert (path.read_bytes() if path.exists() else None) == before
    assert len(entries(jobs.desk)) == int(saved_before)


def test_the_file_is_on_the_disk_before_it_takes_its_place(
    jobs: RoomJobs, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    sync, replace = os.fsync, Path.replace

    def synced(handle: int) -> None:
        done.append("fsync")
        sync(handle)

    monkeypatch.setattr(os, "fsync", synced)

    def noted(self: Path, target: Path) -> Path:
        done.append("rename")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", noted)
    jobs.protocol_save(PRAZI, higher(), WHY)
    assert done[:3] == ["fsync", "rename", "fsync"]


def test_a_link_in_the_own_folder_is_not_followed(jobs: RoomJobs, own: Path) -> None:
    path = own / f"{PRAZI}.yaml"
    path.parent.mkdir(parents=True)
    outside = own.parent / "outside.yaml"
    outside.write_text(higher(), encoding="utf-8")
    path.symlink_to(outside)
    assert jobs.protocol(PRAZI).problems
    assert in_force()[PRAZI].own
    with pytest.raises(Unreadable):
        jobs.protocol_save(PRAZI, shipped(PRAZI), WHY)
    assert outside.read_text(encoding="utf-8") == higher()
