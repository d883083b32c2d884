"""Whether to believe a fit: a table of data, one check a row."""

from dataclasses import dataclass

import numpy as np

from registry.decline.climbing import Rest, at_bounds
from registry.decline.objective import Objective
from registry.decline.parameters import NAMES
from registry.decline.residuals import Residuals

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


def check_fit(
    objective: Objective, rest: Rest, residuals: Residuals, message: str
) -> tuple[Check, ...]:
    """Converged, gain left, parameters at a bound, bounds settled, residuals beyond 2."""
    edge = [NAMES[place] for place in np.flatnonzero(at_bounds(rest.point) & objective.free)]
    residual = residuals.standardised
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
