"""Which bottle a dose is taken from, what is past, and strengths that are not the same."""

from __future__ import annotations

import contextlib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.flows.desk import Desk
from intake.flows.dosing import dose_in_room
from intake.flows.history import history
from intake.flows.record import record
from intake.flows.rooms import show_room
from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.amount import StatedStrength, counted, same_strength
from intake.science.problem import Refused, Unreadable
from intake.science.treatment import Strength, Treatment
from tests.flows.job_rooms import put, small_desk, then

pytestmark = pytest.mark.usefixtures("quick_files")

T0 = "2026-11-05 08:00"
BOX = {
    "shape": "box",
    "length": "100 cm +/- 0 cm",
    "width": "50 cm +/- 0 cm",
    "depth": "40 cm +/- 0 cm",
    "height": "60 cm",
}  # 200 L
READ = {"temp": "20 C", "oxygen": "8 mg/L", "ph": "7.6"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    desk = small_desk(tmp_path)
    put(desk, T0, "vessel", name="Tub", **BOX)
    put(desk, T0, "reading", subject="Tub", **READ)
    return desk


def bottle(desk: Desk, name: str, moment: str = T0, /, **typed: str) -> dict[str, Any]:
    typed = {"treatment": "formalin", "strength": "37 % w/w", "name": name, **typed}
    return record(then(desk, moment), "product", typed)


def offer(desk: Desk, /, **typed: str) -> dict[str, Any]:
    asked = {"vessel": "Tub", "treatment": "formalin", "strength": "37 % w/w", **typed}
    return dose_in_room(then(desk, T0), asked)


def told(answer: dict[str, Any], code: str = "product-expired") -> list[str]:
    return [w["text"] for w in answer["warnings"] if w["code"] == code]


def test_without_a_bottle_there_is_none(desk: Desk) -> None:
    assert offer(desk)["product"] is None


def test_the_bottle_is_named(desk: Desk) -> None:
    bottle(desk, "Blue", batch="B7", expires="2027-01-31", opened="2026-10-01")
    assert offer(desk)["product"] == {
        "name": "Blue",
        "batch": "B7",
        "expires": "2027-01-31",
        "opened": "2026-10-01",
        "strength": "37 % w/w",
    }


def test_of_two_the_newest_is_taken_and_said_and_another_can_be_named(desk: Desk) -> None:
    bottle(desk, "Old", batch="1")
    bottle(desk, "New", batch="2")
    answer = offer(desk)
    assert answer["product"]["name"] == "New"
    assert (
        "taken from 'New', batch 2, one of 2 on the shelf: --product names another"
        in answer["assumptions"]
    )
    named = offer(desk, product="Old")
    assert named["product"]["name"] == "Old"
    assert not any("one of 2" in text for text in named["assumptions"])
    with pytest.raises(Unreadable, match="not a product of Formalin on the shelf"):
        offer(desk, product="Green")


@pytest.mark.parametrize(
    "past",
    [
        {"expires": "2026-11-04"},
        {"opened": "2026-05-04", "keeps_opened": "6 months"},
        {"opened": "2026-10-01", "keeps_opened": "30 days", "expires": "2028-01-01"},
    ],
)
def test_one_that_is_past_is_said_and_the_next_offered(desk: Desk, past: dict[str, str]) -> None:
    bottle(desk, "Good")
    bottle(desk, "Past", **past)
    answer = offer(desk)
    assert answer["product"]["name"] == "Good"
    assert told(answer)[0].startswith("'Past' is ")
    assert told(answer)[0].endswith("'Good' is taken, 37 % w/w")
    named = offer(desk, product="Past")
    assert named["product"]["name"] == "Past"
    assert told(named)[0].endswith("'Good' is good")
    typed = {"system": "Tub", "treatment": "formalin", "amount": "3 mL", "strength": "37 % w/w"}
    kept = record(then(desk, T0), "dose", {**typed, "product": "Past"})
    assert told(kept)[0].endswith("'Good' is good")
    assert kept["product"]["name"] == "Past"


def test_good_on_its_last_day(desk: Desk) -> None:
    bottle(desk, "Edge", expires="2026-11-05", opened="2026-05-05", keeps_opened="6 months")
    answer = offer(desk)
    assert answer["product"]["name"] == "Edge"
    assert not told(answer)


def test_the_only_one_is_past(desk: Desk) -> None:
    bottle(desk, "Past", expires="2026-01-01")
    answer = offer(desk)
    assert answer["product"] is None
    assert "no other on the shelf" in told(answer)[0]


def test_an_old_one_behind_a_good_one_says_nothing(desk: Desk) -> None:
    bottle(desk, "Past", expires="2026-01-01")
    bottle(desk, "Good")
    assert not told(offer(desk))


def test_a_strength_its_protocol_does_not_know_is_said_at_once(desk: Desk) -> None:
    assert not told(bottle(desk, "Right"), "strength-mismatch")
    assert told(bottle(desk, "Weak", strength="3.7 % w/w"), "strength-mismatch")
    with pytest.raises(Refused, match=r"recorded as 3\.7 %"):
        offer(desk, product="Weak")
    with pytest.raises(Unreadable):
        bottle(desk, "None", strength="strong")


def test_the_strength_typed_picks_its_bottle(desk: Desk) -> None:
    bottle(desk, "Right")
    bottle(desk, "Weak", strength="3.7 % w/w")
    assert offer(desk)["product"]["name"] == "Right"


def test_the_dose_keeps_its_bottle(desk: Desk) -> None:
    bottle(desk, "Blue", batch="B7")
    put(desk, T0, "dose", system="Tub", treatment="formalin", amount="3 mL", strength="37 % w/w")
    kinds = [e["kind"] for e in history(desk, "Blue")["entries"]]
    assert kinds == ["product", "dose"]
    dose = history(desk, "Blue")["entries"][1]["content"]
    assert dose["bottle"]["batch"] == "B7"


def test_the_room_lists_them_with_their_last_day(desk: Desk) -> None:
    bottle(desk, "Blue", opened="2026-10-31", keeps_opened="1 month", expires="2027-05-01")
    bottle(desk, "Past", expires="2026-01-01")
    blue, gone = show_room(then(desk, T0))["products"]
    assert blue["good_until"] == "2026-11-30"
    assert blue["past"] is None
    assert gone["past"] == "past its date, 2026-01-01"


SOLD = [
    (t, form)
    for t in load_shelf([shipped_protocols()])[0].treatments.values()
    for form in t.strengths
]
SLIPS = st.one_of(
    st.sampled_from([Decimal(n) for n in ("10", "0.1", "100", "0.01", "1000", "3.785", "0.264")]),
    st.decimals(Decimal("0.0001"), Decimal("0.89"), places=6),
    st.decimals(Decimal("1.11"), Decimal("1000"), places=6),
)
SMALL = st.one_of(
    st.decimals(Decimal("0.89"), Decimal("0.9899"), places=6),
    st.decimals(Decimal("1.0101"), Decimal("1.11"), places=6),
)


@settings(max_examples=200)
@given(st.sampled_from(SOLD), st.one_of(SLIPS, SMALL))
def test_no_slip_passes_the_bottle_on_the_shelf(
    sold: tuple[Treatment, Strength], times: Decimal
) -> None:
    """200 slips, of ten, of a hundred, of a gallon and any other over 1 %: all stop."""
    treatment, form = sold
    bottle = StatedStrength(form.value, form.unit)
    slipped = StatedStrength(form.value * times, form.unit)
    with pytest.raises(Refused) as told:
        counted(treatment, slipped, bottle)
    assert told.value.code == "strength-mismatch"


@settings(max_examples=200)
@given(st.sampled_from(SOLD), SLIPS)
def test_no_slip_passes_the_protocol(sold: tuple[Treatment, Strength], times: Decimal) -> None:
    """200 slips of over a tenth without any bottle: all stop, or are another form sold."""
    treatment, form = sold
    slipped = StatedStrength(form.value * times, form.unit)
    with contextlib.suppress(Refused):
        found = counted(treatment, slipped)
        assert found.sold is not None
        assert found.sold.form != form.form or found.sold.value != form.value
        assert abs(slipped.value / found.sold.value - 1) <= Decimal("0.1")


@given(st.decimals(Decimal("0.5"), Decimal("2"), places=6))
def test_two_labels_are_the_same_within_one_per_cent(times: Decimal) -> None:
    first = StatedStrength(Decimal(40), "% w/v")
    other = StatedStrength(Decimal(400) * times, "mg/mL")
    assert same_strength(other, first) == (Decimal("0.99") <= times <= Decimal("1.01"))
