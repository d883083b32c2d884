"""The reference portfolio of fixtures/portfolio, worked out by dense matrices and exact truncated
normals as of 2026-06-30T00:00."""

import numpy as np
import pytest

from registry.decline.records import DRIVERS, METHODS
from tests.decline.portfolios import (
    expected,
    reference_fit,
    reference_gathered,
    reference_outlooks,
)

WITHIN_1_PERCENT = ("mu_a", "mu_k", "tau_a", "sigma")
WITHIN_3_PERCENT = ("sd_a", "sd_k", "tau_k")
DAYS, DAYS_OF_CROWDED = 3, 10


def bounds_of_pavements():
    portfolio = reference_gathered().portfolio
    bounds = portfolio.observed_pavement[portfolio.sign != 0]
    return np.bincount(bounds, minlength=len(portfolio.ref))


def places():
    """(place, what is expected there, more than two stopped tests on that pavement)."""
    portfolio, bounds = reference_gathered().portfolio, bounds_of_pavements()
    pavements = len(portfolio.ref)
    for number, ref in enumerate(portfolio.ref):
        wanted = expected()["pavements"][ref]
        yield number, wanted, bounds[number] > 2
        for spot in np.flatnonzero(portfolio.spot_pavement == number):
            if portfolio.tests_of_spots()[spot]:
                name = portfolio.spot_name[spot]
                yield pavements + spot, wanted["points"][name], bounds[number] > 2


def test_all_spots_that_should_be_there_are():
    portfolio = reference_gathered().portfolio
    tested = portfolio.tests_of_spots() > 0
    found = {ref: set() for ref in portfolio.ref}
    for spot in np.flatnonzero(tested):
        found[portfolio.ref[portfolio.spot_pavement[spot]]].add(portfolio.spot_name[spot])
    assert found == {ref: set(e["points"]) for ref, e in expected()["pavements"].items()}


def test_fit_converges_at_the_expected_likelihood():
    fit = reference_fit()
    assert fit.converged, fit.message
    # Expectation propagation alone comes to -204.81; bounds are integrated here.
    assert fit.log_likelihood == pytest.approx(expected()["log_likelihood"], abs=0.005)
    assert fit.log_posterior == pytest.approx(expected()["log_posterior"], abs=0.005)


@pytest.mark.parametrize("name", WITHIN_1_PERCENT)
def test_parameter_is_within_1_percent(name):
    wanted = expected()["parameters"][name]
    assert getattr(reference_fit().parameters, name) == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize("name", WITHIN_3_PERCENT)
def test_parameter_is_within_3_percent(name):
    wanted = expected()["parameters"][name]
    assert getattr(reference_fit().parameters, name) == pytest.approx(wanted, rel=0.03, abs=0.005)


@pytest.mark.parametrize(("group", "names"), [("recovery", METHODS), ("drivers", DRIVERS)])
def test_recoveries_and_drivers_are_within_3_percent(group, names):
    wanted = [expected()["parameters"][group][name] for name in names]
    found = getattr(reference_fit().parameters, group)
    assert found == pytest.approx(wanted, rel=0.03, abs=0.005)


def test_rates_are_within_1_percent_and_of_crowded_pavements_3():
    rates = reference_outlooks().rates
    for place, wanted, crowded in places():
        for name in ("rate", "low", "high"):
            found = getattr(rates, name)[place]
            assert found == pytest.approx(wanted[name], rel=0.03 if crowded else 0.01), place


def test_chances_of_being_below_are_within_0_005_and_of_crowded_pavements_0_02():
    outlooks = reference_outlooks()
    for place, wanted, crowded in places():
        limit = 0.02 if crowded else 0.005
        assert outlooks.p_below[place] == pytest.approx(wanted["p_below"], abs=limit), place


def test_days_to_sweep_by_are_within_3_days_and_of_crowded_pavements_10():
    outlooks = reference_outlooks()
    for place, wanted, crowded in places():
        if wanted["sweep_by"] is None:
            assert np.isnat(outlooks.sweep_by[place]), place
            continue
        off = outlooks.sweep_by[place] - np.datetime64(wanted["sweep_by"])
        assert abs(off.astype(int)) <= (DAYS_OF_CROWDED if crowded else DAYS), place


def test_the_worst_place_decides_for_the_pavement():
    outlooks, bounds = reference_outlooks(), bounds_of_pavements()
    for number, ref in enumerate(outlooks.portfolio.ref):
        wanted = np.datetime64(expected()["pavements"][ref]["pavement_sweep_by"])
        limit = DAYS_OF_CROWDED if bounds[number] > 2 else DAYS
        assert abs((outlooks.pavement_sweep_by[number] - wanted).astype(int)) <= limit, ref


def test_a_and_k_and_their_spreads_agree():
    joint = reference_outlooks().places.joint
    for place, wanted, _ in places():
        assert joint.a[place] == pytest.approx(wanted["a"], abs=0.01)
        assert joint.k[place] == pytest.approx(wanted["k"], abs=0.005)
        assert np.sqrt(joint.aa[place]) == pytest.approx(wanted["sd_a"], rel=0.01)
        assert np.sqrt(joint.kk[place]) == pytest.approx(wanted["sd_k"], rel=0.01)


def test_effective_ages_agree():
    outlooks = reference_outlooks()
    for number, ref in enumerate(outlooks.portfolio.ref):
        wanted = expected()["pavements"][ref]["effective_age"]
        assert outlooks.places.age[number] == pytest.approx(wanted, abs=0.002)
