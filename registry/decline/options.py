"""What may be chosen about a fit."""

from dataclasses import dataclass, field

import numpy as np

from registry.decline.faults import DeclineError
from registry.decline.parameters import NAMES, PLACE, Parameters
from registry.decline.priors import PRIOR_MEANS, Priors, published_priors
from registry.decline.records import Bools


@dataclass(frozen=True, eq=False)
class FitOptions:
    """Raises DeclineError where an option makes no sense.

    priors            the published ones unless others are given
    fixed             names of parameters that stay as in `start`
    start             where the search starts: the priors' means, or the last fit of the pool
    sample_pavements  a pool with more than twice as many tested pavements is first fitted on
                      every so-manieth of them, then on ten times as many, and so on
    tolerance         the fit rests where a Newton step would move the log posterior by less; 1e-9
                      is a parameter within 1e-4 of its own standard error
    most_steps        steps by one curvature before it is observed anew
    level             of the intervals of parameters
    """

    priors: Priors = field(default_factory=published_priors)
    fixed: tuple[str, ...] = ()
    start: Parameters = PRIOR_MEANS
    sample_pavements: int = 400
    tolerance: float = 1e-9
    site_tolerance: float = 1e-8
    most_steps: int = 15
    level: float = 0.95

    def __post_init__(self) -> None:
        unknown = set(self.fixed) - set(NAMES)
        if unknown:
            raise DeclineError(f"There is no parameter named {', '.join(sorted(unknown))}.")
        if self.sample_pavements < 1 or self.most_steps < 1:
            raise DeclineError("A fit needs at least one pavement in its sample, and one step.")
        if not (0 < self.tolerance < 1 and 0 < self.site_tolerance < 1e-3):
            raise DeclineError("A tolerance lies above 0 and far below 1.")
        if not 0.5 <= self.level < 1:
            raise DeclineError("The level of an interval lies between 0.5 and 1.")
        if not np.all(np.isfinite(self.start.vector()[self.free])):
            raise DeclineError("A fit cannot start from a standard deviation of 0; fix it instead.")

    @property
    def free(self) -> Bools:
        """(16,) which of NAMES are estimated."""
        free = np.ones(len(NAMES), bool)
        free[[PLACE[name] for name in self.fixed]] = False
        return free
