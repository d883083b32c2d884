"""The slope of the log marginal likelihood in every parameter, from the moments.

Sites are held fixed: at the fixed point of `propagation` their own slopes vanish (Minka 2001), so
only what a bound's probability says directly about sigma is added.
"""

import numpy as np

from registry.decline.ages import recovery_slope
from registry.decline.blocks import Block, Sites
from registry.decline.likelihood import Moments
from registry.decline.pair import Pair, Square, dot, sum_by, times_columns
from registry.decline.parameters import Parameters, Slopes
from registry.decline.records import METHODS, Floats


def slopes(
    block: Block,
    parameters: Parameters,
    moments: Moments,
    bound_sigma: float,
    with_recovery: bool = True,
) -> Slopes:
    """All 16 slopes; bound_sigma is the slope in ln sigma of the bounds' probabilities.

    Those of the recoveries, half the work, are left at 0 where nobody asks for them.
    """
    none = np.zeros(len(METHODS))
    sd_a, sd_k, corr = in_spreads(_surplus(moments.score, moments.need), parameters)
    tau_a, tau_k = _in_taus(moments, parameters)
    return Slopes(
        mu_a=float(moments.score.a.sum()),
        mu_k=float(moments.score.k.sum()),
        sd_a=sd_a,
        sd_k=sd_k,
        corr=corr,
        tau_a=tau_a,
        tau_k=tau_k,
        sigma=_sigma(block, moments, sd_a + sd_k + tau_a + tau_k) + bound_sigma,
        recovery=_recovery(block, parameters, moments) if with_recovery else none,
        drivers=times_columns(moments.spot_score.k, block.driver),
    )


def _surplus(score: Pair, need: Square) -> Square:
    """Sums of v v' - W: twice the slope in a covariance."""
    return Square(
        dot(score.a, score.a) - need.aa.sum(),
        dot(score.a, score.k) - need.ak.sum(),
        dot(score.k, score.k) - need.kk.sum(),
    )


def _in_taus(moments: Moments, parameters: Parameters) -> tuple[float, float]:
    """Slopes in ln tau_a and ln tau_k: sums of v v' - (M - M C M) over spots, C of their pavement.

    Only the two ends of that matrix are needed, so its sums are taken without laying it out.
    """
    own, inner, score = moments.own, moments.inner, moments.spot_score
    crossed = own.ak**2
    taken_aa = (
        dot(own.aa**2, inner.aa) + 2 * dot(own.aa * own.ak, inner.ak) + dot(crossed, inner.kk)
    )
    taken_kk = (
        dot(crossed, inner.aa) + 2 * dot(own.ak * own.kk, inner.ak) + dot(own.kk**2, inner.kk)
    )
    surplus_aa = dot(score.a, score.a) - float(own.aa.sum()) + taken_aa
    surplus_kk = dot(score.k, score.k) - float(own.kk.sum()) + taken_kk
    return parameters.tau_a**2 * surplus_aa, parameters.tau_k**2 * surplus_kk


def _sigma(block: Block, moments: Moments, other_spreads: float) -> float:
    """In ln sigma, for numbers only.

    If all spreads and sigma grow by one factor, so do all standard deviations: the slope is the sum
    of squares less the count. What the sites take of that is taken off.
    """
    rows = block.bound
    whole = moments.quadratic - (len(block.spot) - len(rows)) - other_spreads
    if not len(rows):
        return whole
    sums, spot = moments.sums, block.spot[rows]
    age, weight, pull = sums.age[rows], sums.sites.precision, sums.sites.information
    mean = moments.mean.a[spot] - age * moments.mean.k[spot]
    spread = moments.spread.take(spot)
    variance = spread.aa - 2 * age * spread.ak + age**2 * spread.kk
    return whole - float(np.sum(weight * (mean**2 + variance) - 2 * pull * mean))


def _recovery(block: Block, parameters: Parameters, moments: Moments) -> Floats:
    """In logit r, (4,): through the effective age at each observation after a cleaning."""
    rows = block.cleaned
    spot, age = block.spot[rows], moments.sums.age[rows]
    weight, pull = _entries(block, parameters, moments.sums.sites)
    slope = moments.mean.k[spot]
    level = moments.mean.a[spot] - age * slope
    shared = moments.spread.ak[spot] - age * moments.spread.kk[spot]
    by_age = weight[rows] * (level * slope + shared) - pull[rows] * slope
    return through_ages(block, parameters, moments, by_age)


def _entries(block: Block, parameters: Parameters, sites: Sites) -> tuple[Floats, Floats]:
    """w and nu of each observation, (n,)."""
    weight = np.full(len(block.spot), parameters.sigma**-2)
    pull = block.ln_rate * parameters.sigma**-2
    weight[block.bound], pull[block.bound] = sites.precision, sites.information
    return weight, pull


def through_ages(block: Block, parameters: Parameters, moments: Moments, by_age: Floats) -> Floats:
    """The slope in logit r, (4,), from that in the age of each observation after a cleaning."""
    cleanings = len(block.ages.gap)
    by_cleaning = sum_by(block.slot[block.cleaned], by_age, cleanings)
    walk = moments.sums.aged.walk
    in_recovery = recovery_slope(block.ages, parameters.recovery, walk, by_cleaning)
    return in_recovery * parameters.recovery * (1 - parameters.recovery)


def in_spreads(surplus: Square, parameters: Parameters) -> tuple[float, float, float]:
    """Slopes in ln sd_a, ln sd_k and atanh c, from twice that in Omega."""
    o_aa, o_ak, o_kk = parameters.omega
    # d omega_ak = sd_a sd_k (1 - c^2) d atanh c
    turn = parameters.sd_a * parameters.sd_k * (1 - parameters.corr**2)
    return (
        float(o_aa * surplus.aa + o_ak * surplus.ak),
        float(o_kk * surplus.kk + o_ak * surplus.ak),
        float(surplus.ak * turn),
    )
