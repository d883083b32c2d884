"""How sure a visit is: hand-worked values, worked example N5 and SciPy's own distributions."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from registry.measuring import (
    InvalidSample,
    TooFew,
    binomial_upper,
    estimate_certainty,
    geometric_mean,
    is_below,
    share_below,
    t_quantile,
)


def test_geometric_mean_and_interval_by_hand():
    # mean ln 5.644891, sd ln 0.894849, t(3) = 3.18245
    sure = estimate_certainty([100, 200, 400, 800])
    assert sure.n == 4
    assert sure.geometric_mean == pytest.approx(282.843, abs=5e-4)
    assert sure.spread == pytest.approx(2.44697, abs=5e-6)
    assert sure.low == pytest.approx(68.10, abs=5e-3)
    assert sure.high == pytest.approx(1174.73, abs=5e-3)


def test_worked_example_n5():
    sure = estimate_certainty([150, 400, 640, 310])
    assert sure.geometric_mean == pytest.approx(330, abs=0.5)
    assert sure.lower_90 == pytest.approx(201, abs=0.5)


def test_one_value_is_its_own_geometric_mean_and_has_no_interval():
    assert geometric_mean([240]) == pytest.approx(240)
    assert isinstance(estimate_certainty([240]), TooFew)


@pytest.mark.parametrize("n", [0, 1, 2, 3])
def test_under_four_is_too_few(n):
    refused = estimate_certainty([100.0, 200.0, 300.0][:n])
    assert (refused.code, refused.n) == ("too_few", n)


def test_a_bound_among_the_results_withholds_the_mean():
    assert estimate_certainty([100, 200, 300, 400], bounds=1).code == "bounds"


@pytest.mark.parametrize("rates", [[], [0.0], [100, -1], [math.nan], [math.inf]])
def test_rates_that_cannot_be_have_no_mean(rates):
    with pytest.raises(InvalidSample):
        geometric_mean(rates)


@pytest.mark.parametrize(
    ("below", "n", "percent"), [(0, 3, 54), (0, 6, 32), (0, 22, 10), (1, 6, 51)]
)
def test_worked_example_n5_share_below(below, n, percent):
    assert 100 * binomial_upper(below, n) == pytest.approx(percent, abs=0.5)


@given(st.integers(1, 60), st.data())
def test_binomial_limit_against_scipy_clopper_pearson(n, data):
    below = data.draw(st.integers(0, n))
    exact = stats.binomtest(below, n, alternative="less").proportion_ci(0.90, "exact").high
    assert binomial_upper(below, n) == pytest.approx(exact, rel=1e-9)


def test_zero_below_is_one_minus_the_root_of_a_tenth():
    assert binomial_upper(0, 7) == pytest.approx(1 - 0.1 ** (1 / 7), rel=1e-12)


@given(st.floats(0.01, 0.99), st.integers(1, 200))
def test_t_quantile_against_scipy(probability, degrees):
    assert t_quantile(probability, degrees) == pytest.approx(
        stats.t.ppf(probability, degrees), rel=1e-8, abs=1e-9
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: t_quantile(1, 3),
        lambda: t_quantile(0.9, 0),
        lambda: binomial_upper(4, 3),
        lambda: binomial_upper(0, 0),
    ],
)
def test_senseless_questions_are_refused(call):
    with pytest.raises(ValueError, match=r"probability|below"):
        call()


def test_share_below_counts_what_a_bound_leaves_open_as_below():
    share = share_below([(100, ""), (3.9, "<"), (19.6, "<"), (5, ""), (8, ">")], 12.5)
    assert (share.n, share.below, share.undecided) == (5, 2, 2)
    assert share.upper_90 == pytest.approx(binomial_upper(4, 5))
    assert share_below([], 12.5).code == "none"


@pytest.mark.parametrize(
    ("rate", "sign", "state"),
    [(12.5, "", False), (12.4, "", True), (12.5, "<", True), (12.6, "<", None),
     (12.5, ">", False), (12.4, ">", None)],
)  # fmt: skip
def test_which_side_of_the_level_a_rate_or_bound_lies(rate, sign, state):
    assert is_below(rate, sign, 12.5) is state


@given(st.lists(st.floats(1, 1e4), min_size=4, max_size=12), st.floats(0.01, 100))
def test_the_unit_scales_every_number_of_the_interval(rates, factor):
    one, other = estimate_certainty(rates), estimate_certainty([r * factor for r in rates])
    assert other.geometric_mean == pytest.approx(one.geometric_mean * factor, rel=1e-6)
    assert other.low == pytest.approx(one.low * factor, rel=1e-6)
    assert other.spread == pytest.approx(one.spread, rel=1e-6)
    assert one.low <= one.geometric_mean <= one.high
