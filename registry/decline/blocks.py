"""Blocks of pavements as the likelihood walks them, and what their tests add up to.

symbol   meaning
w, nu    an observation enters as exp(-w f^2 / 2 + nu f) in f = a - kV at its spot: w = 1/sigma^2,
         nu = y/sigma^2 for a number, its site for a bound
L, h     precision and information of a spot's observations about (A, K) - c
c        mean of (A, K): (mu_a, mu_k + z . gamma)

Sums of numbers depend on the effective ages only, so they are kept as long as the recoveries stay.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.ages import AgeTable, Walk, walk_ages
from registry.decline.pair import Pair, Square, columns_times, dot, sum_by
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio
from registry.decline.records import Bools, Column, Floats, Ints


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
class Aged:
    """A block at given recoveries.

    walk, age   ages around cleanings, and at observations (n,)
    count, ages, squares, levels, crossed   over the numbers of each spot, (S,): how many, sums of
                V, V^2, y and y V
    level_squares   the sum of y^2 over all numbers
    """

    recovery: Floats
    walk: Walk
    age: Floats
    count: Floats
    ages: Floats
    squares: Floats
    levels: Floats
    crossed: Floats
    level_squares: float


def age_block(block: Block, recovery: Floats) -> Aged:
    walk = walk_ages(block.ages, recovery)
    age = walk.after[block.slot] + block.since
    number, level = np.ones(len(age)), block.ln_rate.copy()
    number[block.bound] = level[block.bound] = 0.0
    spots, aged = len(block.spot_pavement), number * age
    return Aged(
        recovery=recovery,
        walk=walk,
        age=age,
        count=sum_by(block.spot, number, spots),
        ages=sum_by(block.spot, aged, spots),
        squares=sum_by(block.spot, aged * age, spots),
        levels=sum_by(block.spot, level, spots),
        crossed=sum_by(block.spot, level * age, spots),
        level_squares=dot(level, level),
    )


@dataclass(frozen=True, eq=False)
class Sums:
    """What the observations of each spot add up to.

    aged, sites   what they were summed at
    precision, information   L and h      centre  c
    squares       the sum of w f^2 - 2 nu f at f = x . c, and of w y^2 of the numbers
    """

    aged: Aged
    sites: Sites
    precision: Square
    information: Pair
    centre: Pair
    squares: float

    @property
    def age(self) -> Floats:
        return self.aged.age


def sum_observations(block: Block, parameters: Parameters, sites: Sites, aged: Aged) -> Sums:
    weight, spots = parameters.sigma**-2, len(block.spot_pavement)
    total = Square(weight * aged.count, -weight * aged.ages, weight * aged.squares)
    raw = Pair(weight * aged.levels, -weight * aged.crossed)
    if len(block.bound):
        spot, age = block.spot[block.bound], aged.age[block.bound]
        older, pulled = sites.precision * age, sites.information * age
        total = Square(
            total.aa + sum_by(spot, sites.precision, spots),
            total.ak - sum_by(spot, older, spots),
            total.kk + sum_by(spot, older * age, spots),
        )
        raw = Pair(
            raw.a + sum_by(spot, sites.information, spots), raw.k - sum_by(spot, pulled, spots)
        )
    slope = parameters.mu_k + columns_times(block.driver, parameters.drivers)
    centre = Pair(np.full(spots, parameters.mu_a), slope)
    expected = total.times(centre)
    information = Pair(raw.a - expected.a, raw.k - expected.k)
    crossed = dot(raw.a + information.a, centre.a) + dot(raw.k + information.k, centre.k)
    squares = weight * aged.level_squares - crossed
    return Sums(aged, sites, total, information, centre, squares)
