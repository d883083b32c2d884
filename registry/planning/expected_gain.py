"""What a cleaning is expected to give: rate after over rate before, with an interval.

symbol  meaning                                                  unit
V       effective age before the cleaning                        years
k       clogging of the pavement by the fit, N(m, s^2), k >= 0    1/year
r       share of the clogging that the method takes away          1
gain    exp(r V k), since ln I = a - V k and V goes to (1 - r) V

The share r is given by its logit and standard deviation, from the fit; its spread and that of k are
taken as independent and both enter the interval. Quantiles of the product by Gauss-Hermite nodes
over logit r (W. Gautschi, Orthogonal Polynomials, 2004, from memory) and bisection.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import expit, ndtr

from registry.decline.records import Floats
from registry.planning.faults import PlanningError
from registry.planning.words import NotDecided, require

NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(48)
LOW, MIDDLE, HIGH = 0.10, 0.50, 0.90
STEPS = 200


@dataclass(frozen=True)
class Recovery:
    """The share of clogging that a method takes away, and the sd of its logit (0: exact)."""

    share: float
    sd_logit: float = 0.0

    def __post_init__(self) -> None:
        if not 0 < self.share < 1:
            raise PlanningError(f"A recovery lies between 0 and 1, not {self.share:g}.")
        require(self.sd_logit, "The spread of a recovery")


@dataclass(frozen=True)
class Clogging:
    """k and its sd by the fit, 1/year, and V on the day, years; None not known, with why."""

    k: float | None
    sd_k: float | None
    effective_age_yr: float | None
    why_not: str = ""


@dataclass(frozen=True)
class ExpectedGain:
    """The median and the 10 % and 90 % quantiles of rate after over rate before; 1 is no gain."""

    median: float
    low: float
    high: float


def expected_gain(clogging: Clogging, recovery: Recovery | None) -> ExpectedGain | NotDecided:
    """Return the gain of one cleaning on the day of the effective age."""
    k, sd, age = clogging.k, clogging.sd_k, clogging.effective_age_yr
    if k is None or sd is None or age is None:
        why = clogging.why_not or "Not decided: no fit says how fast it clogs."
        return NotDecided(why, ("fit",))
    if recovery is None:
        return NotDecided("Not decided: no fit says what this method takes away.", ("recovery",))
    require(age, "The effective age")
    require(sd, "The spread of the clogging")
    if not math.isfinite(k):
        raise PlanningError("The clogging is not a number.")
    if sd == 0 or ndtr(k / sd) < 1e-9:
        return NotDecided(
            "Not decided: the fit leaves no clogging that an interval can be made of.",
            ("fit",),
        )
    shares, weights = _shares(recovery)
    low, median, high = (
        math.exp(age * _quantile(q, k, sd, shares, weights)) for q in (LOW, MIDDLE, HIGH)
    )
    return ExpectedGain(median, low, high)


def _shares(recovery: Recovery) -> tuple[Floats, Floats]:
    """Values of r and their weights, which sum to 1."""
    if recovery.sd_logit == 0:
        return np.array([recovery.share]), np.array([1.0])
    logit = math.log(recovery.share / (1 - recovery.share))
    return np.asarray(expit(logit + recovery.sd_logit * NODES)), WEIGHTS / WEIGHTS.sum()


def _quantile(q: float, k: float, sd: float, shares: Floats, weights: Floats) -> float:
    """The level below which r k lies with probability q, given k >= 0."""
    low, high = 0.0, max(k, 0.0) + 12 * sd
    for _ in range(STEPS):
        middle = (low + high) / 2
        if _chance(middle, k, sd, shares, weights) < q:
            low = middle
        else:
            high = middle
        if high - low < 1e-12 * (1 + high):
            break
    return (low + high) / 2


def _chance(level: float, k: float, sd: float, shares: Floats, weights: Floats) -> float:
    """P(r k < level | k >= 0)."""
    none, below = ndtr(-k / sd), ndtr((level / shares - k) / sd)
    return float((weights * (below - none)).sum() / (1 - none))
