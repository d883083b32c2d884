"""Is what it says of its own doubt true?"""

import numpy as np
import pytest

from registry.decline.backtest import backtest, elapsed_years, keep_observations, newest_visits
from registry.decline.faults import DeclineError
from registry.decline.histories import SECONDS_A_YEAR
from registry.decline.portfolio import gather_portfolio
from registry.decline.simulate import SimulateOptions, simulate_records
from tests.decline.portfolios import AS_OF, Run, hand_records, reference_gathered
from tests.decline.test_fit import TRUTH


def test_the_newest_day_of_each_pavement_is_left_out():
    runs = [
        Run("P/T1", "2024-06-01T09:00", 900.0),
        Run("P/T2", "2024-06-01T10:00", 800.0),
        Run("P/T1", "2023-06-01T09:00", 900.0),
        Run("Q/T1", "2023-01-01T09:00", 900.0),
    ]
    records = hand_records({"P": "2022-06-01", "Q": "2022-06-01"}, runs)
    portfolio = gather_portfolio(records, AS_OF).portfolio
    newest = keep_observations(portfolio, newest_visits(portfolio))
    found = sorted(
        zip(newest.ref[newest.observed_pavement], newest.visit_on.astype(str), strict=True)
    )
    assert found == [("P", "2024-06-01"), ("P", "2024-06-01"), ("Q", "2023-01-01")]


def test_elapsed_years_are_those_since_placing():
    portfolio = reference_gathered().portfolio
    since = portfolio.visit_on - portfolio.placed_on[portfolio.observed_pavement]
    years = since.astype(int) * 86_400 / SECONDS_A_YEAR
    assert elapsed_years(portfolio) == pytest.approx(years, abs=1.01 / 365.25)


def test_the_reference_portfolio_is_foretold_better_than_by_simple_ways():
    found = backtest(reference_gathered().portfolio)
    assert found.fit.converged
    assert found.pavements == 46
    assert found.numbers + found.bounds == newest_visits(reference_gathered().portfolio).sum()
    for other in found.comparisons:
        assert other.model_rmse < other.rmse, other.name
        assert other.model_log_score > other.log_score, other.name


def test_nothing_to_foretell_is_refused():
    portfolio = gather_portfolio(hand_records({"P": "2022-06-01"}, []), AS_OF).portfolio
    with pytest.raises(DeclineError, match="no usable"):
        backtest(portfolio)


def test_one_visit_each_leaves_nothing_to_fit_and_says_so():
    records = hand_records({"P": "2022-06-01"}, [Run("P/T1", "2024-06-01T09:00", 900.0)])
    found = backtest(gather_portfolio(records, AS_OF).portfolio)
    assert not found.fit.converged
    assert np.isnan(found.rmse)
    assert found.comparisons == ()


@pytest.mark.slow
@pytest.mark.parametrize("seed", [31, 32, 33, 34])
def test_intervals_on_a_simulated_portfolio_cover_what_they_say(seed):
    options = SimulateOptions(AS_OF, visits=(2, 4))
    records = simulate_records(4_000, TRUTH, options, np.random.default_rng(seed))
    found = backtest(gather_portfolio(records, AS_OF).portfolio)
    assert 0.78 <= found.inside_80 <= 0.82
    assert 0.94 <= found.inside_95 <= 0.96
    assert len(found.comparisons) == 2
    for other in found.comparisons:
        assert other.model_rmse < other.rmse, other.name
        assert other.model_log_score > other.log_score, other.name
