"""How sharply the log posterior bends, against differences of its slope."""

import numpy as np
import pytest

from registry.decline.information import good_steps, observed_information
from registry.decline.means import MEANS
from registry.decline.objective import Objective
from registry.decline.parameters import NAMES
from registry.decline.priors import published_priors
from tests.decline.portfolios import expected_parameters, reference_gathered
from tests.decline.test_likelihood import without_bounds


def objective_of(portfolio, free=None):
    whole = np.ones(len(NAMES), bool)
    return Objective(portfolio, published_priors(), whole if free is None else free, 1e-11)


def by_differences(objective, vector, step=1e-4):
    rows = []
    for place in np.flatnonzero(objective.free):
        away = np.zeros(len(NAMES))
        away[place] = step
        change = objective.at(vector - away).slope - objective.at(vector + away).slope
        rows.append(change / (2 * step))
    return np.array(rows)


def off(found, expected):
    """The largest difference, in units of the expected curvatures along the diagonal."""
    scale = np.sqrt(np.abs(np.diag(expected)))
    return np.max(np.abs(found - expected) / np.outer(scale, scale))


@pytest.mark.parametrize("small", [True, False], ids=["both sides", "one side"])
def test_observed_information_is_that_of_differences(small, monkeypatch):
    objective = objective_of(without_bounds())
    monkeypatch.setattr("registry.decline.information.LARGE", 5_000 if small else 0)
    vector = expected_parameters().vector() + np.linspace(-0.1, 0.1, len(NAMES))
    step = good_steps(None, len(NAMES))
    found = observed_information(objective, objective.at(vector), step)
    assert np.array_equal(found, found.T)
    assert off(found, by_differences(objective, vector)) < (1e-5 if small else 2e-3)


def test_only_numbers_that_are_free_bend():
    free = np.ones(len(NAMES), bool)
    free[MEANS[[0, 3]]] = False
    objective = objective_of(without_bounds(), free)
    vector = expected_parameters().vector()
    found = observed_information(objective, objective.at(vector), good_steps(None, len(NAMES)))
    assert not found[~free].any() and not found[:, ~free].any()
    assert off(found[np.ix_(free, free)], by_differences(objective, vector)[:, free]) < 1e-5


def test_bounds_bend_means_by_differences():
    objective = objective_of(reference_gathered().portfolio)
    vector = expected_parameters().vector()
    found = observed_information(objective, objective.at(vector), good_steps(None, len(NAMES)))
    held = objective.bend_in_means(vector)
    # A site that stays put makes the surface too sharp or too blunt: the differences must differ.
    assert off(found, by_differences(objective, vector)) < 1e-4
    assert off(held, found[np.ix_(MEANS, MEANS)]) > 1e-3
