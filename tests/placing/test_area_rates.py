"""Rates by area with their limits, against published limits, a survey program's and by hand."""

import pytest
from scipy.stats import beta, binomtest

from registry.placing.area_rates import area_rate
from registry.placing.faults import PlacingError


def test_nothing_called_back_of_four_loads():
    """N5: for 0 of n the upper 90 % limit is 1 - 0.1^(1/n); 4 loads: 43.8 %."""
    rate = area_rate([(366.0, 0.0)] * 4)
    assert (rate.share, rate.low) == (0.0, 0.0)
    assert rate.high == pytest.approx(1 - 0.1**0.25) == pytest.approx(0.4377, abs=1e-4)
    assert area_rate([(100.0, 0.0)] * 3).high is None


def test_all_called_back_has_no_upper_limit_below_all():
    rate = area_rate([(100.0, 100.0)] * 5)
    assert (rate.share, rate.high) == (1.0, 1.0)
    assert rate.low == pytest.approx(0.1 ** (1 / 5))


def test_whole_loads_of_one_size_lie_next_to_the_exact_limits():
    """3 of 10 whole loads; SciPy's Clopper and Pearson, two-sided 80 % for two one-sided 90 %.

    The effective number is n - 1 here (the variance divides by it), so ours are a little wider.
    """
    ours = area_rate([(50.0, 50.0)] * 3 + [(50.0, 0.0)] * 7)
    theirs = binomtest(3, 10).proportion_ci(confidence_level=0.80, method="exact")
    assert ours.share == pytest.approx(0.3)
    assert ours.low < theirs.low < 0.3 < theirs.high < ours.high
    nine = beta.ppf([0.1, 0.9], [0.3 * 9, 0.3 * 9 + 1], [0.7 * 9 + 1, 0.7 * 9])
    assert (ours.low, ours.high) == pytest.approx(tuple(nine))


def test_loads_of_two_sizes_worked_by_hand():
    """Areas 2, 1, 1, 1 m2, hit 1, 0, 0, 1: p = 2/5.

    c - p a: 0.2, -0.4, -0.4, 0.6; squares 0.04 + 0.16 + 0.16 + 0.36 = 0.72;
    v = 4/3 x 0.72 / 25 = 0.0384; p (1 - p) / v = 6.25, at most m = 25 / 7 = 3.571.
    """
    ours = area_rate([(2.0, 1.0), (1.0, 0.0), (1.0, 0.0), (1.0, 1.0)])
    m = 25 / 7
    limits = beta.ppf([0.1, 0.9], [0.4 * m, 0.4 * m + 1], [0.6 * m + 1, 0.6 * m])
    assert ours.share == pytest.approx(0.4)
    assert (ours.low, ours.high) == pytest.approx(tuple(limits))


def test_one_large_load_among_small_ones_counts_as_little_more_than_one():
    """100 m2 hit whole, nine of 1 m2 untouched: m = 109^2 / (100^2 + 9) = 1.187."""
    heavy = area_rate([(100.0, 100.0)] + [(1.0, 0.0)] * 9)
    assert heavy.share == pytest.approx(100 / 109)
    assert heavy.low < 0.15 and heavy.high > 0.99


def test_loads_that_all_behave_alike_count_once_each_and_no_more():
    rate = area_rate([(100.0, 10.0)] * 10)
    ten = beta.ppf([0.1, 0.9], [1.0, 2.0], [10.0, 9.0])
    assert (rate.low, rate.high) == pytest.approx(tuple(ten))


def test_no_load_has_no_rate_and_more_than_was_placed_is_refused():
    assert area_rate([]) is None
    for wrong in ((10.0, 11.0), (0.0, 0.0), (10.0, -1.0), (float("nan"), 0.0)):
        with pytest.raises(PlacingError, match="no more can be called back"):
            area_rate([wrong])
