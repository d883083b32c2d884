"""The way to the maximum: Newton steps with a curvature that each step corrects.

The curvature is that of differences where the climb starts, with every bend taken as downwards,
and is corrected by what each step finds (BFGS; Nocedal and Wright, Numerical Optimization, 2006,
chapter 6). A step is halved where the log posterior does not grow.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.objective import Objective, Point
from registry.decline.parameters import DRIVER, LOGS, PLACE, RECOVERY
from registry.decline.priors import PRIOR_SDS
from registry.decline.records import Bools, Floats

HALVINGS = 30
# Spreads, correlation and recoveries move by no more than this in one step, as unconstrained.
LONGEST = 1.0
# The value itself is not known better than this, of its size.
ROUNDING = 1e-13
# A gain below this is not seen in the value of a large pool; it is 0.0014 of a standard error.
UNSEEN = 1e-6
MOST_SHARPENINGS = 20
# A step that gains this little moves no parameter by more than 0.001 of its standard error.
SHARP_ENOUGH = 5e-7


def search_bounds() -> tuple[Floats, Floats]:
    """The lowest and highest number searched, (16,) each: far outside what any surface does.

    With a spread below a thousandth, rounding would pass for likelihood.
    """
    high = np.full(len(PRIOR_SDS), 1e6)
    high[PLACE["corr"]] = 4.0
    high[RECOVERY] = 8.0
    high[DRIVER] = 100.0
    low = -high
    for name in LOGS:
        low[PLACE[name]], high[PLACE[name]] = np.log(1e-3), np.log(1e4)
    return low, high


@dataclass(frozen=True, eq=False)
class Rest:
    """Where a climb came to rest, and what it had learned of the curvature.

    gain  by how much one more Newton step would raise the log posterior
    """

    point: Point
    information: Floats
    gain: float
    at_rest: bool
    steps: int


def climb_by_curvature(
    objective: Objective, start: Point, information: Floats, tolerance: float, most_steps: int
) -> Rest:
    """To rest: until one more step would gain less than the tolerance."""
    point, steps = start, 0
    low, high = search_bounds()
    while np.all(np.isfinite(information)) and np.all(np.isfinite(point.slope)):
        used = objective.free & ~at_bounds(point)
        move, gain = newton_step(information, point.slope, used)
        if gain <= tolerance or steps == most_steps:
            return Rest(point, information, gain, gain <= tolerance, steps)
        move = _shortened(move)
        if gain > UNSEEN:
            reached = _line(objective, point, move, low, high)
        else:
            reached = _last_step(objective, point, move, information, gain)
        if reached is None:
            return Rest(point, information, gain, gain <= UNSEEN, steps)
        information = corrected(information, reached, point)
        point, steps = reached, steps + 1
    return Rest(point, information, np.inf, False, steps)


def sharpen(objective: Objective, rest: Rest, information: Floats) -> Rest:
    """From where the climb rests to where the exact slope vanishes, by Newton steps.

    Pavements of several bounds move the maximum by a small part of a standard error, so the
    curvature stays; as it is not quite that of the exact surface, steps are repeated.
    """
    if not objective.crowded or not rest.at_rest:
        return rest
    low, high = search_bounds()
    point = objective.sharpened(rest.point.vector)
    gain = np.inf
    for step in range(MOST_SHARPENINGS):
        move, gain = newton_step(information, point.slope, objective.free & ~at_bounds(point))
        if gain <= SHARP_ENOUGH:
            return Rest(point, information, gain, True, rest.steps + step)
        vector = point.vector + move
        vector[objective.free] = np.clip(vector, low, high)[objective.free]
        point = objective.sharpened(vector)
    return Rest(point, information, gain, gain <= SHARP_ENOUGH, rest.steps + MOST_SHARPENINGS)


def at_bounds(point: Point) -> Bools:
    """(16,) which numbers lie on the edge of the search and would go beyond it."""
    low, high = search_bounds()
    below = (point.vector <= low + 1e-9) & (point.slope < 0)
    above = (point.vector >= high - 1e-9) & (point.slope > 0)
    return below | above


def _shortened(move: Floats) -> Floats:
    """A step that is not longer than parabolas can be trusted; the means are exact parabolas."""
    bent = np.ones(len(move), bool)
    bent[[PLACE["mu_a"], PLACE["mu_k"]]] = False
    bent[DRIVER] = False
    longest = float(np.max(np.abs(move[bent]), initial=0.0))
    return move * min(1.0, LONGEST / longest) if longest > 0 else move


def bent_down(information: Floats) -> Floats:
    """The nearest curvature that bends down everywhere; the priors' own if none is known."""
    if not np.all(np.isfinite(information)):
        return np.diag(PRIOR_SDS**-2.0)
    scale = np.sqrt(np.maximum(np.abs(np.diag(information)), 1e-12))
    values, directions = np.linalg.eigh(information / np.outer(scale, scale))
    positive = np.maximum(np.abs(values), 1e-4)
    return np.asarray((directions * positive) @ directions.T * np.outer(scale, scale))


def newton_step(information: Floats, slope: Floats, used: Bools) -> tuple[Floats, float]:
    """The step to the top of the parabola, (16,), and the height it would gain.

    Directions in which the surface bends upwards are taken as bending down as much.
    """
    rows = np.flatnonzero(used)
    move = np.zeros(len(slope))
    if not len(rows):
        return move, 0.0
    part = information[np.ix_(rows, rows)]
    scale = np.sqrt(np.maximum(np.abs(np.diag(part)), 1e-12))
    values, directions = np.linalg.eigh(part / np.outer(scale, scale))
    along = directions.T @ (slope[rows] / scale)
    bend = np.maximum(np.abs(values), 1e-8)
    move[rows] = directions @ (along / bend) / scale
    return move, float(0.5 * np.sum(along**2 / bend))


def _last_step(
    objective: Objective, point: Point, move: Floats, information: Floats, gain: float
) -> Point | None:
    """A step whose gain drowns in the rounding of the value: judged by what is left to gain."""
    reached = objective.at(point.vector + move)
    used = objective.free & ~at_bounds(reached)
    return reached if newton_step(information, reached.slope, used)[1] < gain else None


def _line(
    objective: Objective, point: Point, move: Floats, low: Floats, high: Floats
) -> Point | None:
    """The first of ever shorter steps that does not lose height; None if all do."""
    noise = ROUNDING * max(abs(point.log_posterior), 1.0)
    for halving in range(HALVINGS):
        vector = point.vector + move * 0.5**halving
        vector[objective.free] = np.clip(vector, low, high)[objective.free]
        reached = objective.at(vector)
        if np.isfinite(reached.log_posterior) and (
            reached.log_posterior >= point.log_posterior - noise
        ):
            return reached
    return None


def corrected(information: Floats, reached: Point, left: Point) -> Floats:
    """The curvature that would have foreseen how the slope changed (BFGS)."""
    moved, turned = reached.vector - left.vector, left.slope - reached.slope
    moved = np.where(np.isfinite(moved), moved, 0.0)
    foreseen = information @ moved
    along, expected = float(moved @ turned), float(moved @ foreseen)
    if along <= 1e-10 * np.linalg.norm(moved) * np.linalg.norm(turned) or expected <= 0:
        return information
    return np.asarray(
        information + np.outer(turned, turned) / along - np.outer(foreseen, foreseen) / expected
    )
