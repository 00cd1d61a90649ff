"""Receive as a job, on rooms built through flows: every step, restarts, refusals, other words."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import exp
from pathlib import Path
from typing import Any

import pytest

from intake.clock import Clock
from intake.flows.correct import correct
from intake.flows.crossing import way_keys, worked_out
from intake.flows.desk import Desk, at_work, rehearsed
from intake.flows.facts.things import Box, Shipment, Vessel
from intake.flows.jobs import receive
from intake.flows.kept import forget
from intake.flows.record import Said, record
from intake.flows.rooms import new_room
from intake.flows.views.receive import Method, ReceiveView, Run
from intake.flows.workings import crossing
from intake.science.acclimation_limits import AcclimationLimits
from intake.science.problem import Refused, Unreadable

LANDED = datetime(2026, 6, 10, 9, 0, tzinfo=UTC)
"""10:00 by the room's clock, in Lisbon in summer."""
READ = {"temp": "14.8", "ph": "6.4", "tan": "4.2", "kh": "3", "volume": "5"}
BOX = "Lisle box 1"


def desk_at(path: Path, minutes: float = 0) -> Desk:
    return Desk(path, clock=Clock(LANDED + timedelta(minutes=minutes)), keeper="Ada Perrin")


def vessel(desk: Desk, name: str, zone: str, **more: str) -> None:
    record(desk, "vessel", {"name": name, "shape": "box", "length": "100 cm", "width": "60 cm",
                            "depth": "50 cm", "zone": zone, **more})  # fmt: skip


@pytest.fixture
def room(tmp_path: Path) -> Path:
    path = tmp_path / "room.db"
    early = desk_at(path, -600)
    new_room(early, {"time_zone": "Europe/Lisbon"})
    vessel(early, "House tank", "resident")
    vessel(early, "Back tub", "quarantine")
    vessel(early, "Front tub", "quarantine")
    record(early, "kit", {"name": "drops", "tests": "tan", "reports": "N", "steps": "0 1 2 4 8"})
    record(early, "group", {"name": "Elders", "count": "4", "into": "House tank",
                            "variety": "comet"})  # fmt: skip
    for name in ("Back tub", "Front tub", "House tank"):
        record(early, "reading", {"subject": name, "temp": "19.4 C", "ph": "7.8", "kh": "6 dKH",
                                  "tan": "0.1 mg/L as N"})  # fmt: skip
    return path


def landed(path: Path, bags: str = "2") -> None:
    receive.shipment_new(
        desk_at(path),
        {"name": "Lisle", "from": "Lisle Ponds", "delivered": "09:50",
         "packed": "2026-06-09 10:00", "bags": bags},
    )  # fmt: skip


def read(path: Path, bag: int = 1, **other: str) -> None:
    typed = {"photo": "?", "fish": "3", **READ, **other}
    receive.bag_save(desk_at(path, 2), BOX, bag, typed)


def chosen(path: Path, method: str = "A", why: str = "", bag: int = 1) -> None:
    landed(path)
    read(path, bag)
    receive.choose(desk_at(path, 10), BOX, bag, method, "Back tub", why)


def afloat(path: Path) -> None:
    """Chosen at 10:10, afloat since 10:14."""
    chosen(path)
    receive.next_step(desk_at(path, 12), BOX, 1)
    receive.next_step(desk_at(path, 14), BOX, 1)


def run_of(view: ReceiveView) -> Run:
    assert view.run is not None
    return view.run


def best(view: ReceiveView) -> Method:
    return next(m for m in view.methods if m.best)


def entries(path: Path, kind: str) -> list[dict[str, Any]]:
    from intake.store import journal

    with at_work(desk_at(path, 600)) as book:
        found = list(journal.effective(book.connection))
    return [dict(e.content) for e in found if e.kind == kind]


# the list


def test_a_room_without_a_shipment_has_an_empty_list(room: Path) -> None:
    seen = receive.shipments(desk_at(room))
    assert (seen.shipments, seen.bags, seen.claims) == ((), (), ())


def test_a_shipment_at_the_stamp_with_its_bags_and_claim(room: Path) -> None:
    landed(room, "2, 1")
    seen = receive.shipments(desk_at(room, 5))
    assert seen.shipments == (("Lisle", "from Lisle Ponds, delivered 09:50 today"),)
    assert seen.claims == ("Lisle: claim by 11:50",)
    assert [(b.box, b.bag, b.step) for b in seen.bags] == [
        ("Lisle box 1", 1, "open"),
        ("Lisle box 1", 2, "open"),
        ("Lisle box 2", 1, "open"),
    ]


def test_a_claim_that_was_sent_is_said(room: Path) -> None:
    landed(room)
    record(desk_at(room, 30), "claim", {"shipment": "Lisle", "sent": "2026-06-10 10:20"})
    assert receive.shipments(desk_at(room, 31)).claims == ("Lisle: claim sent 10:20 today",)
    assert receive.shipments(desk_at(room, 300)).claims == ("Lisle: claim sent 10:20 today",)


def test_a_clock_time_is_the_latest_that_has_come(room: Path) -> None:
    receive.shipment_new(desk_at(room), {"name": "Owl", "from": "Owl Koi", "delivered": "23:10"})
    with at_work(desk_at(room, 1)) as book:
        owl = next(s for s in book.facts.of_kind(Shipment) if s.name == "Owl")
    assert owl.delivered == datetime(2026, 6, 9, 22, 10, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({"from": "Owl Koi"}, "unit-missing"),
        ({"name": "Owl", "from": "Owl Koi", "delivered": "soon"}, "no-such-time"),
        ({"name": "Back tub", "from": "Owl Koi"}, "name-taken"),
        ({"name": "Owl", "from": "Owl Koi", "bags": "some"}, "not-a-number"),
    ],
)
def test_a_shipment_that_does_not_read_leaves_nothing(
    room: Path, typed: dict[str, str], code: str
) -> None:
    with pytest.raises(Unreadable) as wrong:
        receive.shipment_new(desk_at(room), typed)
    assert wrong.value.problems[0].code == code
    assert not entries(room, "shipment")
    assert not entries(room, "person")


def test_a_shipment_of_which_no_bag_is_counted_offers_its_first(room: Path) -> None:
    receive.shipment_new(desk_at(room), {"name": "Owl", "from": "Owl Koi"})
    line = receive.shipments(desk_at(room, 1)).bags[0]
    assert (line.box, line.bag, line.said) == ("Owl", 1, "no bag counted yet")
    assert receive.bag(desk_at(room, 1), line.box, 1).step == "open"
    receive.bag_save(desk_at(room, 2), line.box, 1, {"fish": "5"})
    again = receive.shipments(desk_at(room, 3)).bags
    assert [(b.box, b.bag, b.fish) for b in again] == [("Owl box 1", 1, "5 fish")]
    receive.bag_save(desk_at(room, 3), "Owl box 1", 2, {})
    assert len(receive.shipments(desk_at(room, 4)).bags) == 2


def test_a_shipment_of_last_month_is_off_the_list(room: Path) -> None:
    landed(room)
    assert receive.shipments(desk_at(room, 6 * 1440)).bags
    assert not receive.shipments(desk_at(room, 8 * 1440)).shipments


def test_a_clock_behind_the_newest_entry_still_lands_a_shipment(room: Path) -> None:
    record(desk_at(room, 3), "person", {"name": "Dr Vale", "role": "vet"})
    landed(room)
    assert len(receive.shipments(desk_at(room, 4)).bags) == 2


# open and read


def test_questions_come_in_order_and_fish_first_goes_on(room: Path) -> None:
    landed(room)
    view = receive.bag(desk_at(room, 1), BOX, 1)
    assert (view.step, view.bag, view.bags, view.packed) == ("open", 1, 2, "24 h")
    assert [q.field for q in view.questions] == [
        "photo", "fish", "hours", "temp", "ph", "tan", "kh", "volume",
    ]  # fmt: skip
    assert next(q.field for q in view.questions if not q.text) == "photo"
    assert "11:50" in view.because
    receive.bag_save(desk_at(room, 1), BOX, 1, {"photo": "?"})
    receive.bag_save(desk_at(room, 1), BOX, 1, {"fish": "3"})
    view = receive.bag(desk_at(room, 1), BOX, 1)
    assert (view.step, view.fish) == ("read", "3 fish")
    assert view.questions[0].text == "?"


def test_a_bare_number_has_the_unit_of_its_question_and_the_room_s_only_kit(room: Path) -> None:
    landed(room)
    read(room)
    kept = entries(room, "bag")[-1]
    assert kept["read"]["temp"]["unit"] == "C"
    assert kept["read"]["kh"]["text"] == "3 dKH"
    assert kept["read"]["tan"]["basis"] == "N"
    assert kept["kit"] == "drops"
    assert {q.field: q.basis for q in receive.bag(desk_at(room, 3), BOX, 1).questions}[
        "tan"
    ] == "N"


def test_units_that_are_typed_stay(room: Path) -> None:
    landed(room)
    read(room, temp="58.6 F", tan="5.1 mg/L as NH3", hours="1 d")
    kept = entries(room, "bag")[-1]
    assert kept["read"]["temp"]["value"] == pytest.approx((58.6 - 32) / 1.8)
    assert kept["read"]["tan"]["basis"] == "NH3"
    assert "kit" not in kept
    assert kept["hours_packed"]["value"] == 24


def test_not_read_stands_for_an_honest_range_named_in_the_doubts(room: Path) -> None:
    landed(room)
    read(room, ph="?", tan="?")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    assert view.step == "choose"
    assumed = {q.field: q.assumed for q in view.questions}
    assert assumed["ph"] == "5.8 to 7.3"
    assert "mg/L as N from 24" in assumed["tan"]
    assert not assumed["temp"]
    assert {d.measures for d in view.doubts} >= {"ph", "tan"}
    told = next(d for d in view.doubts if d.measures == "tan")
    assert "instead of" in told.would_change
    row = next(c for c in view.compared if c.label == "pH")
    assert row.bag.doubtful
    assert row.bag.text == "5.8 to 7.3"


def test_a_reading_may_be_taken_back_and_given_again(room: Path) -> None:
    landed(room)
    read(room)
    receive.bag_save(desk_at(room, 3), BOX, 1, {"ph": "?"})
    texts = {q.field: q.text for q in receive.bag(desk_at(room, 4), BOX, 1).questions}
    assert (texts["ph"], texts["temp"]) == ("?", "14.8 C")
    receive.bag_save(desk_at(room, 5), BOX, 1, {"ph": "6.5"})
    texts = {q.field: q.text for q in receive.bag(desk_at(room, 6), BOX, 1).questions}
    assert texts["ph"] == "6.5"


def test_what_did_not_change_is_not_written_again(room: Path) -> None:
    landed(room)
    read(room)
    before = len(entries(room, "bag"))
    assert receive.bag_save(desk_at(room, 3), BOX, 1, {"temp": "14.8 C"}).entry == 0
    assert len(entries(room, "bag")) == before


def test_several_problems_come_at_once_and_nothing_is_written(room: Path) -> None:
    landed(room)
    before = len(entries(room, "bag"))
    with pytest.raises(Unreadable) as wrong:
        receive.bag_save(desk_at(room, 3), BOX, 1, {"ph": "19", "temp": "warm"})
    assert {p.path for p in wrong.value.problems} == {"--ph", "--temp"}
    assert len(entries(room, "bag")) == before


def test_a_correction_of_a_bag_keeps_what_was_not_read(room: Path) -> None:
    landed(room)
    number = receive.bag_save(
        desk_at(room, 2), BOX, 1, {"photo": "?", "ph": "?", "temp": "15 C"}
    ).entry
    correct(desk_at(room, 5), number, {"temp": "14 C"}, Said(why="misread"))
    texts = {q.field: q.text for q in receive.bag(desk_at(room, 6), BOX, 1).questions}
    assert (texts["temp"], texts["ph"], texts["photo"]) == ("14 C", "?", "?")


def test_nobody_knows_such_a_box(room: Path) -> None:
    with pytest.raises(Unreadable) as wrong:
        receive.bag(desk_at(room), "Nowhere", 1)
    assert wrong.value.problems[0].code == "no-such-name"


def test_water_that_cannot_be_is_said_and_can_be_read_again(room: Path) -> None:
    """At pH 10 the ammonia alone holds more alkalinity than a KH of 0."""
    landed(room)
    read(room, ph="9.9", kh="0", tan="40 mg/L as N")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    assert (view.step, view.methods) == ("choose", ())
    assert "no such water" in view.because
    receive.bag_save(desk_at(room, 4), BOX, 1, {"ph": "6.4", "kh": "3", "tan": "4.2"})
    assert receive.bag(desk_at(room, 5), BOX, 1).methods


# where they go


def test_a_waiting_quarantine_comes_before_an_empty_vessel(room: Path) -> None:
    landed(room)
    assert receive.bag(desk_at(room, 1), BOX, 1).vessel == "Back tub"
    record(desk_at(room, 2), "quarantine", {"system": "Front tub", "plan": "standard"})
    view = receive.bag(desk_at(room, 3), BOX, 1)
    assert view.vessel == "Front tub"
    names = [name for name, _ in view.vessels]
    assert names == ["Back tub", "Front tub", "House tank"]
    assert dict(view.vessels)["House tank"].endswith("resident, 4 fish: Elders")
    assert dict(view.vessels)["Back tub"].startswith("300 ")


def test_what_was_picked_is_remembered_for_the_bag_and_its_shipment(room: Path) -> None:
    landed(room)
    receive.bag_save(desk_at(room, 2), BOX, 1, {"vessel": "Front tub"})
    forget(room)
    assert receive.bag(desk_at(room, 3), BOX, 1).vessel == "Front tub"
    assert receive.bag(desk_at(room, 3), BOX, 2).vessel == "Front tub"
    receive.bag_save(desk_at(room, 4), BOX, 2, {"vessel": "Back tub"})
    assert receive.bag(desk_at(room, 5), BOX, 1).vessel == "Front tub"


def test_a_vessel_nobody_tested_still_gets_a_careful_answer(room: Path) -> None:
    vessel(desk_at(room, 1), "New tub", "hospital")
    landed(room)
    read(room, vessel="New tub")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    assert view.vessel == "New tub"
    assert best(view).name == "float-and-lift"
    assert {"vessel temperature", "vessel pH", "vessel KH"} <= {d.what for d in view.doubts}
    assert {c.vessel.text for c in view.compared} == {"?"}


# the choice


def test_the_ways_are_those_of_the_command(room: Path) -> None:
    landed(room)
    read(room, tan="4.2 mg/L as N")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    said = crossing(
        {"bag_ph": "6.4", "bag_kh": "3 dKH", "bag_temp": "14.8 C", "bag_tan": "4.2 mg/L as N",
         "bag_volume": "5 L", "fish": "3", "hours_packed": "24.1", "vessel_ph": "7.8",
         "vessel_kh": "6 dKH", "vessel_temp": "19.4 C", "vessel_tan": "0.1 mg/L as N",
         "vessel_volume": "300 L"}
    )  # fmt: skip
    with at_work(desk_at(room, 3)) as book:
        box = next(iter(book.facts.of_kind(Box)))
        tub = next(v for v in book.facts.of_kind(Vessel) if v.name == "Back tub")
        own = worked_out(book, box, box.bags[1], tub)
    assert [m.name for m in view.methods] == [o["name"] for o in said["options"]]
    assert [m.letter for m in view.methods] == ["A", "B", "C", "D"]
    assert best(view).name == said["choice"]
    assert best(view).because == said["reason"]
    for method, option in zip(view.methods, said["options"], strict=True):
        assert method.minutes.text == str(option["minutes"])
        assert list(method.breaks) == option["breaks"]
        assert (method.peak.mark == "stop") == ("nh3-peak" in option["breaks"])
        assert max(n for _, n in method.curve) == pytest.approx(
            option["peak_nh3_n_mg_l"], rel=0.02, abs=0.002
        )
    keys = way_keys(own, AcclimationLimits(), "still")
    assert keys["nh3_opened_n_mg_l"] == pytest.approx(said["nh3_opened_n_mg_l"])
    shut, opened, worst = view.levels
    assert shut.value == pytest.approx(said["nh3_now_n_mg_l"])
    assert opened.high == pytest.approx(said["nh3_opened_n_mg_l_high"])
    assert opened.low == pytest.approx(said["nh3_likely_n_mg_l_low"])
    assert worst.value == pytest.approx(said["worst_blend"]["nh3_n_mg_l"])


def test_levels_stand_against_the_limit_of_the_file(room: Path) -> None:
    landed(room)
    read(room, tan="4.2 mg/L as N")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    with at_work(desk_at(room, 3)) as book:
        limit = float(book.shelf.water.thresholds["nh3-peak"].value)
    assert view.nh3_limit == limit
    for bar in view.levels:
        assert bar.limit == limit
        assert bar.high is not None
        assert bar.over == (bar.high > limit)
        assert (bar.said == "under") == (not bar.over)
    assert view.levels[1].over
    rows = {c.label: c.said for c in view.compared}
    assert rows["temperature"] == "vessel 4.6 C warmer"
    assert rows["pH"] == "vessel 1.4 higher; KH 3, 6 dKH"
    assert rows["TAN"] == "bag 42 times more"


def test_two_waters_are_compared_from_end_to_end(room: Path) -> None:
    landed(room)
    read(room, ph="6.2..6.6", temp="14.8 +/- 0.5 C")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    rows = {c.label: (c.bag.text, c.said) for c in view.compared}
    assert rows["temperature"] == ("14.8 ± 0.5", "vessel 4.1 to 5.1 C warmer")
    assert rows["pH"][1].startswith("vessel 1.2 to 1.6 higher")
    # 4.2 typed between the card's 4 and 8 is between them; the tub has 0.1.
    assert rows["TAN"] == ("4 to 8", "bag 40 times more or over")
    record(desk_at(room, 4), "reading", {"subject": "Back tub", "temp": "14..16 C"})
    rows = {
        c.label: (c.vessel.text, c.said) for c in receive.bag(desk_at(room, 5), BOX, 1).compared
    }
    assert rows["temperature"] == ("14 to 16", "within 1.7 C either way")


def test_the_most_useful_reading_is_the_first_doubt(room: Path) -> None:
    landed(room)
    read(room, ph="?", tan="?", kh="?")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    said = crossing(
        {"bag_temp": "14.8 C", "bag_volume": "5 L", "fish": "3", "hours_packed": "24.1",
         "vessel_ph": "7.8", "vessel_kh": "6 dKH", "vessel_temp": "19.4 C",
         "vessel_tan": "0.1 mg/L as N", "vessel_volume": "300 L"}
    )  # fmt: skip
    assert view.doubts[0].what == said["most_useful"]
    assert view.doubts[0].would_change.startswith("most useful: NH3 once opened")


def test_a_sample_off_the_chart_is_a_doubt_that_says_how_to_dilute(room: Path) -> None:
    landed(room)
    read(room, tan="8")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    first = view.doubts[0]
    assert (first.what, first.assumed, first.measures) == ("bag TAN", "over 4", "tan")
    assert "1 part of the bag's with 3 parts of water that reads 0" in first.would_change
    receive.bag_save(desk_at(room, 4), BOX, 1, {"tan": "4 diluted 4"})
    view = receive.bag(desk_at(room, 5), BOX, 1)
    assert not [d for d in view.doubts if d.what == "bag TAN"]
    assert {c.label: c.bag.text for c in view.compared}["TAN"] == "8 to 32"


def test_another_than_the_best_takes_its_reason_and_both_are_kept(room: Path) -> None:
    landed(room)
    read(room)
    desk = desk_at(room, 10)
    with pytest.raises(Unreadable) as wrong:
        receive.choose(desk, BOX, 1, "match-water", "Back tub", " ")
    assert wrong.value.problems[0].code == "reason-missing"
    assert not entries(room, "acclimation")
    receive.choose(desk, BOX, 1, "match-water", "Back tub", "leaks")
    receive.choose(desk_at(room, 11), BOX, 1, "D", "Back tub", "il sacchetto è bucato <b>")
    first, second = entries(room, "acclimation")
    assert (first["chosen"], first["offered"]) == ("match-water", "float-and-lift")
    assert first["why"] == "the bag leaks"
    assert second["why"] == "il sacchetto è bucato <b>"


def test_a_way_that_is_none_and_a_vessel_that_is_none(room: Path) -> None:
    landed(room)
    read(room)
    for method, to in (("swim", "Back tub"), ("A", "Bak tub")):
        with pytest.raises(Unreadable) as wrong:
            receive.choose(desk_at(room, 10), BOX, 1, method, to, "vet")
        assert wrong.value.problems[0].code == "no-such-name"


def test_a_binder_the_bag_s_kh_cannot_bear_is_refused(room: Path) -> None:
    """A mole of ammonia bound takes one equivalent of alkalinity; a KH of 1 has none to spare."""
    landed(room)
    read(room, kh="1")
    view = receive.bag(desk_at(room, 3), BOX, 1)
    assert view.methods[2].minutes.mark == "stop"
    with pytest.raises(Refused) as refused:
        receive.choose(desk_at(room, 10), BOX, 1, "C", "Back tub", "vet")
    assert refused.value.code == "out-of-condition"
    assert not entries(room, "acclimation")


def test_a_choice_that_drags_others_in_says_both_dates(room: Path) -> None:
    early = desk_at(room, -590)
    record(early, "fish", {"name": "Sorrel", "variety": "oranda", "into": "Front tub"})
    record(early, "quarantine", {"system": "Front tub", "plan": "standard"})
    record(desk_at(room, -580), "contact", {"from": "House tank", "to": "Front tub", "by": "net"})
    landed(room)
    read(room)
    done = receive.choose(desk_at(room, 1440), BOX, 1, "A", "Front tub", "vet")
    dragged = next(w for w in done.warnings if w.startswith("Front tub: day 0 moves"))
    assert "from Wed 10 Jun to Thu 11 Jun" in dragged
    assert "from Fri 10 Jul to Sat 11 Jul" in dragged
    assert "1 fish already there" in dragged


def test_old_readings_of_the_vessel_are_doubts(room: Path) -> None:
    landed(room)
    read(room)
    assert not [d for d in receive.bag(desk_at(room, 3), BOX, 1).doubts if "Back tub" in d.what]
    old = [d for d in receive.bag(desk_at(room, 1000), BOX, 1).doubts if "Back tub" in d.what]
    assert {d.what for d in old} == {f"Back tub {n}" for n in ("temperature", "pH", "KH", "TAN")}


# the run


def test_a_run_goes_by_the_clock_and_survives_a_restart(room: Path) -> None:
    afloat(room)
    view = receive.bag(desk_at(room, 20), BOX, 1)
    run = run_of(view)
    forget(room)
    assert run_of(receive.bag(desk_at(room, 20), BOX, 1)) == run
    minutes = int(entries(room, "acclimation")[0]["run"]["minutes"])
    assert (view.step, [s.state for s in run.steps]) == (
        "run", ["done", "done", "now", "later", "later"],
    )  # fmt: skip
    assert run.steps[2].at == "10:14"
    ends = LANDED + timedelta(minutes=14 + minutes, hours=1)
    assert run.ends == run.steps[2].ends == f"{ends:%H:%M}"
    assert run.minutes == minutes - 6
    assert run.steps[2].fraction == pytest.approx(6 / minutes)
    assert run.minutes_low <= run.minutes <= run.minutes_high
    assert run.next_reading == "next reading in 9 min: bag temperature"
    assert run.because == run.steps[2].text
    assert run.lines[1] == "half of the gap in 26 min, as bags usually do"


def test_the_bag_afloat_is_on_the_strip_until_it_is_lifted(room: Path) -> None:
    chosen(room)
    with at_work(desk_at(room, 11)) as book:
        (before,) = receive.running(book)
    receive.next_step(desk_at(room, 12), BOX, 1)
    receive.next_step(desk_at(room, 14), BOX, 1)
    with at_work(desk_at(room, 15)) as book:
        timer, reading = receive.running(book)
    assert (timer.word, timer.where) == ("LIFT", "Lisle box 1 bag 1")
    assert (reading.word, reading.where) == ("READ", "Lisle box 1 bag 1")
    assert reading.ends == desk_at(room, 14 + 15).clock.now().timestamp()
    assert timer.ends - before.ends == 4 * 60
    receive.next_step(desk_at(room, 50), BOX, 1)
    with at_work(desk_at(room, 51)) as book:
        assert not list(receive.running(book))
    assert run_of(receive.bag(desk_at(room, 51), BOX, 1)).to_what == "lift them across now"


def test_a_run_nobody_closed_stays_on_the_strip_until_its_shipment_leaves_the_list(
    room: Path,
) -> None:
    afloat(room)
    day = 24 * 60
    with at_work(desk_at(room, 3 * day)) as book:
        assert [t.word for t in receive.running(book)] == ["LIFT"]
    with at_work(desk_at(room, 7 * day + 11)) as book:
        assert not list(receive.running(book))


def test_temperatures_are_foretold_by_newton(room: Path) -> None:
    """37 min for 63 % of the gap; Lim, Dhert & Sorgeloos 2003."""
    afloat(room)
    run = run_of(receive.bag(desk_at(room, 20), BOX, 1))
    likely = dict(run.panels[0].likely)
    assert max(likely) > 30
    for minute, foretold in likely.items():
        assert foretold == pytest.approx(19.4 - 4.6 * exp(-minute / 37.0))
    receive.checkpoint(desk_at(room, 29), BOX, 1, {"temp": "16.3"})
    run = run_of(receive.bag(desk_at(room, 30), BOX, 1))
    assert run.checks == (("10:29", "16.3", "16.3", "as foretold"),)
    assert run.panels[0].measured == ((15.0, 16.3),)


def test_a_slow_bag_moves_the_end(room: Path) -> None:
    afloat(room)
    before = run_of(receive.bag(desk_at(room, 33), BOX, 1))
    done = receive.checkpoint(desk_at(room, 34), BOX, 1, {"temp": "15.8"})
    after = run_of(receive.bag(desk_at(room, 34), BOX, 1))
    assert after.checks[0][3] == f"slower: end moved {before.ends} to {after.ends}"
    assert after.checks[0][3] in done.next_text
    assert after.ends > before.ends
    assert after.minutes_low <= after.minutes <= after.minutes_high
    assert after.lines[1].endswith("from 1 reading of it")


def test_a_bag_within_the_step_is_lifted_now(room: Path) -> None:
    afloat(room)
    receive.checkpoint(desk_at(room, 30), BOX, 1, {"temp": "18.9 C"})
    run = run_of(receive.bag(desk_at(room, 30), BOX, 1))
    assert (run.minutes, run.ends) == (0, "10:30")


def test_a_bag_that_does_not_warm_is_not_floated_for_ever(room: Path) -> None:
    afloat(room)
    for minutes in (30, 45, 60):
        receive.checkpoint(desk_at(room, minutes), BOX, 1, {"temp": "14.9 C"})
    run = run_of(receive.bag(desk_at(room, 60), BOX, 1))
    assert run.ends == "11:14"
    assert "bring the vessel nearer instead of floating longer" in run.because


def test_the_vessel_s_newest_temperature_counts(room: Path) -> None:
    afloat(room)
    record(desk_at(room, 20), "reading", {"subject": "Back tub", "temp": "17.4 C"})
    receive.checkpoint(desk_at(room, 29), BOX, 1, {"temp": "15.9"})
    run = run_of(receive.bag(desk_at(room, 29), BOX, 1))
    assert run.lines[0] == "bag 15.9 C, Back tub 17.4 C, aim within 2 C"
    assert run.minutes == 0


def test_a_drip_stands_still_while_it_is_held(room: Path) -> None:
    chosen(room, "B", "vet")
    for minutes in (11, 12, 13):
        receive.next_step(desk_at(room, minutes), BOX, 1)
    assert run_of(receive.bag(desk_at(room, 14), BOX, 1)).ends == "11:13"
    receive.hold(desk_at(room, 20), BOX, 1, True)
    held = run_of(receive.bag(desk_at(room, 30), BOX, 1))
    assert (held.holding, held.ends) == (True, "11:23")
    receive.hold(desk_at(room, 40), BOX, 1, False)
    run = run_of(receive.bag(desk_at(room, 41), BOX, 1))
    assert (run.holding, run.ends) == (False, "11:33")
    receive.checkpoint(desk_at(room, 42), BOX, 1, {"temp": "16 C", "ph": "6.9"})
    at, foretold, measured, _ = run_of(receive.bag(desk_at(room, 42), BOX, 1)).checks[0]
    assert (at, measured) == ("10:42", "16.0, pH 6.9")
    assert ", pH " in foretold


def test_a_float_that_is_held_goes_on_warming(room: Path) -> None:
    afloat(room)
    ends = run_of(receive.bag(desk_at(room, 15), BOX, 1)).ends
    receive.hold(desk_at(room, 16), BOX, 1, True)
    run = run_of(receive.bag(desk_at(room, 30), BOX, 1))
    assert (run.holding, run.ends) == (True, ends)
    assert "held: the bag stays shut" in run.lines
    receive.next_step(desk_at(room, 31), BOX, 1)
    assert not run_of(receive.bag(desk_at(room, 31), BOX, 1)).holding


def test_steps_that_do_not_fit_are_problems(room: Path) -> None:
    landed(room)
    with pytest.raises(Unreadable) as early:
        receive.next_step(desk_at(room, 3), BOX, 1)
    assert early.value.problems[0].code == "no-such-name"
    read(room)
    receive.choose(desk_at(room, 10), BOX, 1, "A", "", "")
    with pytest.raises(Unreadable):
        receive.hold(desk_at(room, 11), BOX, 1, False)
    receive.hold(desk_at(room, 11), BOX, 1, True)
    with pytest.raises(Unreadable):
        receive.hold(desk_at(room, 12), BOX, 1, True)
    with pytest.raises(Unreadable):
        receive.checkpoint(desk_at(room, 12), BOX, 1, {"temp": "?"})
    assert len(entries(room, "step")) == 1
    assert not entries(room, "checkpoint")


def test_the_command_s_steps_and_the_screen_s_are_the_same(room: Path) -> None:
    chosen(room)
    desk = desk_at(room, 12)
    answer = record(desk, "step", {"box": BOX, "bag": "1", "what": "next"})
    assert (answer["step"], answer["holding"]) == (2, False)
    view = receive.bag(desk, BOX, 1)
    assert run_of(view).steps[1].text == answer["text"]
    with at_work(desk) as book:
        (timer,) = receive.running(book)
    assert datetime.fromisoformat(answer["ends"]).timestamp() == timer.ends
    read_answer = record(desk_at(room, 40), "checkpoint", {"box": BOX, "bag": "1", "temp": "15 C"})
    with at_work(desk_at(room, 40)) as book:
        (timer,) = receive.running(book)
    assert datetime.fromisoformat(read_answer["ends"]).timestamp() == timer.ends


def test_a_step_that_never_was_is_taken_back(room: Path) -> None:
    chosen(room)
    done = receive.next_step(desk_at(room, 12), BOX, 1)
    correct(desk_at(room, 13), done.entry, {}, Said(why="wrong bag"), void=True)
    run = run_of(receive.bag(desk_at(room, 14), BOX, 1))
    assert [s.state for s in run.steps][:2] == ["now", "later"]


def test_a_choice_without_readings_of_the_vessel_still_has_steps(room: Path) -> None:
    vessel(desk_at(room, 1), "New tub", "hospital")
    landed(room)
    read(room)
    typed = {"box": BOX, "bag": "1", "chosen": "drip", "vessel": "New tub"}
    answer = record(desk_at(room, 5), "acclimation", typed)
    assert "vessel pH not read: 6 to 8.8" in answer["assumptions"]
    assert answer["offered"] == "float-and-lift"
    run = run_of(receive.bag(desk_at(room, 6), BOX, 1))
    assert len(run.steps) > 2
    with at_work(desk_at(room, 6)) as book:
        assert [t.word for t in receive.running(book)] == ["LIFT"]


# the end


def across(room: Path) -> None:
    afloat(room)
    for minutes in (50, 51, 52):
        receive.next_step(desk_at(room, minutes), BOX, 1)


def test_the_fish_are_named_and_their_quarantine_begins(room: Path) -> None:
    across(room)
    view = receive.bag(desk_at(room, 53), BOX, 1)
    assert (view.step, view.vessel) == ("settle", "Back tub")
    assert (
        view.because
        == "a quarantine of plan standard begins on Back tub with them; day 0 is today."
    )
    done = receive.settle(
        desk_at(room, 55), BOX, 1, "Back tub",
        {"fish": "Ember, Žofie", "group": "Pebbles", "count": "1", "variety": "black moor"},
    )  # fmt: skip
    assert done.text == "Ember, Žofie, Pebbles in Back tub"
    assert done.next_text == (
        "Back tub: quarantine day 0 is Wed 10 Jun, earliest release Fri 10 Jul, set by days-served"
    )
    (begun,) = entries(room, "quarantine")
    assert begun["plan"] == "standard"
    assert {f["variety"] for f in entries(room, "fish")} == {"black moor"}
    view = receive.bag(desk_at(room, 56), BOX, 1)
    assert view.step == "settled"
    assert view.because == "Ember, Žofie, Pebbles, since Wed 10 Jun"


def test_without_names_they_are_a_group_and_the_running_quarantine_goes_on(room: Path) -> None:
    record(desk_at(room, -10), "quarantine", {"system": "Back tub", "plan": "standard"})
    across(room)
    assert (
        "part of the quarantine of Back tub, plan standard"
        in receive.bag(desk_at(room, 53), BOX, 1).because
    )
    done = receive.settle(desk_at(room, 55), BOX, 1, "", {"alive": "2", "dead": "1"})
    assert done.text == "Lisle bag 1 in Back tub"
    (group,) = entries(room, "group")[1:]
    assert (group["count"], group["bag"]) == (2, 1)
    assert group["variety"] == "variety not said"
    assert len(entries(room, "quarantine")) == 1
    assert receive.bag(desk_at(room, 56), BOX, 1).fish == "3 fish, 1 dead"


def test_the_second_bag_of_a_shipment_drags_nothing_in(room: Path) -> None:
    across(room)
    receive.settle(desk_at(room, 55), BOX, 1, "", {"alive": "3"})
    read(room, 2)
    done = receive.choose(desk_at(room, 60), BOX, 2, "A", "", "")
    assert done.text.endswith("into Back tub")
    assert not [w for w in done.warnings if "day 0" in w]


def test_a_bag_in_which_none_lived_is_over(room: Path) -> None:
    across(room)
    done = receive.settle(desk_at(room, 55), BOX, 1, "", {"alive": "0", "dead": "3"})
    assert done.text == "none of them lived"
    assert not entries(room, "quarantine")
    assert receive.bag(desk_at(room, 56), BOX, 1).step == "settled"


def test_fish_among_others_say_both_dates_before_and_after(room: Path) -> None:
    early = desk_at(room, -590)
    record(early, "fish", {"name": "Sorrel", "variety": "oranda", "into": "Back tub"})
    record(early, "quarantine", {"system": "Back tub", "plan": "standard"})
    across(room)
    day = 24 * 60
    told = receive.bag(desk_at(room, day), BOX, 1).because
    assert "day 0 moves from Wed 10 Jun to Thu 11 Jun" in told
    assert "earliest release from Fri 10 Jul to Sat 11 Jul" in told
    done = receive.settle(desk_at(room, day), BOX, 1, "", {"fish": "Ember"})
    assert any("day 0 moves from Wed 10 Jun to Thu 11 Jun" in w for w in done.warnings)
    assert done.next_text.endswith("earliest release Sat 11 Jul, set by days-served")


def test_a_rehearsal_answers_and_keeps_nothing(room: Path) -> None:
    across(room)
    desk = replace(rehearsed(desk_at(room, 55)))
    done = receive.settle(desk, BOX, 1, "", {"fish": "Ember"})
    assert done.next_text.startswith("Back tub: quarantine day 0 is Wed 10 Jun")
    forget(room)
    assert not entries(room, "fish")
    assert not entries(room, "quarantine")


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({"fish": "Ember, Elders"}, "name-taken"),
        ({"fish": "Ember, Ember"}, "name-taken"),
        ({"group": "Pebbles", "count": "many"}, "not-a-number"),
        ({"fish": "Ember", "mass": "heavy"}, "not-a-number"),
    ],
)
def test_a_name_that_does_not_fit_leaves_all_of_them_out(
    room: Path, typed: dict[str, str], code: str
) -> None:
    across(room)
    with pytest.raises(Unreadable) as wrong:
        receive.settle(desk_at(room, 55), BOX, 1, "", typed)
    assert wrong.value.problems[0].code == code
    forget(room)
    assert not entries(room, "fish")
    assert len(entries(room, "group")) == 1
    assert not entries(room, "quarantine")
