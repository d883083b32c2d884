"""Long times without a test are named; the order in which tests were typed plays no part."""

from datetime import date
from itertools import permutations

import pytest

from registry.measuring.years_untested import Untested, untested_between

DAYS = (date(2014, 6, 3), date(2017, 5, 2), date(2017, 5, 2), date(2019, 5, 2), date(2021, 5, 3))


def test_case_60_years_without_a_test_are_named_whatever_the_order_of_typing():
    told = {untested_between(order) for order in permutations(DAYS)}
    assert told == {
        (Untested(DAYS[0], DAYS[1]), Untested(DAYS[3], DAYS[4])),
    }, "24 months to the day are none"
    assert Untested(DAYS[0], DAYS[1]).years == pytest.approx(1064 / 365.25)


@pytest.mark.parametrize("days", [(), (date(2020, 2, 29),)])
def test_no_test_or_one_leaves_nothing_between(days):
    assert untested_between(days) == ()
