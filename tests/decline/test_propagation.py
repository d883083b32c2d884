"""Bounds against brute force: the probability integrated over everything not known."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import multivariate_normal, norm

from registry.decline.blocks import block_of, no_sites
from registry.decline.likelihood import integrate
from registry.decline.objective import log_likelihood
from registry.decline.portfolio import gather_portfolio
from registry.decline.priors import PRIOR_MEANS
from registry.decline.propagation import settle_sites
from tests.decline.portfolios import AS_OF, Run, hand_records


def portfolio_of(*runs):
    return gather_portfolio(hand_records({"P": "2020-01-01"}, list(runs)), AS_OF).portfolio


def latent(portfolio, parameters):
    """Mean and covariance of all ln I, noise included."""
    moments = integrate(block_of(portfolio), parameters, no_sites(np.count_nonzero(portfolio.sign)))
    x = np.stack((np.ones(len(portfolio.spot)), -moments.sums.age), axis=1)
    o_aa, o_ak, o_kk = parameters.omega
    tau = np.diag([parameters.tau_a**2, parameters.tau_k**2])
    same_spot = portfolio.spot[:, None] == portfolio.spot
    cov = x @ np.array([[o_aa, o_ak], [o_ak, o_kk]]) @ x.T + (x @ tau @ x.T) * same_spot
    return x @ [parameters.mu_a, parameters.mu_k], cov + parameters.sigma**2 * np.eye(len(x))


def settled_log_likelihood(portfolio, parameters):
    block = block_of(portfolio)
    settled = settle_sites(block, parameters, no_sites(len(block.bound)))
    assert settled.at_rest
    moments = integrate(block, parameters, settled.sites)
    return moments.log_likelihood + settled.log_mass.sum()


@pytest.mark.parametrize(("sign", "bound"), [(-1, 150.0), (1, 150.0), (-1, 5e-3), (1, 1e6)])
def test_one_bound_on_a_pavement_is_exact(sign, bound):
    portfolio = portfolio_of(
        Run("P/T1", "2022-01-01T09:00", 2000.0),
        Run("P/T2", "2023-01-01T09:00", 900.0),
        Run("P/T1", "2024-01-01T09:00", bound, sign),
    )
    mean, cov = latent(portfolio, PRIOR_MEANS)
    known, unknown = portfolio.sign == 0, portfolio.sign != 0
    gain = cov[np.ix_(unknown, known)] @ np.linalg.inv(cov[np.ix_(known, known)])
    m = mean[unknown] + gain @ (portfolio.ln_rate - mean)[known]
    v = cov[np.ix_(unknown, unknown)] - gain @ cov[np.ix_(known, unknown)]
    numbers = multivariate_normal(mean[known], cov[np.ix_(known, known)])
    z = sign * (m[0] - np.log(bound)) / np.sqrt(v[0, 0])
    wanted = numbers.logpdf(portfolio.ln_rate[known]) + norm.logcdf(z)
    assert settled_log_likelihood(portfolio, PRIOR_MEANS) == pytest.approx(wanted, abs=1e-9)


def two_bounds():
    return portfolio_of(
        Run("P/T1", "2022-01-01T09:00", 600.0, -1), Run("P/T2", "2023-01-01T09:00", 500.0, -1)
    )


def test_two_bounds_agree_with_the_bivariate_normal():
    """The likelihood in use integrates two bounds: 2e-4. Propagation alone is only its start."""
    portfolio = two_bounds()
    mean, cov = latent(portfolio, PRIOR_MEANS)
    wanted = np.log(multivariate_normal(mean, cov).cdf(portfolio.ln_rate))
    assert settled_log_likelihood(portfolio, PRIOR_MEANS) == pytest.approx(wanted, abs=5e-3)
    assert log_likelihood(portfolio, PRIOR_MEANS) == pytest.approx(wanted, abs=2e-4)


def test_a_bound_moves_the_mean_as_a_truncated_normal():
    portfolio = portfolio_of(Run("P/T1", "2023-01-01T09:00", 150.0, -1))
    block = block_of(portfolio)
    settled = settle_sites(block, PRIOR_MEANS, no_sites(1))
    moments = integrate(block, PRIOR_MEANS, settled.sites)
    age = moments.sums.age[0]
    mean, cov = latent(portfolio, PRIOR_MEANS)
    spread = np.sqrt(cov[0, 0] - PRIOR_MEANS.sigma**2)

    def weight(u):
        f = mean[0] + spread * u
        return norm.pdf(u) * norm.cdf((np.log(150.0) - f) / PRIOR_MEANS.sigma)

    mass, _ = quad(weight, -9, 9)
    first, _ = quad(lambda u: weight(u) * (mean[0] + spread * u), -9, 9)
    found = moments.mean.a[0] - age * moments.mean.k[0]
    assert found == pytest.approx(first / mass, abs=1e-6)


def test_twelve_bounds_on_one_pavement_come_to_rest():
    days = ("2023-01-01", "2023-06-01", "2024-01-01")
    runs = [Run(f"P/T{spot}", f"{day}T09:00", 150.0, -1) for spot in range(4) for day in days]
    block = block_of(portfolio_of(*runs))
    assert settle_sites(block, PRIOR_MEANS, no_sites(12)).at_rest
