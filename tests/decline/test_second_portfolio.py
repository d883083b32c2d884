"""A second portfolio, of every odd case, worked out again by dense matrices from its rows.

Tolerances are those set for the reference portfolio, wider where more than two
tests of a pavement were bounds.
"""

from datetime import date
from functools import cache

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from registry.decline.fit import fit_decline
from registry.decline.outlook import outlooks_of
from registry.decline.parameters import NAMES, Parameters
from registry.decline.records import METHODS, REASONS, Exclusion
from registry.decline.sustainable import LONGEST_YEARS, sustainable_intervals
from tests.decline.dense_outlook import (
    PRIOR_MEAN,
    PRIOR_SD,
    Numbers,
    cut,
    log_likelihood,
    log_posterior,
    lot_outlook,
    observed,
)
from tests.decline.second_records import second_gathered
from tests.decline.second_rows import second_lots

STEP = 1e-4


@cache
def fitted():
    return fit_decline(second_gathered().portfolio)


@cache
def found():
    return outlooks_of(second_gathered().portfolio, fitted().parameters)


@cache
def optimum():
    """Newton steps with slopes of the dense log posterior alone; the fit lends its curvature."""
    lots = second_lots()
    vector, covariance = fitted().parameters.vector(), fitted().covariance
    for _ in range(4):
        slope = np.array(
            [(log_posterior(lots, vector + away) - log_posterior(lots, vector - away)) / (2 * STEP)
             for away in STEP * np.eye(len(NAMES))]
        )  # fmt: skip
        move = covariance @ slope
        vector = vector + move
        if np.max(np.abs(move) / np.sqrt(np.diag(covariance))) < 1e-3:
            return vector
    raise AssertionError("the dense log posterior did not come to rest")


@cache
def wanted():
    return {lot.ref: lot_outlook(lot, optimum()) for lot in second_lots()}


@cache
def places():
    """(name, what is wanted, place of the model, whether many tests were bounds) of every place."""
    held = second_gathered().portfolio
    rows = {ref: row for row, ref in enumerate(held.ref.tolist())}
    spots = {
        (held.ref[owner], name): len(held.ref) + nth
        for nth, (owner, name) in enumerate(
            zip(held.spot_pavement.tolist(), held.spot_name.tolist(), strict=True)
        )
    }
    listed = []
    for lot in second_lots():
        many = sum(seen.sign != 0 for seen in observed(lot)) > 2
        one = wanted()[lot.ref]
        listed.append((lot.ref, one, rows[lot.ref], many))
        for name, point in one["points"].items():
            listed.append((f"{lot.ref} {name}", point, spots[lot.ref, name], many))
    return listed


def decided():
    return [one for one in places() if one[1]["p_below"] is not None]


def days_apart(day, wanted_on):
    """Days between two dates; none may be missing but both together."""
    if np.isnat(day) or wanted_on is None:
        assert np.isnat(day) and wanted_on is None, (day, wanted_on)
        return 0
    return abs((day.astype(date) - wanted_on).days)


def test_the_dense_chance_of_bounds_is_that_of_another_program():
    cov = np.array([[1.0, 0.5, 0.3, 0.2], [0.5, 1.2, 0.4, 0.3], [0.3, 0.4, 0.9, 0.5],
                    [0.2, 0.3, 0.5, 1.1]])  # fmt: skip
    mean, edge = np.array([0.2, -0.3, 0.1, 0.4]), np.array([0.1, 0.2, -0.6, 0.3])
    chance = multivariate_normal(mean, cov, abseps=1e-8, releps=1e-8, maxpts=400_000).cdf(edge)
    below = -np.ones(4)
    assert cut(mean, cov, edge, below)[0] == pytest.approx(chance, rel=2e-5)
    total, middle, spread = cut(mean, cov, edge, below, moments=True)
    assert total == pytest.approx(chance, rel=2e-5)
    drawn = np.random.default_rng(5).multivariate_normal(mean, cov, 400_000)
    kept = drawn[(drawn < edge).all(axis=1)]
    assert middle == pytest.approx(kept.mean(axis=0), abs=5 / np.sqrt(len(kept)))
    assert spread == pytest.approx(np.cov(kept.T), abs=0.03)


def test_every_odd_case_is_in_it():
    held, why = second_gathered().portfolio, second_gathered().left_out.run
    bounds = np.bincount(held.observed_pavement[held.sign != 0], minlength=len(held.ref))
    assert bounds.max() >= 4
    assert set(held.sign.tolist()) == {-1, 0, 1}
    assert set(held.lists.method.tolist()) == set(range(len(METHODS)))
    for reason in (
        Exclusion.RAIN, Exclusion.VOID, Exclusion.OTHER_METHOD, Exclusion.TESTED_WITHIN_24_H,
        Exclusion.AFTER_A_BOUND, Exclusion.BOUND_AFTER_A_RUN, Exclusion.THIRD_RUN,
    ):  # fmt: skip
        assert np.count_nonzero(why == reason) > 0, REASONS[reason]
    lots = second_lots()
    assert any("nk" in lot.claims.values() for lot in lots)
    assert any(lot.skips for lot in lots) and any(lot.life_of for lot in lots)
    assert any(
        when == run.at
        for lot in lots for when, _ in lot.cleanings for place in lot.places for run in place.runs
    )  # fmt: skip
    assert any((lot.placed_on.month, lot.placed_on.day) == (2, 29) for lot in lots)


def test_the_same_observations_are_chosen():
    chosen = second_gathered().portfolio
    count = {lot.ref: len(observed(lot)) for lot in second_lots()}
    told = dict(zip(chosen.ref.tolist(), chosen.tests_of_pavements().tolist(), strict=True))
    assert told == count
    rates = sorted(seen.y for lot in second_lots() for seen in observed(lot))
    assert sorted(chosen.ln_rate.tolist()) == pytest.approx(rates, abs=1e-12)


def test_log_likelihood_at_the_optimum_agrees():
    assert fitted().converged
    dense = log_likelihood(second_lots(), optimum())
    assert fitted().log_likelihood == pytest.approx(dense, abs=0.5)
    same = log_likelihood(second_lots(), fitted().parameters.vector())
    assert fitted().log_likelihood == pytest.approx(same, abs=0.05)


def test_the_priors_are_those_of_the_table():
    z = (fitted().parameters.vector() - PRIOR_MEAN) / PRIOR_SD
    prior = -0.5 * z @ z - np.log(PRIOR_SD * np.sqrt(2 * np.pi)).sum()
    assert fitted().log_posterior - fitted().log_likelihood == pytest.approx(prior, abs=1e-9)


def test_parameters_agree_within_the_stated_tolerances():
    dense, fit = Parameters.from_vector(optimum()), fitted().parameters
    for name in ("mu_a", "mu_k", "tau_a", "sigma"):
        assert getattr(fit, name) == pytest.approx(getattr(dense, name), rel=0.01), name
    for name in ("sd_a", "sd_k", "tau_k"):
        assert getattr(fit, name) == pytest.approx(getattr(dense, name), rel=0.03, abs=0.005), name
    assert fit.recovery == pytest.approx(dense.recovery, rel=0.03, abs=0.005)
    assert fit.drivers == pytest.approx(dense.drivers, rel=0.03, abs=0.005)


def test_effective_age_of_every_place_agrees():
    # The recoveries differ a little between the two, and with them the ages.
    for name, one, place, _ in places():
        assert found().places.age[place] == pytest.approx(one["effective_age"], rel=0.01), name


def test_a_and_k_of_every_place_agree():
    joint = found().places.joint
    for name, one, place, many in places():
        near = 0.03 if many else 0.01
        assert joint.a[place] == pytest.approx(one["a"], abs=near), name
        assert joint.k[place] == pytest.approx(one["k"], abs=near), name
        assert np.sqrt(joint.aa[place]) == pytest.approx(one["sd_a"], rel=near, abs=0.002), name
        assert np.sqrt(joint.kk[place]) == pytest.approx(one["sd_k"], rel=near, abs=0.002), name


def test_rate_and_interval_of_every_place_agree():
    rates = found().rates
    for name, one, place, many in places():
        for end in ("rate", "low", "high"):
            got = getattr(rates, end)[place]
            assert got == pytest.approx(one[end], rel=0.03 if many else 0.01), (name, end)


def test_chance_and_day_of_every_place_agree():
    for name, one, place, many in decided():
        near = 0.02 if many else 0.005
        assert found().p_below[place] == pytest.approx(one["p_below"], abs=near), name
        days = days_apart(found().sweep_by[place], one["sweep_by"])
        assert days <= (10 if many else 3), name
        assert bool(found().beyond_sweeping[place]) == one["beyond"], name


def test_no_action_level_gives_rates_and_no_chance():
    undecided = [one for one in places() if one[1]["p_below"] is None]
    assert len(undecided) == 2
    for _, _, place, _ in undecided:
        assert np.isnan(found().p_below[place]) and np.isnat(found().sweep_by[place])
        assert "action level" in found().why_not(place)


def test_the_day_of_every_pavement_is_that_of_its_worst_place():
    own = [one for one in decided() if one[2] < len(second_gathered().portfolio.ref)]
    for name, one, place, many in own:
        days = days_apart(found().pavement_sweep_by[place], one["pavement_sweep_by"])
        assert days <= (10 if many else 3), name
    assert any(one["pavement_sweep_by"] != one["sweep_by"] for _, one, _, _ in own)


def test_what_a_cleaning_would_do_agrees():
    after = found().after
    for name, one, place, many in decided():
        if place >= len(after.rate):
            continue
        for nth, left in enumerate(one["after"]):
            for end in ("rate", "low", "high"):
                got = getattr(after, end)[place, nth]
                assert got == pytest.approx(left[end], rel=0.03 if many else 0.01), (name, end)
            chance = after.p_below[place, nth]
            assert chance == pytest.approx(left["p_below"], abs=0.02 if many else 0.005), name
            days = days_apart(after.sweep_by[place, nth], left["sweep_by"])
            assert days <= (10 if many else 3), (name, METHODS[nth])


def test_interval_that_holds_for_ever_agrees():
    for name, one, place, many in decided():
        for nth, interval in enumerate(sustainable_intervals(found(), place, {})):
            years, median = one["years"][nth], one["median_years"][nth]
            near = 0.03 if many else 0.01
            if abs(years - 1 / 12) > 0.01:
                assert (interval.years is None) == (years < 1 / 12), name
            if interval.years is not None:
                wanted_years = min(years, LONGEST_YEARS)
                assert interval.years == pytest.approx(wanted_years, rel=near), name
            wanted_median = min(median, LONGEST_YEARS)
            assert interval.median_years == pytest.approx(wanted_median, rel=near), name


def test_share_of_the_surface_agrees():
    shares = found().shares_below
    for name, one, place, many in decided():
        if place >= len(shares.away.expected):
            continue
        near = 0.02 if many else 0.005
        assert shares.away.expected[place] == pytest.approx(one["share_below"], abs=near), name
        assert shares.edge.expected[place] == pytest.approx(one["edge_share_below"], abs=near), name


def test_recovery_of_each_method_is_not_what_was_thought_before():
    """The agreement above would be empty where no test told of a method."""
    recovery = Numbers(optimum()).recovery
    assert np.all(np.abs(recovery - np.array([0.15, 0.30, 0.40, 0.65])) > 0.005)
