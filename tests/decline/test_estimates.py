"""Drivers and recoveries in words, with what is behind them."""

from dataclasses import replace

import numpy as np
import pytest

from registry.decline.estimates import (
    OPEN,
    DriverEstimate,
    Estimate,
    estimate_drivers,
    estimate_parameters,
    estimate_recoveries,
)
from registry.decline.faults import DeclineError
from registry.decline.fit import fit_decline
from registry.decline.options import FitOptions
from registry.decline.parameters import NAMES
from registry.decline.portfolio import gather_portfolio
from registry.decline.records import METHODS
from tests.decline.portfolios import (
    AS_OF,
    Run,
    expected,
    hand_records,
    reference_fit,
    reference_gathered,
    reference_records,
)


def drivers():
    found = estimate_drivers(reference_fit(), reference_gathered().portfolio, 0.95)
    return {driver.name: driver for driver in found}


def recoveries():
    found = estimate_recoveries(reference_fit(), reference_gathered().portfolio, 0.95)
    return {recovery.name: recovery for recovery in found}


def test_every_parameter_lies_in_its_interval():
    found = estimate_parameters(reference_fit(), 0.95)
    assert [estimate.name for estimate in found] == list(NAMES)
    assert all(estimate.low < estimate.value < estimate.high for estimate in found)


def test_a_wider_level_gives_wider_intervals():
    for low, high in zip(
        *(estimate_parameters(reference_fit(), p) for p in (0.8, 0.95)), strict=True
    ):
        assert high.low < low.low < low.high < high.high


def test_times_the_loss_is_the_loss_with_over_the_loss_without():
    given = expected()["parameters"]
    trees = drivers()["heavy_trees"]
    wanted = (given["mu_k"] + given["drivers"]["heavy_trees"]) / given["mu_k"]
    assert trees.times.value == pytest.approx(wanted, rel=0.01)
    assert trees.words == (
        f"heavy trees: {trees.times.value:.1f} times the loss, "
        f"{trees.times.low:.1f} to {trees.times.high:.1f}"
    )


def test_drivers_say_how_many_pavements_and_tests_are_behind_them():
    portfolio, records = reference_gathered().portfolio, reference_records()
    tested = portfolio.tests_of_pavements()
    trees = records.pavements.heavy_trees == 1
    found = drivers()["heavy_trees"]
    assert found.places == np.count_nonzero(trees & (tested > 0))
    assert found.tests == tested[trees].sum()


def test_recoveries_say_which_cleanings_are_behind_them():
    portfolio = reference_gathered().portfolio
    found = recoveries()
    wash = found["wash_and_vacuum"]
    assert wash.share.value == pytest.approx(0.69, abs=0.01)
    assert "takes away 69 % of the clogging" in wash.words
    counted = dict.fromkeys(METHODS, 0)
    for pavement in range(len(portfolio.ref)):
        mine = portfolio.observed_pavement == pavement
        last = portfolio.passed[mine].max(initial=0)
        first = portfolio.lists.first[pavement]
        for method in portfolio.lists.method[first : first + last]:
            counted[METHODS[method]] += 1
    assert {name: recovery.cleanings for name, recovery in found.items()} == counted


def test_what_nothing_is_behind_is_not_decided():
    portfolio = gather_portfolio(
        hand_records({"P": "2022-06-01"}, [Run("P/T1", "2024-06-01T09:00", 900.0)]), AS_OF
    ).portfolio
    fit = fit_decline(portfolio)
    words = [d.words for d in estimate_drivers(fit, portfolio, 0.95)]
    words += [r.words for r in estimate_recoveries(fit, portfolio, 0.95)]
    assert all("not decided" in word for word in words)


def test_what_was_given_and_not_found_has_no_interval_and_says_so():
    portfolio = reference_gathered().portfolio
    given = FitOptions(fixed=("heavy_trees", "vacuum"), start=reference_fit().parameters)
    fit = fit_decline(portfolio, given)
    assert fit.converged
    trees = {d.name: d.words for d in estimate_drivers(fit, portfolio, 0.95)}["heavy_trees"]
    vacuum = {r.name: r.words for r in estimate_recoveries(fit, portfolio, 0.95)}["vacuum"]
    for words in (trees, vacuum):
        assert words.endswith(OPEN)
        assert "nan" not in words
    assert drivers()["run_on_edge"].times.is_known


def test_a_fit_that_did_not_converge_has_no_intervals():
    fit = replace(reference_fit(), covariance=None)
    with pytest.raises(DeclineError, match="did not converge"):
        estimate_parameters(fit, 0.95)


@pytest.mark.parametrize(
    ("value", "low", "high", "words"),
    [(1.5, 1.2, 1.9, "heavy trees: 1.5 times the loss, 1.2 to 1.9"),
     (3.51, 0.52, 24.1, "heavy trees: 3.5 times the loss, 0.5 to 24: no difference is shown"),
     (0.6, 0.42, 0.81, "heavy trees: 0.6 times the loss, 0.4 to 0.8"),
     (1.7, 1.02, 3.1, "heavy trees: 1.7 times the loss, 1.0 to 3.1: no difference is shown")],
)  # fmt: skip
def test_driver_whose_interval_holds_once_the_loss_is_not_said_to_matter(value, low, high, words):
    gamma, times = (Estimate("heavy_trees", v, low, high) for v in (0.1, value))
    assert DriverEstimate("heavy_trees", gamma, times, 3, 9).words == words
