from __future__ import annotations

import math
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.science.ledger import (
    Changed,
    Dosed,
    Evaporated,
    Event,
    Filled,
    Flushed,
    Found,
    Joined,
    Ledger,
    Levelled,
    Portion,
    Regauged,
    Removing,
    Residue,
    ToppedUp,
)
from intake.science.residue import ahead, residue
from tests.science.doses import NOW


def at(hours: float) -> datetime:
    return NOW + timedelta(hours=hours)


def filled(volume: float = 100.0, low: float | None = None, high: float | None = None) -> Filled:
    return Filled(NOW, volume, volume if low is None else low, volume if high is None else high)


def dosed(hours: float, amount: float) -> Dosed:
    return Dosed(at(hours), amount, amount, amount)


def ledger(*events: Event, start: Filled | None = None, **half_lives: float) -> Ledger:
    return Ledger(
        "mg/L",
        start or filled(),
        events,
        half_lives.get("low"),
        half_lives.get("high"),
    )


def level(book: Ledger, hours: float) -> float:
    found = residue(book, at(hours))
    assert found.low <= found.now <= found.high
    return found.now


# -- published and worked figures -----------------------------------------------------------------


def test_two_half_changes_leave_a_quarter() -> None:
    book = ledger(dosed(0, 200.0), Changed(at(1), share=0.5), Changed(at(2), share=0.5))
    assert level(book, 3) == pytest.approx(0.5, rel=1e-12)
    by_litres = ledger(
        dosed(0, 200.0), Changed(at(1), out_l=50, in_l=50), Changed(at(2), out_l=50, in_l=50)
    )
    assert level(by_litres, 3) == pytest.approx(0.5, rel=1e-12)


@pytest.mark.parametrize(("volumes", "left"), [(1.0, 0.368), (0.5, 0.61)])
def test_a_volume_flushed_through_leaves_more_than_a_change(volumes: float, left: float) -> None:
    """Progressive Fish-Culturist 47(1):69-70 (1985): half a volume renews 39 %."""
    book = ledger(dosed(0, 100.0), Flushed(at(1), volumes * 100))
    assert level(book, 1) == pytest.approx(left, abs=0.005)
    assert level(book, 1) == pytest.approx(math.exp(-volumes), rel=1e-12)


def test_evaporation_and_its_top_up_change_nothing() -> None:
    dry = ledger(dosed(0, 100.0), Evaporated(at(1), 20))
    assert level(dry, 2) == pytest.approx(1.25)
    assert level(ledger(*dry.events, ToppedUp(at(3), 20)), 4) == pytest.approx(1.0)


def test_new_water_may_be_dosed_already() -> None:
    salt = Residue(3.0, 3.0, 3.0)
    book = ledger(dosed(0, 300.0), Changed(at(1), share=0.4, new=salt))
    assert level(book, 2) == pytest.approx(3.0)
    by_litres = ledger(dosed(0, 300.0), Changed(at(1), out_l=40, in_l=40, new=salt))
    assert level(by_litres, 2) == pytest.approx(3.0)
    flushed = ledger(dosed(0, 300.0), Flushed(at(1), 250, new=salt))
    assert level(flushed, 2) == pytest.approx(3.0)
    topped = ledger(dosed(0, 300.0), ToppedUp(at(1), 25, new=salt))
    assert level(topped, 2) == pytest.approx(3.0)


def test_a_change_may_take_out_more_than_it_puts_in() -> None:
    book = ledger(dosed(0, 100.0), Changed(at(1), out_l=50, in_l=25), dosed(2, 75.0))
    assert level(book, 3) == pytest.approx((50 + 75) / 75)


def test_taking_out_more_than_there_is_leaves_nothing() -> None:
    book = ledger(dosed(0, 100.0), Changed(at(1), out_l=150, in_l=100), dosed(2, 30.0))
    assert level(book, 1) == 0
    assert level(book, 2) == pytest.approx(0.3)


def test_nothing_is_known_before_the_fill_nor_counted_before_it_happens() -> None:
    book = ledger(dosed(5, 100.0), dosed(-5, 900.0))
    assert residue(book, at(-1)) == Residue(0.0, 0.0, 0.0)
    kept = Filled(NOW, 100.0, 100.0, 100.0, Residue(2.0, 1.0, 3.0))
    assert residue(ledger(start=kept), NOW) == kept.level
    assert level(book, 4.999) == 0
    assert level(book, 5) == 1.0


def test_events_are_taken_in_time_whatever_order_they_came_in() -> None:
    events = (dosed(0, 200.0), Changed(at(1), share=0.5), dosed(2, 100.0))
    assert level(ledger(*events), 3) == level(ledger(*reversed(events)), 3) == 2.0


def test_a_half_life_is_a_range() -> None:
    """Praziquantel, established systems: 8 days the first time, 2 days later (Thomas 2016)."""
    book = ledger(dosed(0, 200.0), low=24.0, high=96.0)
    found = residue(book, at(96))
    assert found.low == pytest.approx(2 / 16)
    assert found.now == pytest.approx(2 / 4)  # 48 h, the middle by ratio
    assert found.high == pytest.approx(2 / 2)


def test_an_open_slow_end_keeps_it_all() -> None:
    found = residue(ledger(dosed(0, 200.0), low=24.0), at(24))
    assert (found.low, found.now, found.high) == pytest.approx((1.0, 2.0, 2.0))


def test_carbon_takes_it_out_perhaps() -> None:
    book = ledger(dosed(0, 200.0), Removing(at(0), 1.0), Removing(at(3), None))
    found = residue(book, at(30))
    assert (found.low, found.now, found.high) == pytest.approx((0.25, 2.0, 2.0))
    surely = ledger(dosed(0, 200.0), Removing(at(0), 1.0, 4.0), Removing(at(4), None))
    found = residue(surely, at(30))
    assert (found.low, found.now, found.high) == pytest.approx((2 / 16, 2 / 4, 1.0))


def test_a_doubtful_dose_keeps_its_ends() -> None:
    book = ledger(Dosed(at(0), 200.0, 150.0, 260.0), Changed(at(1), share=0.5))
    assert residue(book, at(2)) == Residue(1.0, 0.75, 1.3)


def test_isolating_and_rejoining_keep_the_concentration_and_mix_by_volume() -> None:
    book = ledger(dosed(0, 300.0), Portion(at(1), 60, 60, 60))
    assert level(book, 2) == pytest.approx(3.0)
    treated = Residue(8.0, 7.0, 9.0)
    rejoined = ledger(*book.events, Joined(at(3), 40, 40, 40, treated))
    found = residue(rejoined, at(4))
    assert found.now == pytest.approx((60 * 3 + 40 * 8) / 100)
    assert found.low == pytest.approx((60 * 3 + 40 * 7) / 100)
    assert found.high == pytest.approx((60 * 3 + 40 * 9) / 100)


def test_a_new_tape_changes_what_the_same_dose_means() -> None:
    book = ledger(dosed(0, 300.0), Regauged(at(1), 80, 75, 90))
    found = residue(book, at(2))
    assert found.now == pytest.approx(300 / 80)
    assert found.low == pytest.approx(300 / 90)
    assert found.high == pytest.approx(300 / 75)


def test_all_of_it_leaving_leaves_no_water_and_no_residue() -> None:
    book = ledger(dosed(0, 300.0), Portion(at(1), 0, 0, 0))
    assert level(book, 2) == 0
    assert level(ledger(*book.events, Flushed(at(3), 10)), 4) == 0
    assert level(ledger(*book.events, ToppedUp(at(3), 10), dosed(4, 10.0)), 5) == pytest.approx(1)


def test_water_that_all_left_may_be_changed_or_portioned_and_still_holds_nothing() -> None:
    empty = (dosed(0, 300.0), Portion(at(1), 0, 0, 0))
    changed = ledger(*empty, Changed(at(3), out_l=5, in_l=10), dosed(4, 10.0))
    assert level(changed, 5) == pytest.approx(1)
    assert level(ledger(*empty, Portion(at(3), 10, 10, 10)), 4) == 0


def test_less_than_a_litre_is_water_like_any_other() -> None:
    """A fry cup of 0.8 L: every event acts as it does in a tub."""
    cup = filled(0.8)
    full = (dosed(0, 0.8),)
    assert level(ledger(*full, start=cup), 1) == pytest.approx(1)
    halved = ledger(*full, Changed(at(1), out_l=0.4, in_l=0.4), start=cup)
    assert level(halved, 2) == pytest.approx(0.5)
    flushed = ledger(*full, Flushed(at(1), 0.8), start=cup)
    assert level(flushed, 2) == pytest.approx(math.exp(-1))
    assert level(ledger(*full, Portion(at(1), 0.4, 0.4, 0.4), start=cup), 2) == pytest.approx(1)


def test_however_much_evaporates_a_hundredth_of_the_water_is_left() -> None:
    assert level(ledger(dosed(0, 100.0), Evaporated(at(1), 150)), 2) == pytest.approx(100)


def test_removal_adds_to_the_decay_of_its_own() -> None:
    """Two halvings a day, one of each: a quarter is left, also after the last event."""
    book = ledger(dosed(0, 200.0), Removing(at(0), 24.0, 24.0), low=24.0, high=24.0)
    assert level(book, 24) == pytest.approx(0.5)
    assert level(ledger(*book.events, dosed(24, 0.0), low=24.0, high=24.0), 48) == pytest.approx(
        0.125
    )


def test_a_reading_of_the_thing_itself_never_raises_the_low_end_nor_lowers_the_high() -> None:
    """2 mg/L (1.5 to 2.5) dosed in 100 L. More found counts, less found frees nothing."""
    dose = Dosed(at(0), 200.0, 150.0, 250.0)
    more = ledger(dose, Found(at(1), Residue(3.0, 2.8, 3.2)))
    assert residue(more, at(2)) == Residue(3.0, 1.5, 3.2)
    less = ledger(dose, Found(at(1), Residue(1.0, 0.9, 1.1)))
    assert residue(less, at(2)) == Residue(2.0, 0.9, 2.5)


# -- the volume's doubt ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("event", "ends", "top"),
    [
        # (D/V) exp(-Qt/V) is highest at V = Qt: 1.506 / 1.533 / 1.498 at 200 / 240 / 300 L
        (Flushed(at(1), 240), (1.506, 1.498), 1.533),
        # (D/V)(1 - L/V) at V = 2 L: 1.860 / 1.923 / 1.856 at 220 / 260 / 320 L
        (Changed(at(1), out_l=130, in_l=130), (1.860, 1.856), 1.923),
    ],
)
def test_the_top_may_lie_inside_the_range_of_volumes(
    event: Event, ends: tuple[float, float], top: float
) -> None:
    low, high = (200, 300) if isinstance(event, Flushed) else (220, 320)
    exact = [level(ledger(dosed(0, 1000.0), event, start=filled(v)), 2) for v in (low, high)]
    assert exact == pytest.approx(list(ends), abs=6e-4)
    book = ledger(dosed(0, 1000.0), event, start=filled(low + 50, low, high))
    found = residue(book, at(2))
    assert found.high == pytest.approx(top, abs=6e-4)
    assert found.high > max(exact)
    best = 240 if isinstance(event, Flushed) else 260
    peak = level(ledger(dosed(0, 1000.0), event, start=filled(best)), 2)
    assert found.high == pytest.approx(peak, rel=1e-9)
    assert found.low == pytest.approx(min(exact), rel=1e-9)


@pytest.mark.parametrize("best", [201.0, 299.0])
def test_a_top_next_to_an_end_of_the_volume_is_found_too(best: float) -> None:
    """(D/V) exp(-Q/V) is highest at V = Q, here a litre inside the smallest or largest water."""
    flush = Flushed(at(1), best)
    found = residue(ledger(dosed(0, 1000.0), flush, start=filled(250, 200, 300)), at(2))
    peak = level(ledger(dosed(0, 1000.0), flush, start=filled(best)), 2)
    assert found.high == pytest.approx(peak, rel=1e-9)


RISE = Levelled(NOW + timedelta(hours=1), 125, 100, 150, "none", Residue(1.0, 1.0, 1.0))


@pytest.mark.parametrize(
    ("events", "low", "now", "high"),
    [
        # 25 L of 1 mg/L came in: (100 + 20)/100, (100 + 25)/125, (100 + 30)/150
        ((RISE,), 130 / 150, 1.0, 1.2),
        # half of it taken aside, 10 mg into that: D/V + 10/part
        ((Portion(at(1), 50, 40, 60), dosed(2, 10.0)), 1.0, 1.2, 1.5),
        # as the same tape reads it, clean water let in: 100/(80 + 30), 100/150, 100/(120 + 70)
        ((Joined(at(1), 50, 30, 70, Residue(0, 0, 0)),), 100 / 190, 100 / 150, 100 / 110),
        # 40 L changed, then the tape read again: 50/60, 60/80, 66.7/100
        (
            (Changed(at(1), out_l=40, in_l=40), Regauged(at(2), 80, 60, 100)),
            2 / 3,
            0.75,
            5 / 6,
        ),
    ],
)
def test_the_doubt_of_a_tape_is_one_and_the_same_in_every_volume_it_read(
    events: tuple[Event, ...], low: float, now: float, high: float
) -> None:
    """100 mg in 100 L (80 to 120): small water stays small, and the likely stays the likely."""
    found = residue(ledger(dosed(0, 100.0), *events, start=filled(100, 80, 120)), at(9))
    assert (found.low, found.now, found.high) == pytest.approx((low, now, high))


events_st = st.lists(
    st.tuples(
        st.floats(0.0, 200.0),
        st.sampled_from(["dose", "share", "litres", "flush", "top-up", "dry"]),
        st.floats(0.02, 0.6),
    ),
    min_size=1,
    max_size=8,
)


def happened(kind: str, hours: float, size: float) -> Event:
    new = Residue(0.4, 0.4, 0.4)
    made: dict[str, Event] = {
        "dose": dosed(hours, size * 500),
        "share": Changed(at(hours), share=size, new=new),
        "litres": Changed(at(hours), out_l=size * 60, in_l=size * 60, new=new),
        "flush": Flushed(at(hours), size * 200),
        "top-up": ToppedUp(at(hours), size * 10),
        "dry": Evaporated(at(hours), size * 10),
    }
    return made[kind]


@settings(max_examples=60, deadline=None)
@given(events_st, st.floats(80.0, 120.0), st.floats(0.0, 1.0))
def test_every_volume_and_every_decay_inside_the_ranges_lies_inside(
    steps: list[tuple[float, str, float]], true_l: float, lean: float
) -> None:
    events = tuple(happened(kind, hours, size) for hours, kind, size in steps)
    book = ledger(*events, start=filled(100, 80, 120), low=30.0, high=200.0)
    found = residue(book, at(250))
    half_life = 30.0 * (200.0 / 30.0) ** lean
    true = ledger(*events, start=filled(true_l), low=half_life, high=half_life)
    assert found.low * (1 - 1e-6) <= level(true, 250) <= found.high * (1 + 1e-6)


# -- a line that was read ---------------------------------------------------------------------


def read(hours: float, litres: float, gone: str, new: Residue | None = None) -> Levelled:
    return Levelled(at(hours), litres, litres, litres, gone, new or Residue(0.0, 0.0, 0.0))


@pytest.mark.parametrize(
    ("gone", "low", "now"), [("none", 1.25, 1.25), ("all", 1.0, 1.0), ("perhaps", 1.0, 1.25)]
)
def test_a_fall_takes_what_its_cause_takes(gone: str, low: float, now: float) -> None:
    """100 mg in 100 L, 80 L left: 1.25 mg/L where it evaporated, 1 where it ran out."""
    found = residue(ledger(dosed(0, 100.0), read(1, 80.0, gone)), at(2))
    assert (found.low, found.now, found.high) == pytest.approx((low, now, now))


def test_a_rise_brings_what_the_new_water_holds() -> None:
    """100 mg and 25 L of 0.4 mg/L are 110 mg in 125 L."""
    some = read(1, 125.0, "perhaps", Residue(0.4, 0.0, 0.4))
    found = residue(ledger(dosed(0, 100.0), some), at(2))
    assert (found.low, found.now, found.high) == pytest.approx((0.8, 0.88, 0.88))


def test_rain_that_may_run_off_by_itself_takes_nothing_at_the_high_end() -> None:
    found = residue(ledger(dosed(0, 100.0), Flushed(at(1), 100.0, surely=False)), at(2))
    assert (found.low, found.now, found.high) == pytest.approx((math.exp(-1), math.exp(-1), 1.0))


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.8, 1.2),
    st.lists(st.tuples(st.floats(0.5, 1.5), st.booleans()), min_size=1, max_size=6),
)
def test_whatever_a_fall_was_lies_inside(lean: float, lines: list[tuple[float, bool]]) -> None:
    """The tape's doubt is one and the same; each fall ran out or evaporated, nobody knows."""
    read_so = [
        Levelled(at(n), 100 * share, 80 * share, 120 * share)
        for n, (share, _) in enumerate(lines, 1)
    ]
    found = residue(ledger(dosed(0, 100.0), *read_so, start=filled(100, 80, 120)), at(99))
    held, volume = 100.0, 100 * lean
    for share, ran_out in lines:
        after = 100 * lean * share
        if after < volume and ran_out:
            held *= after / volume
        volume = after
    assert found.low * (1 - 1e-6) <= held / volume <= found.high * (1 + 1e-6)


# -- against an independent integration ----------------------------------------------------------


def integrated(book: Ledger, hours: float) -> float:
    """The same events with the waits and flushes stepped by an ODE solver instead."""
    solve = pytest.importorskip("scipy.integrate").solve_ivp
    rate = math.log(2) / book.half_life_low_h if book.half_life_low_h else 0.0

    def run(f: object, held: float, span: float) -> float:
        if span == 0 or held == 0:
            return held
        # a loose absolute tolerance would make the oracle the worse of the two
        done = solve(f, (0, span), [held], method="DOP853", rtol=1e-12, atol=1e-300)
        return float(done.y[0][-1])

    held, volume, clock = 0.0, book.start.volume_l, 0.0
    for event in sorted(book.events, key=lambda e: e.at_utc):
        when = (event.at_utc - NOW).total_seconds() / 3600
        held = run(lambda _t, m: -rate * m, held, when - clock)
        clock = when
        match event:
            case Dosed():
                held += event.amount
            case Changed():
                gone = event.out_l if event.share is None else event.share * volume
                held += (event.new.now - held / volume) * gone
            case Flushed():
                held = run(lambda _t, m, v=volume: -m / v, held, event.through_l)
            case ToppedUp():
                volume += event.volume_l
            case Evaporated():
                volume -= event.volume_l
    return run(lambda _t, m: -rate * m, held, hours - clock) / volume


@settings(max_examples=60, deadline=None)
@given(events_st, st.floats(5.0, 500.0))
def test_residue_follows_an_independent_solver(
    steps: list[tuple[float, str, float]], half_life: float
) -> None:
    events = tuple(happened(kind, hours, size) for hours, kind, size in steps)
    book = ledger(*events, low=half_life, high=half_life)
    assert level(book, 250) == pytest.approx(integrated(book, 250), rel=1e-9, abs=1e-200)


@given(st.lists(st.floats(0.0, 400.0), min_size=1, max_size=5))
def test_ahead_is_residue_at_each_time(hours: list[float]) -> None:
    book = ledger(dosed(0, 200.0), Changed(at(48), share=0.3), low=24.0, high=96.0)
    times = [at(h) for h in hours]
    assert ahead(book, times) == tuple(residue(book, t) for t in times)
