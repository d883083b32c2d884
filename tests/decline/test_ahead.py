"""Chances ahead with planned cleanings: by hand, and against the curve of the decline."""

import numpy as np
import pytest

from registry.decline.ahead import PlannedCleaning, ages_ahead, chances_ahead
from registry.decline.curve import decline_curve
from registry.decline.faults import DeclineError
from registry.decline.outlook import DAYS_A_YEAR
from registry.decline.records import METHODS
from tests.decline.portfolios import reference_outlooks

ALL = np.array([0, 1])


def test_ages_by_hand():
    # V = 4 today; cleaned after 1 year (V 5) by r 0.4 leaves 3; after 2 years it is 4
    planned = [PlannedCleaning(1.0, 0.4, np.array([0]))]
    found = ages_ahead(np.array([4.0, 4.0]), np.array([0.5, 1.0, 2.0]), planned)
    assert found == pytest.approx(np.array([[4.5, 3.0, 4.0], [4.5, 5.0, 6.0]]))


def test_two_cleanings_follow_each_other_in_whatever_order_they_are_given():
    # V 4; after 1 year 5 -> 2.5; after 2 years 3.5 -> 1.75; after 3 years 2.75
    planned = [PlannedCleaning(2.0, 0.5, ALL), PlannedCleaning(1.0, 0.5, ALL)]
    for given in (planned, planned[::-1]):
        found = ages_ahead(np.array([4.0, 4.0]), np.array([1.5, 2.0, 3.0]), given)
        assert found[0] == pytest.approx([3.0, 1.75, 2.75])


def test_later_day_without_cleaning_never_has_a_lower_chance():
    outlooks = reference_outlooks()
    found = chances_ahead(outlooks, np.linspace(0, 5, 21))
    known = found[~np.isnan(found).any(axis=1)]
    # near 1 the ratio of two probabilities is rounded by 1.5e-10
    assert len(known) and (np.diff(known, axis=1) >= -1e-9).all()


def test_cleaning_never_raises_a_chance():
    outlooks = reference_outlooks()
    places = np.arange(len(outlooks.places.age))
    ahead = np.linspace(0, 3, 13)
    swept = chances_ahead(outlooks, ahead, [PlannedCleaning(1.0, 0.4, places)])
    bare = chances_ahead(outlooks, ahead)
    assert (swept <= bare + 1e-12)[~np.isnan(bare)].all()
    assert (swept[:, ahead < 1.0] == bare[:, ahead < 1.0])[~np.isnan(bare[:, ahead < 1.0])].all()


def test_cleaned_today_against_the_curve_of_the_decline():
    outlooks = reference_outlooks()
    days = np.array([30, 200, 900])
    recovery = float(outlooks.parameters.recovery[METHODS.index("vacuum")])
    planned = [PlannedCleaning(0.0, recovery, np.array([0]))]
    found = chances_ahead(outlooks, days / DAYS_A_YEAR, planned)[0]
    curve = decline_curve(outlooks, 0, outlooks.portfolio.as_of + days, "vacuum")
    assert found == pytest.approx(curve.p_below, abs=1e-9)


def test_cleaning_before_today_or_of_more_than_all_is_refused():
    with pytest.raises(DeclineError, match="after it"):
        PlannedCleaning(-0.1, 0.4, ALL)
    with pytest.raises(DeclineError, match="from 0"):
        PlannedCleaning(0.1, 1.0, ALL)
