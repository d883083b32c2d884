"""A second portfolio, of other pavements and another truth, worked out again by dense matrices."""

from functools import cache

import numpy as np
import pytest

from registry.decline.fit import fit_decline
from registry.decline.outlook import outlooks_of
from registry.decline.parameters import NAMES, Parameters
from registry.decline.portfolio import gather_portfolio
from registry.decline.priors import published_priors
from registry.decline.simulate import SimulateOptions, simulate_records
from tests.decline import dense
from tests.decline.portfolios import AS_OF

OTHER = Parameters(
    mu_a=8.0,
    mu_k=0.38,
    sd_a=0.8,
    sd_k=0.12,
    corr=-0.2,
    tau_a=0.35,
    tau_k=0.08,
    sigma=0.2,
    recovery=np.array([0.2, 0.35, 0.5, 0.6]),
    drivers=np.array([0.2, 0.1, 0.05, 0.15]),
)
STEP = 1e-4


@cache
def portfolio():
    options = SimulateOptions(AS_OF, stopped_mm_h=90.0)
    records = simulate_records(25, OTHER, options, np.random.default_rng(123))
    return records, gather_portfolio(records, AS_OF)


@cache
def fitted():
    return fit_decline(portfolio()[1].portfolio)


@cache
def dense_optimum():
    """Newton steps with slopes of the dense log posterior alone; the fit lends its curvature."""
    ones, priors = dense.pavements_of(portfolio()[0]), published_priors()
    free = np.ones(len(NAMES), bool)

    def height(vector):
        return dense.log_likelihood(ones, vector) + priors.log_density(vector, free)

    vector, covariance = fitted().parameters.vector(), fitted().covariance
    for _ in range(3):
        slope = np.array(
            [(height(vector + away) - height(vector - away)) / (2 * STEP)
             for away in STEP * np.eye(len(NAMES))]
        )  # fmt: skip
        move = covariance @ slope
        vector = vector + move
        if np.max(np.abs(move) / np.sqrt(np.diag(covariance))) < 1e-4:
            break
    return vector, dense.log_likelihood(ones, vector)


def test_it_has_bounds_alone_and_together_and_cleanings_of_every_method():
    found = portfolio()[1].portfolio
    bounds = np.bincount(found.observed_pavement[found.sign != 0], minlength=len(found.ref))
    assert bounds.max() == 2  # two together on one pavement
    assert np.count_nonzero(bounds == 1) > 0
    assert set(found.lists.method) == {0, 1, 2, 3}


def test_log_likelihood_at_the_optimum_agrees():
    assert fitted().converged
    assert fitted().log_likelihood == pytest.approx(dense_optimum()[1], abs=0.01)


def test_parameters_agree_within_the_stated_tolerances():
    wanted, found = Parameters.from_vector(dense_optimum()[0]), fitted().parameters
    for name in ("mu_a", "mu_k", "tau_a", "sigma"):
        assert getattr(found, name) == pytest.approx(getattr(wanted, name), rel=0.01), name
    for name in ("sd_a", "sd_k", "tau_k"):
        assert getattr(found, name) == pytest.approx(getattr(wanted, name), rel=0.03, abs=0.005)
    assert found.recovery == pytest.approx(wanted.recovery, rel=0.03, abs=0.005)
    assert found.drivers == pytest.approx(wanted.drivers, rel=0.03, abs=0.005)


def test_a_and_k_of_every_place_agree():
    records, gathered = portfolio()
    ones, vector = dense.pavements_of(records), dense_optimum()[0]
    outlooks = outlooks_of(gathered.portfolio, fitted().parameters)
    joint, held = outlooks.places.joint, gathered.portfolio
    count = len(held.ref)
    for place in range(len(joint.a)):
        owner = place if place < count else held.spot_pavement[place - count]
        spot = None if place < count else int(gathered.spot_row[place - count])
        driver = held.pavement_driver[owner] if spot is None else held.spot_driver[place - count]
        one = ones[gathered.pavement_row[owner]]
        mean, cov = dense.moments_at(one, vector, spot, driver)
        assert (joint.a[place], joint.k[place]) == pytest.approx(mean, abs=0.005), place
        found = (joint.aa[place], joint.ak[place], joint.kk[place])
        assert found == pytest.approx((cov[0, 0], cov[0, 1], cov[1, 1]), rel=0.02, abs=5e-4), place
