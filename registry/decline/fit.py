"""A fit of one pool: the parameters where log likelihood plus log priors is highest."""

from dataclasses import dataclass

import numpy as np

from registry.decline.checks import Check, check_fit
from registry.decline.climbing import (
    Rest,
    at_bounds,
    climb_by_curvature,
    climb_roughly,
    search_bounds,
    sharpen,
)
from registry.decline.information import covariance_of, good_steps, observed_information
from registry.decline.objective import Objective
from registry.decline.options import FitOptions
from registry.decline.parameters import NAMES, Parameters
from registry.decline.portfolio import Portfolio, select_pavements
from registry.decline.records import Floats

NOTHING = "No usable infiltration test: there is nothing to fit."
NOT_AT_REST = "The search did not come to rest within its steps."
NO_PEAK = "The parameters cannot be told apart: the likelihood has no peak there."
NOT_FINITE = "The likelihood is not a finite number there."
SITES_MOVE = "The bounds of stopped or too fast runs did not settle."


@dataclass(frozen=True, eq=False)
class FitResult:
    """What a fit found, or why it found nothing.

    converged       only then may outlooks be drawn from it
    message         why not, "" if it did
    parameters      None where there was nothing to fit or no finite value
    covariance      (16, 16) of the unconstrained numbers in the order of NAMES, 0 for those fixed
                    or at a bound; None unless converged
    log_likelihood, log_posterior   nan without parameters
    checks          table of data, one row each
    pavements, spots, tests, bounds, cleanings   what the fit rests on; tests counts observations
    evaluations     of the likelihood of the whole pool
    """

    converged: bool
    message: str
    parameters: Parameters | None
    covariance: Floats | None
    log_likelihood: float
    log_posterior: float
    checks: tuple[Check, ...]
    pavements: int
    spots: int
    tests: int
    bounds: int
    cleanings: int
    evaluations: int


def fit_decline(portfolio: Portfolio, options: FitOptions | None = None) -> FitResult:
    """Fit a pool. The same portfolio and options give the same result, to the bit."""
    options = options or FitOptions()
    tested = portfolio.tests_of_pavements() > 0
    if not tested.any():
        return _nothing(portfolio)
    # What overflows on the way is seen by looking for finite numbers, here and in the line search.
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        objective, rest = _climb(select_pavements(portfolio, tested), options)
        information = _final_information(objective, rest)
        rest = sharpen(objective, rest, information)
    held = ~objective.free | at_bounds(rest.point)
    covariance = covariance_of(information, held)
    message = _message(rest, covariance)
    return _result(portfolio, objective, rest, covariance, message)


def _climb(portfolio: Portfolio, options: FitOptions) -> tuple[Objective, Rest]:
    """Small pools at once; large ones from where a sample of their pavements rests."""
    pavements = len(portfolio.ref)
    start, information = options.start.vector(), None
    if pavements > 2 * options.sample_pavements:
        sample = _every_so_manieth(portfolio, options.sample_pavements)
        _, rest = _climb_whole(sample, options, start, None)
        share = pavements / len(sample.ref)
        start, information = rest.point.vector, scaled_up(rest.information, share, options)
    return _climb_whole(portfolio, options, start, information)


def _climb_whole(
    portfolio: Portfolio, options: FitOptions, start: Floats, information: Floats | None
) -> tuple[Objective, Rest]:
    objective = Objective(portfolio, options.priors, options.free, options.site_tolerance)
    low, high = search_bounds()
    start = np.where(options.free, np.clip(start, low, high), start)
    if information is None:
        point = climb_roughly(objective, start)
        steps = good_steps(None, len(NAMES))
        information = observed_information(objective, point.vector, steps)
    else:
        point = objective.at(start)
    rest = climb_by_curvature(objective, point, information, options.tolerance, options.most_steps)
    return objective, rest


def scaled_up(information: Floats, share: float, options: FitOptions) -> Floats:
    """A sample's curvature for the whole pool: the tests' part grows, the priors' does not."""
    known = options.free & np.isfinite(options.priors.sd)
    prior = np.zeros(len(NAMES))
    prior[known] = options.priors.sd[known] ** -2.0
    return (information - np.diag(prior)) * share + np.diag(prior)


def _every_so_manieth(portfolio: Portfolio, count: int) -> Portfolio:
    wanted = np.zeros(len(portfolio.ref), bool)
    wanted[np.arange(count) * len(portfolio.ref) // count] = True
    return select_pavements(portfolio, wanted)


def _final_information(objective: Objective, rest: Rest) -> Floats:
    steps = good_steps(rest.information, len(NAMES))
    return observed_information(objective, rest.point.vector, steps)


def _message(rest: Rest, covariance: Floats | None) -> str:
    if not np.isfinite(rest.point.log_posterior):
        return NOT_FINITE
    if not rest.point.at_rest:
        return SITES_MOVE
    if not rest.at_rest:
        return NOT_AT_REST
    return NO_PEAK if covariance is None else ""


def _result(
    portfolio: Portfolio,
    objective: Objective,
    rest: Rest,
    covariance: Floats | None,
    message: str,
) -> FitResult:
    point = rest.point
    finite = bool(np.isfinite(point.log_posterior))
    parameters = Parameters.from_vector(point.vector) if finite else None
    return FitResult(
        converged=not message,
        message=message,
        parameters=parameters,
        covariance=covariance if not message else None,
        log_likelihood=point.log_likelihood,
        log_posterior=point.log_posterior,
        checks=check_fit(objective, rest, message) if finite else (),
        pavements=int(np.count_nonzero(portfolio.tests_of_pavements())),
        spots=int(np.count_nonzero(portfolio.tests_of_spots())),
        tests=len(portfolio.spot),
        bounds=int(np.count_nonzero(portfolio.sign)),
        cleanings=_cleanings_that_tell(portfolio),
        evaluations=objective.evaluations,
    )


def _cleanings_that_tell(portfolio: Portfolio) -> int:
    """Cleanings of tested pavements."""
    tested = portfolio.tests_of_pavements() > 0
    return int(np.diff(portfolio.lists.first)[: len(tested)][tested].sum())


def _nothing(portfolio: Portfolio) -> FitResult:
    return FitResult(
        converged=False,
        message=NOTHING,
        parameters=None,
        covariance=None,
        log_likelihood=float("nan"),
        log_posterior=float("nan"),
        checks=(),
        pavements=0,
        spots=0,
        tests=0,
        bounds=0,
        cleanings=0,
        evaluations=0,
    )
