"""Ways in which a keeper could get too much, one by one, each worked out here by hand."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from intake.flows.correct import correct
from intake.flows.desk import Desk, at_work, rehearsed
from intake.flows.dose_tasks import dose_tasks
from intake.flows.doses import system_named
from intake.flows.dosing import dose_in_room
from intake.flows.quarantine_facts import facts_of
from intake.flows.record import Said, record
from intake.flows.redose import missing
from intake.flows.residues import answer
from intake.science.problem import Refused, Unreadable
from tests.flows.job_rooms import put, small_desk, then

pytestmark = pytest.mark.usefixtures("quick_files")

DAY = "2026-11-05"
T0 = f"{DAY} 08:00"
BOX = {
    "shape": "box",
    "length": "100 cm +/- 0 cm",
    "width": "50 cm +/- 0 cm",
    "depth": "40 cm +/- 0 cm",
    "height": "60 cm",
}  # 200 L, 5 L to the centimetre
FORMALIN = {"treatment": "formalin", "strength": "37 % w/w"}
PRAZI = {"treatment": "praziquantel", "strength": "100 %"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A room with a tub of 200 L, two tubs that share 400 L, and one known by the bucket."""
    desk = small_desk(tmp_path)
    put(desk, T0, "vessel", name="Tub", **BOX)
    put(desk, T0, "vessel", name="Left", system="Yard", **BOX)
    put(desk, T0, "vessel", name="Right", system="Yard", **BOX)
    put(desk, T0, "vessel", name="Drum", shape="metered", bucket="10 L +/- 0 L", count="20")
    return desk


def offer(desk: Desk, moment: str, vessel: str, treatment: str, /, **typed: Any) -> dict[str, Any]:
    asked = {"vessel": vessel, "treatment": treatment, **typed}
    return dose_in_room(then(desk, moment), asked)


def left(desk: Desk, moment: str, water: str, treatment: str) -> float:
    with at_work(then(desk, moment)) as book:
        told: Any = answer(book, system_named(book, water))["substances"]
    return next((s["now"] for s in told if s["treatment"] == treatment), 0.0)


def refused(desk: Desk, moment: str, kind: str, said: Said | None = None, /, **typed: Any) -> Any:
    """The refusal it ends in."""
    with pytest.raises(Refused) as told:
        put(desk, moment, kind, said, **typed)
    return told.value


def warned(told: dict[str, Any]) -> list[str]:
    return [w.code if hasattr(w, "code") else w["code"] for w in told["warnings"]]


# The water


@pytest.mark.parametrize(
    ("water", "full_l"), [("Tub", 200), ("Left", 400), ("Yard", 400), ("Drum", 200)]
)
def test_water_taken_out_and_not_put_back_is_not_dosed(
    desk: Desk, water: str, full_l: int
) -> None:
    """100 L out of it and 5 L in: 95 L less stand there, and get 5 g/L less."""
    put(desk, f"{DAY} 09:00", "change", subject=water, out="100 L", **{"in": "5 L"})
    told = offer(desk, f"{DAY} 09:05", water, "salt", target="5 g/L")
    assert told["amount"] == pytest.approx(5 * (full_l - 95), rel=1e-9)
    too_much = {"system": water, "treatment": "salt", "amount": f"{5 * full_l} g"}
    assert refused(desk, f"{DAY} 09:10", "dose", **too_much).code == "over-hard-limit"


def test_nothing_put_back_at_all_is_a_change_too(desk: Desk) -> None:
    put(desk, f"{DAY} 09:00", "change", subject="Drum", out="150 L", **{"in": "0 L"})
    put(desk, f"{DAY} 09:10", "top-up", vessel="Drum", volume="20 L")
    assert offer(desk, f"{DAY} 09:20", "Drum", "salt")["amount"] == pytest.approx(2 * 70)


def test_more_than_a_level_table_knows_does_not_lock_the_room(desk: Desk) -> None:
    """Over the last mark nothing is known: the water is taken at that mark, the smaller one."""
    table = "10cm:60L 20cm:131L 30cm:208L"
    put(desk, T0, "vessel", name="Odd", shape="levels", table=table, depth="25 cm")
    put(desk, f"{DAY} 09:00", "change", subject="Odd", out="5 L", **{"in": "100 L"})
    assert offer(desk, f"{DAY} 09:05", "Odd", "salt")["volume_l"] == pytest.approx(208, abs=0.1)
    put(desk, f"{DAY} 09:10", "change", subject="Odd", out="190 L", **{"in": "0 L"})
    assert offer(desk, f"{DAY} 09:15", "Odd", "salt")["volume_l"] == pytest.approx(18, abs=0.1)


def test_a_line_filled_to_tells_how_much_salted_water_went_in(desk: Desk) -> None:
    """Half of 200 L out, filled to 250 L with 4 g/L: 150 L x 4 / 250 L is 2.4 g/L, not 1.6."""
    typed = {"percent": "50 %", "to_depth": "50 cm +/- 0 cm", "salt": "4 g/L"}
    put(desk, f"{DAY} 09:00", "change", subject="Tub", **typed)
    assert left(desk, f"{DAY} 09:05", "Tub", "salt") == pytest.approx(2.4)
    told = offer(desk, f"{DAY} 09:05", "Tub", "salt", target="5 g/L")
    assert told["amount"] == pytest.approx(2.6 * 250)


def test_topped_up_to_the_mark_again_the_next_top_up_is_evaporation(desk: Desk) -> None:
    put(desk, f"{DAY} 09:00", "change", subject="Tub", out="20 L", **{"in": "0 L"})
    put(desk, f"{DAY} 09:10", "top-up", vessel="Tub", volume="20 L")
    put(desk, "2026-11-12 09:00", "top-up", vessel="Tub", volume="15 L")
    assert offer(desk, "2026-11-12 09:10", "Tub", "salt")["volume_l"] == pytest.approx(200)


def test_the_smaller_of_two_ways_holds_the_limit(desk: Desk) -> None:
    put(
        desk,
        f"{DAY} 09:00",
        "gauge",
        vessel="Tub",
        way="metered",
        bucket="9 L +/- 0 L",
        count="20",
    )
    told = offer(desk, f"{DAY} 09:05", "Tub", "salt", target="5 g/L")
    assert (told["amount"], told["result_high"]) == (pytest.approx(5 * 180), pytest.approx(5))
    too_much = {"system": "Tub", "treatment": "salt", "amount": "901 g"}
    assert refused(desk, f"{DAY} 09:10", "dose", **too_much).code == "over-hard-limit"
    put(desk, f"{DAY} 09:15", "dose", system="Tub", treatment="salt", amount="900 g")


# Salt that nobody dosed


def test_salt_a_meter_read_counts_as_there_already(desk: Desk) -> None:
    put(desk, f"{DAY} 09:00", "reading", subject="Tub", salt="4 g/L +/- 0.5 g/L")
    assert offer(desk, f"{DAY} 09:05", "Tub", "salt", target="3 g/L")["amount"] == 0
    typed = {"system": "Tub", "treatment": "salt"}
    assert refused(desk, f"{DAY} 09:10", "dose", amount="110 g", **typed).value > 5
    put(desk, f"{DAY} 09:15", "dose", amount="100 g", **typed)
    put(desk, f"{DAY} 09:20", "change", subject="Tub", percent="50 %")
    put(desk, f"{DAY} 09:25", "dose", amount="500 g", **typed)
    assert refused(desk, f"{DAY} 09:30", "dose", amount="10 g", **typed).code == "over-hard-limit"


def test_a_meter_that_reads_less_never_hides_a_dose(desk: Desk) -> None:
    put(desk, f"{DAY} 09:00", "dose", system="Tub", treatment="salt", amount="600 g")
    put(desk, f"{DAY} 09:30", "reading", subject="Tub", salt="1 g/L")
    told = offer(desk, f"{DAY} 09:35", "Tub", "salt", target="5 g/L")
    assert told["amount"] == pytest.approx(400)


def test_a_meter_at_its_end_stops_salt(desk: Desk) -> None:
    put(desk, f"{DAY} 09:00", "reading", subject="Tub", salt=">4 g/L")
    typed = {"system": "Tub", "treatment": "salt", "amount": "10 g"}
    assert refused(desk, f"{DAY} 09:05", "dose", **typed).code == "over-hard-limit"


def test_salt_of_the_tap_is_in_the_water_from_the_first_day(desk: Desk) -> None:
    """0.5 g/L in the tap: 4.5 g/L are left to dose, and after every change as well."""
    put(desk, f"{DAY} 09:00", "reading", subject="tap", salt="0.5 g/L")
    assert offer(desk, f"{DAY} 09:05", "Tub", "salt", target="5 g/L")["amount"] == 900
    put(desk, f"{DAY} 09:10", "dose", system="Tub", treatment="salt", amount="900 g")
    put(desk, f"{DAY} 09:15", "change", subject="Tub", percent="50 %")
    told = offer(desk, f"{DAY} 09:20", "Tub", "salt", target="5 g/L")
    assert told["amount"] == pytest.approx((5 - 2.75) * 200)


# What is written late, or again


def test_a_dose_written_late_is_judged_with_those_after_it(desk: Desk) -> None:
    """3 g/L at noon and 4 g/L written as of eleven would be 7 g/L at noon."""
    put(desk, f"{DAY} 12:00", "dose", system="Tub", treatment="salt", amount="600 g")
    late = Said(when=f"{DAY} 11:00")
    typed = {"system": "Tub", "treatment": "salt"}
    told = refused(desk, f"{DAY} 13:00", "dose", late, amount="800 g", **typed)
    assert (told.code, told.value) == ("over-hard-limit", pytest.approx(7))
    put(desk, f"{DAY} 13:00", "dose", late, amount="400 g", **typed)
    assert left(desk, f"{DAY} 13:00", "Tub", "salt") == pytest.approx(5)


def test_a_dose_written_late_is_judged_in_the_water_of_that_time(desk: Desk) -> None:
    put(desk, f"{DAY} 09:00", "level", vessel="Tub", depth="20 cm +/- 0 cm")
    put(desk, f"{DAY} 12:00", "level", vessel="Tub", depth="40 cm +/- 0 cm")
    late, typed = Said(when=f"{DAY} 10:00"), {"system": "Tub", "treatment": "salt"}
    assert refused(desk, f"{DAY} 13:00", "dose", late, amount="600 g", **typed).value == 6
    assert (
        record(then(desk, f"{DAY} 13:00"), "dose", {"amount": "500 g", **typed}, late)["now"] == 5
    )
    assert left(desk, f"{DAY} 13:00", "Tub", "salt") == pytest.approx(2.5)


def test_a_dose_written_late_keeps_its_distance_on_both_sides(desk: Desk) -> None:
    put(desk, f"{DAY} 12:00", "dose", system="Tub", amount="0.4 g", **PRAZI)
    late = Said(when=f"{DAY} 10:00")
    told = refused(desk, f"{DAY} 13:00", "dose", late, system="Tub", amount="0.4 g", **PRAZI)
    assert (told.code, told.value) == ("too-soon", 2)


def test_a_reading_taken_after_it_does_not_stand_for_one_before(desk: Desk) -> None:
    put(desk, f"{DAY} 12:00", "reading", subject="Tub", oxygen="8 mg/L", temp="20 C")
    late = Said(when=f"{DAY} 10:00")
    told = refused(desk, f"{DAY} 13:00", "dose", late, system="Tub", amount="3 mL", **FORMALIN)
    assert told.code == "reading-missing"


def test_the_same_dose_typed_twice_is_too_soon(desk: Desk) -> None:
    put(desk, f"{DAY} 12:00", "dose", system="Tub", amount="0.4 g", **PRAZI)
    for late in (None, Said(when=f"{DAY} 12:00")):
        told = refused(desk, f"{DAY} 12:01", "dose", late, system="Tub", amount="0.4 g", **PRAZI)
        assert told.code == "too-soon"


def test_a_rehearsal_leaves_nothing_in_the_water(desk: Desk) -> None:
    typed = {"system": "Tub", "treatment": "salt", "amount": "1000 g"}
    for _ in range(3):
        assert record(rehearsed(then(desk, f"{DAY} 12:00")), "dose", typed)["now"] == 5
    assert left(desk, f"{DAY} 12:01", "Tub", "salt") == 0


def test_a_dose_that_is_corrected_does_not_meet_itself(desk: Desk) -> None:
    typed = {"system": "Tub", "treatment": "salt", "amount": "600 g"}
    entry = put(desk, f"{DAY} 12:00", "given", Said(why="it went in"), **typed)
    told = correct(then(desk, f"{DAY} 12:10"), entry, {"amount": "620 g"}, Said(why="misread"))
    assert warned(told) == []
    with at_work(then(desk, f"{DAY} 12:20")) as book:
        dose: Any = system_named(book, "Tub").doses[0]
    assert (dose.target, dose.broke) == (pytest.approx(3.1), ())


def test_an_old_amount_is_corrected_by_the_packet_of_its_day(desk: Desk) -> None:
    put(desk, f"{DAY} 09:00", "product", treatment="praziquantel", strength="98 %", name="Old")
    typed = {"system": "Tub", "treatment": "praziquantel", "strength": "98 %", "amount": "0.4 g"}
    entry = put(desk, f"{DAY} 10:00", "dose", **typed)
    put(desk, f"{DAY} 11:00", "product", treatment="praziquantel", strength="92 %", name="New")
    correct(then(desk, f"{DAY} 12:00"), entry, {"amount": "0.5 g"}, Said(why="misread"))
    now = left(desk, f"{DAY} 10:00", "Tub", "praziquantel")
    assert now == pytest.approx(1000 * 0.5 * 0.98 / 200)


@pytest.mark.parametrize("named", ["Yard", "Right"])
@pytest.mark.parametrize("how", ["void", "moved"])
def test_a_dose_outlives_the_vessel_its_water_began_with(desk: Desk, named: str, how: str) -> None:
    """Left was never there, or is water of its own: what went into Yard is all in Right."""
    put(desk, f"{DAY} 09:00", "dose", system=named, treatment="salt", amount="800 g")
    put(desk, f"{DAY} 09:10", "reading", subject=named, no2="0.5 mg/L")
    with at_work(then(desk, f"{DAY} 09:30")) as book:
        first = next(v.id for v in map(book.facts.vessel, system_named(book, "Yard").vessels))
    changes = {} if how == "void" else {"system": "Elsewhere"}
    said = Said(why="a slip")
    correct(then(desk, f"{DAY} 10:00"), first, changes, said, void=how == "void")
    assert left(desk, f"{DAY} 10:05", "Right", "salt") == pytest.approx(4)
    if how == "moved":
        assert left(desk, f"{DAY} 10:05", "Left", "salt") == 0
    told = offer(desk, f"{DAY} 10:10", "Right", "salt", target="5 g/L")
    assert told["amount"] == pytest.approx(200)


# The fish


def test_fish_let_into_treated_water_take_its_dose_along(desk: Desk) -> None:
    fish = {"name": "Ranchus", "count": "3", "variety": "ranchu", "into": "Left"}
    put(desk, T0, "group", **fish)
    put(desk, f"{DAY} 09:00", "dose", system="Tub", amount="0.4 g", **PRAZI)
    put(desk, f"{DAY} 10:00", "move", Said(why="x"), subject="Ranchus", to="Tub")
    put(desk, f"{DAY} 11:00", "move", Said(why="x"), subject="Ranchus", to="Left")
    told = refused(desk, f"{DAY} 12:00", "dose", system="Yard", amount="0.8 g", **PRAZI)
    assert (told.code, told.value) == ("too-soon", 3)


def test_part_of_a_group_takes_its_dose_along(desk: Desk) -> None:
    fish = {"name": "Ranchus", "count": "3", "variety": "ranchu", "into": "Tub"}
    put(desk, T0, "group", **fish)
    put(desk, f"{DAY} 09:00", "dose", system="Tub", amount="0.4 g", **PRAZI)
    put(desk, f"{DAY} 10:00", "move", Said(why="x"), subject="Ranchus", count="1", to="Right")
    told = refused(desk, f"{DAY} 12:00", "dose", system="Yard", amount="0.8 g", **PRAZI)
    assert told.code == "too-soon"


def test_fry_among_adults_and_fry_nobody_counted_stop_a_course_for_adults(desk: Desk) -> None:
    for vessel in ("Left", "Right"):
        put(desk, T0, "reading", subject=vessel, oxygen="8 mg/L", temp="20 C")
    for name, stage, into in (("Ranchus", "adult", "Left"), ("Fry", "fry", "Right")):
        typed = {"name": name, "count": "3", "variety": "ranchu", "stage": stage, "into": into}
        put(desk, T0, "group", **typed)
    typed = {"system": "Left", "amount": "3 mL", **FORMALIN}
    assert refused(desk, f"{DAY} 09:00", "dose", **typed).code == "life-stage"
    put(desk, T0, "vessel", name="Nursery", zone="fry", **BOX)
    put(desk, f"{DAY} 09:00", "reading", subject="Nursery", oxygen="8 mg/L", temp="20 C")
    typed["system"] = "Nursery"
    assert refused(desk, f"{DAY} 09:05", "dose", **typed).code == "life-stage"


def test_oxygen_is_read_in_every_vessel_the_dose_reaches(desk: Desk) -> None:
    for name, into in (("One", "Left"), ("Two", "Right")):
        put(desk, T0, "fish", name=name, variety="ranchu", into=into)
    typed = {"system": "Left", "amount": "3 mL", **FORMALIN}
    put(desk, f"{DAY} 09:00", "reading", subject="Left", oxygen="8 mg/L", temp="20 C")
    assert refused(desk, f"{DAY} 09:05", "dose", **typed).code == "reading-missing"
    put(desk, f"{DAY} 09:10", "reading", subject="Right", oxygen="4.9 mg/L", temp="20 C")
    assert refused(desk, f"{DAY} 09:15", "dose", **typed).code == "out-of-condition"
    put(desk, f"{DAY} 09:20", "reading", subject="Yard", oxygen="5..8 mg/L", temp="20 C")
    assert refused(desk, f"{DAY} 21:21", "dose", **typed).code == "reading-stale"
    put(desk, f"{DAY} 21:25", "reading", subject="Yard", oxygen="5..8 mg/L", temp="20 C")
    put(desk, f"{DAY} 21:30", "dose", **typed)


# The bottle


def test_a_product_of_another_treatment_is_a_slip(desk: Desk) -> None:
    put(desk, T0, "product", treatment="praziquantel", strength="100 %", name="Packet")
    with pytest.raises(Unreadable, match="not salt"):
        put(desk, T0, "dose", system="Tub", treatment="salt", amount="100 g", product="Packet")


@pytest.mark.parametrize(
    ("typed", "amount_g"), [("98 %", 0.4 / 0.98), ("91 % w/w", 0.4 / 0.91), ("100 %", 0.4)]
)
def test_what_is_in_the_packet_is_dosed(desk: Desk, typed: str, amount_g: float) -> None:
    told = offer(desk, f"{DAY} 09:00", "Tub", "praziquantel", strength=typed)
    assert told["amount"] == pytest.approx(amount_g)


@pytest.mark.parametrize("typed", ["37 % w/w", "37 % w/v", "400 mg/mL", "40 g/100 mL"])
def test_formalin_is_counted_as_the_product(desk: Desk, typed: str) -> None:
    """15 uL/L of the bottle in 200 L, whatever way its strength is stated."""
    put(desk, f"{DAY} 09:00", "reading", subject="Tub", oxygen="8 mg/L", temp="20 C")
    assert offer(desk, f"{DAY} 09:05", "Tub", "formalin", strength=typed)["amount"] == 3


@pytest.mark.parametrize("typed", ["3.7 % w/w", "10 % w/v", "38 % w/w", "98 % w/w"])
def test_another_formalin_is_another_product(desk: Desk, typed: str) -> None:
    put(desk, f"{DAY} 09:00", "reading", subject="Tub", oxygen="8 mg/L", temp="20 C")
    with pytest.raises(Refused, match="not a strength"):
        offer(desk, f"{DAY} 09:05", "Tub", "formalin", strength=typed)


def test_an_amount_with_its_doubt_is_judged_at_its_high_end(desk: Desk) -> None:
    typed = {"system": "Tub", "treatment": "salt"}
    over = refused(desk, T0, "dose", amount="950 g +/- 100 g", **typed)
    assert (over.code, over.value) == ("over-hard-limit", pytest.approx(5.25))
    put(desk, T0, "dose", amount="900 g +/- 100 g", **typed)
    with at_work(then(desk, f"{DAY} 09:30")) as book:
        told: Any = answer(book, system_named(book, "Tub"))["substances"]
    (salt,) = told
    assert (salt["low"], salt["now"], salt["high"]) == (4.0, 4.5, 5.0)


def test_what_is_there_already_counts_at_its_high_end(desk: Desk) -> None:
    told = offer(desk, T0, "Tub", "salt", target="5 g/L", already="2 g/L +/- 1 g/L")
    assert told["amount"] == 400


def test_what_goes_in_with_it_is_added_to_what_is_there(desk: Desk) -> None:
    put(desk, T0, "dose", system="Tub", treatment="salt", amount="400 g")
    put(desk, T0, "reading", subject="Tub", oxygen="8 mg/L", temp="20 C")
    typed: dict[str, Any] = {"strength": "37 % w/w", "with": ["praziquantel:2 mg/L"]}
    told = offer(desk, f"{DAY} 09:00", "Tub", "formalin", **typed)
    said = " ".join(w.text if hasattr(w, "text") else w["text"] for w in told["warnings"])
    assert "of salt is left here" in said
    assert "praziquantel is to go in with it" in said


# Courses


def due(desk: Desk, moment: str, water: str) -> list[tuple[str, str]]:
    with at_work(then(desk, moment)) as book:
        return [(t.short, t.state) for t in dose_tasks(book, system_named(book, water))]


def test_the_second_dose_of_a_course_is_asked_for_long_after_the_first_is_over(desk: Desk) -> None:
    """It is for what hatched since: 7 days later, though the bath itself is over after 7 days."""
    put(desk, f"{DAY} 08:00", "dose", system="Tub", amount="0.4 g", **PRAZI)
    put(desk, "2026-11-07 08:00", "change", subject="Tub", percent="100 %")
    second = "praziquantel dose 2 of 2"
    assert due(desk, "2026-11-11 08:00", "Tub") == [(second, "upcoming")]
    assert due(desk, "2026-11-12 09:00", "Tub") == [(second, "due")]
    assert due(desk, "2026-11-14 08:00", "Tub") == [(second, "overdue")]
    put(desk, "2026-11-14 09:00", "dose", system="Tub", amount="0.4 g", **PRAZI)
    assert due(desk, "2026-11-20 08:00", "Tub") == []


def test_the_next_course_begins_with_its_first_dose(desk: Desk) -> None:
    for day in ("2026-11-05", "2026-11-12"):
        put(desk, f"{day} 08:00", "dose", system="Tub", amount="0.4 g", **PRAZI)
    told = record(
        then(desk, "2027-02-01 08:00"), "dose", {"system": "Tub", "amount": "0.4 g", **PRAZI}
    )
    assert "over-usual" not in warned(told)
    second = [("praziquantel dose 2 of 2", "upcoming")]
    assert due(desk, "2027-02-02 08:00", "Tub") == second
    put(desk, "2027-02-02 09:00", "stop", system="Tub", treatment="praziquantel")
    assert due(desk, "2027-02-03 08:00", "Tub") == []


def test_what_is_put_back_in_the_middle_is_no_step_of_a_stepped_course(desk: Desk) -> None:
    salt = {"system": "Tub", "treatment": "salt", "course": "stepped"}
    put(desk, f"{DAY} 08:00", "dose", amount="200 g", **salt)
    put(desk, f"{DAY} 10:00", "change", subject="Tub", percent="50 %")
    put(desk, f"{DAY} 11:00", "dose", amount="100 g", **salt)
    assert due(desk, f"{DAY} 12:00", "Tub") == [("salt raise to 2 g/L", "due")]
    told = offer(desk, f"{DAY} 20:00", "Tub", "salt", course="stepped", target="5 g/L")
    assert (told["target"], told["amount"]) == (2, 200)
    for moment in (f"{DAY} 20:00", "2026-11-06 08:00"):
        put(desk, moment, "dose", amount="200 g", **salt)
    # 3 g/L is the course's usual end; nothing asks for the 4 and 5 g/L that are possible.
    assert due(desk, "2026-11-06 20:00", "Tub") == []


def test_a_dip_that_was_thrown_away_is_never_put_back(desk: Desk) -> None:
    typed = {"system": "Tub", "treatment": "salt", "course": "dip", "amount": "4000 g"}
    put(desk, f"{DAY} 08:00", "dose", **typed)
    put(desk, f"{DAY} 08:20", "change", subject="Tub", percent="90 %")
    with at_work(then(desk, f"{DAY} 08:30")) as book:
        assert missing(book, system_named(book, "Tub")) == []
    told = offer(desk, f"{DAY} 08:30", "Tub", "salt", target="3 g/L")
    assert told["amount"] == pytest.approx((3 - 2) * 200)


def test_a_feed_leaves_nothing_in_the_water_but_counts_for_the_interval(desk: Desk) -> None:
    fish = {"name": "Ranchus", "count": "4", "variety": "ranchu", "into": "Tub", "mass": "50 g"}
    put(desk, T0, "group", **fish)
    typed = {"system": "Tub", "course": "feed", "amount": "0.01 g", **PRAZI}
    put(desk, f"{DAY} 09:00", "dose", **typed)
    assert left(desk, f"{DAY} 09:00", "Tub", "praziquantel") == 0
    bath = {"system": "Tub", "amount": "0.4 g", **PRAZI}
    assert refused(desk, "2026-11-06 09:00", "dose", **bath).code == "too-soon"
    typed["amount"] = "0.0151 g"  # 75.5 mg/kg of 200 g of fish
    assert refused(desk, "2026-11-06 09:00", "dose", **typed).code == "over-hard-limit"


def test_a_day_is_counted_in_hours_that_went_by(tmp_path: Path) -> None:
    """From noon to noon over the night of 28 March 2027 is 23 hours in Lisbon."""
    desk = small_desk(tmp_path)
    put(desk, "2027-03-26 08:00", "vessel", name="Tub", **BOX)
    typed = {"system": "Tub", "amount": "1 mL", **FORMALIN}
    for moment in ("2027-03-27 12:00+00:00", "2027-03-28 12:00+01:00", "2027-03-28 13:00+01:00"):
        at = Desk(desk.room, clock=desk.clock, keeper=desk.keeper, at=moment)
        read = {"subject": "Tub", "oxygen": "8 mg/L", "temp": "20 C"}
        record(at, "reading", read)
        if moment.startswith("2027-03-28 12"):
            with pytest.raises(Refused, match="23 h ago"):
                record(at, "dose", typed)
        else:
            record(at, "dose", typed)


# Two at once

ONE = """
import sys
from intake.clock import Clock
from intake.flows.desk import Desk
from intake.flows.record import record
from intake.science.problem import Refused
from datetime import datetime, UTC
from pathlib import Path
desk = Desk(Path(sys.argv[1]), clock=Clock(datetime(2026, 11, 5, 12, tzinfo=UTC)), keeper="K")
try:
    record(desk, "dose", {"system": "Tub", "treatment": "salt", "amount": "300 g"})
    print("in")
except Refused as refused:
    print(refused.code)
"""


def test_of_several_processes_each_sees_what_the_others_put_in(desk: Desk) -> None:
    """Six times 1.5 g/L: three go in, 4.5 g/L, and no fourth."""
    run = [sys.executable, "-c", ONE, str(desk.room)]
    works = [subprocess.Popen(run, stdout=subprocess.PIPE, text=True) for _ in range(6)]
    said = sorted(work.communicate()[0].strip() for work in works)
    assert said == ["in"] * 3 + ["over-hard-limit"] * 3
    assert left(desk, f"{DAY} 12:30", "Tub", "salt") == pytest.approx(4.5)


def test_a_trace_of_salt_does_not_mask_slides_for_ever(desk: Desk) -> None:
    """1 g/L hides parasites, and so does a tenth of it; 0.05 g/L is what tap water holds."""
    put(desk, f"{DAY} 08:00", "fish", name="One", variety="ranchu", into="Tub")
    put(desk, f"{DAY} 08:05", "quarantine", system="Tub")
    put(desk, f"{DAY} 09:00", "dose", system="Tub", treatment="salt", amount="200 g")

    for hour, percent in ((10, 10), (11, 80), (12, 80)):
        put(desk, f"{DAY} {hour}:00", "change", subject="Tub", percent=f"{percent} %")
        put(desk, f"{DAY} {hour}:10", "slide", subject="One", **{"from": "skin-scrape"})
    with at_work(then(desk, f"{DAY} 13:00")) as book:
        slides = facts_of(book, system_named(book, "Tub")).slides
        masked = [s.masked_by for s in slides]
    assert masked == [("salt",), ("salt",), ()]
