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

import numpy as np

from registry.decline.ages import AgeTable, Walk, walk_ages
from registry.decline.pair import Pair, Square, columns_times, dot, sum_by, widened
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio
from registry.decline.records import Bools, Column, Floats, Ints

LN_2PI = float(np.log(2 * np.pi))


@dataclass(frozen=True, eq=False)
class Sites:
    """The normal stand-in exp(-precision f^2 / 2 + information f) of each bound, (b,)."""

    precision: Floats
    information: Floats

    def take(self, rows: Ints | Bools | slice) -> "Sites":
        return Sites(self.precision[rows], self.information[rows])


def no_sites(count: int) -> Sites:
    return Sites(np.zeros(count), np.zeros(count))


@dataclass(frozen=True, eq=False)
class Block:
    """Pavements as the likelihood walks them; see `portfolio` for the columns.

    slot    (n,) last cleaning before each observation in `ages`, -1 for none
    bound   (b,) rows of the observations that are bounds
    cleaned (n',) rows of the observations that come after a cleaning
    """

    ages: AgeTable
    slot: Ints
    since: Floats
    spot: Ints
    ln_rate: Floats
    sign: Column
    spot_pavement: Ints
    driver: Floats
    pavements: int
    bound: Ints
    cleaned: Ints


def block_of(portfolio: Portfolio) -> Block:
    ages = AgeTable.of(portfolio.lists)
    slot = ages.slot(portfolio.spot_list[portfolio.spot], portfolio.passed)
    return Block(
        ages=ages,
        slot=slot,
        since=portfolio.since,
        spot=portfolio.spot,
        ln_rate=portfolio.ln_rate,
        sign=portfolio.sign,
        spot_pavement=portfolio.spot_pavement,
        driver=portfolio.spot_driver,
        pavements=len(portfolio.ref),
        bound=np.flatnonzero(portfolio.sign != 0),
        cleaned=np.flatnonzero(slot >= 0),
    )


@dataclass(frozen=True, eq=False)
class Sums:
    """What the observations of each spot add up to.

    walk, age     ages around cleanings, and at observations (n,)
    weight, pull  w and nu of each observation (n,)
    precision, information   L and h      centre  c
    squares       the sum of w f^2 - 2 nu f at f = x . c, and of w y^2 of the numbers
    """

    walk: Walk
    age: Floats
    weight: Floats
    pull: Floats
    precision: Square
    information: Pair
    centre: Pair
    squares: float


@dataclass(frozen=True, eq=False)
class Moments:
    """What the observations leave known, given the parameters and the sites.

    score, need              v (P, 2) and W (P, 2x2)
    spot_score, spot_need    the same for each spot: slope and precision in its own (A, K)
    mean, spread             posterior mean (S, 2) and covariance (S, 2x2) of (A, K)
    own                      M (S, 2x2)
    pavement_shift, pavement_spread   of (a_p, k_p) - mu
    quadratic                the sum of squares in the likelihood
    log_likelihood           of the numbers, and of the sites as they stand
    """

    sums: Sums
    score: Pair
    need: Square
    spot_score: Pair
    spot_need: Square
    mean: Pair
    spread: Square
    own: Square
    pavement_shift: Pair
    pavement_spread: Square
    quadratic: float
    log_likelihood: float


def integrate(block: Block, parameters: Parameters, sites: Sites) -> Moments:
    """Integrate spots, then pavements, at fixed sites."""
    sums = _sum_observations(block, parameters, sites)
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
        spot_need=own.minus(own.around(inner)),
        mean=_spot_mean(sums, shift, spot_score, within, owner),
        spread=follow(own, within).spread(inner),
        own=own,
        pavement_shift=shift,
        pavement_spread=spread,
        quadratic=quadratic,
        log_likelihood=float(log_likelihood),
    )


def _sum_observations(block: Block, parameters: Parameters, sites: Sites) -> Sums:
    walk = walk_ages(block.ages, parameters.recovery)
    age = walk.after[block.slot] + block.since
    precision = parameters.sigma**-2
    weight = np.full(len(age), precision)
    pull = block.ln_rate * precision
    squares = dot(block.ln_rate, pull) - dot(block.ln_rate[block.bound], pull[block.bound])
    weight[block.bound] = sites.precision
    pull[block.bound] = sites.information
    spots, aged = len(block.spot_pavement), weight * age
    total = Square(
        sum_by(block.spot, weight, spots),
        -sum_by(block.spot, aged, spots),
        sum_by(block.spot, aged * age, spots),
    )
    raw = Pair(sum_by(block.spot, pull, spots), -sum_by(block.spot, pull * age, spots))
    slope = parameters.mu_k + columns_times(block.driver, parameters.drivers)
    centre = Pair(np.full(spots, parameters.mu_a), slope)
    expected = total.times(centre)
    information = Pair(raw.a - expected.a, raw.k - expected.k)
    crossed = dot(raw.a + information.a, centre.a) + dot(raw.k + information.k, centre.k)
    return Sums(walk, age, weight, pull, total, information, centre, squares - crossed)


def _spot_mean(sums: Sums, shift: Pair, score: Pair, within: Square, owner: Ints) -> Pair:
    return Pair(
        sums.centre.a + shift.a[owner] + within.aa * score.a,
        sums.centre.k + shift.k[owner] + within.kk * score.k,
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
