from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
    Passed,
    QuarantineFacts,
    Settled,
    Slide,
    Temperature,
    WaterJudged,
)
from tests.science.quarantines import DAY_0, PLAN, at, facts, look, well


def day(n: int) -> date:
    return DAY_0 + timedelta(n)


def quiet(last: int = 30, **more: object) -> QuarantineFacts:
    """A quarantine in which every check is met on day 30."""
    plain = facts(
        **well(last),
        slides=(Slide(at(3), 50, "Ada", fish=2), Slide(at(14), 51, "Ada", fish=2)),
        mixing_tests=(MixingTest(at(15), 52, "Resident"),),
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def state(f: QuarantineFacts, name: str, on: int = 30, clock: str = "12:00") -> CheckState:
    return next(c for c in checks(f, at(on, clock)).checks if c.check == name)


def test_a_quiet_quarantine_is_open_on_day_29_and_met_on_day_30() -> None:
    before, on_day = checks(quiet(29), at(29, "12:00")), checks(quiet(), at(30, "12:00"))
    assert [c.check for c in on_day.checks] == list(CHECKS)
    assert {c.state for c in on_day.checks} == {"met"}
    assert [c.check for c in before.open] == ["days-served"]
    assert before.earliest_release == on_day.earliest_release == day(30)
    assert on_day.decided_by == "days-served"
    assert (on_day.days_served, on_day.sign_free_days, on_day.warm_days) == (30, 30, 31)


def test_earliest_release_on_the_first_day_is_the_plans_days_on() -> None:
    found = checks(facts(), at(0, "12:00"))
    assert (found.earliest_release, found.decided_by) == (day(30), "days-served")


def test_before_the_fish_nothing_is_met_and_the_expected_day_counts() -> None:
    empty = facts(arrivals=(), present=())
    assert checks(empty, at(-3)).earliest_release is None
    waiting = checks(replace(empty, expected=DAY_0), at(-3))
    assert waiting.earliest_release == day(30)
    assert {c.state for c in waiting.checks} == {"open"}
    assert checks(replace(empty, expected=DAY_0), at(4)).earliest_release == day(34)


def test_shared_water_waits_for_its_last_fish() -> None:
    f = quiet(arrivals=(*facts().arrivals, Arrival(at(20), 60, "Cleo")))
    found = checks(f, at(30, "12:00"))
    assert (found.earliest_release, found.decided_by) == (day(50), "days-served")
    assert state(f, "no-additions").state == "open"
    assert "Cleo went in, entry 60" in state(f, "no-additions").evidence


def test_a_proposed_restart_blocks_at_once_and_counts_in_the_date() -> None:
    death = Death(at(29, "20:00"), 90, "Ada", 1, 2)
    f = quiet(deaths=(death,))
    found = checks(f, at(30, "12:00"))
    served = state(f, "days-served")
    assert found.days_served == 30
    assert served.state == "open"
    assert "stands from 2026-04-11 19:00 UTC unless settled" in served.evidence
    assert (found.earliest_release, found.decided_by) == (day(59), "days-served")
    kept = replace(f, settled=(Settled(at(30), 97, 90, "keep", "it jumped"),))
    assert state(kept, "days-served").state == "met"


@pytest.mark.parametrize(("on", "expected"), [(29, "open"), (30, "met")])
def test_no_deaths_for_14_days(on: int, expected: str) -> None:
    f = quiet(deaths=(Death(at(16, "09:00"), 90, "Ada", 1, 2),))
    found = state(f, "no-deaths", on)
    assert (found.state, found.earliest) == (expected, day(30))
    assert "entry 90" in found.evidence


def test_deaths_of_fry_and_explained_ones_are_not_counted() -> None:
    deaths = (Death(at(29), 90, "Fry", 9, 99, stage="fry"), Death(at(29), 91, "A", explained=True))
    assert state(quiet(deaths=deaths), "no-deaths").state == "met"


def test_a_catching_sign_keeps_sign_free_open_for_14_days() -> None:
    f = quiet(looks=(*quiet().looks, look(17, "Ada", entry=80, spots=1)))
    assert state(f, "sign-free", 30).state == "open"
    assert state(f, "sign-free", 30).earliest == day(31)
    assert "spots, entry 80" in state(f, "sign-free").evidence
    met = replace(f, looks=(*quiet(31).looks, look(17, "Ada", entry=80, spots=1)))
    assert state(met, "sign-free", 31).state == "met"


def test_days_nobody_looked_do_not_prove_anything() -> None:
    few = tuple(x for x in quiet().looks if x.entry in range(125, 131))  # six days of looks
    f = quiet(looks=few)
    found = state(f, "sign-free")
    assert found.state == "open"
    assert "looked on 6 days of the last 14, 7 needed" in found.evidence
    assert found.earliest == day(31)
    enough = quiet(looks=(look(24, clock="10:30"), *few))
    assert state(enough, "sign-free").state == "met"


def test_every_fish_present_must_have_been_looked_at_lately() -> None:
    f = quiet(present=(Occupant("Ada"), Occupant("Bela"), Occupant("Cleo")))
    found = state(f, "sign-free")
    assert found.state == "open"
    assert "no look in 2 days at Cleo" in found.evidence


def test_eating_needs_appetite_of_every_fish_and_none_off_food() -> None:
    assert state(quiet(), "eating").state == "met"
    silent = tuple(replace(x, appetite="") for x in quiet().looks)
    assert state(quiet(looks=silent), "eating").state == "open"
    off = Look(at(28), 85, ("Bela",), (), "none")
    assert state(quiet(looks=(*quiet().looks, off)), "eating").state == "open"
    assert state(quiet(looks=(*quiet().looks, off)), "eating").earliest == day(31)
    long_ago = replace(off, at_utc=at(27))
    assert state(quiet(looks=(*quiet().looks, long_ago)), "eating").state == "met"
    only_ada = tuple(replace(x, subjects=("Ada",)) for x in quiet().looks)
    assert "Bela" in state(quiet(looks=only_ada), "eating").evidence


def test_since_treatment_counts_from_its_end() -> None:
    dose = DoseGiven(at(10), 70, "praziquantel", ended_utc=at(17))
    assert state(quiet(doses=(dose,)), "since-treatment", 30).state == "open"
    assert state(quiet(31, doses=(dose,)), "since-treatment", 31).state == "met"
    assert state(quiet(doses=(dose,)), "since-treatment").earliest == day(31)


def test_a_treatment_still_in_the_water_is_never_over() -> None:
    dose = DoseGiven(at(2), 70, "praziquantel")
    found = state(quiet(doses=(dose,)), "since-treatment")
    assert (found.state, found.earliest) == ("open", day(44))
    assert "still in the water" in found.evidence


def test_a_longer_wait_than_the_plans_wins_and_support_does_not_count() -> None:
    slow = DoseGiven(at(1), 70, "levamisole", ended_utc=at(2), wait_days=40)
    assert state(quiet(doses=(slow,)), "since-treatment").earliest == day(42)
    salt = DoseGiven(at(1), 70, "salt", "support")
    assert state(quiet(doses=(salt,)), "since-treatment").state == "met"


def test_slides_need_two_clean_sessions_a_week_apart_after_the_last_find() -> None:
    def with_slides(*made: Slide) -> CheckState:
        return state(quiet(slides=made), "slides")

    clean = [Slide(at(n), 200 + n, "Ada") for n in (20, 26, 27)]
    assert with_slides().state == "open"
    assert with_slides(clean[0]).state == "open"
    assert with_slides(clean[0], clean[1]).state == "open"
    assert with_slides(clean[0], clean[2]).state == "met"
    found = Slide(at(21), 250, "Ada", (("gill-flukes", 1),))
    assert with_slides(clean[0], found, clean[2]).state == "open"
    assert "gill-flukes, entry 250" in with_slides(clean[0], found, clean[2]).evidence


def test_a_slide_made_while_salt_hides_parasites_does_not_count() -> None:
    hidden = Slide(at(27), 227, "Ada", masked_by=("salt",))
    found = state(quiet(slides=(Slide(at(20), 220, "Ada"), hidden)), "slides")
    assert found.state == "open"
    assert "1 not counted" in found.evidence
    assert "clean" in found.evidence
    parasite = replace(hidden, found=(("skin-flukes", 3),))
    assert not parasite.clean


def test_the_evidence_says_how_little_two_fish_show() -> None:
    six = (Occupant("Ada"), Occupant("Bela"), Occupant("Four", 4))
    two = (Slide(at(3), 50, "Four", fish=2), Slide(at(14), 51, "Four", fish=2))
    found = next(
        c for c in checks(quiet(present=six, slides=two), at(30)).checks if c.check == "slides"
    )
    assert found.state == "met"
    assert found.entries == (50, 51)
    assert (
        "on 2026-03-13 2 of 6 fish clean, weak evidence: speaks against 5 or more infected "
        "(95 %), not against 4 or fewer, entry 50"
    ) in found.evidence
    assert "together 2 of 6 fish clean, weak evidence" in found.evidence  # may be the same two


def test_water_inside_its_targets_for_seven_days() -> None:
    off = WaterJudged(at(23, "09:00"), 80, "not", "nitrite 0.4 mg/L")
    f = quiet(waters=(*quiet().waters, off))
    assert state(f, "water", 29).state == "open"
    assert state(f, "water", 30).state == "met"
    newest = replace(off, at_utc=at(30, "11:45"))
    found = state(quiet(waters=(*quiet().waters, newest)), "water")
    assert (found.state, found.earliest) == ("open", day(37))
    assert "nitrite 0.4 mg/L" in found.evidence


def test_old_or_unreadable_water_tests_prove_nothing() -> None:
    old = tuple(w for w in quiet().waters if w.at_utc < at(27))
    assert state(quiet(waters=old), "water").state == "open"
    unknown = tuple(replace(w, judged="unknown") for w in quiet().waters)
    assert state(quiet(waters=unknown), "water").state == "open"


def test_a_cold_room_serves_days_but_not_warm_days() -> None:
    cold = tuple(Temperature(at(n), 300 + n, 12, 13) for n in range(31))
    f = quiet(temperatures=cold)
    found = checks(f, at(30, "12:00"))
    assert (found.days_served, found.warm_days) == (30, 0)
    assert found.decided_by == "warm-days"
    assert found.earliest_release == day(44)  # fourteen warm days from tomorrow on
    unread = quiet(temperatures=cold[:-1])
    assert checks(unread, at(30, "12:00")).earliest_release == day(43)
    assert "not tested: spring viraemia (10 to 17 C)" in state(quiet(), "warm-days").evidence
    assert "spring viraemia" not in state(f, "warm-days").evidence  # it was cold for 31 days


def test_the_mixing_test_lasts_its_days_and_begins_again_with_trouble() -> None:
    assert state(quiet(28), "mixing-test", 28).state == "open"
    assert state(quiet(29), "mixing-test", 29).state == "met"
    trouble = (*quiet().looks, look(20, "Ada", entry=80, spots=1))
    assert state(quiet(looks=trouble), "mixing-test").earliest == day(34)
    ended = (MixingTest(at(10), 52, "Resident", ended_utc=at(23)),)
    assert state(quiet(mixing_tests=ended), "mixing-test").state == "open"
    full = (MixingTest(at(10), 52, "Resident", ended_utc=at(24)),)
    assert state(quiet(mixing_tests=full), "mixing-test").state == "met"
    assert state(quiet(mixing_tests=()), "mixing-test").state == "open"


def test_passed_by_reason_and_the_floor_of_the_days() -> None:
    f = quiet(25, mixing_tests=(), passed=(Passed(at(25), 95, "mixing-test", "no residents"),))
    found = state(f, "mixing-test", 25)
    assert found.state == "passed-by-reason"
    assert found.evidence.startswith("no residents, entry 95; ")
    served = (Passed(at(20), 96, "days-served", "room needed"),)
    assert state(replace(f, passed=served), "days-served", 20).state == "open"
    assert state(replace(f, passed=served), "days-served", 21).state == "passed-by-reason"
    assert checks(replace(f, passed=served), at(21)).earliest_release == day(21)


def test_a_pass_given_before_new_fish_came_is_void() -> None:
    passed = (Passed(at(10), 95, "slides", "no microscope"),)
    f = quiet(slides=(), passed=passed)
    assert state(f, "slides").state == "passed-by-reason"
    later = replace(f, contacts=(Contact(at(12), 60, "net", "South"),))
    assert state(later, "slides").state == "open"


def test_a_plan_asks_only_for_its_own_checks() -> None:
    f = quiet(plan=replace(PLAN, checks=PLAN.checks[:2]))
    assert [c.check for c in checks(f, at(30)).checks] == ["days-served", "no-deaths"]


def test_an_open_check_is_never_met_before_today() -> None:
    found = checks(quiet(slides=()), at(35, "12:00"))
    assert found.earliest_release is not None
    assert found.earliest_release >= day(35)


EVENTS = st.lists(
    st.tuples(
        st.integers(0, 35), st.sampled_from(["sign", "death", "net", "slide", "dose", "cold"])
    ),
    max_size=5,
)


def _with(f: QuarantineFacts, events: list[tuple[int, str]]) -> QuarantineFacts:
    for n, (on, what) in enumerate(events):
        when, entry = at(on, "12:30"), 1000 + n
        if what == "sign":
            f = replace(f, looks=(*f.looks, look(on, "Ada", entry=entry, spots=2)))
        elif what == "death":
            f = replace(f, deaths=(*f.deaths, Death(when, entry, "Ada", 1, 9)))
        elif what == "net":
            f = replace(f, contacts=(*f.contacts, Contact(when, entry, "net", "South")))
        elif what == "slide":
            found = (("skin-flukes", 1),)
            f = replace(f, slides=(*f.slides, Slide(when, entry, "Ada", found)))
        elif what == "dose":
            end = when + timedelta(days=2)
            f = replace(f, doses=(*f.doses, DoseGiven(when, entry, "formalin", ended_utc=end)))
        else:
            f = replace(f, temperatures=(*f.temperatures, Temperature(when, entry, 8.0, 9.0)))
    return f


@settings(max_examples=80, deadline=None)
@given(EVENTS, st.integers(0, 40), st.integers(0, 40))
def test_adding_a_fish_never_brings_release_forward(
    events: list[tuple[int, str]], now: int, came: int
) -> None:
    f = _with(quiet(36), events)
    added = replace(f, arrivals=(*f.arrivals, Arrival(at(min(came, now), "11:00"), 999, "Cleo")))
    before, after = checks(f, at(now, "13:00")), checks(added, at(now, "13:00"))
    assert before.earliest_release is not None
    assert after.earliest_release is not None
    assert after.earliest_release >= before.earliest_release
    assert len(after.open) >= len(before.open)


@settings(max_examples=80, deadline=None)
@given(EVENTS, st.integers(0, 40), st.sampled_from(["net", "death", "sign"]))
def test_a_restart_never_shortens_the_stay(
    events: list[tuple[int, str]], now: int, what: str
) -> None:
    f = _with(quiet(36), events)
    more = _with(f, [(now, what)])
    before, after = checks(f, at(now, "13:00")), checks(more, at(now, "13:00"))
    assert before.earliest_release is not None
    assert after.earliest_release is not None
    assert after.earliest_release >= before.earliest_release


@settings(max_examples=80, deadline=None)
@given(EVENTS, st.integers(0, 60))
def test_released_means_nothing_is_open(events: list[tuple[int, str]], now: int) -> None:
    found = checks(_with(quiet(now), events), at(now, "13:00"))
    assert found.earliest_release is not None
    if not found.open:
        assert found.earliest_release <= day(now)
    assert found.earliest_release >= day(30)
    assert found.decided_by in CHECKS


def test_numbers_of_the_plan_are_used() -> None:
    rules = tuple(
        replace(c, low_c=Decimal(10), high_c=Decimal(14)) if c.check == "warm-days" else c
        for c in PLAN.checks
    )
    cold = tuple(Temperature(at(n), 300 + n, 12, 13) for n in range(31))
    f = quiet(temperatures=cold, plan=replace(PLAN, checks=rules))
    assert state(f, "warm-days").state == "met"
    assert "spring viraemia" not in state(f, "warm-days").evidence
