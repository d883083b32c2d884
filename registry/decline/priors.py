"""What is thought before any test: weak, so that it decides for a small owner, not for a large.

quantity             prior N(mean, sd)
mu_a                 N(ln 5000, 1.2)                     (1)
mu_k                 N(0.35, 0.25) 1/year                (2)
ln sd_a, ln sd_k     N(ln 0.7, 0.5), N(ln 0.2, 0.5)
atanh c              N(0, 0.5)
ln tau_a, ln tau_k   N(ln 0.5, 0.5), N(ln 0.1, 0.5)      spots on one lot differ by orders of
                                                         magnitude
ln sigma             N(ln 0.25, 0.5)
logit r              N(logit r0, 0.8)                    (3)
each gamma           N(0, 0.2) 1/year

(1) New pervious concrete 4 860 to 43 800 mm/h (FHWA tech brief, ACI 522R), in-service lots far
    less. (2) Two-point rates from published declines 0.07 to 0.89. (3) r0 is 0.15, 0.30, 0.40, 0.65
    for broom, regenerative air, vacuum, wash and vacuum: sweeping +21 %, vacuum +30 %, wash and
    vacuum +100 % (Suozzo and Dewoolkar 2012); 0.50 to 3.48 mm/min (Al-Rubaei et al. 2013).
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.parameters import Parameters
from registry.decline.records import Bools, Floats

PRIOR_MEANS = Parameters(
    mu_a=float(np.log(5000.0)),
    mu_k=0.35,
    sd_a=0.7,
    sd_k=0.2,
    corr=0.0,
    tau_a=0.5,
    tau_k=0.1,
    sigma=0.25,
    recovery=np.array([0.15, 0.30, 0.40, 0.65]),
    drivers=np.zeros(4),
)
PRIOR_SDS = np.array([1.2, 0.25, *[0.5] * 6, *[0.8] * 4, *[0.2] * 4])


@dataclass(frozen=True, eq=False)
class Priors:
    """Independent normals for the unconstrained numbers, (16,) each; sd inf says nothing."""

    mean: Floats
    sd: Floats

    def log_density(self, vector: Floats, free: Bools) -> float:
        """The log of their joint density over the numbers marked in `free`, (16,) bool."""
        used = free & np.isfinite(self.sd)
        z = (vector[used] - self.mean[used]) / self.sd[used]
        return float(-0.5 * z @ z - np.log(self.sd[used] * np.sqrt(2 * np.pi)).sum())

    def slope(self, vector: Floats, free: Bools) -> Floats:
        """(16,) its slope, 0 where not free."""
        used = free & np.isfinite(self.sd)
        slope = np.zeros(len(vector))
        slope[used] = (self.mean[used] - vector[used]) / self.sd[used] ** 2
        return slope

    def bend(self, free: Bools) -> Floats:
        """(16,) minus its second derivatives, 0 where not free."""
        used = free & np.isfinite(self.sd)
        bend = np.zeros(len(free))
        bend[used] = self.sd[used] ** -2.0
        return bend


def published_priors() -> Priors:
    """The priors of the table above."""
    return Priors(PRIOR_MEANS.vector(), PRIOR_SDS)


def no_priors() -> Priors:
    """Maximum likelihood."""
    return Priors(PRIOR_MEANS.vector(), np.full(len(PRIOR_SDS), np.inf))
