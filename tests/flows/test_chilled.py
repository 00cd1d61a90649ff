"""Chilled fish in the room: a warning when it is written, an alert, days of the calendar."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.asking import alerts
from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work
from intake.flows.imported import import_file
from intake.flows.jobs import calendar
from intake.flows.record import Said, record
from tests.flows.job_rooms import put, small_desk, then
from tests.flows.test_imported import BOX

NIGHT = "2026-11-10 22:00"


@pytest.fixture
def desk(quick_files: None, tmp_path: Path) -> Desk:
    """A quarantine of one fish since 5 November."""
    it = small_desk(tmp_path)
    put(it, "2026-11-05 08:00", "vessel", name="Tub", zone="quarantine", **BOX)
    put(it, "2026-11-05 09:00", "quarantine", system="Tub", plan="standard")
    put(it, "2026-11-05 10:00", "fish", name="Ada", variety="ryukin", into="Tub")
    put(it, "2026-11-10 09:00", "reading", subject="Tub", temp="21 C")
    return it


def watches(desk: Desk, moment: str) -> list[dict[str, Any]]:
    with at_work(then(desk, moment)) as book:
        return [a for a in alerts(book) if "fifty-fold" in a["because"]]


def warned(desk: Desk, moment: str, kind: str, **typed: Any) -> tuple[int, list[str]]:
    answer = record(then(desk, moment), kind, typed)
    return answer["entry"], [w["text"] for w in answer["warnings"] if w["code"] == "cold-shock"]


def test_a_fall_is_warned_of_then_watched_then_over(desk: Desk) -> None:
    entry, (text,) = warned(desk, NIGHT, "reading", subject="Tub", temp="17 C")
    assert text.startswith("the water fell from 21 to 17 C within 13 h; watch them for 14 days")
    (alert,) = watches(desk, "2026-11-12 12:00")
    assert (alert["urgency"], alert["system"], alert["entry"]) == ("watch", "Tub", entry)
    assert watches(desk, "2026-11-24 12:00") != []
    assert watches(desk, "2026-11-25 12:00") == []
    correct(then(desk, "2026-11-12 12:00"), entry, {}, Said(why="a slip"), void=True)
    assert watches(desk, "2026-11-12 12:00") == []


def test_a_rise_and_a_small_fall_are_not_warned_of(desk: Desk) -> None:
    assert warned(desk, NIGHT, "reading", subject="Tub", temp="26 C")[1] == []
    assert warned(desk, "2026-11-11 21:00", "reading", subject="Tub", temp="23 C")[1] == []
    assert watches(desk, "2026-11-12 12:00") == []


def test_water_without_fish_is_not_watched(desk: Desk) -> None:
    put(desk, "2026-11-09 08:00", "vessel", name="Empty", **BOX)
    put(desk, "2026-11-10 08:00", "reading", subject="Empty", temp="24 C")
    assert warned(desk, NIGHT, "reading", subject="Empty", temp="10 C")[1] == []


def test_a_min_max_thermometer_is_warned_of(desk: Desk) -> None:
    more = {"temp-min": "16 C", "temp-max": "21 C", "temp": "20 C"}
    _, (text,) = warned(
        desk, NIGHT, "reading", subject="Tub", **{k.replace("-", "_"): v for k, v in more.items()}
    )
    assert "does not say which came first" in text


def test_the_calendar_says_it_on_the_day_and_on_those_it_is_watched(desk: Desk) -> None:
    entry, _ = warned(desk, NIGHT, "reading", subject="Tub", temp="17 C")
    view = calendar.view(then(desk, "2026-11-12 12:00"))
    why = {mark.day.day: mark.why for mark in view.systems[0].days if mark.day.month == 11}
    assert f"the water fell from 21 to 17 C within 13 h, entry {entry}: watched until" in why[10]
    assert f"after the chill of Tue 10 Nov, entry {entry}" in why[17]
    assert "chill" not in why[9]
    assert "chill" not in why[25]


def logged(folder: Path, temps: list[float]) -> str:
    """A row each hour from noon on 10 November."""
    rows = [
        f"2026-11-{10 + (12 + n) // 24} {(12 + n) % 24:02}:00,{temp}"
        for n, temp in enumerate(temps)
    ]
    path = folder / "log.csv"
    path.write_text("Time,Temp C\n" + "\n".join(rows) + "\n")
    return str(path)


@pytest.mark.parametrize(
    ("temps", "seen"),
    [
        ([21.0 - 0.5 * n for n in range(12)], True),
        ([20.0 + 0.5 * n for n in range(12)], False),
        ([21.0 - 0.1 * n for n in range(40)], False),  # 2.4 C in any 24 h
        ([21.0] * 20 + [17.9], True),  # over midnight
        ([21.0, 18.0, 21.0], False),
    ],
)
def test_a_logger_tells_falls_from_rises(
    desk: Desk, tmp_path: Path, temps: list[float], seen: bool
) -> None:
    typed = {"file": logged(tmp_path, temps), "vessel": "Tub"}
    answer = import_file(then(desk, "2026-11-12 12:00"), typed, Said())
    assert ("cold-shock" in [w["code"] for w in answer["warnings"]]) is seen
    found = watches(desk, "2026-11-12 12:00")
    assert [a["entry"] for a in found] == ([answer["entry"]] if seen else [])
    if seen:
        assert "the water fell" in found[0]["because"]


def shipped(desk: Desk, bag_c: str, water_c: str, checkpoint: str = "") -> list[str]:
    """What placing a fish out of a bag warns of."""
    put(
        desk,
        "2026-11-12 09:00",
        "shipment",
        name="S",
        delivered="2026-11-12 08:30",
        **{"from": "X"},
    )
    put(desk, "2026-11-12 09:00", "bag", box="S", temp=bag_c, fish="1")
    put(desk, "2026-11-12 09:05", "reading", subject="Tub", temp=water_c)
    if checkpoint:
        put(desk, "2026-11-12 09:40", "checkpoint", box="S", temp=checkpoint)
    return warned(
        desk, "2026-11-12 09:45", "fish", name="Bo", box="S", bag="1", variety="oranda", into="Tub"
    )[1]


def test_a_warm_bag_into_cold_water_is_a_risk_event(desk: Desk) -> None:
    (text,) = shipped(desk, "22 C", "18.5 C")
    assert text.startswith(
        "Bo put into water of 18.5 C, the bag was at 22 C: more than 2 C colder; watch them"
    )
    (alert,) = watches(desk, "2026-11-13 12:00")
    assert alert["text"].startswith("Look at Bo twice a day, 13 days more")
    assert "does not say that these carry it" in alert["because"]


def test_a_bag_floated_until_it_is_as_cold_is_still_one_where_it_came_much_warmer(
    desk: Desk,
) -> None:
    (text,) = shipped(desk, "22 C", "18.5 C", "19 C")
    assert "the bag came in at 22 C: more than 3 C colder" in text


@pytest.mark.parametrize(
    ("bag_c", "water_c", "checkpoint"),
    [("20 C", "18.5 C", ""), ("21 C", "18.5 C", "19 C"), ("18 C", "24 C", "")],
)
def test_a_small_step_and_warmer_water_are_none(
    desk: Desk, bag_c: str, water_c: str, checkpoint: str
) -> None:
    assert shipped(desk, bag_c, water_c, checkpoint) == []
    assert [a for a in watches(desk, "2026-11-13 12:00") if "Bo" in a["text"]] == []


def test_water_read_too_long_ago_says_nothing_of_what_they_went_into(desk: Desk) -> None:
    put(
        desk,
        "2026-11-14 09:00",
        "shipment",
        name="S",
        delivered="2026-11-14 08:30",
        **{"from": "X"},
    )
    put(desk, "2026-11-14 09:00", "bag", box="S", temp="26 C", fish="1")
    typed = {"name": "Bo", "box": "S", "bag": "1", "variety": "oranda", "into": "Tub"}
    assert warned(desk, "2026-11-14 09:45", "fish", **typed)[1] == []
    put(desk, "2026-11-14 10:30", "reading", subject="Tub", temp="20 C")
    (alert,) = watches(desk, "2026-11-14 12:00")
    assert "Bo" in alert["text"]
