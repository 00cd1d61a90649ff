"""Washing out: how many changes it takes, and that nothing stands in its way."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from intake.flows.record import record
from intake.flows.washing import half_changes
from tests.flows.job_rooms import put, small_desk, then

BOX = {"shape": "box", "length": "100 cm", "width": "50 cm", "depth": "40 cm", "height": "60 cm"}


@pytest.mark.parametrize(
    ("high", "unit", "changes"),
    [(0.1, "g/L", 0), (0.2, "g/L", 1), (0.4, "g/L", 2), (0.41, "g/L", 3), (3.0, "g/L", 5),
     (0.005, "mg/L", 0), (2.0, "mg/L", 9), (15.0, "uL/L", 8), (3.0, "mg/kg/d", 0)],
)  # fmt: skip
def test_so_many_half_changes_leave_a_trace_at_most(high: float, unit: str, changes: int) -> None:
    """Two half changes leave 25 %: Progressive Fish-Culturist 47(1):69-70 (1985)."""
    assert half_changes(high, unit) == changes


@pytest.mark.usefixtures("quick_files")
def test_a_stop_says_how_it_is_washed_out_and_is_never_held_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = small_desk(tmp_path)
    put(desk, "2026-11-05 08:00", "vessel", name="Tub", **BOX)
    put(desk, "2026-11-05 09:00", "dose", system="Tub", treatment="salt", amount="400 g")

    def stop() -> dict[str, Any]:
        typed = {"system": "Tub", "treatment": "salt", "wash_out": True}
        return record(then(desk, "2026-11-05 10:00"), "stop", typed)

    told = stop()
    (left,) = told["wash_out"]
    assert (left["treatment"], left["half_changes"]) == ("salt", 5)
    assert left["now"] == pytest.approx(2, rel=1e-6)
    own = tmp_path / "own" / "treatments"
    own.mkdir(parents=True)
    (own / "salt.yaml").write_text("id: salt\n", encoding="utf-8")
    monkeypatch.setenv("INTAKE_PROTOCOLS", str(own.parent))
    assert (stop()["entry"] > told["entry"], stop()["wash_out"]) == (True, [])
