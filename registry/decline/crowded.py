"""Pavements with several bounds, where expectation propagation is close but not exact.

Given (a_p, k_p) the spots of a pavement know nothing of one another, and given (A, K) of a spot
its bounds do not either. So the likelihood, its slope and the moments of (a, k) are integrals over
two numbers for the pavement and, inside, two for each spot that has bounds. Both are summed over
Gauss-Hermite nodes laid out about the normal that expectation propagation found, each weighted by
how far the bounds' probabilities differ from their sites there. (Adaptive Gauss-Hermite quadrature:
Naylor and Smith, J. R. Stat. Soc. C 31, 1982, 214-225.)
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr

from registry.decline.blocks import Block, Sites
from registry.decline.likelihood import LN_2PI, Follow, Moments, follow, spot_covariance
from registry.decline.nodes import Grid, hermite, mean_by, spread_out
from registry.decline.pair import Pair, Square, dot, put, sum_by, times_columns
from registry.decline.parameters import Parameters, Slopes
from registry.decline.records import Floats, Ints
from registry.decline.slopes import in_spreads, through_ages

SEVERAL = 2
# Pavements weighed together: their nodes at a time are some millions of numbers.
BATCH = 32


@dataclass(frozen=True, eq=False)
class Exact:
    """What is left known of a block's pavements and spots, bounds taken exactly.

    log_mass           (P,) log of what the bounds give instead of their sites
    shift, spread      mean (P, 2) and covariance (P, 2x2) of (a_p, k_p) - mu
    spot_mean, spot_spread   of (A, K), (S, 2) and (S, 2x2)
    nodes              what they were summed over
    """

    log_mass: Floats
    shift: Pair
    spread: Square
    spot_mean: Pair
    spot_spread: Square
    nodes: "Nodes"


@dataclass(frozen=True, eq=False)
class Nodes:
    """Nodes, and their weights: N of a pavement, and N x M of a spot, one after another.

    spots             (B,) the spots that have bounds     of_bound  (b,) the row of a bound's spot
    pavement, spot    how far nodes lie from the means that were found, (P, N) and (B, N M)
    led               how far the pavement of each spot node does, (B, N M)
    k, z, ln_chance   K at each bound, and z and ln Phi(z) of its probability, (b, N M)
    weight, spot_weight   (P, N) and (B, N M), summing to 1
    log_mass          (P,) log of the sum before that
    """

    spots: Ints
    of_bound: Ints
    pavement: Pair
    spot: Pair
    led: Pair
    k: Floats
    z: Floats
    ln_chance: Floats
    weight: Floats
    spot_weight: Floats
    log_mass: Floats


def weigh_nodes(
    block: Block, parameters: Parameters, moments: Moments, sites: Sites, grid: Grid
) -> Exact:
    """The exact moments of a block, every pavement of which has bounds.

    moments, sites  as expectation propagation left them
    """
    ties = follow(moments.own, spot_covariance(parameters))
    drawn = _lay_out(block, parameters, moments, sites, ties, grid)
    moved, spread = _weighted(drawn.pavement, drawn.weight)
    mean, spot_spread = _followed(block, moments.mean, ties, moved, spread)
    at = drawn.spots
    spot_moved, weighted = _weighted(drawn.spot, drawn.spot_weight)
    put(mean, at, Pair(moments.mean.a[at] + spot_moved.a, moments.mean.k[at] + spot_moved.k))
    put(spot_spread, at, weighted)
    shift = Pair(moments.pavement_shift.a + moved.a, moments.pavement_shift.k + moved.k)
    return Exact(drawn.log_mass, shift, spread, mean, spot_spread, drawn)


def _lay_out(
    block: Block, parameters: Parameters, moments: Moments, sites: Sites, ties: Follow, grid: Grid
) -> Nodes:
    spots, of_bound = np.unique(block.spot[block.bound], return_inverse=True)
    owner = block.spot_pavement[spots]
    rows, at = block.bound, block.spot[block.bound]
    age = moments.sums.age[rows]
    first, second, log_outer = hermite(grid.outer)
    seen = mean_by(owner[of_bound], age, block.pavements)
    pavement = spread_out(moments.pavement_spread, seen, first, second)
    inner_first, inner_second, log_inner = hermite(grid.inner)
    seen = mean_by(of_bound, age, len(spots))
    own = spread_out(ties.rest.take(spots), seen, inner_first, inner_second)
    led = Pair(*(np.repeat(p[owner], len(log_inner), axis=1) for p in pavement))
    g_aa, g_ak, g_ka, g_kk = (
        factor[spots, None] for factor in (ties.g_aa, ties.g_ak, ties.g_ka, ties.g_kk)
    )
    followed = Follow(g_aa, g_ak, g_ka, g_kk, ties.rest).pair(led)
    spot = Pair(*(f + np.tile(o, len(log_outer)) for f, o in zip(followed, own, strict=True)))
    k = moments.mean.k[at][:, None] + spot.k[of_bound]
    f = moments.mean.a[at][:, None] + spot.a[of_bound] - age[:, None] * k
    z = (block.sign[rows] / parameters.sigma)[:, None] * (f - block.ln_rate[rows][:, None])
    stood_in = f * (sites.information[:, None] - 0.5 * sites.precision[:, None] * f)
    ln_chance = log_ndtr(z)
    by_spot = np.add.reduceat(ln_chance - stood_in, _firsts(of_bound), axis=0)
    shape = (len(spots), len(log_outer), len(log_inner))
    inner_mass, within = _share_out(by_spot.reshape(shape) + log_inner)
    log_mass, weight = _share_out(np.add.reduceat(inner_mass, _firsts(owner), axis=0) + log_outer)
    spot_weight = (within * weight[owner][:, :, None]).reshape(len(spots), -1)
    return Nodes(
        spots, of_bound, pavement, spot, led, k, z, ln_chance, weight, spot_weight, log_mass
    )


def _share_out(log_weight: Floats) -> tuple[Floats, Floats]:
    """Log of the sum over the last axis, and weights that sum to 1."""
    top = log_weight.max(axis=-1, keepdims=True)
    weight = np.exp(log_weight - top)
    total = weight.sum(axis=-1, keepdims=True)
    weight /= total
    return np.asarray((top + np.log(total))[..., 0]), weight


def _firsts(group: Ints) -> Ints:
    """Where each group of a rising column starts."""
    return np.flatnonzero(np.diff(group, prepend=-1))


def _weighted(nodes: Pair, weight: Floats) -> tuple[Pair, Square]:
    """Mean (n, 2) and covariance (n, 2x2) of weighted nodes (n, N)."""
    a, k = (weight * nodes.a).sum(axis=1), (weight * nodes.k).sum(axis=1)
    off_a, off_k = nodes.a - a[:, None], nodes.k - k[:, None]
    weighted_a = weight * off_a
    return Pair(a, k), Square(
        (weighted_a * off_a).sum(axis=1),
        (weighted_a * off_k).sum(axis=1),
        (weight * off_k**2).sum(axis=1),
    )


def _followed(
    block: Block, mean: Pair, ties: Follow, moved: Pair, spread: Square
) -> tuple[Pair, Square]:
    """Mean and covariance at every spot, if it only follows its pavement, (S, 2) and (S, 2x2)."""
    owner = block.spot_pavement
    led = ties.pair(Pair(moved.a[owner], moved.k[owner]))
    return Pair(mean.a + led.a, mean.k + led.k), ties.spread(spread.take(owner))


def own_square(block: Block, parameters: Parameters, moments: Moments, exact: Exact) -> Pair:
    """E of alpha^2 and kappa^2 of every spot, (S, 2): alpha and kappa are (A, K) less pavement."""
    drawn = exact.nodes
    ties = follow(moments.own, spot_covariance(parameters))
    moved = Pair(exact.shift.a - moments.pavement_shift.a, exact.shift.k - moments.pavement_shift.k)
    within = spot_covariance(parameters)
    own_mean = Pair(within.aa * moments.spot_score.a, within.kk * moments.spot_score.k)
    less = Follow(ties.g_aa - 1, ties.g_ak, ties.g_ka, ties.g_kk - 1, ties.rest)
    mean, own_spread = _followed(block, own_mean, less, moved, exact.spread)
    at = drawn.spots
    apart = Pair(drawn.spot.a - drawn.led.a, drawn.spot.k - drawn.led.k)
    own_moved, weighted = _weighted(apart, drawn.spot_weight)
    put(mean, at, Pair(own_mean.a[at] + own_moved.a, own_mean.k[at] + own_moved.k))
    put(own_spread, at, weighted)
    return Pair(own_spread.aa + mean.a**2, own_spread.kk + mean.k**2)


def _pulls(block: Block, parameters: Parameters, drawn: Nodes) -> tuple[Floats, Floats, Floats]:
    """E of the slope of each bound's log probability in f, of that times K, and in ln sigma."""
    sign = block.sign[block.bound][:, None]
    z, ln_chance = drawn.z, drawn.ln_chance
    # phi(z) / Phi(z)
    weighted = drawn.spot_weight[drawn.of_bound] * np.exp(-0.5 * (z**2 + LN_2PI) - ln_chance)
    pull = sign * weighted / parameters.sigma
    return pull.sum(axis=1), (pull * drawn.k).sum(axis=1), -(weighted * z).sum(axis=1)


def exact_slopes(block: Block, parameters: Parameters, moments: Moments, exact: Exact) -> Slopes:
    """The slope of the log marginal likelihood, as the mean slope of that with (a, k) known."""
    pull, pull_k, sigma_slope = _pulls(block, parameters, exact.nodes)
    pull, pull_k, squares = _number_pulls(block, parameters, moments, exact, pull, pull_k)
    own = own_square(block, parameters, moments, exact)
    age = moments.sums.age
    by_slope = sum_by(block.spot, -age * pull, len(block.spot_pavement))
    sd_a, sd_k, corr = in_spreads(_between(block, parameters, exact), parameters)
    numbers, spots = len(block.spot) - len(block.bound), len(block.spot_pavement)
    return Slopes(
        mu_a=float(pull.sum()),
        mu_k=float(by_slope.sum()),
        sd_a=sd_a,
        sd_k=sd_k,
        corr=corr,
        tau_a=_ratio(own.a, parameters.tau_a, spots),
        tau_k=_ratio(own.k, parameters.tau_k, spots),
        sigma=squares - numbers + float(sigma_slope.sum()),
        recovery=through_ages(block, parameters, moments, -pull_k[block.cleaned]),
        drivers=times_columns(by_slope, block.driver),
    )


def _number_pulls(
    block: Block,
    parameters: Parameters,
    moments: Moments,
    exact: Exact,
    of_bounds: Floats,
    of_bounds_k: Floats,
) -> tuple[Floats, Floats, float]:
    """Of each observation (n,): E of its slope in f, of that times K; E of the sum of squares."""
    spot, age, precision = block.spot, moments.sums.age, parameters.sigma**-2
    mean_k, spread = exact.spot_mean.k[spot], exact.spot_spread.take(spot)
    off = block.ln_rate - exact.spot_mean.a[spot] + age * mean_k
    variance = spread.aa - 2 * age * spread.ak + age**2 * spread.kk
    squares = precision * (off**2 + variance)
    pull = precision * off
    pull_k = precision * (off * mean_k - (spread.ak - age * spread.kk))
    pull[block.bound], pull_k[block.bound] = of_bounds, of_bounds_k
    return pull, pull_k, float(squares.sum() - squares[block.bound].sum())


def _between(block: Block, parameters: Parameters, exact: Exact) -> Square:
    """Twice the slope in Omega: Omega^-1 (sum of E(u u') - P Omega) Omega^-1."""
    shift, spread = exact.shift, exact.spread
    cross = dot(shift.a, shift.k) + float(spread.ak.sum())
    total = np.array(
        [
            [dot(shift.a, shift.a) + float(spread.aa.sum()), cross],
            [cross, dot(shift.k, shift.k) + float(spread.kk.sum())],
        ]
    )
    o_aa, o_ak, o_kk = parameters.omega
    # A spread of 0 is fixed there, and has no slope: pinv leaves its row 0.
    inverse = np.linalg.pinv(np.array([[o_aa, o_ak], [o_ak, o_kk]]))
    surplus = inverse @ total @ inverse - block.pavements * inverse
    return Square(surplus[0, 0], surplus[0, 1], surplus[1, 1])


def _ratio(squares: Floats, tau: float, spots: int) -> float:
    return float(squares.sum() / tau**2 - spots) if tau > 0 else 0.0
