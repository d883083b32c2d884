"""The effective age at which a place is below its action level with a given risk.

P(a - kV < t | k >= 0) only grows with V, so there is one such age for each place, whatever is
cleaned and when; days and intervals follow from it.
"""

import numpy as np
from scipy.special import ndtr, ndtri

from registry.decline.records import Bools, Floats
from registry.decline.truncated import Joint, Level, chance_below, level_at

OLDEST_YEARS = 500.0
# A step of this size leaves an error of its square, a thousandth of a day at most.
PRECISION_YEARS = 1e-5
CLIP = 1e-15


def age_reaching(joint: Joint, threshold: Floats, risk: float) -> Floats:
    """Effective age, years, (n,): 0 if the risk is there when new, inf if not within 500 years.

    threshold  (n,) ln mm/h; nan gives nan. risk above 0 and below 1.

    The chance as a normal quantile is nearly straight in V. The first step takes its slope without
    the condition on k, later ones the secant; a step that leaves the ends, which close in, is
    replaced by their middle.
    """
    age = np.full(len(threshold), np.nan)
    known = np.flatnonzero(~np.isnan(threshold))
    joint, threshold = joint.take(known), threshold[known]
    new = _reached(joint, 0.0, threshold, risk)
    old = _reached(joint, OLDEST_YEARS, threshold, risk)
    age[known] = np.where(new, 0.0, np.inf)
    rows = np.flatnonzero(~new & old)
    age[known[rows]] = _close_in(joint.take(rows), threshold[rows], risk)
    return age


def _reached(joint: Joint, age: float, threshold: Floats, risk: float) -> Bools:
    """Whether the chance at one age is at or above the risk; worked out only where it is close.

    Without the condition the chance is p; with it, it lies between p - P(k < 0) and p / P(k >= 0).
    """
    level = level_at(joint, np.full(len(threshold), age))
    free, positive = ndtr((threshold - level.mean) / level.sd), ndtr(level.z)
    reached = np.asarray(free - (1 - positive) > risk)
    close = np.flatnonzero(~reached & (free >= risk * positive * (1 - 1e-9)))
    near = Level(level.mean[close], level.sd[close], level.q[close], level.z[close])
    reached[close] = chance_below(near, threshold[close]) >= risk
    return reached


def _excess(level: Level, threshold: Floats, risk: float) -> Floats:
    """How far the chance lies above the risk, as a difference of normal quantiles."""
    chance = np.clip(chance_below(level, threshold), CLIP, 1 - CLIP)
    return np.asarray(ndtri(chance) - ndtri(risk))


def _free_slope(joint: Joint, age: Floats, level: Level, threshold: Floats) -> Floats:
    """d/dV of (t - m) / d: the slope of the quantile without the condition."""
    widening = (age * joint.kk - joint.ak) / level.sd
    return np.asarray((joint.k - (threshold - level.mean) / level.sd * widening) / level.sd)


def _close_in(joint: Joint, threshold: Floats, risk: float) -> Floats:
    found = _guess(joint, threshold, risk)
    rows = np.arange(len(found))
    low, high = np.zeros(len(rows)), np.full(len(rows), OLDEST_YEARS)
    trial = np.where((found > low) & (found < high), found, np.minimum(1.0, high))
    last_trial, last_off = trial, np.full(len(rows), np.nan)
    while len(rows):
        level = level_at(joint, trial)
        off = _excess(level, threshold, risk)
        low, high = np.where(off < 0, trial, low), np.where(off < 0, high, trial)
        with np.errstate(divide="ignore", invalid="ignore"):
            secant = (off - last_off) / (trial - last_trial)
            slope = np.where(secant > 0, secant, _free_slope(joint, trial, level, threshold))
            following = trial - off / slope
        inside = (following > low) & (following < high)
        following = np.where(inside, following, (low + high) / 2)
        found[rows] = following
        going = (np.abs(following - trial) > PRECISION_YEARS) & (off != 0)
        found[rows[off == 0]] = trial[off == 0]
        rows, joint, threshold = rows[going], joint.take(going), threshold[going]
        low, high, last_off, last_trial = low[going], high[going], off[going], trial[going]
        trial = following[going]
    return found


def _guess(joint: Joint, threshold: Floats, risk: float) -> Floats:
    """The age without the condition on k: t - a + kV = ndtri(risk) sd(V), a parabola in V."""
    u = float(ndtri(risk))
    gap = joint.a - threshold
    square = joint.k**2 - u**2 * joint.kk
    half = -(gap * joint.k - u**2 * joint.ak)
    rest = gap**2 - u**2 * joint.aa
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(half**2 - square * rest)
        # The earlier crossing for a risk below one half, the later for one above.
        return np.asarray((-half - np.sign(0.5 - risk) * root) / square)
