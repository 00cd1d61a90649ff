"""When eggs hatch: the ranges of the plan for eggs beside the days observed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.calendar import tasks
from intake.science.hatching import HatchWindow, hatch_days, hatch_window
from intake.science.plan import Hatching
from intake.science.quarantine import Arrival, Met, Occupant, Temperature
from tests.science.quarantines import DAY_0, at, facts

PLAN = load_shelf([shipped_protocols()])[0].plans["eggs-and-fry"]
assert PLAN.hatching is not None
RULE: Hatching = PLAN.hatching


@pytest.mark.parametrize(
    ("temp_c", "first", "last"),
    [(15, 5.4, 11), (18, 4, 8), (20, 3.4, 7), (22, 2.9, 6), (24, 2.6, 5.5)],
)
def test_the_table_worked_out_from_published_cleavage_and_hatching(
    temp_c: float, first: float, last: float
) -> None:
    """45 to 95 degree-days above 6.6 C, printed to two figures (Urushibata 2019, Battle 1940)."""
    found = hatch_days(RULE, temp_c, temp_c)
    assert found is not None
    assert found.first == pytest.approx(first, rel=0.03)
    assert found.last == pytest.approx(last, rel=0.05)


def test_what_was_seen_at_21_to_24_c_lies_inside() -> None:
    """Battle 1940 saw 5 to 7 days at 21 to 24 C; the range reaches from before them into them."""
    found = hatch_days(RULE, 21, 24)
    assert found is not None
    assert found.first < 5 < found.last
    assert 6 < found.last < 7


@pytest.mark.parametrize(("cold", "warm"), [(14.9, 20), (20, 24.1), (7, 7), (28.9, 28.9)])
def test_outside_the_water_it_is_known_for_nothing_is_told(cold: float, warm: float) -> None:
    assert hatch_days(RULE, cold, warm) is None
    assert hatch_window(RULE, [(cold, warm)]) is None


def test_threshold_and_warmth_fit_the_cleavage_times() -> None:
    """Cleavage every 131 min at 10 C and 33 at 20 C: a straight line of rates meets none at 6.6.

    Urushibata et al. 2019, Int J Dev Biol 63:597.
    """
    slow, fast = 1 / 131, 1 / 33
    assert 10 - slow * 10 / (fast - slow) == pytest.approx(float(RULE.above_c), abs=0.06)


def test_a_cold_spell_moves_the_window_by_hand() -> None:
    """Three days at 21.6 C gather 45; at 15.6 C the fourth gathers 9, and 41 are left for 95."""
    warm = [(21.6, 21.6)] * 3
    found = hatch_window(RULE, [*warm, (15.6, 15.6)])
    assert found is not None
    assert found.first == pytest.approx(3)
    assert found.gathered == pytest.approx(45 + 9)
    assert found.last == pytest.approx(4 + 41 / 9)


def test_days_not_read_are_counted_and_taken_as_before() -> None:
    read: list[tuple[float, float] | None] = [(21.6, 21.6), None, None]
    found = hatch_window(RULE, read)
    assert found is not None
    assert found.unknown == 2
    assert found.first == pytest.approx(3)
    assert hatch_window(RULE, [None, None]) is None


def test_low_and_high_of_a_day_widen_the_window() -> None:
    steady = hatch_window(RULE, [(20, 20)])
    swing = hatch_window(RULE, [(18, 22)])
    assert isinstance(steady, HatchWindow)
    assert isinstance(swing, HatchWindow)
    assert swing.first < steady.first < steady.last < swing.last


def _eggs(*temps: float, eggs: bool = True) -> tuple[str, ...]:
    """The dates and reason of the task of watching, days with these temperatures read."""
    read = tuple(Temperature(at(n, "11:00"), 300 + n, t, t) for n, t in enumerate(temps))
    known = replace(
        facts(),
        plan=PLAN,
        arrivals=(Arrival(at(0), 10, "Brood", 300),),
        present=(Occupant("Brood", 300, "eggs"),),
        temperatures=read,
        met=(Met("eggs-in-water", "Brood: eggs"),) if eggs else (),
    )
    found = [t for t in tasks(known, at(max(0, len(temps) - 1), "12:00")) if "/hatching/" in t.id]
    assert len(found) <= 1
    return tuple(
        x for t in found for x in (str((t.day - DAY_0).days), str((t.to - DAY_0).days), t.because)
    )


def test_a_running_quarantine_of_eggs_watches_by_its_own_water() -> None:
    first, last, because = _eggs(21.6, 21.6)
    assert (first, last) == ("3", "7")  # 45 / 15 = 3.0, 95 / 15 = 6.33
    assert "45 to 95 degree-days above 6.6 C" in because
    colder = _eggs(21.6, 16.6)
    # By the highs 1 + 30 / 10 = 4; the night between counts as the low of both, 95 / 10 = 9.5.
    assert (colder[0], colder[1]) == ("4", "10")


def test_in_water_it_is_not_known_for_they_are_watched_from_day_2_to_14() -> None:
    first, last, because = _eggs(28.9, 28.9)
    assert (first, last) == ("2", "14")
    assert "no day is worked out" in because
    assert _eggs()[:2] == ("2", "14")


def test_without_eggs_nobody_watches_for_hatching() -> None:
    assert _eggs(21.6, eggs=False) == ()


def test_the_figures_are_exact() -> None:
    assert (RULE.above_c, RULE.low_c, RULE.high_c) == (Decimal("6.6"), Decimal(15), Decimal(24))
