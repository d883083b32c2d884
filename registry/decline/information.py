"""How sure the parameters are: the observed information, from differences of the exact slope."""

import numpy as np

from registry.decline.means import MEANS
from registry.decline.objective import Objective, Point
from registry.decline.records import Bools, Floats, Ints

FIRST_STEP = 1e-3
SHARE_OF_ERROR = 0.05
STEPS = (1e-5, 1e-2)
LARGE = 5_000  # observations


def observed_information(objective: Objective, point: Point, step: Floats) -> Floats:
    """Minus the second derivatives of the log posterior at a point, (16, 16).

    Rows and columns of numbers that are not free are 0. Central differences over +-step, (16,); in
    a large pool, where the surface is as good as a parabola, differences to one side.
    """
    if objective.tests > LARGE:
        return rough_information(objective, point, step)
    information, places = _known(objective, point)
    for place in places:
        away = _away(step, place)
        ahead, behind = objective.at(point.vector + away), objective.at(point.vector - away)
        information[place] = (behind.slope - ahead.slope) / (2 * step[place])
    return _balanced(information, places)


def rough_information(objective: Objective, point: Point, step: Floats) -> Floats:
    """The same by differences to one side: half the work."""
    information, places = _known(objective, point)
    for place in places:
        ahead = objective.at(point.vector + _away(step, place))
        information[place] = (point.slope - ahead.slope) / step[place]
    return _balanced(information, places)


def _known(objective: Objective, point: Point) -> tuple[Floats, Ints]:
    """What needs no differences, (16, 16) with 0 elsewhere, and the rows that do.

    Without bounds the surface is a parabola in means and drivers; a bound's stand-in moves with
    them.
    """
    size, free = len(point.vector), objective.free.copy()
    information = np.zeros((size, size))
    if objective.bounds == 0:
        means = MEANS[free[MEANS]]
        information[np.ix_(means, means)] = objective.bend_in_means(point.vector)[
            np.ix_(free[MEANS], free[MEANS])
        ]
        free[means] = False
    return information, np.flatnonzero(free)


def _balanced(information: Floats, places: Ints) -> Floats:
    """Symmetric: each pair as the mean of both its rows, or as the one row that has it."""
    whole = information.copy()
    other = np.setdiff1d(np.arange(len(information)), places)
    whole[np.ix_(other, places)] = information[np.ix_(places, other)].T
    return (whole + whole.T) / 2


def _away(step: Floats, place: np.intp) -> Floats:
    away = np.zeros(len(step))
    away[place] = step[place]
    return away


def good_steps(information: Floats | None, size: int) -> Floats:
    """Steps of a twentieth of each standard error, (16,), or 1e-3 where none is known yet."""
    if information is None:
        return np.full(size, FIRST_STEP)
    curvature = np.maximum(np.diag(information), 1e-12)
    return np.clip(SHARE_OF_ERROR / np.sqrt(curvature), *STEPS)


def covariance_of(information: Floats, held: Bools) -> Floats | None:
    """The inverse over the numbers not held, (16, 16), 0 elsewhere; None if it has none.

    None where the log posterior is not a peak: the information is not positive definite.
    """
    used = np.flatnonzero(~held)
    covariance = np.zeros_like(information)
    if not len(used):
        return covariance
    part = information[np.ix_(used, used)]
    if not np.all(np.isfinite(part)):
        return None
    scale = np.sqrt(np.abs(np.diag(part)))
    if np.any(scale == 0) or np.linalg.eigvalsh(part / np.outer(scale, scale))[0] <= 1e-12:
        return None
    covariance[np.ix_(used, used)] = np.linalg.inv(part)
    return covariance
