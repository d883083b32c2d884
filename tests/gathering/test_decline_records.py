"""What of the record the decline of all pavements takes in, judged as the record judges it.

Left out are: rain in the 24 hours before, void, another method's reading, a spot tested under 24
hours earlier on another day. What else keeps a run out of its spot's own trend does not.
"""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from registry.actions.judge_tests import judge_tests
from registry.decline.portfolio import gather_portfolio
from registry.decline.records import Exclusion
from registry.gathering.decline_records import gather_records
from registry.models import InfiltrationTest
from tests.factories import CleaningFactory, InfiltrationTestFactory, PavementFactory, SpotFactory

pytestmark = pytest.mark.django_db
ON = date(2026, 6, 30)
NINE = datetime(2024, 5, 6, 9, tzinfo=UTC)


@pytest.fixture
def spot():
    return SpotFactory(pavement=PavementFactory(placed_on=date(2020, 5, 1)))


def pour(spot, at, **given):
    given = {"started_at": at, "rain_within_24_h": "no", **given}
    return InfiltrationTestFactory(spot=spot, pavement=spot.pavement, started_on=at.date(), **given)


def gathered(spot):
    """Rates and reasons by the portfolio, once the record has judged the tests."""
    judge_tests([spot.pavement_id])
    found = gather_portfolio(gather_records([spot.pavement_id], on=ON).records, np.datetime64(ON))
    return np.exp(found.portfolio.ln_rate).tolist(), found.left_out.run.tolist()


def rate(row):
    row.refresh_from_db()
    return row.result_rate_mm_h


def test_a_test_soon_after_a_wash_is_out_of_its_spot_s_trend_and_in_the_decline_of_all(spot):
    row = pour(spot, NINE)
    CleaningFactory(
        pavement=spot.pavement,
        done_on=NINE.date() - timedelta(days=1),
        started_at=NINE - timedelta(hours=20),
        method="wash_and_vacuum",
    )
    rates, why = gathered(spot)
    assert (rates, why) == ([pytest.approx(rate(row))], [Exclusion.NONE])
    assert (row.use, row.use_code) == ("looked_at", "washed_within_48h")


@pytest.mark.parametrize(("odd", "left_out"), [
    ({"rain_within_24_h": "yes"}, Exclusion.RAIN), ({"seal_leaking": "yes"}, Exclusion.OTHER),
    ({"crack_in_ring": "yes"}, Exclusion.OTHER),
])  # fmt: skip
def test_a_wash_does_not_bring_in_what_is_out_for_another_reason(spot, odd, left_out):
    pour(spot, NINE, **odd)
    CleaningFactory(
        pavement=spot.pavement,
        done_on=NINE.date(),
        started_at=NINE - timedelta(hours=2),
        method="wash_and_vacuum",
    )
    assert gathered(spot) == ([], [left_out])


def test_a_spot_tested_under_24_hours_earlier_is_left_out_and_shown_as_such(spot):
    pour(spot, NINE)
    pour(spot, NINE + timedelta(hours=23))
    assert gathered(spot)[1] == [Exclusion.NONE, Exclusion.TESTED_WITHIN_24_H]


def test_a_quick_pour_is_none_of_the_two_runs_that_are_averaged(spot):
    pour(spot, NINE, method="quick_pour")
    first = pour(spot, NINE + timedelta(minutes=20), run=2, seconds=50.0)
    second = pour(spot, NINE + timedelta(minutes=40), run=3, seconds=70.0)
    rates, why = gathered(spot)
    assert why == [Exclusion.OTHER_METHOD, Exclusion.NONE, Exclusion.NONE]
    assert rates == [pytest.approx((rate(first) + rate(second)) / 2)]


def test_a_third_drained_run_is_shown_as_such(spot):
    for nth in range(3):
        pour(spot, NINE + timedelta(minutes=20 * nth), run=nth + 1)
    assert gathered(spot)[1] == [Exclusion.NONE, Exclusion.NONE, Exclusion.THIRD_RUN]


def test_without_clocks_runs_come_in_the_order_of_their_numbers(spot):
    """A stopped run after a drained one is no bound; by value alone it would come first."""
    second = pour(spot, NINE, started_at=None, run=2, water=8.0, seconds=1800.0, ended="stopped")
    first = pour(spot, NINE, started_at=None, run=1)
    assert gathered(spot) == (
        [pytest.approx(rate(first))],
        [Exclusion.BOUND_AFTER_A_RUN, Exclusion.NONE],
    )
    assert InfiltrationTest.objects.get(pk=second.pk).use == "bound"
