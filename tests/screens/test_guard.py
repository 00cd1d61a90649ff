"""Drips, held keys and the tap that opened the screen."""

from __future__ import annotations

from intake.screens.guard import Guard


class Tick:
    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def made() -> tuple[Guard, Tick]:
    tick = Tick()
    return Guard(tick), tick


def test_the_same_key_within_400_ms_is_dropped() -> None:
    guard, tick = made()
    assert not guard.drops("a")
    tick.now += 0.39
    assert guard.drops("a")
    tick.now += 0.41
    assert not guard.drops("a")


def test_another_key_is_not_a_drip() -> None:
    guard, tick = made()
    assert not guard.drops("a")
    tick.now += 0.05
    assert not guard.drops("s")


def test_a_held_key_never_answers_twice() -> None:
    guard, tick = made()
    assert not guard.drops("enter")
    for _ in range(200):
        tick.now += 0.033
        assert guard.drops("enter")


def test_keys_are_dead_for_300_ms_after_a_screen_appears() -> None:
    guard, tick = made()
    guard.screen_appeared()
    tick.now += 0.29
    assert guard.drops("enter")
    tick.now += 0.42
    assert not guard.drops("enter")


def test_moving_may_be_held() -> None:
    guard, tick = made()
    guard.screen_appeared()
    for _ in range(5):
        tick.now += 0.01
        assert not guard.drops("down")


def test_a_number_typed_fast_keeps_all_its_digits() -> None:
    guard, tick = made()
    assert not guard.drops("w")
    guard.screen_appeared()
    tick.now += 0.05
    assert guard.drops("w", typing=True)  # the key that opened the field
    for digit in ("9", "9", "period", "9"):
        tick.now += 0.05
        assert not guard.drops(digit, typing=True)
    tick.now += 0.02
    assert guard.drops("enter")  # still within the dead time: enter would act
