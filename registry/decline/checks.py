"""Whether to believe a fit: a table of data, one check a row."""

from dataclasses import dataclass

import numpy as np

from registry.decline.blocks import Block, Sites
from registry.decline.climbing import Rest, at_bounds
from registry.decline.likelihood import integrate
from registry.decline.objective import Objective
from registry.decline.parameters import NAMES, Parameters
from registry.decline.records import Floats

# A normal has 4.6 % beyond 2 standard deviations; common practice, no source, for the limit.
BEYOND_2_LIMIT = 0.08


@dataclass(frozen=True)
class Check:
    """name, what was found, up to what is well, whether it is, and where it is not, what.

    value and limit are None where the check is of words; holds is what counts.
    """

    name: str
    value: float | None
    limit: float | None
    holds: bool
    words: str = ""


def check_fit(objective: Objective, rest: Rest, message: str) -> tuple[Check, ...]:
    """Converged, gain left, parameters at a bound, bounds settled, residuals beyond 2."""
    edge = [NAMES[place] for place in np.flatnonzero(at_bounds(rest.point) & objective.free)]
    residual = standardised_residuals(objective, Parameters.from_vector(rest.point.vector))
    beyond = float(np.mean(np.abs(residual) > 2)) if len(residual) else None
    slope = float(np.max(np.abs(rest.point.slope), initial=0.0))
    return (
        Check("converged", None, None, not message, message),
        Check("gradient", slope, None, rest.at_rest, "" if rest.at_rest else "not at rest"),
        Check("parameters_at_a_bound", float(len(edge)), 0.0, not edge, ", ".join(edge)),
        Check("bounds_settled", None, None, rest.point.at_rest),
        Check(
            "residuals_beyond_2",
            beyond,
            BEYOND_2_LIMIT,
            beyond is None or beyond <= BEYOND_2_LIMIT,
            "" if beyond is not None else "No drained run: only bounds.",
        ),
    )


def standardised_residuals(objective: Objective, parameters: Parameters) -> Floats:
    """Of every number (bounds have none), in the order of the portfolio, (n - b,).

    y - E(f | all tests) has variance sigma^2 - Var(f | all tests) under the model.
    """
    found = []
    sites = objective.sites
    for block, low, high in zip(
        objective.blocks, objective.ends[:-1], objective.ends[1:], strict=True
    ):
        own = sites.take(slice(low, high))
        found.append(_residuals(block, parameters, own))
    return np.concatenate(found)


def _residuals(block: Block, parameters: Parameters, sites: Sites) -> Floats:
    moments = integrate(block, parameters, sites)
    numbers = np.flatnonzero(block.sign == 0)
    spot, age = block.spot[numbers], moments.sums.age[numbers]
    spread = moments.spread.take(spot)
    variance = spread.aa - 2 * age * spread.ak + age**2 * spread.kk
    off = block.ln_rate[numbers] - moments.mean.a[spot] + age * moments.mean.k[spot]
    # A test alone at its spot can be met exactly; nothing is then left to stand out.
    left = np.maximum(parameters.sigma**2 - variance, 1e-12 * parameters.sigma**2)
    return np.asarray(off / np.sqrt(left))
