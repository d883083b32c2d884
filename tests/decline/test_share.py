"""The share of the surface below the action level: by drawing places, and where a formula holds."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from registry.decline.outlook import outlook_of
from registry.decline.share import shares_below
from registry.decline.truncated import Joint
from tests.decline.portfolios import (
    AS_OF,
    Run,
    expected_parameters,
    hand_records,
    reference_outlooks,
)

PARAMETERS = replace(
    expected_parameters(), tau_a=0.5, tau_k=0.12, drivers=np.array([0.25, 0.0, 0.0, 0.0])
)
BAND = (0.10, 0.90)
LN_ACTION = np.log(254.0)
DRAWS = 250_000

# a, k, aa, ak, kk of a pavement and its age: k sure to be positive, then hardly known, at several
# ages, and one whose slope came out below 0.
CASES = {
    "well known": (8.2, 0.40, 0.04, 0.003, 0.002, 6.0),
    "slope hardly known": (7.0, 0.15, 0.30, 0.02, 0.04, 5.0),
    "slope below 0": (6.5, -0.10, 0.25, -0.02, 0.03, 7.0),
    "young": (6.0, 0.30, 0.20, 0.01, 0.05, 0.4),
}


def shares_of(case, parameters=PARAMETERS, ln_action=LN_ACTION):
    *moments, age = case
    joint = Joint(*(np.array([value]) for value in moments))
    return shares_below(joint, np.array([age]), np.array([ln_action]), parameters, BAND)


def draw_places(case, gamma, rng):
    """(s, ln I) of places taken at random, of pavements taken from what is known of this one."""
    a, k, aa, ak, kk, age = case
    pavement = rng.multivariate_normal((a, k), ((aa, ak), (ak, kk)), DRAWS)
    alpha = rng.normal(0, PARAMETERS.tau_a, DRAWS)
    slope = pavement[:, 1] + gamma
    whole = slope + rng.normal(0, PARAMETERS.tau_k, DRAWS)
    kept = whole >= 0
    return (pavement[:, 0] - age * slope)[kept], (pavement[:, 0] + alpha - age * whole)[kept]


def draw_share_at(s, case, gamma, rng):
    """The share of places below among pavements whose stratum stands at just this s."""
    a, k, aa, ak, kk, age = case
    mean, variance = a - age * (k + gamma), aa - 2 * age * ak + age**2 * kk
    shared = ak - age * kk
    sd = np.sqrt(kk - shared**2 / variance)
    slope = rng.normal(k + gamma + shared / variance * (s - mean), sd, DRAWS)
    kappa = rng.normal(0, PARAMETERS.tau_k, DRAWS)
    rate = s + rng.normal(0, PARAMETERS.tau_a, DRAWS) - age * kappa
    kept = slope + kappa >= 0
    return (rate < LN_ACTION)[kept].mean(), kept.sum()


def four_errors(share, draws):
    return 4 * np.sqrt(max(share * (1 - share), 1 / draws) / draws)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("stratum", ["away", "edge"])
def test_the_expected_share_is_that_of_places_drawn(name, stratum):
    gamma = PARAMETERS.drivers[0] if stratum == "edge" else 0.0
    _, rates = draw_places(CASES[name], gamma, np.random.default_rng(11))
    drawn = (rates < LN_ACTION).mean()
    found = getattr(shares_of(CASES[name]), stratum).expected[0]
    assert found == pytest.approx(drawn, abs=four_errors(drawn, len(rates)))


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("stratum", ["away", "edge"])
def test_the_ends_are_the_shares_at_the_quantiles_of_the_stratum(name, stratum):
    gamma = PARAMETERS.drivers[0] if stratum == "edge" else 0.0
    rng = np.random.default_rng(12)
    levels, _ = draw_places(CASES[name], gamma, rng)
    found = getattr(shares_of(CASES[name]), stratum)
    for end, at in (("low", BAND[1]), ("high", BAND[0])):
        s = np.quantile(levels, at)
        drawn, kept = draw_share_at(s, CASES[name], gamma, rng)
        # The quantile is drawn too: an error of s moves the share by at most its density times it.
        near = 0.01 * np.std(levels)
        off = np.sqrt(at * (1 - at) / len(levels)) / np.mean(np.abs(levels - s) < near) * 2 * near
        steepest = norm.pdf(0) / PARAMETERS.tau_a
        tolerance = four_errors(drawn, kept) + 4 * off * steepest
        assert getattr(found, end)[0] == pytest.approx(drawn, abs=tolerance), end


def test_where_spots_do_not_differ_the_share_is_the_chance_of_the_whole_surface():
    runs = [Run("P/T1", "2024-06-01T09:00", 500.0), Run("P/T1", "2025-06-01T09:00", 350.0)]
    records = hand_records({"P": "2018-06-01"}, runs)
    alike = replace(PARAMETERS, tau_a=1e-7, tau_k=1e-7)
    found = outlook_of(records, alike, AS_OF)
    assert 0.01 < found.p_below[0] < 0.99
    assert found.shares_below.away.expected[0] == pytest.approx(found.p_below[0], abs=1e-6)
    # Either the whole surface is below or none of it.
    ends = found.shares_below.away
    assert (ends.low[0], ends.high[0]) == pytest.approx((0.0, float(found.p_below[0] > 0.1)))


def test_new_and_sure_to_decline_the_share_is_one_normal():
    a, aa, certain = 5.8, 0.16, (0.9, 0.0, 0.0001)
    case = (a, certain[0], aa, certain[1], certain[2], 0.0)
    found = shares_of(case).away
    tau = PARAMETERS.tau_a
    assert found.expected[0] == pytest.approx(norm.cdf((LN_ACTION - a) / np.hypot(0.4, tau)))
    for end, at in ((found.low, 0.9), (found.high, 0.1)):
        assert end[0] == pytest.approx(norm.cdf((LN_ACTION - a - 0.4 * norm.ppf(at)) / tau))


def test_without_a_loss_of_its_own_the_edge_is_as_the_rest():
    same = replace(PARAMETERS, drivers=np.zeros(4))
    for case in CASES.values():
        found = shares_of(case, same)
        assert found.edge.expected[0] == found.away.expected[0]


def test_an_edge_that_loses_faster_has_the_larger_share():
    found = reference_outlooks().shares_below
    assert reference_outlooks().parameters.drivers[0] > 0
    assert (found.edge.expected >= found.away.expected).all()
    for share in (found.away, found.edge):
        assert ((share.low >= 0) & (share.low <= share.high) & (share.high <= 1)).all()


def test_the_whole_is_weighed_by_area():
    found = shares_of(CASES["well known"])
    whole = found.whole(np.array([0.2]))
    for name in ("expected", "low", "high"):
        away, edge = getattr(found.away, name)[0], getattr(found.edge, name)[0]
        assert getattr(whole, name)[0] == pytest.approx(0.8 * away + 0.2 * edge)


def test_no_action_level_or_no_age_leaves_the_share_not_decided():
    young = (*CASES["young"][:5], np.nan)
    for found in (shares_of(young), shares_of(CASES["young"], ln_action=np.nan)):
        for share in (found.away, found.edge):
            assert np.isnan([share.expected[0], share.low[0], share.high[0]]).all()
