"""Nonsense beside what `test_fit` holds: each has a stated result or a stated refusal."""

from dataclasses import replace

import numpy as np
import pytest

from registry.decline.backtest import backtest
from registry.decline.faults import DeclineError
from registry.decline.fit import fit_decline
from registry.decline.outlook import outlooks_of
from registry.decline.portfolio import gather_portfolio
from registry.decline.records import Exclusion
from registry.decline.sustainable import NEVER_ENOUGH, sustainable_intervals
from tests.decline.portfolios import AS_OF, Run, hand_records, reference_fit, reference_records

ONE = [Run("P/T1", "2024-05-01T09:00", 900.0)]


def outlooks(records):
    return outlooks_of(gather_portfolio(records, AS_OF).portfolio, reference_fit().parameters)


def test_an_action_level_above_everything_is_due_today_and_has_no_interval():
    found = outlooks(hand_records({"P": "2020-01-01"}, ONE, action_mm_h=1e9))
    assert found.p_below == pytest.approx(1.0)
    assert found.pavement_sweep_by[0] == AS_OF
    assert found.beyond_sweeping.all()
    reasons = {i.reason for i in sustainable_intervals(found, 0, {})}
    assert reasons == {NEVER_ENOUGH}


def test_an_action_level_below_everything_is_never_due():
    found = outlooks(hand_records({"P": "2020-01-01"}, ONE, action_mm_h=1e-9))
    assert np.isnat(found.pavement_sweep_by[0])
    assert found.p_below.max() < 1e-6


@pytest.mark.parametrize("level", [0.0, -254.0, np.inf])
def test_an_action_level_that_is_none_is_refused(level):
    with pytest.raises(DeclineError):
        hand_records({"P": "2020-01-01"}, ONE, action_mm_h=level)


def yearly(rates, place="P/T1"):
    return [Run(place, f"{2021 + n}-05-01T09:00", rate) for n, rate in enumerate(rates)]


@pytest.mark.parametrize(
    ("placed_on", "runs"),
    [
        ("2020-01-01", yearly([900.0] * 4) + yearly([900.0] * 4, "P/T2")),
        ("2020-01-01", yearly([100.0, 1e3, 1e4, 1e5])),
        ("1926-01-01", yearly([900.0] * 4)),
        ("2021-05-01", [Run("P/T1", "2021-05-01T00:00", 900.0)]),
    ],
    ids=["all the same", "ever faster", "100 years old", "at the placing instant"],
)
def test_odd_histories_have_a_stated_result_of_finite_numbers(placed_on, runs):
    portfolio = gather_portfolio(hand_records({"P": placed_on}, runs), AS_OF).portfolio
    fit = fit_decline(portfolio)
    assert fit.converged, fit.message
    found = outlooks_of(portfolio, fit.parameters)
    assert np.all((found.rates.low <= found.rates.rate) & (found.rates.rate <= found.rates.high))
    assert np.all((found.p_below >= 0) & (found.p_below <= 1))
    back = backtest(portfolio)
    assert back.fit.message or back.numbers == len(np.unique([run.spot for run in runs]))


def test_pavement_of_a_thousand_years_is_fitted_or_says_why_not():
    records = hand_records({"P": "1026-01-01"}, yearly([900.0] * 4))
    fit = fit_decline(gather_portfolio(records, AS_OF).portfolio)
    assert fit.converged or "did not come to rest" in fit.message


def test_one_name_for_two_spots_of_a_pavement_is_refused():
    one = reference_records()
    names = one.spots.name.copy()
    rows = np.flatnonzero(one.spots.pavement == one.spots.pavement[0])[:2]
    names[rows] = "T1"
    with pytest.raises(DeclineError, match="same name"):
        replace(one, spots=replace(one.spots, name=names))


def test_a_driver_that_is_neither_yes_no_nor_not_known_is_refused():
    one = reference_records()
    odd = np.full(len(one.pavements.ref), 7, np.int8)
    with pytest.raises(DeclineError):
        replace(one, pavements=replace(one.pavements, heavy_trees=odd))


def test_the_very_same_run_twice_counts_as_two_runs_of_the_day():
    gathered = gather_portfolio(hand_records({"P": "2020-01-01"}, [*ONE, *ONE]), AS_OF)
    assert len(gathered.portfolio.spot) == 1
    assert gathered.portfolio.ln_rate[0] == pytest.approx(np.log(900.0))


def test_a_test_before_placing_is_left_out_and_listed():
    runs = [*ONE, Run("P/T1", "2019-05-01T09:00", 5.0)]
    gathered = gather_portfolio(hand_records({"P": "2020-01-01"}, runs), AS_OF)
    assert len(gathered.portfolio.spot) == 1
    assert np.count_nonzero(gathered.left_out.run != Exclusion.NONE) == 1


def test_no_cleanings_leave_recoveries_at_what_was_thought_before():
    fit = fit_decline(gather_portfolio(hand_records({"P": "2020-01-01"}, ONE), AS_OF).portfolio)
    assert fit.parameters.recovery == pytest.approx([0.15, 0.30, 0.40, 0.65], abs=1e-4)
    assert fit.parameters.drivers == pytest.approx(np.zeros(4), abs=1e-4)


def test_a_history_of_no_length_has_the_outlook_of_a_new_surface():
    found = outlooks(hand_records({"P": str(AS_OF)}, []))
    assert found.places.age[0] == 0
    parameters = reference_fit().parameters
    o_aa, o_ak, o_kk = parameters.omega
    a, k = np.random.default_rng(8).multivariate_normal(
        [parameters.mu_a, parameters.mu_k], [[o_aa, o_ak], [o_ak, o_kk]], 1_000_000
    ).T  # fmt: skip
    new = np.exp(a[k >= 0])  # nothing was lost yet, but k >= 0 tells a little of a
    assert found.rates.rate[0] == pytest.approx(np.median(new), rel=0.005)
    assert found.p_below[0] == pytest.approx(np.mean(new < 254.0), abs=1e-4)


def test_a_pool_without_pavements_has_no_outlook_and_nothing_to_fit():
    portfolio = gather_portfolio(hand_records({}, []), AS_OF).portfolio
    assert not fit_decline(portfolio).converged
    found = outlooks_of(portfolio, reference_fit().parameters)
    assert len(found.rates.rate) == len(found.pavement_sweep_by) == 0
    assert len(found.shares_below.away.expected) == 0
