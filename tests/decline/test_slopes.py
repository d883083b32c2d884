"""The exact slope against differences of the value."""

import numpy as np
import pytest

from registry.decline.blocks import block_of, no_sites
from registry.decline.likelihood import integrate
from registry.decline.objective import Objective, bounds_of
from registry.decline.parameters import NAMES, Parameters
from registry.decline.portfolio import select_pavements
from registry.decline.priors import published_priors
from registry.decline.propagation import settle_sites
from registry.decline.slopes import slopes
from tests.decline.portfolios import expected_parameters, reference_gathered

STEP = 1e-4


def objective():
    free = np.ones(len(NAMES), bool)
    return Objective(reference_gathered().portfolio, published_priors(), free, 1e-11)


@pytest.mark.parametrize("away", [0.0, 0.3], ids=["at the optimum", "far from it"])
@pytest.mark.parametrize("name", NAMES)
def test_slope_is_that_of_central_differences(name, away):
    objective_, place = objective(), NAMES.index(name)
    vector = expected_parameters().vector() + np.linspace(-away, away, len(NAMES))
    step = np.zeros(len(NAMES))
    step[place] = STEP
    ahead, behind = objective_.at(vector + step), objective_.at(vector - step)
    difference = (ahead.log_posterior - behind.log_posterior) / (2 * STEP)
    assert objective_.at(vector).slope[place] == pytest.approx(difference, rel=1e-6, abs=2e-5)


@pytest.mark.parametrize("name", NAMES)
def test_slope_with_several_bounds_on_a_pavement_is_that_of_central_differences(name):
    objective_, place = objective(), NAMES.index(name)
    assert objective_.crowded
    vector = expected_parameters().vector() + np.linspace(-0.1, 0.1, len(NAMES))
    step = np.zeros(len(NAMES))
    step[place] = STEP
    ahead, behind = objective_.sharpened(vector + step), objective_.sharpened(vector - step)
    difference = (ahead.log_posterior - behind.log_posterior) / (2 * STEP)
    # The nodes move with the parameters: value and slope are each as near as there are nodes.
    assert objective_.sharpened(vector).slope[place] == pytest.approx(
        difference, rel=2e-3, abs=0.01
    )


def test_a_spread_of_0_has_no_slope():
    parameters = Parameters(**{**vars(expected_parameters()), "tau_a": 0.0, "tau_k": 0.0})
    portfolio = reference_gathered().portfolio
    block = block_of(select_pavements(portfolio, bounds_of(portfolio) < 2))
    settled = settle_sites(block, parameters, no_sites(len(block.bound)))
    moments = integrate(block, parameters, settled.sites)
    found = slopes(block, parameters, moments, float(settled.sigma_slope.sum()))
    assert (found.tau_a, found.tau_k) == (0.0, 0.0)
    assert np.isfinite(found.vector()).all()
