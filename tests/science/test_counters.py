from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.science.counters import counters
from intake.science.quarantine import (
    Arrival,
    Contact,
    Death,
    DoseGiven,
    Look,
    Settled,
    SignSeen,
    Slide,
    Temperature,
)
from intake.science.restarts import is_transport, restarts
from tests.science.quarantines import at, facts, local, look


def test_day_0_is_the_local_date_of_the_last_fish() -> None:
    f = facts(arrivals=(Arrival(at(0), 1, "Ada"), Arrival(at(4, "23:30"), 2, "Bela")))
    count = counters(f, at(6, "00:10"))
    assert count.day_0 == date(2026, 3, 14)
    assert count.days_served == 2


def test_nothing_is_counted_before_the_first_fish() -> None:
    f = facts(arrivals=(), contacts=(Contact(at(0), 3, "net", "South"),))
    count = counters(f, at(5))
    assert (count.day_0, count.days_served, count.warm_days, count.restarts) == (None, 0, 0, ())


def test_a_mixing_test_brings_fish_in_and_restarts_nothing() -> None:
    extra = Arrival(at(14), 50, "Resident", mixing_test=True)
    f = facts(arrivals=(*facts().arrivals, extra))
    assert counters(f, at(20)).days_served == 20


@pytest.mark.parametrize(
    ("more", "kind"),
    [
        ({"contacts": (Contact(at(9), 60, "hose", "South"),)}, "contact"),
        ({"slides": (Slide(at(9), 60, "Ada", (("gill-flukes", 2),)),)}, "slide"),
        ({"arrivals": (Arrival(at(0), 10, "Ada"), Arrival(at(9), 60, "Cleo"))}, "fish-in"),
    ],
)
def test_what_restarts_the_days_at_once(more: dict[str, object], kind: str) -> None:
    count = counters(facts(**more), at(9, "10:01"))
    assert count.days_served == 0
    assert count.decided is not None
    assert (count.decided.kind, count.decided.entry) == (kind, 60)
    assert "entry 60" in count.decided.because


def test_a_slide_with_nothing_on_it_restarts_nothing() -> None:
    f = facts(slides=(Slide(at(9), 60, "Ada", (("gill-flukes", 0),)),))
    assert counters(f, at(12)).days_served == 12


def test_the_same_catching_sign_in_two_fish_is_proposed_and_stands_after_72_hours() -> None:
    f = facts(looks=(look(8, "Ada", spots=1), look(10, "Bela", entry=70, spots=1)))
    early = counters(f, at(13, "07:59"))
    assert [r.entry for r in early.proposed] == [70]
    assert early.days_served == 13
    late = counters(f, at(13, "08:00"))
    assert late.proposed == ()
    assert late.days_served == 3


def test_one_fish_alone_or_another_sign_proposes_nothing() -> None:
    alone = facts(looks=(look(8, "Ada", spots=2), look(9, "Ada", spots=3)))
    other = facts(looks=(look(8, "Ada", spots=2), look(9, "Bela", rot=2)))
    far_apart = facts(looks=(look(2, "Ada", spots=2), look(17, "Bela", spots=2)))
    for f in (alone, other, far_apart):
        assert [r.kind for r in restarts(f, at(25))] == ["fish-in", "fish-in"]


def test_a_sign_that_is_not_catching_proposes_nothing() -> None:
    torn = (SignSeen("torn-fin", 3),)
    looks = tuple(Look(at(8), 70 + n, (who,), torn) for n, who in enumerate(("Ada", "Bela")))
    assert counters(facts(looks=looks), at(20)).days_served == 20


def test_one_outbreak_proposes_once_for_each_fish_it_spreads_to() -> None:
    looks = (
        look(5, "Ada", spots=1),
        look(6, "Bela", entry=71, spots=1),
        look(7, spots=1),
        replace(look(8), signs=(SignSeen("spots", 2, True, affected=2),), entry=73),
        look(9, "Cleo", entry=74, spots=1),
    )
    found = [r.entry for r in restarts(facts(looks=looks), at(9)) if r.kind == "sign"]
    assert found == [71, 74]


def test_two_affected_in_one_group_are_two_fish() -> None:
    group = Look(at(6), 80, ("Calicos",), (SignSeen("spots", 1, True, affected=2),), count=9)
    assert [r.entry for r in counters(facts(looks=(group,)), at(7)).proposed] == [80]


@pytest.mark.parametrize(("day", "expected"), [(3, 0), (4, 1)])
def test_an_unexplained_death_counts_after_day_3(day: int, expected: int) -> None:
    f = facts(deaths=(Death(at(day, "23:59"), 90, "Ada", 1, 2),))
    assert len(counters(f, at(day + 1)).proposed) == expected


def test_fry_explained_and_dead_on_arrival_restart_nothing() -> None:
    deaths = (
        Death(at(9), 90, "Fry", 5, 200, stage="fry"),
        Death(at(9), 91, "Ada", 1, 2, explained=True),
        Death(at(9), 92, "Bela", 1, 2, on_arrival=True),
    )
    assert counters(facts(deaths=deaths), at(20)).days_served == 20


def test_a_resident_moved_in_that_dies_is_never_transport() -> None:
    extra = Arrival(at(14), 50, "Resident", mixing_test=True)
    died = Death(at(15), 95, "Resident", 1, 3)
    f = facts(arrivals=(*facts().arrivals, extra), deaths=(died,))
    assert not is_transport(f, died)
    assert [r.entry for r in counters(f, at(16)).proposed] == [95]


def test_transport_is_the_first_72_hours() -> None:
    first, after = Death(at(3, "10:00"), 1, "Ada"), Death(at(3, "10:01"), 2, "Ada")
    assert is_transport(facts(), first)
    assert not is_transport(facts(), after)


def test_the_transport_of_a_fish_is_its_own() -> None:
    f = facts(arrivals=(Arrival(at(0), 10, "Ada"), Arrival(at(8), 60, "Cleo")))
    assert not is_transport(f, Death(at(9), 1, "Ada"))
    assert is_transport(f, Death(at(9), 2, "Cleo"))
    assert is_transport(f, Death(at(8), 3, "Cleo"))
    assert not is_transport(f, Death(at(9), 4, "Nobody knows when"))
    assert is_transport(f, Death(at(9), 5, "Ada", came_in_utc=at(8)))


def test_settled_keep_stays_and_restart_stands_at_once() -> None:
    f = facts(deaths=(Death(at(8), 90, "Ada", 1, 2),))
    keep = replace(f, settled=(Settled(at(9), 97, 90, "keep", "jumped out"),))
    assert counters(keep, at(20)).days_served == 20
    again = replace(f, settled=(Settled(at(9), 97, 90, "restart", "looks catching"),))
    assert counters(again, at(9)).days_served == 1
    assert counters(again, at(8, "12:00")).days_served == 8


def test_the_newest_word_on_a_restart_counts() -> None:
    words = (Settled(at(10), 98, 90, "restart"), Settled(at(9), 97, 90, "keep"))
    f = facts(deaths=(Death(at(8), 90, "Ada", 1, 2),), settled=words)
    assert counters(f, at(20)).days_served == 12


def test_keep_cannot_undo_new_fish_or_a_parasite() -> None:
    f = facts(
        slides=(Slide(at(9), 60, "Ada", (("gill-flukes", 2),)),),
        settled=(Settled(at(9), 97, 60, "keep", "it was only one"),),
    )
    assert counters(f, at(12)).days_served == 3


def test_three_counters_are_never_mixed() -> None:
    f = facts(
        contacts=(Contact(at(10), 60, "net", "South"),),
        looks=(look(16, "Ada", spots=1),),
        temperatures=tuple(spot(d, 300 + d, 20, 22) for d in range(12, 15)),
    )
    count = counters(f, at(20))
    assert (count.days_served, count.sign_free_days, count.warm_days) == (10, 4, 3)


def test_a_new_treatment_restarts_the_sign_free_days_only() -> None:
    doses = (
        DoseGiven(at(5), 60, "salt", "support"),
        DoseGiven(at(6), 61, "praziquantel"),
        DoseGiven(at(13), 62, "praziquantel"),
        DoseGiven(at(15), 63, "formalin"),
    )
    assert counters(facts(doses=doses[:3]), at(20)).sign_free_days == 14
    count = counters(facts(doses=doses), at(20))
    assert (count.sign_free_days, count.days_served) == (5, 20)


def spot(day: int, entry: int, low_c: float, high_c: float, clock: str = "10:00") -> Temperature:
    return Temperature(at(day, clock), entry, low_c, high_c, spot=True)


def test_warm_days_need_the_days_mean_inside_the_window() -> None:
    temperatures = (
        spot(1, 1, 16, 19.9),  # mean 17.95
        spot(2, 2, 16, 20),  # mean 18
        spot(4, 3, 24, 24, "08:00"),
        spot(4, 4, 24, 26.1, "18:00"),  # with the morning 25.05
        spot(6, 5, 24, 26),  # mean 25
    )
    assert counters(facts(temperatures=temperatures), at(6)).warm_days == 2


def test_an_unread_day_between_readings_at_most_36_h_apart_is_counted_by_them() -> None:
    near = (spot(1, 1, 21, 22, "22:00"), spot(3, 3, 21, 22, "10:00"))
    far = (spot(1, 1, 21, 22, "22:00"), spot(3, 3, 21, 22, "10:01"))
    assert counters(facts(temperatures=near), at(6)).warm_dates == {
        date(2026, 3, 11 + n) for n in range(3)
    }
    assert counters(facts(temperatures=far), at(6)).warm_days == 2


def test_the_rooms_night_drop_takes_a_day_out_of_the_window() -> None:
    by_day = tuple(spot(d, d, 19, 19) for d in range(1, 4))
    assert counters(facts(temperatures=by_day), at(3)).warm_days == 3
    dropped = facts(temperatures=by_day, night_drop_c=2.1)  # mean 17.95
    assert counters(dropped, at(3)).warm_days == 0


def test_warm_days_begin_on_the_day_of_the_last_fish_and_end_today() -> None:
    readings = tuple(Temperature(at(d, "09:00"), d + 2, 21, 22) for d in (-1, 0, 1, 2, 3))
    warm = counters(facts(temperatures=readings), at(2, "09:00")).warm_dates
    assert warm == {date(2026, 3, 10), date(2026, 3, 11), date(2026, 3, 12)}


@pytest.mark.parametrize(
    ("mean_c", "warm"), [(17.9, 0), (18.0, 1), (21.0, 1), (25.0, 1), (25.1, 0)]
)
def test_a_plan_without_warm_days_counts_them_by_the_published_window(
    mean_c: float, warm: int
) -> None:
    bare = replace(facts().plan, checks=())
    readings = (spot(1, 5, mean_c, mean_c),)
    assert counters(facts(plan=bare, temperatures=readings), at(2)).warm_days == warm


def test_what_comes_later_is_not_known_yet() -> None:
    f = facts(
        looks=(look(5, "Ada", spots=1), look(9, "Ada", spots=1)),
        doses=(DoseGiven(at(3), 61, "praziquantel"), DoseGiven(at(8), 62, "formalin")),
        deaths=(Death(at(10), 90, "Ada", 1, 2),),
        settled=(Settled(at(12), 97, 90, "keep"),),
    )
    assert counters(f, at(5, "07:59")).sign_free_from == date(2026, 3, 13)
    assert counters(f, at(5, "08:00")).sign_free_from == date(2026, 3, 15)
    assert counters(f, at(8, "09:59")).sign_free_from == date(2026, 3, 15)
    assert counters(f, at(8, "10:00")).sign_free_from == date(2026, 3, 18)
    assert counters(f, at(9)).sign_free_from == date(2026, 3, 19)
    assert counters(f, at(10, "09:59")).proposed == ()
    assert [r.entry for r in counters(f, at(10, "10:00")).proposed] == [90]
    assert [r.entry for r in counters(f, at(12, "09:59")).proposed] == [90]
    assert counters(f, at(12, "10:00")).proposed == ()


def test_a_proposed_restart_counts_as_if_it_stood_until_it_is_settled() -> None:
    f = facts(deaths=(Death(at(10), 90, "Ada", 1, 2),))
    count = counters(f, at(11))
    assert (count.served_from, count.would_serve_from) == (date(2026, 3, 10), date(2026, 3, 20))
    kept = replace(f, settled=(Settled(at(11), 97, 90, "keep"),))
    assert counters(kept, at(11)).would_serve_from == date(2026, 3, 10)


def test_release_stops_every_counter() -> None:
    f = facts(released_utc=at(31))
    assert counters(f, at(90)) == counters(f, at(31))


# Zones whose clocks change at midnight, by half an hour, or that once left out a whole day
# (tz database). A day count made of elapsed hours slips in every one of them.
ZONES = [
    ("Asia/Beirut", "2026-03-20T00:30"),  # midnight of 29 March 2026 does not exist
    ("Africa/Cairo", "2026-04-20T00:30"),  # nor does that of 24 April 2026
    ("America/Santiago", "2026-08-30T00:30"),  # nor does that of 6 September 2026
    ("Australia/Lord_Howe", "2026-03-30T00:30"),  # half an hour back on 5 April 2026
    ("Pacific/Apia", "2011-12-20T00:30"),  # 30 December 2011 was left out
    ("Europe/Lisbon", "2026-03-20T23:30"),
]


@pytest.mark.parametrize(("zone", "came"), ZONES)
@pytest.mark.parametrize("clock", ["00:00", "00:30", "12:00", "23:59"])
def test_day_counts_do_not_slip_when_clocks_change(zone: str, came: str, clock: str) -> None:
    arrived = local(came, zone)
    f = facts(time_zone=zone, arrivals=(Arrival(arrived, 1, "Ada"),))
    day_0 = date.fromisoformat(came[:10])
    for n in range(1, 31):
        day = day_0 + timedelta(n)
        if (zone, day) == ("Pacific/Apia", date(2011, 12, 30)):
            continue
        now = local(f"{day.isoformat()}T{clock}", zone)
        assert counters(f, now).days_served == n, (zone, day)


@given(st.lists(st.tuples(st.integers(0, 60), st.sampled_from(["fish", "net", "slide", "death"]))))
def test_an_event_never_lengthens_the_days_served(events: list[tuple[int, str]]) -> None:
    f = facts()
    now = at(61)
    before = counters(f, now).days_served
    for n, (day, what) in enumerate(events):
        when = at(day, "12:00")
        if what == "fish":
            f = replace(f, arrivals=(*f.arrivals, Arrival(when, 1000 + n, f"F{n}")))
        elif what == "net":
            f = replace(f, contacts=(*f.contacts, Contact(when, 1000 + n, "net", "South")))
        elif what == "slide":
            found = (("skin-flukes", 1),)
            f = replace(f, slides=(*f.slides, Slide(when, 1000 + n, "Ada", found)))
        else:
            f = replace(f, deaths=(*f.deaths, Death(when, 1000 + n, "Ada", 1, 9)))
        after = counters(f, now).days_served
        assert after <= before
        before = after


def test_the_clock_is_an_argument() -> None:
    f = facts()
    assert counters(f, datetime(2026, 3, 9, tzinfo=UTC)).day_0 is None
