"""What is left, against a recurrence in fractions, an ODE solver, and every volume in between."""

from __future__ import annotations

import math
from datetime import timedelta
from fractions import Fraction

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
    Joined,
    Ledger,
    Levelled,
    Portion,
    Regauged,
    Removing,
    Residue,
    ToppedUp,
)
from intake.science.residue import residue
from tests.science.doses import NOW

KINDS = (
    "dose", "share", "litres", "flush", "top-up", "dry", "gauge", "apart", "joined", "line",
    "carbon", "carbon out",
)  # fmt: skip


def at(hours: float) -> timedelta:
    return timedelta(hours=hours)


def same(value: float) -> Residue:
    return Residue(value, value, value)


def event(kind: str, hours: float, size: float) -> Event:
    """One of every kind there is; `size` is 0.02 to 0.6."""
    when = NOW + at(hours)
    litres = size * 60
    made: dict[str, Event] = {
        "dose": Dosed(when, size * 500, size * 500, size * 500),
        "share": Changed(when, share=size, new=same(0.4)),
        "litres": Changed(when, out_l=litres, in_l=litres, new=same(1.1)),
        "flush": Flushed(when, size * 200, new=same(0.2)),
        "top-up": ToppedUp(when, size * 10, new=same(0.3)),
        "dry": Evaporated(when, size * 10),
        "gauge": Regauged(when, 90 + litres, 90 + litres, 90 + litres),
        "apart": Portion(when, 50 + litres, 50 + litres, 50 + litres),
        "joined": Joined(when, litres, litres, litres, same(2.0)),
        "line": Levelled(when, 80 + litres, 80 + litres, 80 + litres, "none", same(0.5)),
        "carbon": Removing(when, 20 + litres, 20 + litres),
        "carbon out": Removing(when, None, None),
    }
    return made[kind]


steps_st = st.lists(
    st.tuples(st.floats(0.0, 200.0), st.sampled_from(KINDS), st.floats(0.02, 0.6)),
    min_size=1,
    max_size=9,
)


def filled(volume: float = 100.0, low: float | None = None, high: float | None = None) -> Filled:
    ends = (volume if low is None else low, volume if high is None else high)
    return Filled(NOW, volume, *ends, same(0.7))


def in_time(steps: list[tuple[float, str, float]]) -> tuple[Event, ...]:
    return tuple(event(kind, hours, size) for hours, kind, size in sorted(steps))


# -- a recurrence in exact fractions, where nothing decays ----------------------------------------


def exactly(start: Filled, events: tuple[Event, ...]) -> Fraction:
    """C after each event from C before it, never by way of the mass."""
    c, v = Fraction(start.level.now), Fraction(start.volume_l)
    for e in events:
        match e:
            case Dosed():
                c += Fraction(e.amount) / v
            case Changed():
                share = Fraction(e.out_l) / v if e.share is None else Fraction(e.share)
                c += min(share, Fraction(1)) * (Fraction(e.new.now) - c)
            case ToppedUp():
                more = Fraction(e.volume_l)
                c, v = (c * v + more * Fraction(e.new.now)) / (v + more), v + more
            case Evaporated():
                c, v = c * v / (v - Fraction(e.volume_l)), v - Fraction(e.volume_l)
            case Regauged():
                c, v = c * v / Fraction(e.volume_l), Fraction(e.volume_l)
            case Portion():
                v = Fraction(e.volume_l)
            case Joined():
                more = Fraction(e.volume_l)
                c, v = (c * v + more * Fraction(e.level.now)) / (v + more), v + more
            case Levelled():
                now = Fraction(e.volume_l)
                c = (c * v + max(now - v, Fraction(0)) * Fraction(e.new.now)) / now
                v = now
    return c


@settings(max_examples=80, deadline=None)
@given(steps_st)
def test_residue_is_a_recurrence(steps: list[tuple[float, str, float]]) -> None:
    """80 histories by default; the flush and the carbon have an exponential in them, see below."""
    found = [s for s in steps if s[1] not in ("flush", "carbon", "carbon out")]
    events = in_time(found)
    level = residue(Ledger("mg/L", filled(), events), NOW + at(250)).now
    assert level == pytest.approx(float(exactly(filled(), events)), rel=1e-9)


# -- an ODE solver, where it does -----------------------------------------------------------------


def integrated(start: Filled, events: tuple[Event, ...], hours: float, half_life: float) -> float:
    """Waits and flushes stepped by a solver, the concentration being what is followed."""
    solve = pytest.importorskip("scipy.integrate").solve_ivp

    def run(rate: float, towards: float, c: float, span: float) -> float:
        if span <= 0.0 or rate == 0.0:
            return c
        done = solve(
            lambda _t, y: rate * (towards - y), (0.0, span), [c], method="DOP853",
            rtol=1e-12, atol=1e-12,
        )  # fmt: skip
        return float(done.y[0][-1])

    own, carbon, clock = math.log(2.0) / half_life, 0.0, 0.0
    c, v = start.level.now, start.volume_l
    for e in events:
        when = (e.at_utc - NOW) / at(1)
        c, clock = run(own + carbon, 0.0, c, when - clock), when
        if isinstance(e, Flushed):
            c = run(1.0 / v, e.new.now, c, e.through_l)
        elif isinstance(e, Removing):
            carbon = math.log(2.0) / e.half_life_low_h if e.half_life_low_h else 0.0
        else:
            c = float(exactly(Filled(NOW, v, v, v, same(c)), (e,)))
            v = volume_after(e, v)
    return run(own + carbon, 0.0, c, hours - clock)


def volume_after(e: Event, v: float) -> float:
    match e:
        case ToppedUp() | Joined():
            return v + e.volume_l
        case Evaporated():
            return v - e.volume_l
        case Regauged() | Portion() | Levelled():
            return e.volume_l
    return v


def check_solver(steps: list[tuple[float, str, float]], half_life: float) -> None:
    events = in_time(steps)
    book = Ledger("mg/L", filled(), events, half_life, half_life)
    found = residue(book, NOW + at(250))
    assert found.low == pytest.approx(found.high, rel=1e-12)
    by_solver = integrated(filled(), events, 250.0, half_life)
    assert found.now == pytest.approx(by_solver, rel=1e-9, abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(steps_st, st.floats(20.0, 500.0))
def test_every_kind_of_event_follows_an_ode_solver(
    steps: list[tuple[float, str, float]], half_life: float
) -> None:
    """20 histories by default, 3,000 in `full`."""
    check_solver(steps, half_life)


@pytest.mark.full
@settings(max_examples=3000, deadline=None)
@given(steps_st, st.floats(20.0, 500.0))
def test_many_histories_follow_an_ode_solver(
    steps: list[tuple[float, str, float]], half_life: float
) -> None:
    check_solver(steps, half_life)


# -- top-ups --------------------------------------------------------------------------------------


@given(st.lists(st.floats(0.5, 30.0), min_size=1, max_size=8))
def test_topped_up_to_the_line_the_same_mass_is_in_the_same_water(litres: list[float]) -> None:
    """Air takes the water and nothing in it: each top-up of what went brings the level back."""
    pairs = [
        e
        for n, each in enumerate(litres, 1)
        for e in (Evaporated(NOW + at(n), each), ToppedUp(NOW + at(n + 0.5), each))
    ]
    dosed = Dosed(NOW, 300.0, 300.0, 300.0)
    start = Filled(NOW, 100.0, 100.0, 100.0)
    dry = residue(Ledger("mg/L", start, (dosed, *pairs[:-1])), NOW + at(99))
    assert dry.now == pytest.approx(300.0 / (100.0 - litres[-1]), rel=1e-12)
    full = residue(Ledger("mg/L", start, (dosed, *pairs)), NOW + at(99))
    assert full.now == pytest.approx(3.0, rel=1e-12)
    assert (full.low, full.high) == pytest.approx((3.0, 3.0), rel=1e-12)


def test_topped_up_over_the_line_thins_and_takes_no_mass() -> None:
    start = Filled(NOW, 100.0, 100.0, 100.0)
    events = (Dosed(NOW, 300.0, 300.0, 300.0), ToppedUp(NOW + at(1), 25.0))
    found = residue(Ledger("mg/L", start, events), NOW + at(2))
    assert found.now * 125.0 == pytest.approx(300.0, rel=1e-12)


def test_a_change_counted_as_top_ups_would_leave_far_too_much() -> None:
    """Half changed twice leaves 25 %; as much poured in without taking any out leaves 50 %."""
    start = Filled(NOW, 100.0, 100.0, 100.0, same(4.0))
    changes = tuple(Changed(NOW + at(n), out_l=50.0, in_l=50.0) for n in (1, 2))
    poured = tuple(ToppedUp(NOW + at(n), 50.0) for n in (1, 2))
    assert residue(Ledger("mg/L", start, changes), NOW + at(3)).now == pytest.approx(1.0)
    assert residue(Ledger("mg/L", start, poured), NOW + at(3)).now == pytest.approx(2.0)


# -- every volume in between ----------------------------------------------------------------------

LOW_L, LIKELY_L, HIGH_L = 70.0, 100.0, 130.0
BETWEEN = 241
"""True volumes tried, both ends among them."""

kept_st = st.lists(
    st.tuples(
        st.floats(0.0, 200.0),
        st.sampled_from(["dose", "share", "litres", "flush", "top-up", "dry"]),
        st.floats(0.02, 0.6),
    ),
    min_size=1,
    max_size=7,
)


@settings(max_examples=40, deadline=None)
@given(kept_st)
def test_the_ends_are_those_of_some_volume_and_no_volume_lies_outside(
    steps: list[tuple[float, str, float]],
) -> None:
    """40 histories at 241 volumes; each end is met by one of them, inside or at the edge."""
    events = in_time(steps)
    when = NOW + at(250)
    start = Filled(NOW, LIKELY_L, LOW_L, HIGH_L)
    found = residue(Ledger("mg/L", start, events), when)
    volumes = [LOW_L + n * (HIGH_L - LOW_L) / (BETWEEN - 1) for n in range(BETWEEN)]
    levels = [residue(Ledger("mg/L", Filled(NOW, v, v, v), events), when).now for v in volumes]
    top, bottom = max(levels), min(levels)
    assert bottom * (1 + 2e-3) + 1e-12 >= found.low >= bottom * (1 - 2e-3) - 1e-12
    assert found.low <= bottom * (1 + 1e-9)
    assert top * (1 - 1e-9) <= found.high <= top * (1 + 2e-3) + 1e-12


@pytest.mark.parametrize("litres", [72.0, 90.0, 115.0, 129.0])
def test_a_flush_is_highest_at_its_own_volume(litres: float) -> None:
    """(D/V) exp(-Q/V) has its top at V = Q, where it is D / (e Q): between the ends."""
    events = (Dosed(NOW, 500.0, 500.0, 500.0), Flushed(NOW + at(1), litres))
    found = residue(Ledger("mg/L", Filled(NOW, LIKELY_L, LOW_L, HIGH_L), events), NOW + at(2))
    assert found.high == pytest.approx(500.0 / (math.e * litres), rel=1e-9)
    edges = [500.0 / v * math.exp(-litres / v) for v in (LOW_L, HIGH_L)]
    assert found.low == pytest.approx(min(edges), rel=1e-9)
    assert found.high > max(edges)


@pytest.mark.parametrize("litres", [36.0, 50.0, 64.0])
def test_a_change_in_litres_is_highest_at_twice_its_size(litres: float) -> None:
    """(D/V)(1 - L/V) has its top at V = 2 L, where it is D / (4 L)."""
    events = (
        Dosed(NOW, 500.0, 500.0, 500.0), Changed(NOW + at(1), out_l=litres, in_l=litres)
    )  # fmt: skip
    found = residue(Ledger("mg/L", Filled(NOW, LIKELY_L, LOW_L, HIGH_L), events), NOW + at(2))
    assert found.high == pytest.approx(500.0 / (4.0 * litres), rel=1e-9)
