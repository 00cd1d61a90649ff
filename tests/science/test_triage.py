"""Which bag comes first."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from intake.science.triage import Waiting, tan_at_most_n_mg_l, urgency

LIMIT = 0.05
PLAIN = Waiting("waiting", tan_n_mg_l=4.0, nh3_n_mg_l=0.004, hours_packed=18, fish=3, volume_l=5)
RUN = replace(PLAIN, stage="on-its-way", ends=1000.0)


def order(*bags: Waiting) -> list[Waiting]:
    return sorted(bags, key=lambda bag: urgency(bag, LIMIT).key)


def test_from_fish_in_trouble_to_what_is_over() -> None:
    wanted = [
        replace(PLAIN, gasping=True, tan_n_mg_l=0.1),
        replace(RUN, lift_due=True),
        replace(PLAIN, nh3_n_mg_l=0.09),
        replace(PLAIN, nh3_n_mg_l=0.06, tan_n_mg_l=20.0),
        replace(PLAIN, leaked=True),
        replace(PLAIN, tan_n_mg_l=8.0),
        PLAIN,
        replace(PLAIN, hours_packed=6),
        replace(PLAIN, hours_packed=6, fish=1),
        RUN,
        replace(RUN, ends=2000.0),
        replace(PLAIN, stage="across"),
        replace(PLAIN, stage="settled"),
    ]
    assert order(*reversed(wanted)) == wanted
    for first, second in pairwise(wanted):
        assert urgency(first, LIMIT).key < urgency(second, LIMIT).key


def test_the_limit_itself_is_not_over_it() -> None:
    assert urgency(replace(PLAIN, nh3_n_mg_l=0.05), LIMIT).code == "waiting"
    assert urgency(replace(PLAIN, nh3_n_mg_l=0.0500001), LIMIT).code == "nh3"


def test_what_nobody_read_counts_where_it_harms() -> None:
    """8 mg N/kg/h for 24 h at 100 g/L is 19.2 mg/L; 270 g of fish in 5 L are 54 g/L."""
    unread = replace(PLAIN, tan_n_mg_l=None, nh3_n_mg_l=None, hours_packed=24)
    assert tan_at_most_n_mg_l(unread) == pytest.approx(8 * 24 * 54 / 1000)
    dense = replace(unread, fish=None, volume_l=None)
    assert tan_at_most_n_mg_l(dense) == pytest.approx(19.2)
    unknown = replace(dense, hours_packed=None)
    assert tan_at_most_n_mg_l(unknown) > tan_at_most_n_mg_l(dense)
    assert order(PLAIN, unread, dense, unknown) == [unknown, dense, unread, PLAIN]
    assert (
        urgency(unknown, LIMIT).why == "TAN not read, up to 38 mg/L as N, hours packed not known"
    )


def test_a_bag_of_no_fish_is_put_somewhere() -> None:
    assert urgency(Waiting("waiting", fish=0, volume_l=0.0), LIMIT).code == "waiting"
