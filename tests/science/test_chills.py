"""Falls of temperature that are watched. Goodwin et al. 2009 (J Fish Dis 32:271): 22 to 10 C.

The limits, 3 C in a day and 2 C between bag and water, are common practice.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from intake.science.chills import WATCH_DAYS, chills
from intake.science.escalation import alerts
from intake.science.quarantine import (
    Arrival,
    Fall,
    Occupant,
    Placed,
    QuarantineFacts,
    Temperature,
)
from tests.science.quarantines import at, facts


def spot(day: int, clock: str, temp_c: float, entry: int = 50, vessel: int = 0) -> Temperature:
    return Temperature(at(day, clock), entry, temp_c, temp_c, spot=True, vessel=vessel)


def read(*temperatures: Temperature) -> QuarantineFacts:
    return facts(temperatures=temperatures)


def told(f: QuarantineFacts, day: int = 9, clock: str = "23:00") -> list[str]:
    return [c.text for c in chills(f, at(day, clock))]


def test_the_published_chill_is_one() -> None:
    (text,) = told(read(spot(4, "10:00", 22), spot(4, "18:00", 10)))
    assert text == "the water fell from 22 to 10 C within 8 h"


@pytest.mark.parametrize(("temp_c", "seen"), [(18.0, False), (17.99, True)])
def test_a_fall_of_more_than_three_degrees(temp_c: float, seen: bool) -> None:
    assert bool(told(read(spot(4, "10:00", 21), spot(4, "18:00", temp_c)))) is seen


def test_three_degrees_are_three_whatever_their_decimals() -> None:
    """20.1 - 17.1 is a little over 3 to a computer."""
    assert told(read(spot(4, "10:00", 20.1), spot(4, "18:00", 17.1))) == []


@pytest.mark.parametrize(("clock", "seen"), [("10:00", True), ("10:01", False)])
def test_within_24_hours(clock: str, seen: bool) -> None:
    assert bool(told(read(spot(4, "10:00", 22), spot(5, clock, 18)))) is seen


def test_a_rise_is_none() -> None:
    assert told(read(spot(4, "10:00", 18), spot(4, "18:00", 26))) == []


def test_a_slow_fall_is_none() -> None:
    assert told(read(*(spot(4 + n, "10:00", 24 - 2 * n) for n in range(5)))) == []


def test_a_fall_over_several_readings_is_told_once_for_each_at_its_furthest() -> None:
    falling = [spot(4, f"{8 + n}:00".zfill(5), 22 - n, entry=50 + n) for n in range(7)]
    found = chills(read(*falling), at(9))
    assert [c.entry for c in found] == [54, 55, 56]
    assert found[-1].text == "the water fell from 22 to 16 C within 6 h"


def test_two_vessels_of_one_water_are_not_compared() -> None:
    apart = read(spot(4, "10:00", 24, vessel=1), spot(4, "11:00", 18, vessel=2))
    assert told(apart) == []
    whole = read(spot(4, "10:00", 24), spot(4, "11:00", 18, vessel=2))
    assert len(told(whole)) == 1


def test_a_min_max_thermometer_cannot_tell_which_came_first() -> None:
    (text,) = told(read(Temperature(at(5, "08:00"), 50, 16, 20)))
    assert "does not say which came first" in text
    assert told(read(Temperature(at(5, "08:00"), 50, 17, 20))) == []


def test_a_min_max_thermometer_and_the_reading_after_it() -> None:
    high = Temperature(at(5, "08:00"), 50, 20, 21.5)
    assert told(read(high, spot(5, "08:00", 18)))
    assert told(read(high, spot(5, "08:01", 18))) == []  # its high may be 24 h and a minute ago


@pytest.mark.parametrize(
    ("low_c", "clock", "seen"),
    [
        (16.9, "08:00", True),
        (17.0, "08:00", False),
        (16.9, "14:00", True),  # six hours late is still a daily reading
        (16.9, "14:01", False),
    ],
)
def test_what_a_min_max_thermometer_shows_below_its_last_low_came_after_it(
    low_c: float, clock: str, seen: bool
) -> None:
    # 20 C at the least when it was read and set back, then 16.9: it fell by 3.1 at the least.
    before = Temperature(at(5, "08:00"), 50, 20, 20.4)
    after = Temperature(at(6, clock), 51, low_c, low_c + 0.5)
    assert bool(told(read(before, after))) is seen
    assert told(read(before, replace(after, low_c=20, high_c=20.5))) == []


def test_falls_of_two_days_are_one_alert_for_every_fish() -> None:
    days = [Temperature(at(4 + n, "08:00"), 50 + n, 22 - 4 * n, 22.5 - 4 * n) for n in range(3)]
    (alert,) = (a for a in alerts(read(*days), at(6, "09:00")) if "twice a day" in a.text)
    assert alert.text.startswith("Look at every fish twice a day")
    assert "within 24 h, entry 52; 1 before it;" in alert.because


def test_a_logger_tells_its_own_falls() -> None:
    warmed = Temperature(
        at(5, "23:00"), 50, 15, 22, since_utc=at(5, "00:00"), fall=Fall(0.4, 2, at(5, "03:00"))
    )
    assert told(read(warmed)) == []
    cooled = replace(warmed, fall=Fall(6.5, 7.5, at(5, "09:00")))
    assert told(read(cooled)) == ["the water fell 6.5 C in 7.5 h by its logger"]


def test_days_of_one_logger_are_not_compared_with_each_other() -> None:
    """The high of a morning and the low of the next one may be over a day apart."""
    days = [
        Temperature(
            at(5 + n, "12:00"), 50, low, low + 1, since_utc=at(5 + n, "00:00"),
            fall=Fall(1, 3, at(5 + n, "06:00")),
        )
        for n, low in enumerate((20, 15))
    ]  # fmt: skip
    assert told(read(*days)) == []
    assert told(read(days[0], replace(days[1], entry=51), spot(5, "20:00", 15, entry=52)))


def test_falls_before_the_first_fish_and_still_to_come_are_none() -> None:
    fall = (
        spot(-1, "08:00", 22),
        spot(-1, "18:00", 15),
        spot(4, "08:00", 22),
        spot(4, "18:00", 15),
    )
    assert len(told(read(*fall))) == 1
    assert told(read(*fall), 4, "17:59") == []
    assert told(replace(read(*fall), arrivals=())) == []


def bag(came: float | None, last: float | None, water: float | None) -> QuarantineFacts:
    return facts(placed=(Placed(at(0), 10, "Ada", came, last, water),))


@pytest.mark.parametrize(
    ("came", "last", "water", "seen"),
    [
        (20, 20, 18, False),  # 2 C: the step fish may make
        (20, 20, 17.9, True),
        (21, 19, 18, False),  # floated, 3 C colder than it came
        (21.1, 19, 18, True),
        (24, 20.5, 18, True),
        (18, 18, 25, False),  # into warmer water
        (None, None, 18, False),
        (22, 22, None, False),  # nobody read the water
        (None, 22, 18, True),
    ],
)
def test_into_water_colder_than_the_bag(
    came: float | None, last: float | None, water: float | None, seen: bool
) -> None:
    assert bool(told(bag(came, last, water))) is seen


def test_the_limits_are_those_of_the_room() -> None:
    strict = replace(bag(20, 20, 18.5), step_c=1.0)
    assert told(strict) == [
        "put into water of 18.5 C, the bag was at 20 C: more than 1 C colder",
    ]
    assert told(replace(read(spot(4, "10:00", 22), spot(4, "18:00", 18)), drop_c=5.0)) == []


def watches(f: QuarantineFacts, day: int) -> list[tuple[str, str]]:
    return [(a.text, a.because) for a in alerts(f, at(day, "12:00")) if "fifty-fold" in a.because]


def test_the_group_is_watched_for_days_and_no_longer() -> None:
    f = read(spot(4, "10:00", 22), spot(4, "18:00", 10))
    ((text, because),) = watches(f, 5)
    assert text.startswith(f"Look at every fish twice a day, {WATCH_DAYS - 1} days more:")
    assert because.startswith("the water fell from 22 to 10 C within 8 h, entry 50")
    assert "does not say that these carry it" in because
    assert watches(f, 4 + WATCH_DAYS) != []
    assert watches(f, 5 + WATCH_DAYS) == []


def test_several_falls_make_one_alert() -> None:
    daily = [
        spot(d, c, t, entry=50 + d) for d in range(3, 7) for c, t in (("08:00", 21), ("20:00", 16))
    ]
    ((_, because),) = watches(read(*daily), 7)
    assert "entry 56" in because
    assert "entry 56; 3 before it;" in because


def test_fish_of_one_bag_make_one_alert_and_another_bag_its_own() -> None:
    names = ("Ada", "Bela", "Cleo")
    f = facts(
        arrivals=tuple(Arrival(at(0), 10 + n, who) for n, who in enumerate(names)),
        present=tuple(Occupant(who) for who in names),
        placed=(
            Placed(at(0), 10, "Ada", 24, 24, 18),
            Placed(at(0), 11, "Bela", 24, 24, 18),
            Placed(at(0), 12, "Cleo", 22, 22, 18),
        ),
    )
    assert [text.split(" twice")[0] for text, _ in watches(f, 1)] == [
        "Look at Ada, Bela", "Look at Cleo",
    ]  # fmt: skip


def test_fish_that_are_gone_are_not_watched() -> None:
    gone = replace(bag(24, 24, 18), present=(Occupant("Bela"),))
    assert told(gone) == []
    fell = replace(read(spot(4, "10:00", 22), spot(4, "18:00", 10)), present=())
    assert told(fell) == []
