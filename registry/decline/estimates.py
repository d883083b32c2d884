"""What drives clogging here and what cleaning takes away, with intervals and what is behind them.

symbol   meaning                                                    unit
gamma    what a driver adds to the yearly loss                      1/year
times    (mu_k + gamma) / mu_k: the loss with it over that without  1
r        share of the clogging a method takes away                  1

Intervals are those of a normal with the inverse of the observed information at the optimum:
of gamma as it is, of ln(times) by the delta method, of logit r.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import expit, ndtri

from registry.decline.faults import DeclineError
from registry.decline.fit import FitResult
from registry.decline.parameters import LOGS, NAMES, PLACE, Parameters
from registry.decline.portfolio import Portfolio
from registry.decline.records import DRIVERS, METHODS, Floats, Ints

DRIVER_WORDS = {
    "run_on_edge": "run-on edge",
    "heavy_trees": "heavy trees",
    "winter_sand": "winter sand",
    "bare_soil_run_on": "run-on from bare soil",
}
METHOD_WORDS = {
    "broom": "broom",
    "regenerative_air": "regenerative air",
    "vacuum": "vacuum",
    "wash_and_vacuum": "wash and vacuum",
}
EVEN = ": no difference is shown"
OPEN = ", how sure is not known: it was given, or lies at the edge of what is searched"


@dataclass(frozen=True)
class Estimate:
    """A parameter with its interval, in natural units; nan ends where fixed or at a bound."""

    name: str
    value: float
    low: float
    high: float

    @property
    def is_known(self) -> bool:
        """Say whether the ends are known."""
        return bool(np.isfinite([self.low, self.high]).all())


@dataclass(frozen=True)
class DriverEstimate:
    """gamma with its interval, 1/year, and the same as times the loss.

    times is None where the loss without or with the driver is not above 0.
    places, tests   spots (run-on edge) or pavements that have it and are tested, and their tests
    """

    name: str
    gamma: Estimate
    times: Estimate | None
    places: int
    tests: int

    @property
    def words(self) -> str:
        """For a designer: "heavy trees: 1.5 times the loss, 1.2 to 1.9".

        Where once the loss lies in the interval, that is said: nothing is shown either way.
        """
        name = DRIVER_WORDS[self.name]
        if self.places == 0:
            return f"{name}: not decided, no tested place has it."
        if self.times is None:
            return f"{name}: not decided, the loss without it is not known to be above 0."
        found = self.times
        said = f"{name}: {_figure(found.value)} times the loss"
        if not found.is_known:
            return said + OPEN
        even = EVEN if round(found.low, 1) <= 1 <= round(found.high, 1) else ""
        return f"{said}, {_figure(found.low)} to {_figure(found.high)}{even}"


@dataclass(frozen=True)
class RecoveryEstimate:
    """r with its interval.

    cleanings       by this method on tested pavements, with a test after them
    pavements, tests   those with such a cleaning, and their tests after it
    """

    name: str
    share: Estimate
    cleanings: int
    pavements: int
    tests: int

    @property
    def words(self) -> str:
        name = METHOD_WORDS[self.name]
        if self.cleanings == 0:
            return f"{name}: not decided, no test follows such a cleaning."
        share, low, high = (100 * v for v in (self.share.value, self.share.low, self.share.high))
        said = f"{name}: takes away {share:.0f} % of the clogging"
        return f"{said}, {low:.0f} to {high:.0f} %" if self.share.is_known else said + OPEN


def _figure(times: float) -> str:
    """One decimal; from ten up none, for nobody knows 24.1 from 24."""
    return f"{times:.1f}" if times < 9.95 else f"{times:.0f}"


def estimate_parameters(fit: FitResult, level: float) -> tuple[Estimate, ...]:
    """Every parameter in the order of NAMES, with an interval of the level."""
    parameters, covariance = _converged(fit)
    vector, reach = parameters.vector(), _reach(covariance, level)
    ends = (vector, vector - reach, vector + reach)
    return tuple(
        Estimate(name, *(_natural(name, end[place]) for end in ends))
        for place, name in enumerate(NAMES)
    )


def estimate_drivers(
    fit: FitResult, portfolio: Portfolio, level: float
) -> tuple[DriverEstimate, ...]:
    """One for each of DRIVERS."""
    parameters, covariance = _converged(fit)
    reach = _reach(covariance, level)
    behind = _behind_drivers(portfolio)
    found = []
    for number, name in enumerate(DRIVERS):
        gamma, width = float(parameters.drivers[number]), float(reach[PLACE[name]])
        plain = Estimate(name, gamma, gamma - width, gamma + width)
        times = _times(parameters, covariance, name, gamma, level)
        found.append(DriverEstimate(name, plain, times, *behind[number]))
    return tuple(found)


def estimate_recoveries(
    fit: FitResult, portfolio: Portfolio, level: float
) -> tuple[RecoveryEstimate, ...]:
    """One for each of METHODS."""
    estimates = dict(zip(NAMES, estimate_parameters(fit, level), strict=True))
    behind = _behind_methods(portfolio)
    return tuple(
        RecoveryEstimate(name, estimates[name], *behind[number])
        for number, name in enumerate(METHODS)
    )


def _converged(fit: FitResult) -> tuple[Parameters, Floats]:
    if fit.parameters is None or fit.covariance is None:
        raise DeclineError(f"A fit that did not converge has no intervals: {fit.message}")
    return fit.parameters, fit.covariance


def _reach(covariance: Floats, level: float) -> Floats:
    """Half the width of each interval; nan for what was fixed or at a bound."""
    variance = np.diag(covariance)
    return np.where(variance > 0, np.sqrt(variance), np.nan) * float(ndtri((1 + level) / 2))


def _natural(name: str, number: float) -> float:
    if name in LOGS:
        return float(np.exp(number))
    if name == "corr":
        return float(np.tanh(number))
    return float(expit(number)) if name in METHODS else float(number)


def _times(
    parameters: Parameters, covariance: Floats, name: str, gamma: float, level: float
) -> Estimate | None:
    without, with_it = parameters.mu_k, parameters.mu_k + gamma
    if without <= 0 or with_it <= 0:
        return None
    value = with_it / without
    if not np.isfinite(_reach(covariance, level)[[PLACE["mu_k"], PLACE[name]]]).all():
        return Estimate(name, value, np.nan, np.nan)
    slope = np.zeros(len(NAMES))
    slope[PLACE["mu_k"]] = 1 / with_it - 1 / without
    slope[PLACE[name]] = 1 / with_it
    reach = float(np.sqrt(slope @ covariance @ slope) * ndtri((1 + level) / 2))
    return Estimate(name, value, value * np.exp(-reach), value * np.exp(reach))


def _behind_drivers(portfolio: Portfolio) -> list[tuple[int, int]]:
    """Tested places with each driver, and their tests."""
    tests = portfolio.tests_of_spots()
    found = []
    for number in range(len(DRIVERS)):
        spots = np.flatnonzero((portfolio.spot_driver[:, number] > 0) & (tests > 0))
        places = spots if number == 0 else np.unique(portfolio.spot_pavement[spots])
        found.append((len(places), int(tests[spots].sum())))
    return found


def _behind_methods(portfolio: Portfolio) -> list[tuple[int, int, int]]:
    """Cleanings, pavements and tests that each method's recovery rests on."""
    lists = portfolio.lists
    number = np.repeat(np.arange(len(lists.first) - 1), np.diff(lists.first))
    within = np.arange(len(number)) - lists.first[number]
    last_passed = np.zeros(len(lists.first) - 1, np.int64)
    np.maximum.at(last_passed, portfolio.spot_list[portfolio.spot], portfolio.passed)
    followed = within < last_passed[number]
    found = []
    for method in range(len(METHODS)):
        rows = np.flatnonzero(followed & (lists.method == method))
        first = np.full(len(lists.first) - 1, np.iinfo(np.int64).max)
        np.minimum.at(first, number[rows], within[rows])
        after = portfolio.passed > first[portfolio.spot_list[portfolio.spot]]
        pavements: Ints = np.unique(portfolio.observed_pavement[after])
        found.append((len(rows), len(pavements), int(np.count_nonzero(after))))
    return found
