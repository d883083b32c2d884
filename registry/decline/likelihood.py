"""The marginal likelihood of the observations, spots and pavements integrated out, and its slope.

symbol    meaning                                                              shape
x         (1, -V): ln I = x . (A, K) + noise                                   (n, 2)
A, K      a_p + alpha_l, k_p + kappa_l + z_l . gamma of a spot                 (S, 2)
c         mean of (A, K): (mu_a, mu_k + z_l . gamma)                           (S, 2)
L, h      precision and information of a spot's observations about (A, K) - c  (S, 2x2), (S, 2)
T         diag(tau_a^2, tau_k^2)
M, g      (L^-1 + T)^-1 and (I + L T)^-1 h: what the spot says of its pavement  (S, 2x2), (S, 2)
P, G      sums of M and g over the spots of a pavement                         (P, 2x2), (P, 2)
Omega     covariance of (a_p, k_p)
W, v      (P^-1 + Omega)^-1 and (I + P Omega)^-1 G: slopes in the mean          (P, 2x2), (P, 2)

Every observation enters as exp(-w f^2 / 2 + nu f) in f = x . (A, K): w = 1/sigma^2, nu = y/sigma^2
for a number, the site of `propagation` for a bound. Random-effects algebra: Laird and Ware,
Biometrics 38, 1982, 963-974; the slopes in Omega and T are those of a normal likelihood, written
without inverses.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from registry.decline.blocks import Aged, Block, Sites, Sums, age_block, sum_observations
from registry.decline.pair import Pair, Square, dot, sum_by, widened
from registry.decline.parameters import Parameters
from registry.decline.records import Floats, Ints

LN_2PI = float(np.log(2 * np.pi))


@dataclass(frozen=True, eq=False)
class Moments:
    """What the observations leave known, given the parameters and the sites.

    score, need              v (P, 2) and W (P, 2x2)
    spot_score               the same as v for each spot: slope in its own (A, K), (S, 2)
    owner                    pavement of each spot (S,)
    within, own              T, and M (S, 2x2)
    inner                    pavement_spread at each spot (S, 2x2)
    mean, spread             posterior mean (S, 2) and covariance (S, 2x2) of (A, K); worked out
                             when first asked for, as a step without cleanings and bounds needs none
    pavement_shift, pavement_spread   of (a_p, k_p) - mu
    quadratic                the sum of squares in the likelihood
    log_likelihood           of the numbers, and of the sites as they stand
    """

    sums: Sums
    score: Pair
    need: Square
    spot_score: Pair
    owner: Ints
    within: Square
    own: Square
    inner: Square
    pavement_shift: Pair
    pavement_spread: Square
    quadratic: float
    log_likelihood: float

    @cached_property
    def mean(self) -> Pair:
        centre, shift, within = self.sums.centre, self.pavement_shift, self.within
        return Pair(
            centre.a + shift.a[self.owner] + within.aa * self.spot_score.a,
            centre.k + shift.k[self.owner] + within.kk * self.spot_score.k,
        )

    @cached_property
    def spread(self) -> Square:
        return follow(self.own, self.within).spread(self.inner)


def integrate(
    block: Block, parameters: Parameters, sites: Sites, aged: Aged | None = None
) -> Moments:
    """Integrate spots, then pavements, at fixed sites.

    aged  the block at the parameters' recoveries, where that is known already
    """
    sums = sum_observations(block, parameters, sites, aged or age_block(block, parameters.recovery))
    between = Square(*(np.asarray(value) for value in parameters.omega))
    within = spot_covariance(parameters)
    own, spot_whole = widened(sums.precision, within)
    held = own.times(Pair(within.aa * sums.information.a, within.kk * sums.information.k))
    told = Pair(sums.information.a - held.a, sums.information.k - held.k)
    owner, count = block.spot_pavement, block.pavements
    precision = Square(*(sum_by(owner, column, count) for column in own))
    information = Pair(*(sum_by(owner, column, count) for column in told))
    need, whole = widened(precision, between)
    held = need.times(between.times(information))
    score = Pair(information.a - held.a, information.k - held.k)
    shift = between.times(score)
    spread = between.minus(between.around(need))
    taken = (
        dot(sums.information.a, within.aa * told.a)
        + dot(sums.information.k, within.kk * told.k)
        + dot(information.a, shift.a)
        + dot(information.k, shift.k)
    )
    quadratic = sums.squares - taken
    numbers = len(block.spot) - len(block.bound)
    log_likelihood = -0.5 * (
        numbers * (LN_2PI + 2 * np.log(parameters.sigma))
        + float(np.log(spot_whole).sum() + np.log(whole).sum())
        + quadratic
    )
    inner = spread.take(owner)
    moved = own.times(Pair(shift.a[owner], shift.k[owner]))
    spot_score = Pair(told.a - moved.a, told.k - moved.k)
    return Moments(
        sums=sums,
        score=score,
        need=need,
        spot_score=spot_score,
        owner=owner,
        within=within,
        own=own,
        inner=inner,
        pavement_shift=shift,
        pavement_spread=spread,
        quadratic=quadratic,
        log_likelihood=float(log_likelihood),
    )


@dataclass(frozen=True, eq=False)
class Follow:
    """How (A, K) of a spot follows its pavement: G (a_p, k_p), with a spread R of its own.

    G = I - T M, not symmetric; R = T - T M T.
    """

    g_aa: Floats
    g_ak: Floats
    g_ka: Floats
    g_kk: Floats
    rest: Square

    def pair(self, of: Pair) -> Pair:
        """G times a pair."""
        return Pair(self.g_aa * of.a + self.g_ak * of.k, self.g_ka * of.a + self.g_kk * of.k)

    def spread(self, inner: Square) -> Square:
        """G C G' + R: the pavement's doubt passed on, and the spot's own."""
        left_aa = self.g_aa * inner.aa + self.g_ak * inner.ak
        left_ak = self.g_aa * inner.ak + self.g_ak * inner.kk
        left_ka = self.g_ka * inner.aa + self.g_kk * inner.ak
        left_kk = self.g_ka * inner.ak + self.g_kk * inner.kk
        return Square(
            left_aa * self.g_aa + left_ak * self.g_ak + self.rest.aa,
            left_aa * self.g_ka + left_ak * self.g_kk + self.rest.ak,
            left_ka * self.g_ka + left_kk * self.g_kk + self.rest.kk,
        )


def follow(own: Square, within: Square) -> Follow:
    """For M of each spot and T."""
    g_aa, g_ak = 1 - within.aa * own.aa, -within.aa * own.ak
    g_ka, g_kk = -within.kk * own.ak, 1 - within.kk * own.kk
    rest = Square(within.aa * g_aa, within.kk * g_ak, within.kk * g_kk)
    return Follow(g_aa, g_ak, g_ka, g_kk, rest)


def spot_covariance(parameters: Parameters) -> Square:
    """T."""
    return Square(*(np.asarray(v) for v in (parameters.tau_a**2, 0.0, parameters.tau_k**2)))
