"""The release of a quarantine on paper: before it, at it, and of one fish."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.flows import asking, release_paper
from intake.flows.desk import Desk
from intake.flows.jobs import RoomJobs
from intake.flows.record import Said
from intake.science.problem import Unreadable
from tests.flows.job_rooms import demo_desk, put, small_desk, then

SIZES = {"length": "100 cm", "width": "50 cm", "depth": "40 cm"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """Two fish, a slide of one, a death the day after, on day 12."""
    desk = small_desk(tmp_path)
    put(desk, "2026-11-04 09:00", "vessel", name="Tub", shape="box", zone="quarantine", **SIZES)
    put(desk, "2026-11-04 09:10", "quarantine", system="Tub", plan="standard")
    for name in ("Ada", "Bela", "Cleo"):
        put(desk, "2026-11-05 10:00", "fish", name=name, variety="ryukin", into="Tub")
    put(desk, "2026-11-06 08:00", "death", subject="Cleo")
    water = {"tan": "<0.25 mg/L as N", "ph": "7.4", "temp": "21 C", "no2": "0 mg/L as NO2"}
    for day in range(6, 17):
        put(desk, f"2026-11-{day:02} 09:00", "reading", subject="Tub", **water)
        put(desk, f"2026-11-{day:02} 09:30", "look", subject="Tub", appetite="all")
    put(desk, "2026-11-09 12:00", "slide", subject="Ada", **{"from": "skin-scrape"})
    return then(desk, "2026-11-17 10:00")


def words(path: Path) -> str:
    return " ".join(path.read_text().split())


def test_what_is_open_is_what_the_checks_say(desk: Desk, tmp_path: Path) -> None:
    answer = release_paper.write(desk, "Tub", str(tmp_path / "r.txt"))
    told = asking.checks(desk, "Tub")
    assert answer["open"] == [c["check"] for c in told["checks"] if c["state"] == "open"]
    assert answer["earliest_release"] == told["earliest_release"]
    assert answer["released_at"] is None
    assert answer["windows"] == told["windows"]
    said = words(tmp_path / "r.txt")
    for c in told["checks"]:
        assert c["evidence"] in said
    assert "Ada, ryukin, 1 adult" in said
    assert "1 of 2 fish clean, weak evidence" in said
    assert "transport: on arrival or within 72 h of it" in said
    assert "not tested: spring viraemia" in said
    assert "only once every check is met or passed by a reason" in said


def test_the_charts_hold_every_reading_and_the_warm_window(desk: Desk, tmp_path: Path) -> None:
    release_paper.write(desk, "Tub", str(tmp_path / "r.html"))
    page = (tmp_path / "r.html").read_text()
    assert page.count("<svg") == 4  # temperature, NH3, nitrite, pH
    assert "Temperature of each day, C; warm window 18 to 25" in page
    assert page.count("<circle") == 4 * 11


def _released(desk: Desk, subject: str) -> Desk:
    reasons = [
        ["days-served", "room needed"], ["no-deaths", "the journey"], ["sign-free", "two lookers"],
        ["slides", "no microscope"], ["warm-days", "heater new"], ["mixing-test", "no residents"],
    ]  # fmt: skip
    put(desk, "2026-11-27 09:00", "look", subject="Tub", appetite="all")
    water = {"tan": "<0.25 mg/L as N", "ph": "7.4", "temp": "21 C", "no2": "0 mg/L as NO2"}
    put(desk, "2026-11-27 09:10", "reading", subject="Tub", **water)
    passed = {"pass": [":".join(r) for r in reasons]}
    put(desk, "2026-11-27 10:00", "release", subject=[subject], **passed)
    return then(desk, "2026-11-28 10:00")


def test_who_passed_a_check_and_why_stands_on_it(desk: Desk, tmp_path: Path) -> None:
    later = _released(desk, "Tub")
    answer = release_paper.write(later, "Tub", str(tmp_path / "r.txt"))
    assert answer["released_at"] == "2026-11-27T10:00:00+00:00"
    said = words(tmp_path / "r.txt")
    assert "Released Fri 27 Nov 2026 10:00 by K, entry" in said
    assert "Passed by K on Fri 27 Nov 2026 10:00: no microscope." in said
    assert "Fri 27 Nov 2026 to Sun 29 Nov 2026: Disinfect vessel" in said


def test_the_release_stays_what_it_was_when_the_fish_moved_on(desk: Desk, tmp_path: Path) -> None:
    later = _released(desk, "Tub")
    first = release_paper.write(later, "Tub", str(tmp_path / "a.txt"))
    put(desk, "2026-11-28 11:00", "vessel", name="Pond", shape="box", zone="resident", **SIZES)
    said = Said(why="released")
    put(desk, "2026-11-28 12:00", "move", said, subject="Ada", to="Pond")
    put(desk, "2026-11-28 12:05", "move", said, subject="Bela", to="Pond")
    second = release_paper.write(then(desk, "2026-11-29 10:00"), "Tub", str(tmp_path / "b.txt"))
    own = release_paper.write(then(desk, "2026-11-29 10:00"), "Ada", str(tmp_path / "c.txt"))
    assert first["open"] == second["open"]
    assert "Ada, ryukin" in words(tmp_path / "b.txt")
    assert own["released_at"] == first["released_at"]
    assert words(tmp_path / "c.txt").startswith("Release of Ada from Tub Released Fri 27 Nov")


def test_a_correction_shows_on_the_next_paper(desk: Desk, tmp_path: Path) -> None:
    release_paper.write(desk, "Tub", str(tmp_path / "a.txt"))
    put(desk, "2026-11-16 15:00", "death", subject="Bela")
    answer = release_paper.write(desk, "Tub", str(tmp_path / "b.txt"))
    assert "no-deaths" in answer["open"]
    assert "Mon 16 Nov 2026 1 Bela counts" in words(tmp_path / "b.txt")


@pytest.mark.parametrize("end", [".txt", ".html", ".pdf"])
def test_the_screens_get_it_as_a_new_file(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, end: str
) -> None:
    monkeypatch.chdir(tmp_path)
    jobs = RoomJobs(desk)
    first, second = jobs.release_paper("Tub", end), jobs.release_paper("Ada", end)
    assert first != second
    assert first.startswith("the release of Tub is in ")
    assert Path(first.rpartition(" in ")[2]).stat().st_size > 1000


def test_what_was_never_in_quarantine_has_no_such_paper(tmp_path: Path) -> None:
    desk = demo_desk(tmp_path)
    for name in ("Long tank", "Nobody"):
        with pytest.raises(Unreadable) as wrong:
            release_paper.write(desk, name, str(tmp_path / "x.txt"))
        assert wrong.value.problems[0].code == "no-such-name"
    assert not (tmp_path / "x.txt").exists()
