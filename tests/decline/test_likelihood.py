"""The marginal likelihood against dense matrices and against statsmodels."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from registry.decline.blocks import block_of, no_sites
from registry.decline.likelihood import integrate
from registry.decline.objective import log_likelihood
from registry.decline.portfolio import select_pavements
from tests.decline.mixed_model import mixed_model, profiled, table_of
from tests.decline.portfolios import expected_parameters, reference_gathered


def without_bounds():
    portfolio = reference_gathered().portfolio
    bounded = np.zeros(len(portfolio.ref), bool)
    bounded[portfolio.observed_pavement[portfolio.sign != 0]] = True
    return select_pavements(portfolio, ~bounded)


def dense_levels(portfolio, parameters):
    """(n, 2): what a and k are multiplied by at each observation."""
    moments = integrate(block_of(portfolio), parameters, no_sites(0))
    return np.stack((np.ones(len(portfolio.spot)), -moments.sums.age), axis=1)


def dense_covariance(portfolio, parameters):
    """(n, n) of the observations."""
    x = dense_levels(portfolio, parameters)
    o_aa, o_ak, o_kk = parameters.omega
    omega = np.array([[o_aa, o_ak], [o_ak, o_kk]])
    tau = np.diag([parameters.tau_a**2, parameters.tau_k**2])
    same_pavement = portfolio.observed_pavement[:, None] == portfolio.observed_pavement
    same_spot = portfolio.spot[:, None] == portfolio.spot
    cov = (x @ omega @ x.T) * same_pavement + (x @ tau @ x.T) * same_spot
    return cov + parameters.sigma**2 * np.eye(len(x))


def dense_log_likelihood(portfolio, parameters):
    drivers = portfolio.spot_driver[portfolio.spot] @ parameters.drivers
    older = dense_levels(portfolio, parameters)[:, 1]
    mean = parameters.mu_a + older * (parameters.mu_k + drivers)
    cov = dense_covariance(portfolio, parameters)
    return multivariate_normal(mean, cov).logpdf(portfolio.ln_rate)


def test_likelihood_is_that_of_dense_matrices():
    portfolio, parameters = without_bounds(), expected_parameters()
    dense = dense_log_likelihood(portfolio, parameters)
    assert log_likelihood(portfolio, parameters) == pytest.approx(dense, abs=1e-8)


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_likelihood_is_that_of_statsmodels_mixedlm():
    portfolio = without_bounds()
    model = mixed_model(table_of(portfolio, expected_parameters()))
    parameters, value = profiled(model, expected_parameters())
    assert log_likelihood(portfolio, parameters) == pytest.approx(value, abs=1e-6)


def test_posterior_of_a_spot_is_that_of_dense_matrices():
    portfolio, parameters = without_bounds(), expected_parameters()
    first = portfolio.ref == portfolio.ref[portfolio.observed_pavement[0]]
    one = select_pavements(portfolio, first)
    moments = integrate(block_of(one), parameters, no_sites(0))
    # Unknowns: a, k of the pavement, then alpha, kappa of each spot.
    spots = len(one.spot_name)
    o_aa, o_ak, o_kk = parameters.omega
    prior = np.zeros((2 + 2 * spots, 2 + 2 * spots))
    prior[:2, :2] = [[o_aa, o_ak], [o_ak, o_kk]]
    prior[2:, 2:] = np.diag([parameters.tau_a**2, parameters.tau_k**2] * spots)
    design = np.zeros((len(one.spot), len(prior)))
    design[:, 0], design[:, 1] = 1, -moments.sums.age
    rows = np.arange(len(one.spot))
    design[rows, 2 + 2 * one.spot], design[rows, 3 + 2 * one.spot] = 1, -moments.sums.age
    precision = np.linalg.inv(prior) + design.T @ design / parameters.sigma**2
    slope = parameters.mu_k + one.spot_driver[one.spot] @ parameters.drivers
    off = one.ln_rate - parameters.mu_a + moments.sums.age * slope
    cov = np.linalg.inv(precision)
    mean = cov @ design.T @ off / parameters.sigma**2
    assert moments.pavement_shift.k[0] == pytest.approx(mean[1])
    for spot in range(spots):
        pick = np.zeros((2, len(prior)))
        pick[0, [0, 2 + 2 * spot]] = 1
        pick[1, [1, 3 + 2 * spot]] = 1
        wanted = pick @ cov @ pick.T
        own_slope = parameters.mu_k + one.spot_driver[spot] @ parameters.drivers
        assert moments.mean.a[spot] == pytest.approx(parameters.mu_a + (pick @ mean)[0])
        assert moments.mean.k[spot] == pytest.approx(own_slope + (pick @ mean)[1])
        assert moments.spread.aa[spot] == pytest.approx(wanted[0, 0])
        assert moments.spread.ak[spot] == pytest.approx(wanted[0, 1])
        assert moments.spread.kk[spot] == pytest.approx(wanted[1, 1])


def test_pavements_without_tests_add_nothing():
    gathered = reference_gathered()
    tested = gathered.portfolio.tests_of_pavements() > 0
    assert not tested.all()
    only = select_pavements(gathered.portfolio, tested)
    parameters = expected_parameters()
    assert log_likelihood(only, parameters) == log_likelihood(gathered.portfolio, parameters)
