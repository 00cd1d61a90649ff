"""How often the shipped treatments may be given against a parasite, and how long one stays."""

from __future__ import annotations

from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

import pytest

from intake.paths import shipped_protocols
from intake.rules.shelf import load_shelf
from intake.science.dose_time import begun_attended
from intake.science.pace import STANDS_ON_D, against, course_against, pace_of, stands_d
from intake.science.treatment import Course, Treatment
from tests.science.parasites import SHIPPED

TREATMENTS = load_shelf([shipped_protocols()])[0].treatments


def course(treatment: str, name: str) -> tuple[Treatment, Course]:
    found = TREATMENTS[treatment].course(name)
    assert found is not None
    return TREATMENTS[treatment], found


@pytest.mark.parametrize(
    ("treatment", "name", "days"),
    [
        ("salt", "stepped", 21),  # nothing takes salt out by itself; its course is 21 days at most
        ("salt", "support", STANDS_ON_D),
        ("salt", "dip", 0),
        ("salt", "bath", 0),
        ("formalin", "long-bath", 0),  # its usual is its lowest, so any loss is under it
        ("methylene-blue", "fish", 5),
        ("chloramine-t", "long-bath", 1),
        ("praziquantel", "bath", 0),
    ],
)
def test_a_dose_covers_the_water_for_as_long_as_it_is_sure_to_stay(
    treatment: str, name: str, days: int
) -> None:
    assert stands_d(*course(treatment, name)) == days


@pytest.mark.parametrize(
    ("treatment", "name", "least_d"),
    [
        ("praziquantel", "long-bath", 3),
        ("trichlorfon", "long-bath", 7),
        ("salt", "stepped", 0),
        ("potassium-permanganate", "long-bath", 7),  # one dose, and another after a week
    ],
)
def test_the_shortest_time_between_two_doses_is_the_files(
    treatment: str, name: str, least_d: float
) -> None:
    assert pace_of(*course(treatment, name)).least_d == least_d


@pytest.mark.parametrize(
    ("treatment", "parasite", "name"),
    [
        ("salt", "white-spot", "stepped"),  # not its first course, which only supports
        ("praziquantel", "gill-flukes", "long-bath"),
        ("praziquantel", "skin-flukes", "long-bath"),
        ("potassium-permanganate", "fish-louse", "short-bath"),
        ("lufenuron", "anchor-worm", "long-bath"),
    ],
)
def test_the_course_meant_is_the_one_given_against_it(
    treatment: str, parasite: str, name: str
) -> None:
    found = course_against(TREATMENTS[treatment], SHIPPED[parasite])
    assert found is not None
    assert found.name == name
    assert against(found, SHIPPED[parasite])


@pytest.mark.parametrize(
    ("treatment", "name", "parasite"),
    [
        ("formalin-malachite", "long-bath", "fish-louse"),  # "useless on fish lice"
        ("fenbendazole", "feed", "gill-flukes"),
    ],
)
def test_what_a_file_says_it_does_not_reach_is_not_meant(
    treatment: str, name: str, parasite: str
) -> None:
    assert not against(course(treatment, name)[1], SHIPPED[parasite])


LISBON = ZoneInfo("Europe/Lisbon")
NIGHT = (time(23), time(6))


@pytest.mark.parametrize(
    ("asked", "lasts_h", "begins"),
    [
        ("10:00", 3, "10:00"),
        ("21:30", 3, "20:00"),
        ("20:00", 3, "20:00"),
        ("23:30", 1, "22:00"),
        ("02:00", 1, "06:00"),
        ("02:00", 0, "06:00"),
    ],
)
def test_nothing_timed_begins_or_ends_in_the_night(
    asked: str, lasts_h: float, begins: str
) -> None:
    # November: Lisbon is on UTC
    at = datetime.combine(datetime(2026, 11, 12, tzinfo=UTC), time.fromisoformat(asked), UTC)
    found = begun_attended(at, lasts_h, LISBON, NIGHT)
    assert f"{found:%d %H:%M}" == f"12 {begins}"
    assert begun_attended(at, lasts_h, LISBON, None) == at
