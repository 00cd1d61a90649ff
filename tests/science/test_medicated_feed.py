"""Feed with a drug in it, worked out by hand and by the unit rule of the trade."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from intake.science.dose import DoseRequest
from intake.science.dosing import plan_dose
from intake.science.medicated_feed import medicated_feed
from intake.science.treatment import Repeat
from tests.science.doses import READ, D, ask, praziquantel


def fed(mass_g: Decimal, ration: Decimal, days: int = 0, **more: object) -> DoseRequest:
    treatment = praziquantel()
    courses = tuple(
        replace(c, repeat=Repeat(D(24), days, READ) if c.name == "feed" else c.repeat)
        for c in treatment.courses
    )
    return ask(
        replace(treatment, courses=courses), course="feed", fish_mass_g=mass_g,
        ration_percent=ration, volume=None, **more,
    )  # fmt: skip


def test_a_day_and_all_days() -> None:
    """2 kg of fish at 50 mg/kg are 100 mg a day; at 1 % they eat 20 g: 5 g in each kg.

    In three days 300 mg go into 60 g.
    """
    request = fed(D(2000), D(1), days=3)
    feed = medicated_feed(request, plan_dose(request))
    assert feed is not None
    assert (feed.feed_g_per_day, feed.product, feed.product_per_kg) == (D(20), D("0.1"), D(5))
    assert (feed.days, feed.feed_g, feed.product_in_all) == (3, D(60), D("0.3"))
    how = feed.steps("praziquantel")
    assert how[0].startswith("weigh 20 g of feed a day, and mix 0.1 g of praziquantel into it")
    assert how[-1].startswith("for all 3 days: 0.3 g in 60 g of feed")


def test_without_days_there_is_no_total() -> None:
    request = fed(D(2000), D(1))
    feed = medicated_feed(request, plan_dose(request))
    assert feed is not None
    assert feed.days is None
    assert feed.feed_g is None
    assert len(feed.steps("it")) == 2


def test_without_a_ration_there_is_no_feed() -> None:
    request = replace(fed(D(2000), D(1)), ration_percent=None)
    assert medicated_feed(request, plan_dose(request)) is None


@given(st.decimals("10", "5000", places=1), st.decimals("0.2", "4", places=2))
def test_the_unit_rule_of_the_trade(mass_g: Decimal, ration: Decimal) -> None:
    """g per kg of feed = mg per kg of fish / (10 x feeding %): treatment unit rules."""
    request = fed(mass_g, ration)
    answer = plan_dose(request)
    feed = medicated_feed(request, answer)
    assert feed is not None
    rule = answer.target / (10 * ration)
    assert abs(feed.product_per_kg / rule - 1) < D("1e-9")
