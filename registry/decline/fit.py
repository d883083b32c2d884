"""A fit of one pool: the parameters where log likelihood plus log priors is highest."""

from dataclasses import dataclass

import numpy as np

from registry.decline.checks import Check, check_fit
from registry.decline.climbing import (
    Rest,
    at_bounds,
    bent_down,
    climb_by_curvature,
    search_bounds,
    sharpen,
)
from registry.decline.information import (
    LARGE,
    covariance_of,
    good_steps,
    observed_information,
    rough_information,
)
from registry.decline.objective import Objective, Point
from registry.decline.options import FitOptions
from registry.decline.parameters import NAMES, Parameters
from registry.decline.portfolio import Portfolio, select_pavements
from registry.decline.records import Floats
from registry.decline.residuals import Residuals, residuals_of

NOTHING = "No usable infiltration test: there is nothing to fit."
NOT_AT_REST = "The search did not come to rest within its steps."
NO_PEAK = "The parameters cannot be told apart: the likelihood has no peak there."
NOT_FINITE = "The likelihood is not a finite number there."
ON_THE_WAY = 1e-3  # gain at which a climb may stop that is not the last
MOST_FINISHES = 8
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
    residuals       of every number at the parameters; None without parameters
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
    residuals: Residuals | None
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
        pool = portfolio if tested.all() else select_pavements(portfolio, tested)
        objective, rest = _climb(pool, options)
        rest, information = _finish(objective, rest, options)
        rest = sharpen(objective, rest, information)
    held = ~objective.free | at_bounds(rest.point)
    covariance = covariance_of(information, held)
    message = _message(rest, covariance)
    return _result(portfolio, objective, rest, covariance, message)


def _climb(portfolio: Portfolio, options: FitOptions) -> tuple[Objective, Rest]:
    """Small pools at once; large ones from where ever larger samples of their pavements rest."""
    objective, rest, size = None, None, 0
    for count in _sample_sizes(len(portfolio.ref), options.sample_pavements):
        sample = _every_so_manieth(portfolio, count)
        objective = Objective(sample, options.priors, options.free, options.site_tolerance)
        # In a large pool the last steps are taken by the curvature observed near the top.
        to_the_top = count == len(portfolio.ref) and objective.tests <= LARGE
        tolerance = options.tolerance if to_the_top else max(options.tolerance, ON_THE_WAY)
        if rest is None:
            point, information = _start(objective, options)
        else:
            point = objective.at(rest.point.vector)
            information = scaled_up(rest.information, count / size, options)
        rest = climb_by_curvature(objective, point, information, tolerance, options.most_steps)
        size = count
    assert objective is not None and rest is not None  # there is always one size
    return objective, rest


def _sample_sizes(pavements: int, smallest: int) -> list[int]:
    """Ten times as many each time, the whole pool last."""
    sizes = []
    while smallest * 2 < pavements:
        sizes.append(smallest)
        smallest *= 10
    return [*sizes, pavements]


def _start(objective: Objective, options: FitOptions) -> tuple[Point, Floats]:
    """The start, and the curvature there with every bend taken as downwards."""
    low, high = search_bounds()
    start = options.start.vector()
    point = objective.at(np.where(options.free, np.clip(start, low, high), start))
    steps = good_steps(None, len(NAMES))
    return point, bent_down(rough_information(objective, point, steps))


def _finish(objective: Objective, rest: Rest, options: FitOptions) -> tuple[Rest, Floats]:
    """Observe the curvature where the climb rests; go on by it where it says that there is more."""
    for _ in range(MOST_FINISHES):
        steps = good_steps(rest.information, len(NAMES))
        information = observed_information(objective, rest.point, steps)
        rest = climb_by_curvature(
            objective, rest.point, information, 10 * options.tolerance, options.most_steps
        )
        # In a large pool a step or two do not change the curvature.
        if rest.at_rest and rest.steps <= (2 if objective.tests > LARGE else 0):
            break
    return rest, information


def scaled_up(information: Floats, share: float, options: FitOptions) -> Floats:
    """A sample's curvature for the whole pool: the tests' part grows, the priors' does not."""
    prior = np.diag(options.priors.bend(options.free))
    return (information - prior) * share + prior


def _every_so_manieth(portfolio: Portfolio, count: int) -> Portfolio:
    if count == len(portfolio.ref):
        return portfolio
    wanted = np.zeros(len(portfolio.ref), bool)
    wanted[np.arange(count) * len(portfolio.ref) // count] = True
    return select_pavements(portfolio, wanted)


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
    residuals = residuals_of(objective, parameters) if parameters else None
    return FitResult(
        converged=not message,
        message=message,
        parameters=parameters,
        covariance=covariance if not message else None,
        log_likelihood=point.log_likelihood,
        log_posterior=point.log_posterior,
        checks=check_fit(objective, rest, residuals, message) if residuals else (),
        residuals=residuals,
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
        residuals=None,
        pavements=0,
        spots=0,
        tests=0,
        bounds=0,
        cleanings=0,
        evaluations=0,
    )
