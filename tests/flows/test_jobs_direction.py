"""A direction on a screen: read back, its number typed twice, then seen on the dose."""

from __future__ import annotations

from pathlib import Path

import pytest

from intake.flows.desk import Desk, at_work
from intake.flows.jobs import doses
from intake.flows.jobs.directions import direction_read, direction_record, shelf
from intake.flows.views.dose import DoseAsk
from intake.science.problem import Unreadable
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
SAID = {
    "vet": "Dr Vaz",
    "words": "oxytetracycline 20 mg/L for a day",
    "treatment": "oxytetracycline",
    "target": "20 mg/L",
    "subject": "Tub",
}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    desk = small_desk(tmp_path)
    put(desk, T0, "vessel", name="Tub", **BOX)
    put(desk, T0, "group", name="Six", count="6", variety="ryukin", mass="50 g", into="Tub")
    return then(desk, T0)


def entries(desk: Desk) -> int:
    with at_work(desk) as book:
        return int(book.connection.exec_driver_sql("SELECT count(*) FROM journal").scalar_one())


def test_it_is_read_back_and_nothing_is_written(desk: Desk) -> None:
    before = entries(desk)
    read = direction_read(desk, SAID)
    assert read.read_back == "2 0 mg/L: two, zero"
    assert read.cares == ("Dr Vaz was not known: recorded as a vet",)
    assert any("10 days" in text for text in read.said)
    assert entries(desk) == before
    assert "do not say 200" in " ".join(direction_read(desk, {**SAID, "target": "200 mg/L"}).cares)


@pytest.mark.parametrize("again", ["20", "20 mg/L", " 20.0 ", "0.02 g/L"])
def test_the_same_number_again_is_stored(desk: Desk, again: str) -> None:
    recorded = direction_record(desk, SAID, again)
    assert "2 0 mg/L: two, zero" in recorded.text


@pytest.mark.parametrize("again", ["200", "2", "2.0", "20 g/L", "20 uL/L", "20 mg/kg/d", "", "x"])
def test_another_number_stores_nothing(desk: Desk, again: str) -> None:
    before = entries(desk)
    with pytest.raises(Unreadable):
        direction_record(desk, SAID, again)
    assert entries(desk) == before


def test_a_dose_shows_whose_direction_and_which_bottle(desk: Desk) -> None:
    ask = DoseAsk(treatment="vet-directed", vessel="Tub")
    assert [s.code for s in doses.view(desk, ask).stops] == ["vet-only"]
    direction_record(desk, SAID, "20")
    assert [s.code for s in doses.view(desk, ask).stops] == ["strength-mismatch"]
    put(desk, T0, "product", treatment="vet-directed", strength="50 % w/w",
        name="Oxytetracycline", batch="A1")  # fmt: skip
    view = doses.view(desk, ask)
    assert view.title == "oxytetracycline"
    assert view.directed == "Dr Vaz, Thu 5 Nov 08:00: oxytetracycline 20 mg/L for a day"
    assert view.product == "batch A1"
    assert view.amount is not None
    assert (view.amount.text, view.amount.unit) == ("8", "g")  # 200 L x 20 mg/L / 50 %


def test_a_bottle_is_picked_by_its_entry(desk: Desk) -> None:
    old = put(desk, T0, "product", treatment="salt", strength="100 %", name="Bag",
              batch="old", expires="2026-01-01")  # fmt: skip
    new = put(desk, T0, "product", treatment="salt", strength="100 %", name="Bag", batch="new")
    found = shelf(desk, "salt")
    assert [b.product for b in found] == [f"Bag#{new}", f"Bag#{old}"]
    assert [bool(b.past) for b in found] == [False, True]
    picked = doses.view(desk, DoseAsk(treatment="salt", vessel="Tub", product=f"Bag#{old}"))
    assert picked.product == "batch old, past its date, 2026-01-01"
    assert picked.cares[0].code == "product-expired"
    assert "batch new" in doses.view(desk, DoseAsk(treatment="salt", vessel="Tub")).product
    ask = DoseAsk(treatment="salt", vessel="Tub", product=f"Bag#{new}")
    recorded = doses.record(desk, ask, "200 g")
    assert not recorded.warnings
