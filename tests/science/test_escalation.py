from __future__ import annotations

from dataclasses import replace

import pytest

from intake.science.escalation import URGENCIES, Alert, alerts
from intake.science.quarantine import (
    Arrival,
    Death,
    Look,
    Occupant,
    QuarantineFacts,
    SignSeen,
    WaterJudged,
)
from tests.science.quarantines import at, facts, look


def six(**more: object) -> QuarantineFacts:
    """Six fish that came in on day 0."""
    names = ("Ada", "Bela", "Cleo", "Dora", "Ella", "Fina")
    plain = facts(
        arrivals=tuple(Arrival(at(0), 10 + n, who) for n, who in enumerate(names)),
        present=tuple(Occupant(who) for who in names),
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def vet(f: QuarantineFacts, day: int, clock: str = "12:00") -> list[str]:
    return [a.because for a in alerts(f, at(day, clock)) if a.urgency == "call-vet"]


def dead(
    day: int, clock: str = "09:00", who: str = "Ada", before: int = 6, count: int = 1
) -> Death:
    return Death(at(day, clock), 100 + day, who, count, before)


def test_one_death_in_six_is_no_call_though_it_is_17_percent() -> None:
    f = six(deaths=(dead(8),))
    assert vet(f, 8) == []
    assert [a.urgency for a in alerts(f, at(8, "12:00"))] == ["test-water", "watch"]


@pytest.mark.parametrize(("second", "calls"), [("09:00", True), ("09:01", False)])
def test_two_deaths_within_24_hours(second: str, calls: bool) -> None:
    deaths = (dead(8, before=40), dead(9, second, "Bela", before=39))
    assert bool(vet(six(deaths=deaths), 9)) is calls


def test_two_fish_of_one_group_in_one_entry_are_two_deaths() -> None:
    assert vet(six(deaths=(dead(8, before=90, count=2),)), 8) != []


@pytest.mark.parametrize(
    ("before", "count", "calls"), [(30, 3, True), (31, 3, False), (20, 2, True), (21, 2, False)]
)
def test_a_tenth_within_seven_days(before: int, count: int, calls: bool) -> None:
    deaths = tuple(dead(10 + 2 * n, before=before - n) for n in range(count))
    told = vet(six(deaths=deaths), 10 + 2 * count)
    assert (told == [f"{count} of {before} fish died within 7 days"]) is calls
    assert bool(told) is calls


def test_deaths_more_than_seven_days_ago_are_not_counted() -> None:
    f = six(deaths=(dead(8, before=20), dead(10, before=19)))
    assert vet(f, 14, "09:00") != []
    assert vet(f, 15, "09:00") == []


def test_a_third_day_in_a_row_with_a_death() -> None:
    two = (dead(9, "06:00", before=500), dead(10, "12:00", before=499))
    assert vet(six(deaths=two), 10, "23:00") == []
    three = (*two, dead(11, "22:00", before=498))
    told = vet(six(deaths=three), 11, "23:00")
    assert told == ["a death on each of 3 days in a row; treat the whole water as diseased"]


def test_a_death_with_patchy_gills_an_ulcer_or_raised_scales() -> None:
    f = six(deaths=(replace(dead(8), grave=True, explained=True),))
    alert = next(a for a in alerts(f, at(8, "12:00")) if a.urgency == "call-vet")
    assert (alert.subject, alert.entry) == ("Ada", 108)
    assert "stop all movements" in alert.text


@pytest.mark.parametrize(("clock", "calls"), [("10:00", False), ("10:01", True)])
def test_arrivals_dead_and_the_first_72_hours_are_transport(clock: str, calls: bool) -> None:
    deaths = (dead(3, clock), dead(3, clock, "Bela"))
    assert bool(vet(six(deaths=deaths), 3)) is calls
    bag = tuple(replace(d, at_utc=at(5), on_arrival=True) for d in deaths)
    assert vet(six(deaths=bag), 5) == []


def test_fry_lose_some_every_day() -> None:
    deaths = tuple(replace(dead(n, before=300, count=4), stage="fry") for n in range(6, 11))
    assert alerts(six(deaths=deaths), at(10)) == ()


def test_explained_deaths_call_nobody() -> None:
    deaths = (replace(dead(8), explained=True), replace(dead(8, who="Bela"), explained=True))
    assert alerts(six(deaths=deaths), at(8)) == ()


@pytest.mark.parametrize(
    ("sign", "urgency"),
    [
        (SignSeen("spinning", 3, nervous=True), "call-vet"),
        (SignSeen("flared-cover", 3, group="gills"), "call-vet"),
        (SignSeen("spinning", 2, nervous=True), "test-water"),
        (SignSeen("flared-cover", 2, group="gills"), "test-water"),
        (SignSeen("spots", 3, infectious=True, group="skin"), "isolate"),
        (SignSeen("spots", 2, infectious=True), "isolate"),
        (SignSeen("spots", 1, infectious=True), "watch"),
        (SignSeen("torn-fin", 3, group="fins"), "test-water"),
    ],
)
def test_one_sign_by_its_grade(sign: SignSeen, urgency: str) -> None:
    f = six(looks=(Look(at(8), 70, ("Ada",), (sign,)),))
    assert [a.urgency for a in alerts(f, at(8, "12:00"))] == [urgency]


def test_grade_0_and_what_is_no_longer_seen_raise_nothing() -> None:
    f = six(looks=(look(8, "Ada", spots=2), look(9, "Ada", spots=0)))
    assert alerts(f, at(9, "12:00")) == ()
    assert alerts(six(looks=(look(8, "Ada", spots=2),)), at(15, "08:01")) == ()


def test_all_fish_affected_at_once() -> None:
    names = [o.subject for o in six().present]
    looks = tuple(
        Look(at(8), 70 + n, (who,), (SignSeen("gasping", 1),)) for n, who in enumerate(names)
    )
    assert vet(six(looks=looks[:5]), 8) == []
    assert vet(six(looks=looks), 8) == ["every fish shows gasping"]
    whole = Look(at(8), 70, tuple(names), (SignSeen("gasping", 1, affected=6),), count=6)
    assert vet(six(looks=(whole,)), 8) == ["every fish shows gasping"]
    most = replace(whole, signs=(SignSeen("gasping", 1, affected=5),))
    assert vet(six(looks=(most,)), 8) == []


def test_a_group_is_affected_when_all_of_it_is() -> None:
    nine = {"present": (Occupant("Calicos", 9),)}
    part = Look(at(8), 70, ("Calicos",), (SignSeen("gasping", 1, affected=8),), count=9)
    assert vet(six(looks=(part,), **nine), 8) == []
    every = replace(part, signs=(SignSeen("gasping", 1, affected=9),))
    assert vet(six(looks=(every,), **nine), 8) == ["every fish shows gasping"]


def test_a_fish_alone_is_not_all_fish() -> None:
    f = six(present=(Occupant("Ada"),), looks=(look(8, "Ada", spots=1),))
    assert vet(f, 8) == []


def test_two_fish_are_enough_to_be_all_fish() -> None:
    looks = tuple(look(8, who, entry=70 + n, gasping=1) for n, who in enumerate(("Ada", "Bela")))
    f = six(present=(Occupant("Ada"), Occupant("Bela")), looks=looks)
    assert vet(f, 8) == ["every fish shows gasping"]


def test_a_look_counts_from_the_moment_it_is_made() -> None:
    f = six(looks=(look(8, "Ada", spots=2),))
    assert alerts(f, at(8, "07:59")) == ()
    assert [a.urgency for a in alerts(f, at(8, "08:00"))] == ["isolate"]


def test_water_outside_its_targets_until_a_better_test() -> None:
    off = WaterJudged(at(8), 80, "not", "nitrite 0.4 mg/L")
    expected = Alert(
        "test-water", "Put the water right and test again", "nitrite 0.4 mg/L, entry 80", 80
    )
    assert alerts(six(waters=(off,)), at(9)) == (expected,)
    unknown = WaterJudged(at(9), 81, "unknown")
    assert alerts(six(waters=(off, unknown)), at(9)) == (expected,)
    assert alerts(six(waters=(off, WaterJudged(at(9), 82, "ok"))), at(9)) == ()


def test_a_proposed_restart_asks_to_be_settled() -> None:
    f = six(looks=(look(8, "Ada", spots=1), look(9, "Bela", entry=71, spots=1)))
    asked = [a for a in alerts(f, at(9, "12:00")) if a.text.startswith("Settle")]
    assert [a.entry for a in asked] == [71]


def test_the_most_urgent_comes_first() -> None:
    f = six(deaths=(dead(8), dead(8, "11:00", "Bela")), looks=(look(8, "Cleo", spots=1),))
    order = [URGENCIES.index(a.urgency) for a in alerts(f, at(8, "12:00"))]
    assert order == sorted(order, reverse=True)
    assert order[0] == URGENCIES.index("call-vet")
