"""A stored fit -> the parameters of the model, and back to plain data."""

from typing import Any

import numpy as np

from registry.decline.faults import DeclineError
from registry.decline.parameters import SCALARS, Parameters
from registry.decline.records import DRIVERS, METHODS
from registry.models import Fit


def parameters_as_data(parameters: Parameters | None) -> dict[str, Any] | None:
    """Return parameters as they are stored and written to files."""
    if parameters is None:
        return None
    found: dict[str, Any] = {name: float(getattr(parameters, name)) for name in SCALARS}
    found["recovery"] = dict(zip(METHODS, map(float, parameters.recovery), strict=True))
    found["drivers"] = dict(zip(DRIVERS, map(float, parameters.drivers), strict=True))
    return found


def parameters_of(fit: Fit) -> Parameters:
    """Return the parameters of a stored fit. Raises DeclineError where it has none."""
    if fit.parameters is None:
        raise DeclineError("This fit has no parameters.")
    stored = fit.parameters
    return Parameters(
        **{name: stored[name] for name in SCALARS},
        recovery=np.array([stored["recovery"][name] for name in METHODS]),
        drivers=np.array([stored["drivers"][name] for name in DRIVERS]),
    )
