"""An opened bag: what a band and what readings cost, against one run of the bag."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

import pytest

from intake.science.acclimation import acclimate
from intake.science.acclimation_options import outcome
from intake.science.acclimation_rule import DRIP
from intake.science.bag_band import band
from intake.science.bag_courses import open_bag
from intake.science.bag_fit import Point, fitted
from tests.bench.figures import Stopwatch, Table
from tests.science.bags import LIMITS, bag, vessel

pytestmark = pytest.mark.bench

ROUNDS = 5


def shortest_s(of: Callable[[], object], times: int = 1) -> float:
    """Processor time of one call [s], the shortest of some rounds."""
    best = inf
    for _ in range(ROUNDS):
        with Stopwatch() as watch:
            for _ in range(times):
                of()
        best = min(best, watch.spent / times)
    return best


def test_a_band_and_a_fit_against_one_run(table: Table) -> None:
    answer = acclimate(bag(17, 6.4, 5, 8.0, 1.0), vessel(20, 8.0, 6), LIMITS)
    known, drip = answer.known, answer.option(DRIP)
    opened = open_bag(known, minutes=drip.minutes, drip_l_min=known.volume_l / drip.minutes)
    read = [Point(16, 6.9, 0.1), Point(30, 7.2, 0.1), Point(46, 7.4, 0.1)]
    one = shortest_s(lambda: outcome(known.nominal, drip.plan, 15.0, known), 40)
    ends = shortest_s(lambda: band(drip, known, LIMITS, "still"), 2)
    fit = shortest_s(lambda: fitted(opened, read))
    table.most("band of an opened bag, against one run", ends / one, 30.0)
    table.most("readings of an opened bag, against one run", fit / one, 500.0)
