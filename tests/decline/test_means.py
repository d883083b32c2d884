"""The curvature in means and drivers against dense matrices."""

import numpy as np
import pytest

from registry.decline.blocks import block_of, no_sites
from registry.decline.likelihood import integrate
from registry.decline.means import MEANS, bend_in_means
from registry.decline.priors import PRIOR_SDS
from tests.decline.portfolios import expected_parameters
from tests.decline.test_information import objective_of, off
from tests.decline.test_likelihood import dense_covariance, without_bounds


def test_bend_is_weighted_squares_of_dense_matrices():
    portfolio, parameters = without_bounds(), expected_parameters()
    block = block_of(portfolio)
    moments = integrate(block, parameters, no_sites(0))
    age = moments.sums.age[:, None]
    drivers = portfolio.spot_driver[portfolio.spot]
    design = np.hstack((np.ones_like(age), -age, -age * drivers))
    expected = design.T @ np.linalg.solve(dense_covariance(portfolio, parameters), design)
    found = bend_in_means(block, parameters, moments)
    assert np.all(drivers.sum(axis=0) > 0)
    assert off(found, expected) < 1e-10


def test_priors_bend_by_their_precision():
    portfolio = without_bounds()
    objective = objective_of(portfolio)
    vector = expected_parameters().vector()
    plain = bend_in_means(
        block_of(portfolio),
        expected_parameters(),
        integrate(block_of(portfolio), expected_parameters(), no_sites(0)),
    )
    assert objective.priors.bend(objective.free) == pytest.approx(PRIOR_SDS**-2.0)
    added = np.diag(objective.bend_in_means(vector) - plain)
    assert added == pytest.approx(PRIOR_SDS[MEANS] ** -2.0, rel=1e-6)
