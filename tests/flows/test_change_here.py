"""A change written down: what it makes of pH and ammonia, the tap, feed, and never held back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.correct import correct, entry_in
from intake.flows.desk import Desk, at_work
from intake.flows.feeding import Feeding, feeding
from intake.flows.kept import forget
from intake.flows.record import Said, record
from intake.science.problem import Unreadable
from tests.cli.ask import ask
from tests.flows.job_rooms import put, small_desk, then

TODAY = "2026-11-20 12:00"
TUB = "water change --volume 200L"
READ = {"ph": "7.4", "kh": "4 dKH", "temp": "20 C", "tan": "0.5 mg/L as N"}
CRASHED = {"ph": "5.9", "kh": "0.4 dKH", "temp": "20 C", "tan": "6 mg/L as N"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = small_desk(tmp_path)
    put(made, "2026-11-05 09:00", "vessel", name="Tub", shape="box", length="100 cm +/- 0.001 cm",
        width="50 cm +/- 0.001 cm", depth="40 cm +/- 0.001 cm")  # fmt: skip
    return made


def tap(desk: Desk, **more: str) -> None:
    put(desk, "2026-11-19 09:00", "reading", subject="tap", ph="7.8", kh="8 dKH", temp="20 C",
        tan="0 mg/L as N", **more)  # fmt: skip


def read(desk: Desk, readings: dict[str, str] = READ, when: str = "2026-11-20 11:00") -> None:
    put(desk, when, "reading", subject="Tub", **readings)


def change(desk: Desk, when: str = TODAY, **typed: Any) -> dict[str, Any]:
    return record(then(desk, when), "change", {"subject": "Tub", **typed})


def codes(answer: dict[str, Any]) -> set[str]:
    return {w["code"] for w in answer["warnings"]}


def test_it_answers_what_the_command_without_a_room_works_out(desk: Desk) -> None:
    tap(desk)
    read(desk)
    answer = change(desk, percent="30")
    _, worked = ask(
        f"{TUB} --ph 7.4 --kh 4dKH --temp 20C --tan '0.5 mg/L as N' --tap-ph 7.8 --tap-kh 8dKH "
        "--percent 30"
    )
    assert answer["after"] == pytest.approx(worked["after"])
    assert answer["limit_n_mg_l"] == 0.02


def test_the_crash_is_warned_of_written_down_and_not_held_back(desk: Desk) -> None:
    tap(desk)
    read(desk, CRASHED)
    answer = change(desk, percent="50")
    assert answer["entry"]
    assert "ph-crash" in codes(answer)
    assert answer["after"]["nh3_n_mg_l_worst"] == pytest.approx(0.223, rel=0.02)
    assert "next_change_h" not in answer
    assert any("rain or reverse osmosis water" in text for text in answer["do"])


def test_soft_water_is_told_by_its_kh_and_makes_it_better(desk: Desk) -> None:
    tap(desk)
    read(desk, CRASHED)
    answer = change(desk, percent="50", kh="0.4 dKH")
    assert answer["after"]["nh3_n_mg_l_worst"] == pytest.approx(0.0237, rel=0.02)
    told = next(w["text"] for w in answer["warnings"] if w["code"] == "ph-crash")
    assert "from 0.047 mg/L as N to 0.024 mg/L as N" in told


def test_without_readings_nothing_is_worked_out_and_it_is_said(desk: Desk) -> None:
    answer = change(desk, percent="30")
    assert answer["after"] is None
    assert any("no reading of ph, kh, temp" in text for text in answer["assumptions"])
    put(desk, "2026-11-20 12:30", "reading", subject="Tub", **READ)
    late = record(then(desk, "2026-11-20 13:00"), "change", {"subject": "Tub", "percent": "10"},
                  Said(when="2026-11-20 12:15"))  # fmt: skip
    assert late["after"] is None, "a reading of later says nothing of the water before it"


def test_readings_that_are_no_water_never_hold_a_change_back(desk: Desk) -> None:
    read(desk, {**READ, "ph": "9.5", "kh": "0.1 dKH", "tan": "8 mg/L as N"})
    answer = change(desk, percent="30")
    assert answer["entry"]
    assert answer["after"] is None
    assert any("no such water" in text for text in answer["assumptions"])


def test_temperature_and_salt_of_the_new_water_win_over_the_taps(desk: Desk) -> None:
    tap(desk)
    read(desk)
    cold = change(desk, percent="30", temp="10 C", salt="2 g/L")
    assert cold["after"]["temp_c"] == pytest.approx(17)
    assert cold["after"]["salt_g_l"] == pytest.approx(0.6)
    assert "temperature-step" in codes(cold)
    assert "temperature-step" not in codes(change(desk, percent="30"))


def test_a_tap_nobody_tested_is_taken_to_be_like_the_vessel(desk: Desk) -> None:
    read(desk)
    answer = change(desk, percent="40")
    assert answer["after"]["kh_meq_l"] == pytest.approx(4 * 0.356634)
    assert any("nobody tested the tap's" in text for text in answer["assumptions"])


def test_chlorine_is_warned_of_unless_it_was_dealt_with(desk: Desk) -> None:
    tap(desk, chlorine="0.5 mg/L", combined="2 mg/L")
    read(desk)
    answer = change(desk, percent="30")
    told = next(w["text"] for w in answer["warnings"] if w["code"] == "chlorine")
    assert "1.05 g of sodium thiosulfate" in told  # 60 L x 2.5 mg/L x 7.0
    # 2 mg/L of chloramine leave 0.395 mg/L of ammonia as N.
    assert answer["after"]["tan_n_mg_l"] == pytest.approx(0.7 * 0.5 + 0.3 * 0.395)
    assert "chlorine" not in codes(change(desk, percent="30", dechlorinated=True))


def test_a_tap_nobody_tested_for_chloramine_is_said(desk: Desk) -> None:
    tap(desk, chlorine="0 mg/L")
    read(desk)
    answer = change(desk, percent="30")
    assert "chlorine" not in codes(answer)
    told = [text for text in answer["assumptions"] if "of the tap not read" in text]
    assert told == ["combined chlorine of the tap not read: water conditioner by its label"]
    treated = change(desk, percent="30", dechlorinated=True)
    assert not any("of the tap not read" in text for text in treated["assumptions"])


def test_volumes_out_and_in_count_by_what_is_new_afterwards(desk: Desk) -> None:
    tap(desk)
    read(desk)
    same = change(desk, volume="60 L")["after"]
    share = change(desk, percent="30")["after"]
    assert same == pytest.approx(share, rel=1e-4)
    less_in = change(desk, out="100 L", **{"in": "50 L"})["after"]
    third = change(desk, percent=str(100 / 3)[:8])["after"]
    assert less_in["tan_n_mg_l"] == pytest.approx(third["tan_n_mg_l"], rel=1e-3)


def test_a_correction_works_it_out_again(desk: Desk) -> None:
    tap(desk)
    read(desk)
    answer = change(desk, percent="30")
    correct(then(desk, TODAY), answer["entry"], {"percent": "20"}, Said(why="misread"))
    with at_work(then(desk, TODAY)) as book:
        kept = entry_in(book, answer["entry"])
    assert kept.content["after"]["tan_n_mg_l"] == pytest.approx(0.4)


def fed(desk: Desk, when: str, amount: str, **more: str) -> int:
    return put(desk, when, "feed", vessel="Tub", amount=amount, **more)


def of_tub(desk: Desk, when: str = TODAY) -> Feeding | None:
    with at_work(then(desk, when)) as book:
        vessel = book.facts.vessel_named("Tub")
        assert vessel is not None
        return feeding(book.facts, [vessel], book.now)


def test_a_days_feed_is_the_mean_of_whole_days(desk: Desk) -> None:
    assert of_tub(desk) is None
    fed(desk, "2026-11-17 08:00", "2 g", protein="40 %")
    fed(desk, "2026-11-17 18:00", "2 g", protein="40 %")
    fed(desk, "2026-11-19 08:00", "4 g", protein="40 %")
    found = of_tub(desk)
    assert found is not None
    # 8 g in the 17th, 18th and 19th; the 18th was a fasting day.
    assert found.grams_a_day == pytest.approx(8 / 3)
    assert found.protein_share == pytest.approx(0.40)
    fed(desk, "2026-11-20 10:00", "6 g", protein="40 %")
    more = of_tub(desk)
    assert more is not None
    assert more.grams_a_day == pytest.approx(6)


def test_feed_of_long_ago_says_nothing_of_today(desk: Desk) -> None:
    fed(desk, "2026-11-08 08:00", "5 g")
    assert of_tub(desk) is None


def test_protein_nobody_read_counts_at_the_high_end(desk: Desk) -> None:
    fed(desk, "2026-11-19 08:00", "1 g", protein="30 %")
    fed(desk, "2026-11-19 18:00", "3 g")
    found = of_tub(desk)
    assert found is not None
    assert found.protein_share == pytest.approx((0.30 + 3 * 0.45) / 4)
    assert any("high end of feeds" in text for text in found.assumed)


def test_feed_that_is_voided_or_corrected_counts_as_it_stands(desk: Desk) -> None:
    entry = fed(desk, "2026-11-19 08:00", "4 g", protein="40 %")
    correct(then(desk, TODAY), entry, {"amount": "1 g"}, Said(why="misread"))
    found = of_tub(desk)
    assert found is not None
    assert found.grams_a_day == pytest.approx(1)
    correct(then(desk, TODAY), entry, {}, Said(why="not fed"), void=True)
    assert of_tub(desk) is None


def test_what_is_fed_says_when_the_next_change_is_due(desk: Desk) -> None:
    tap(desk)
    read(desk)
    fed(desk, "2026-11-19 08:00", "5 g", protein="35 %")
    answer = change(desk, percent="30")
    _, worked = ask(
        f"{TUB} --feed '5 g/d' --protein '35 %' --ph {answer['after']['ph']:.10f} "
        f"--kh '{answer['after']['kh_meq_l']:.10f} meq/L' --temp 20C "
        f"--tan '{answer['after']['tan_n_mg_l']:.10f} mg/L as N'"
    )
    assert answer["next_change_h"] == pytest.approx(worked["next_change_h"], rel=1e-3)
    assert any("the next change is due in" in text for text in answer["because"])


def test_readings_of_yesterday_are_told_with_their_age(desk: Desk) -> None:
    tap(desk)
    read(desk, when="2026-11-18 09:00")
    answer = change(desk, percent="30")
    assert "tan as read 2 days 3 h before" in answer["assumptions"]


def test_a_fry_tub_is_judged_more_strictly(desk: Desk) -> None:
    tap(desk)
    read(desk)
    put(desk, "2026-11-20 11:10", "group", name="Fry", count="50", into="Tub", stage="fry",
        variety="ryukin")  # fmt: skip
    assert change(desk, percent="30")["limit_n_mg_l"] == pytest.approx(0.007)


@pytest.mark.parametrize(
    ("typed", "path"),
    [
        ({"percent": "30", "kh": "4"}, "--kh"),
        ({"percent": "30", "ph": "15"}, "--ph"),
        ({"percent": "30", "tan": "2 mg/L"}, "--tan"),
        ({"percent": "130"}, "--percent"),
    ],
)
def test_what_is_typed_wrong_is_named_and_nothing_written(
    desk: Desk, typed: dict[str, str], path: str
) -> None:
    with pytest.raises(Unreadable) as told:
        change(desk, **typed)
    assert path in {p.path for p in told.value.problems}


def test_what_was_folded_entry_by_entry_is_what_a_fresh_fold_finds(desk: Desk) -> None:
    tap(desk, chlorine="0.2 mg/L", combined="1 mg/L")
    first = fed(desk, "2026-11-08 08:00", "9 g")
    fed(desk, "2026-11-19 08:00", "3 g", protein="40 %")
    record(then(desk, "2026-11-20 11:00"), "feed", {"vessel": "Tub", "amount": "2 g"},
           Said(when="2026-11-18 08:00", why="found in the notebook"))  # fmt: skip
    correct(then(desk, TODAY), first, {"amount": "1 g"}, Said(why="misread"))
    put(desk, "2026-11-20 11:30", "reading", subject="tap", combined="0.5 mg/L")

    def seen() -> tuple[object, ...]:
        with at_work(then(desk, TODAY)) as book:
            vessel = book.facts.vessel_named("Tub")
            assert vessel is not None
            return vessel.feeds, dict(book.facts.tap)

    kept = seen()
    forget(desk.room)
    assert seen() == kept
