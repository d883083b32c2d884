"""Several bounds on one pavement against random draws of everything not known."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from scipy.special import log_ndtr

from registry.decline.blocks import block_of, no_sites
from registry.decline.crowded import exact_slopes, own_square, weigh_nodes
from registry.decline.likelihood import integrate
from registry.decline.nodes import Grid
from registry.decline.objective import bounds_of
from registry.decline.portfolio import gather_portfolio, select_pavements
from registry.decline.posterior import places_of
from registry.decline.propagation import settle_sites
from registry.decline.slopes import slopes
from tests.decline.dense_outlook import CLAIMS, Laid, Numbers
from tests.decline.portfolios import expected, expected_parameters, reference_gathered
from tests.decline.second_records import AS_OF, records_of
from tests.decline.second_rows import Lot, Place, Run, noon


def weighed(grid):
    portfolio = reference_gathered().portfolio
    block = block_of(select_pavements(portfolio, bounds_of(portfolio) > 1))
    parameters = expected_parameters()
    settled = settle_sites(block, parameters, no_sites(len(block.bound)))
    moments = integrate(block, parameters, settled.sites)
    exact = weigh_nodes(block, parameters, moments, settled.sites, grid)
    return block, moments, exact


def test_the_nodes_used_are_as_good_as_many_more():
    block, moments, few = weighed(Grid())
    _, _, many = weighed(Grid((24, 6), (20, 5)))
    assert few.log_mass == pytest.approx(many.log_mass, abs=1e-3)
    assert few.spot_mean.a == pytest.approx(many.spot_mean.a, abs=1e-3)
    assert few.spot_mean.k == pytest.approx(many.spot_mean.k, abs=1e-3)
    assert few.spot_spread.aa == pytest.approx(many.spot_spread.aa, rel=2e-3)
    squares = [own_square(block, expected_parameters(), moments, e).a for e in (few, many)]
    assert squares[0] == pytest.approx(squares[1], rel=2e-3)


def test_moments_are_those_of_weighted_random_draws():
    block, moments, exact = weighed(Grid())
    parameters, rng, draws = expected_parameters(), np.random.default_rng(5), 400_000
    # The first pavement only. Draws come from a wider prior, so that the tails are reached.
    rows = block.bound[block.spot_pavement[block.spot[block.bound]] == 0]
    spots = np.unique(block.spot[rows])
    o_aa, o_ak, o_kk = parameters.omega
    pavement = rng.multivariate_normal([0, 0], 1.5 * np.array([[o_aa, o_ak], [o_ak, o_kk]]), draws)
    prior = np.array([[o_aa, o_ak], [o_ak, o_kk]])
    log_weight = np.zeros(draws)
    inverse = np.linalg.inv(prior)
    log_weight += -0.5 * np.einsum("ni,ij,nj->n", pavement, inverse, pavement) * (1 - 1 / 1.5)
    sampled = {}
    for spot in spots:
        a = parameters.mu_a + pavement[:, 0] + rng.normal(0, parameters.tau_a, draws)
        slope = parameters.mu_k + block.driver[spot] @ parameters.drivers
        k = slope + pavement[:, 1] + rng.normal(0, parameters.tau_k, draws)
        sampled[spot] = a, k
        for row in np.flatnonzero(block.spot == spot):
            off = block.ln_rate[row] - (a - moments.sums.age[row] * k)
            log_weight += log_chance(off / parameters.sigma, block.sign[row])
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    for spot, (a, k) in sampled.items():
        assert exact.spot_mean.a[spot] == pytest.approx(weight @ a, abs=0.03)
        assert exact.spot_mean.k[spot] == pytest.approx(weight @ k, abs=0.01)


def log_chance(z, sign):
    return log_ndtr(-sign * z) if sign else -0.5 * z**2


def test_crowded_pavement_of_the_reference_has_its_exact_moments():
    _, _, exact = weighed(Grid())
    wanted = expected()["pavements"]["P0030"]["points"]
    for spot, name in enumerate(("T1", "T2", "T3", "T4")):
        assert exact.spot_mean.a[spot] == pytest.approx(wanted[name]["a"], abs=2e-3)
        assert np.sqrt(exact.spot_spread.aa[spot]) == pytest.approx(wanted[name]["sd_a"], abs=2e-3)
        assert exact.spot_mean.k[spot] == pytest.approx(wanted[name]["k"], abs=1e-3)


def test_with_one_bound_nodes_and_propagation_agree_since_that_is_exact():
    portfolio = reference_gathered().portfolio
    single = bounds_of(portfolio) == 1
    block, parameters = block_of(select_pavements(portfolio, single)), expected_parameters()
    settled = settle_sites(block, parameters, no_sites(len(block.bound)))
    moments = integrate(block, parameters, settled.sites)
    exact = weigh_nodes(block, parameters, moments, settled.sites, Grid((24, 6), (20, 5)))
    assert exact.log_mass == pytest.approx(settled.log_mass, abs=1e-6)
    assert exact.spot_mean.a == pytest.approx(moments.mean.a, abs=1e-6)
    assert exact.spot_spread.kk == pytest.approx(moments.spread.kk, abs=1e-6)
    found = exact_slopes(block, parameters, moments, exact).vector()
    wanted = slopes(block, parameters, moments, float(settled.sigma_slope.sum())).vector()
    assert found == pytest.approx(wanted, abs=1e-4)


def test_a_pavement_of_bounds_alone_is_known_as_well_as_by_dense_sums():
    """Nothing holds its rate but bounds, and pavements differ widely: the hardest to sum."""
    stopped = Run(noon(date(2025, 5, 6)), 1800.0, "stopped")
    places = [Place(f"T{nth}", "field", [stopped]) for nth in (1, 2, 3)]
    lot = Lot("clogged", date(2022, 3, 21), dict.fromkeys(CLAIMS, "no"), places=places)
    lot.cleanings.append((noon(date(2023, 5, 6)), "broom"))
    parameters = replace(expected_parameters(), sd_a=1.4, sigma=0.15)
    mean, cov = Laid(lot, Numbers(parameters.vector())).moments(None)
    found = places_of(gather_portfolio(records_of((lot,)), AS_OF).portfolio, parameters).joint
    assert found.a[0] == pytest.approx(mean[0], abs=5e-3)
    assert found.k[0] == pytest.approx(mean[1], abs=1e-3)
    assert np.sqrt(found.aa[0]) == pytest.approx(np.sqrt(cov[0, 0]), rel=5e-3)
    assert np.sqrt(found.kk[0]) == pytest.approx(np.sqrt(cov[1, 1]), rel=2e-3)
