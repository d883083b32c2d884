"""A fit -> what it says in words a designer can use, with intervals and what stands behind them.

Intervals are 95 % ones from the observed information at the optimum. A driver's factor is
1 + gamma / mu_k, the yearly loss with it over the loss without, its interval by the delta method;
a recovery's interval is that of its logit, turned back.
"""

import math
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from registry.decline.fit import FitResult
from registry.decline.parameters import PLACE
from registry.decline.portfolio import Portfolio
from registry.decline.records import DRIVERS, METHODS

Z_95 = 1.959964
DRIVER_WORDS = {
    "run_on_edge": "at the run-on edge",
    "heavy_trees": "heavy trees",
    "winter_sand": "winter sand",
    "bare_soil_run_on": "run-on from bare soil",
}
METHOD_WORDS = {
    "broom": "blower and broom",
    "regenerative_air": "regenerative air",
    "vacuum": "vacuum",
    "wash_and_vacuum": "wash and vacuum",
}


@dataclass(frozen=True)
class DriverEffect:
    """How many times the yearly loss a driver makes; `per_year` is gamma itself, 1/year."""

    name: str
    words: str
    factor: float
    low: float
    high: float
    per_year: float
    pavements: int
    infiltration_tests: int


@dataclass(frozen=True)
class Recovery:
    """The share of the clogging so far that a method takes away."""

    name: str
    words: str
    share: float
    low: float
    high: float
    cleanings: int


def driver_effects(fit: FitResult, portfolio: Portfolio) -> list[dict[str, Any]]:
    """Return the effect of each driver; none where the fit did not converge."""
    if fit.parameters is None or fit.covariance is None:
        return []
    tests = portfolio.tests_of_spots()
    found = []
    for nth, name in enumerate(DRIVERS):
        with_it = portfolio.spot_driver[:, nth] == 1
        tested = with_it & (tests > 0)
        gamma = float(fit.parameters.drivers[nth])
        mu_k = fit.parameters.mu_k
        error = _factor_error(fit.covariance, gamma, mu_k, PLACE[name])
        found.append(
            DriverEffect(
                name=name,
                words=DRIVER_WORDS[name],
                factor=1 + gamma / mu_k,
                low=1 + gamma / mu_k - Z_95 * error,
                high=1 + gamma / mu_k + Z_95 * error,
                per_year=gamma,
                pavements=len(np.unique(portfolio.spot_pavement[tested])),
                infiltration_tests=int(tests[tested].sum()),
            )
        )
    return [asdict(effect) for effect in found]


def _factor_error(covariance: np.ndarray, gamma: float, mu_k: float, place: int) -> float:
    """Standard error of gamma / mu_k by the delta method."""
    slope = np.array([1 / mu_k, -gamma / mu_k**2])
    both = [place, PLACE["mu_k"]]
    return float(math.sqrt(max(slope @ covariance[np.ix_(both, both)] @ slope, 0.0)))


def recoveries(fit: FitResult, portfolio: Portfolio) -> list[dict[str, Any]]:
    """Return the recovery of each method; none where the fit did not converge."""
    if fit.parameters is None or fit.covariance is None:
        return []
    counts = np.bincount(_methods_behind(portfolio), minlength=len(METHODS))
    found = []
    for nth, name in enumerate(METHODS):
        share = float(fit.parameters.recovery[nth])
        logit = math.log(share / (1 - share))
        error = math.sqrt(max(fit.covariance[PLACE[name], PLACE[name]], 0.0))
        low, high = (1 / (1 + math.exp(-(logit + sign * Z_95 * error))) for sign in (-1, 1))
        found.append(Recovery(name, METHOD_WORDS[name], share, low, high, int(counts[nth])))
    return [asdict(recovery) for recovery in found]


def _methods_behind(portfolio: Portfolio) -> np.ndarray:
    """Return the methods of the cleanings of tested pavements."""
    tested = portfolio.tests_of_pavements() > 0
    ends = portfolio.lists.first[: len(tested) + 1]
    owner = np.repeat(np.arange(len(tested)), np.diff(ends))
    return np.asarray(portfolio.lists.method[: ends[-1]][tested[owner]])
