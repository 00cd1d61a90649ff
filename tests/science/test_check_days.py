"""Each of the ten checks: open the day before, met on its day, open again after a correction."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from intake.science.check_state import CheckState
from intake.science.checks import checks
from intake.science.plan import CHECKS
from intake.science.quarantine import (
    Arrival,
    Contact,
    Death,
    DoseGiven,
    Look,
    MixingTest,
    Occupant,
    QuarantineFacts,
    Slide,
    Temperature,
    WaterJudged,
)
from tests.science.quarantines import DAY_0, at, facts, look, well

Change = Callable[[QuarantineFacts], QuarantineFacts]


def until(last: int, **more: object) -> QuarantineFacts:
    return replace(facts(**well(last)), **more)  # type: ignore[arg-type]


def state(f: QuarantineFacts, name: str, on: int) -> CheckState:
    return next(c for c in checks(f, at(on, "12:00")).checks if c.check == name)


def with_look(entry: int, day: int, **more: object) -> Change:
    """The entry corrected to another look."""
    return lambda f: replace(
        f,
        looks=(
            *(x for x in f.looks if x.entry != entry),
            replace(look(day, entry=entry), **more),  # type: ignore[arg-type]
        ),
    )


MADE: dict[str, tuple[int, dict[str, tuple[object, ...]]]] = {
    "days-served": (30, {}),
    "no-deaths": (30, {"deaths": (Death(at(16, "09:00"), 90, "Ada", 1, 2),)}),
    "sign-free": (30, {"looks": (look(16, "Ada", entry=80, spots=1),)}),
    "eating": (22, {"looks": (Look(at(19, "08:00"), 80, ("Bela",), (), "none"),)}),
    "since-treatment": (31, {"doses": (DoseGiven(at(10), 70, "formalin", ended_utc=at(17)),)}),
    "slides": (21, {"slides": (Slide(at(14), 50, "Ada"), Slide(at(21, "08:00"), 51, "Bela"))}),
    "water": (27, {"waters": (WaterJudged(at(19, "11:50"), 80, "not", "nitrite 1 mg/L"),)}),
    "warm-days": (33, {"temperatures": ()}),
    "no-additions": (50, {"contacts": (Contact(at(20), 60, "net", "South"),)}),
    "mixing-test": (29, {"mixing_tests": (MixingTest(at(15), 52, "Resident"),)}),
}  # fmt: skip
"""The day on which each is met first, by hand, and what is recorded beside a quiet quarantine.

A death on day 16 holds 14 days: day 30. A sign on day 16: day 30. No appetite on day 19 of 3 days:
day 22. A treatment that ended on day 17: day 31. Clean slides on day 14 and 7 days later: day 21.
A bad test on day 19, the first good one on day 20, 7 days: day 27. Warm from day 20 on, 14 days:
day 33. A foreign net on day 20, the plan's 30 days: day 50. Residents in on day 15, 14 days: 29.
"""


def made(name: str, last: int) -> QuarantineFacts:
    more = dict(MADE[name][1])
    f = until(last)
    for key, entries in more.items():
        own = () if key == "temperatures" else getattr(f, key)
        f = replace(f, **{key: (*own, *entries)})  # type: ignore[arg-type]
    if name == "warm-days":
        read = tuple(
            Temperature(at(n, "11:00"), 300 + n, *((21.0, 22.0) if n >= 20 else (12.0, 13.0)))
            for n in range(last + 1)
        )
        f = replace(f, temperatures=read)
    return f


@pytest.mark.parametrize("name", CHECKS)
def test_open_the_day_before_and_met_on_the_day(name: str) -> None:
    day = MADE[name][0]
    before = state(made(name, day - 1), name, day - 1)
    assert before.state == "open"
    assert before.to_do, "an open check says what to do next"
    on_day = state(made(name, day), name, day)
    assert on_day.state == "met"
    assert on_day.to_do == ""
    assert on_day.entries or name in ("days-served", "no-additions")


CORRECTED: dict[str, tuple[Change, int]] = {
    "days-served": (
        lambda f: replace(f, arrivals=(*f.arrivals, Arrival(at(9), 61, "Cleo"))), 61),
    "no-deaths": (
        lambda f: replace(f, deaths=(Death(at(17, "09:00"), 90, "Ada", 1, 2),)), 90),
    "sign-free": (with_look(80, 17, signs=look(17, "Ada", spots=1).signs), 80),
    "eating": (with_look(120, 20, appetite="none"), 120),
    "since-treatment": (
        lambda f: replace(f, doses=(DoseGiven(at(10), 70, "formalin", ended_utc=at(18)),)), 70),
    "slides": (
        lambda f: replace(
            f, slides=(f.slides[0], replace(f.slides[1], found=(("lice", 1),)))), 51),
    "water": (
        lambda f: replace(f, waters=tuple(
            replace(w, judged="not", text="pH") if w.entry == 421 else w for w in f.waters)), 421),
    "warm-days": (
        lambda f: replace(f, temperatures=tuple(
            replace(t, low_c=12.0, high_c=13.0) if t.entry == 325 else t
            for t in f.temperatures)), 325),
    "no-additions": (
        lambda f: replace(f, contacts=(Contact(at(21), 60, "net", "South"),)), 60),
    "mixing-test": (
        lambda f: replace(f, mixing_tests=(MixingTest(at(16), 52, "Resident"),)), 52),
}  # fmt: skip
"""What one entry says once it is corrected, and its number."""


@pytest.mark.parametrize("name", CHECKS)
def test_a_correction_takes_it_back_and_the_evidence_names_its_entry(name: str) -> None:
    day = MADE[name][0]
    change, entry = CORRECTED[name]
    again = state(change(made(name, day)), name, day)
    assert again.state == "open"
    if name == "warm-days":  # a low and high read at 11:00 tell of the day before as well
        assert "12 of 14 days" in again.evidence
    else:
        assert str(entry) in again.evidence


def test_transport_does_not_hold_no_deaths_and_is_named() -> None:
    """Within 72 h of coming in, or in the bag; fish of two shipments each by their own clock."""
    first = Death(at(2, "09:00"), 90, "Ada", 1, 3)
    found = state(until(5, deaths=(first,)), "no-deaths", 5)
    assert "no death since 2026-03-10" in found.evidence
    assert "1 not counted, on arrival or within 72 h of it, put down to transport" in (
        found.evidence
    )
    late = Death(at(3, "10:01"), 91, "Ada", 1, 3)
    assert "last death 2026-03-13" in state(until(5, deaths=(late,)), "no-deaths", 5).evidence
    arrived = Death(at(0, "10:00"), 92, "Ada", 1, 3, on_arrival=True)
    assert "last death" not in state(until(5, deaths=(arrived,)), "no-deaths", 5).evidence


def test_a_grave_sign_is_no_journey() -> None:
    grave = Death(at(2, "09:00"), 90, "Ada", 1, 3, grave=True)
    assert "last death 2026-03-12, entry 90" in (
        state(until(5, deaths=(grave,)), "no-deaths", 5).evidence
    )


def test_the_mixing_test_is_judged_by_the_same_deaths() -> None:
    """A fry lost while the residents are in is no trouble; an unexplained adult is."""
    fry = Death(at(20), 90, "Fry", 9, 99, stage="fry")
    f = replace(made("mixing-test", 29), deaths=(fry,))
    assert state(f, "mixing-test", 29).state == "met"
    adult = replace(fry, subject="Ada", stage="adult")
    assert state(replace(f, deaths=(adult,)), "mixing-test", 29).state == "open"


def test_the_longer_of_fourteen_days_and_one_and_a_half_generations_is_told() -> None:
    slow = DoseGiven(at(1), 70, "praziquantel", ended_utc=at(2), wait_days=22)
    before, on_day = (state(until(n, doses=(slow,)), "since-treatment", n) for n in (23, 24))
    assert (before.state, on_day.state) == ("open", "met")
    assert "22 days, one and a half generations" in before.evidence
    quick = replace(slow, wait_days=9)
    assert state(until(16, doses=(quick,)), "since-treatment", 16).state == "met"
    assert state(until(15, doses=(quick,)), "since-treatment", 15).state == "open"


def test_eggs_are_not_asked_whether_they_eat() -> None:
    eggs = until(5, present=(Occupant("Eggs", 200, "eggs"),), looks=())
    assert state(eggs, "eating", 5).state == "met"
    fry = until(5, present=(Occupant("Fry", 200, "fry"),), looks=())
    assert state(fry, "eating", 5).state == "open"


def test_days_between_tests_are_told() -> None:
    few = tuple(WaterJudged(at(n, "11:30"), 400 + n, "ok") for n in (10, 16, 19))
    found = state(until(20, waters=few), "water", 20)
    assert found.state == "met"
    assert "3 tests, up to 6 days apart, entries 410, 416, 419" in found.evidence


def test_a_check_that_is_met_keeps_the_day_on_which_it_was() -> None:
    """Ten days on, nothing having happened, the date and what set it are the same."""
    for name in ("sign-free", "days-served", "no-deaths", "mixing-test", "slides"):
        day = MADE[name][0]
        then, now = state(made(name, day), name, day), state(made(name, day + 10), name, day + 10)
        assert then.earliest == now.earliest == DAY_0 + timedelta(day)


def test_a_third_clean_slide_does_not_put_release_off() -> None:
    f = made("slides", 28)
    more = replace(f, slides=(*f.slides, Slide(at(28, "08:00"), 53, "Ada")))
    assert state(f, "slides", 28).earliest == DAY_0 + timedelta(21)
    assert state(more, "slides", 28).earliest == DAY_0 + timedelta(21)
