"""The random intercept and slope of the sleepstudy data (Belenky et al., J. Sleep Res. 12, 2003;
worked example of Bates et al., J. Stat. Soft. 67, 2015), by maximum likelihood.

A pavement is a subject, a year a day without sleep, ln I the reaction time, and the loss minus the
slope; priors, drivers, cleanings and spot effects are off.
"""

import numpy as np
import pytest

from registry.decline.fit import fit_decline
from registry.decline.options import FitOptions
from registry.decline.parameters import Parameters
from registry.decline.portfolio import CleaningLists, Portfolio
from registry.decline.priors import PRIOR_MEANS, no_priors
from registry.decline.records import DRIVERS, METHODS
from tests.decline.portfolios import AS_OF, rows_of


@pytest.fixture(scope="module")
def fitted():
    rows = rows_of("sleepstudy.csv")
    subjects = sorted({row["Subject"] for row in rows})
    count, tests = len(subjects), len(rows)
    portfolio = Portfolio(
        as_of=AS_OF,
        ref=np.array(subjects),
        placed_on=np.full(count, AS_OF),
        action_mm_h=np.full(count, np.nan),
        pavement_driver=np.zeros((count, 4)),
        spot_pavement=np.arange(count),
        spot_name=np.array(subjects),
        spot_driver=np.zeros((count, 4)),
        spot_list=np.arange(count),
        lists=CleaningLists(np.zeros(count + 1, int), np.zeros(0), np.zeros(0, np.uint8)),
        spot=np.array([subjects.index(row["Subject"]) for row in rows]),
        passed=np.zeros(tests, int),
        since=np.array([float(row["Days"]) for row in rows]),
        ln_rate=np.array([float(row["Reaction"]) for row in rows]),
        sign=np.zeros(tests, np.int8),
        visit_on=np.full(tests, AS_OF),
    )
    spreads = {"sd_a": 20.0, "sd_k": 5.0, "tau_a": 0.0, "tau_k": 0.0, "sigma": 25.0}
    start = Parameters(**{**vars(PRIOR_MEANS), "mu_a": 250.0, "mu_k": -10.0, **spreads})
    fixed = ("tau_a", "tau_k", *METHODS, *DRIVERS)
    return fit_decline(portfolio, FitOptions(priors=no_priors(), fixed=fixed, start=start))


def test_it_converges(fitted):
    assert fitted.converged, fitted.message
    assert fitted.log_likelihood == pytest.approx(-875.970, abs=5e-4)


def test_intercept_and_slope_are_those_published(fitted):
    assert fitted.parameters.mu_a == pytest.approx(251.405, rel=1e-3)
    assert -fitted.parameters.mu_k == pytest.approx(10.467, rel=1e-3)


def test_variances_are_those_published(fitted):
    variance, covariance, slope_variance = fitted.parameters.omega
    assert variance == pytest.approx(565.5, rel=5e-3)
    assert slope_variance == pytest.approx(32.68, rel=5e-3)
    assert -covariance == pytest.approx(11.06, rel=5e-3)
    assert fitted.parameters.sigma**2 == pytest.approx(654.9, rel=5e-3)


def test_standard_errors_of_intercept_and_slope_are_those_of_statsmodels(fitted):
    # By maximum likelihood 6.632 and 1.502 (lme4 reports the same).
    errors = np.sqrt(np.diag(fitted.covariance))[:2]
    assert errors == pytest.approx([6.632, 1.502], rel=2e-3)
