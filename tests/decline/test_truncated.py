"""P(a - kV < t | k >= 0) against plain integration over k."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import log_ndtr, ndtr

from registry.decline.ageing import age_reaching
from registry.decline.truncated import Joint, chance_below, level_at, log_density, quantile

LEVEL = np.log(254.0)
# k over its standard deviation: certain, usual, doubtful, unlikely, and 0 itself.
DOUBTS = [8.0, 5.3, 4.0, 2.0, 0.5, 0.0, -1.0, -4.0, -5.9, -6.1, -9.0]


def joint(z, corr=0.6, sd_k=0.12):
    one = (np.array([v]) for v in (7.5, z * sd_k, 0.16, corr * 0.4 * sd_k, sd_k**2))
    return Joint(*one)


def integrated(j, age, level):
    """By quadrature over k, a given k being normal."""
    k, sd_k = float(j.k[0]), float(np.sqrt(j.kk[0]))
    slope, rest = j.ak[0] / j.kk[0], np.sqrt(j.aa[0] - j.ak[0] ** 2 / j.kk[0])

    # scipy.stats does the same for one number at a time, ten times as slowly.
    log_whole = np.log(sd_k * np.sqrt(2 * np.pi)) + log_ndtr(k / sd_k)

    def below(x):
        mean = j.a[0] + slope * (x - k) - x * age
        return np.exp(-0.5 * ((x - k) / sd_k) ** 2 - log_whole) * ndtr((level - mean) / rest)

    far = max(k, 0) + (12 * sd_k if k > -3 * sd_k else 40 * sd_k**2 / -k)
    return quad(below, 0, far, epsabs=1e-13, limit=400)[0]


@pytest.mark.parametrize("z", DOUBTS)
@pytest.mark.parametrize("corr", [-0.8, 0.0, 0.6, 0.97])
def test_chance_is_that_of_quadrature(z, corr):
    for age in (0.0, 1.0, 6.0, 20.0):
        j = joint(z, corr)
        found = chance_below(level_at(j, np.array([age])), np.array([LEVEL]))
        assert found[0] == pytest.approx(integrated(j, age, LEVEL), abs=2e-7)


@pytest.mark.parametrize("z", DOUBTS)
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
@pytest.mark.parametrize("corr", [-0.8, 0.0, 0.97])
def test_quantile_turns_the_chance_back(z, share, corr):
    level = level_at(joint(z, corr), np.array([4.0]))
    assert chance_below(level, quantile(level, share))[0] == pytest.approx(share, abs=1e-6)


@pytest.mark.parametrize("z", DOUBTS)
def test_density_is_the_slope_of_the_chance(z):
    level, at = level_at(joint(z), np.array([4.0])), np.array([6.3])
    slope = (chance_below(level, at + 1e-4) - chance_below(level, at - 1e-4)) / 2e-4
    assert np.exp(log_density(level, at)) == pytest.approx(slope, rel=1e-4, abs=1e-9)


@pytest.mark.parametrize("z", DOUBTS)
def test_chance_only_grows_with_age(z):
    ages = np.linspace(0, 60, 400)
    j = joint(z).take(np.zeros(len(ages), int))
    chance = chance_below(level_at(j, ages), np.full(len(ages), LEVEL))
    assert np.diff(chance).min() >= -1e-12


@pytest.mark.parametrize("z", DOUBTS)
@pytest.mark.parametrize("risk", [0.02, 0.1, 0.5, 0.8])
def test_age_reaching_a_risk_has_that_risk(z, risk):
    age = age_reaching(joint(z), np.array([LEVEL]), risk)
    # A day is 0.003 years.
    if np.isinf(age[0]):
        oldest = chance_below(level_at(joint(z), np.array([500.0])), np.array([LEVEL]))
        assert oldest[0] < risk
    else:
        found = chance_below(level_at(joint(z), age), np.array([LEVEL]))
        assert found[0] == pytest.approx(risk, abs=1e-5)


def test_a_place_below_when_new_is_reached_at_age_0():
    assert age_reaching(joint(4.0), np.array([9.0]), 0.1)[0] == 0


def test_an_action_level_not_known_has_no_age():
    assert np.isnan(age_reaching(joint(4.0), np.array([np.nan]), 0.1)[0])


def test_where_k_is_certain_the_median_age_is_the_formula():
    # T / r = (a - ln action) / k.
    age = age_reaching(joint(12.0, sd_k=0.03), np.array([LEVEL]), 0.5)
    assert age[0] == pytest.approx((7.5 - LEVEL) / 0.36, rel=1e-6)
