"""Several bags at once: the order of the list, its reasons, the same as JSON."""

from __future__ import annotations

from pathlib import Path

from intake.flows.jobs import receive, receive_triage
from intake.flows.record import record
from tests.flows import test_jobs_receive as lisle
from tests.flows.test_jobs_receive import BOX, desk_at

room = lisle.room


def test_the_list_has_the_most_urgent_first_and_says_why(room: Path) -> None:
    lisle.landed(room, "4")
    lisle.read(room, 1)
    lisle.read(room, 2, tan="8", ph="7.9")
    lisle.read(room, 3)
    receive.choose(desk_at(room, 3), BOX, 3, "A", "Back tub", "")
    for minutes in (4, 5):
        receive.next_step(desk_at(room, minutes), BOX, 3)
    record(desk_at(room, 6), "bag", {"box": BOX, "bag": "1", "gasping": "yes"})
    bags = receive.shipments(desk_at(room, 7)).bags
    assert [b.bag for b in bags] == [1, 2, 4, 3]
    assert bags[0].why == "its fish gasp: lift them across now"
    assert bags[1].why.startswith("NH3 in it up to ")
    assert bags[1].why.endswith(" mg/L as N, limit 0.05")
    assert bags[2].why == "TAN not read, up to 19 mg/L as N, packed 24 h"
    assert bags[3].said.startswith("step 3 of 5, lift at 10:")
    assert bags[3].said.endswith(", read at 10:20")
    found = receive_triage.today(desk_at(room, 7))["bags"]
    assert [(b["box"], b["bag"], b["urgency"]) for b in found] == [
        (BOX, 1, "gasping"), (BOX, 2, "nh3"), (BOX, 4, "waiting"), (BOX, 3, "on-its-way"),
    ]  # fmt: skip
    assert [b["because"] for b in found] == [b.why for b in bags]
    assert found[3]["next_reading"] == "2026-06-10T10:20:00+01:00"
    assert found[0]["ends"] is None
    late = receive_triage.today(desk_at(room, 120))["bags"]
    assert [(b["bag"], b["urgency"]) for b in late][:2] == [(1, "gasping"), (3, "lift")]


def test_a_bag_that_is_settled_leaves_the_answer_and_ends_the_list(room: Path) -> None:
    lisle.across(room)
    assert [b["urgency"] for b in receive_triage.today(desk_at(room, 53))["bags"]] == [
        "waiting",
        "across",
    ]
    receive.settle(desk_at(room, 55), BOX, 1, "Back tub", {"alive": "3"})
    assert [b["bag"] for b in receive_triage.today(desk_at(room, 56))["bags"]] == [2]
    assert [b.bag for b in receive.shipments(desk_at(room, 56)).bags] == [2, 1]
