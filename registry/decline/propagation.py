"""Bounds through their probability: expectation propagation, one site for each bound.

A run stopped with water standing says P(ln I < b), one too fast to hold a head P(ln I > b). Each
such factor in f = a - kV is stood in for by exp(-precision f^2 / 2 + information f) that gives the
same mean and variance of f, all others standing in too (Minka, Proc. UAI 17, 2001, 362-369). With
one bound on a pavement this is exact.

symbol  meaning
s       1 above, -1 below
m, c    mean and variance of f without the bound itself (the cavity)
z       s (m - b) / d,  d = sqrt(sigma^2 + c): the bound's probability is Phi(z)
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import erfcx, log_ndtr

from registry.decline.blocks import Aged, Block, Sites, age_block
from registry.decline.likelihood import Moments, integrate
from registry.decline.parameters import Parameters
from registry.decline.records import Column, Floats, Ints

TOLERANCE = 1e-9
MOST_ROUNDS = 400
# From here on only half steps, should whole ones swing to and fro.
PATIENCE = 60
# How far a step may be led by the one before (D. G. Anderson, J. ACM 12, 1965, 547-560, depth 1).
LEAD = (-5.0, 0.9)


@dataclass(frozen=True, eq=False)
class Settled:
    """Sites where they rest.

    log_mass     (b,) what each bound adds to the log likelihood beside its site
    sigma_slope  (b,) slope of its log probability in ln sigma
    moved        the largest change of the last round, in standard deviations of f
    at_rest      whether that is within the tolerance
    """

    sites: Sites
    log_mass: Floats
    sigma_slope: Floats
    moved: float
    at_rest: bool


@dataclass(frozen=True, eq=False)
class Cavity:
    """f without the bound itself: mean and variance, and the variance with it, (b,)."""

    mean: Floats
    variance: Floats
    whole: Floats


@dataclass(frozen=True, eq=False)
class _Step:
    """A round: the sites that matched, and how far off the old ones were, (b,) each."""

    cavity: Cavity
    wanted: Sites
    off_precision: Floats
    off_information: Floats

    @property
    def change(self) -> Floats:
        return np.maximum(np.abs(self.off_precision), np.abs(self.off_information))


def settle_sites(
    block: Block,
    parameters: Parameters,
    start: Sites,
    tolerance: float = TOLERANCE,
    aged: Aged | None = None,
) -> Settled:
    """Move the sites of a block, all at once, until they rest, from `start`.

    aged  the block at the parameters' recoveries, where that is known already
    """
    if not len(block.bound):
        return Settled(start, np.zeros(0), np.zeros(0), 0.0, True)
    owner = block.spot_pavement[block.spot[block.bound]]
    aged = aged or age_block(block, parameters.recovery)
    sites, last, number = start, None, 0
    while True:
        step = _step(block, parameters, integrate(block, parameters, sites, aged), sites)
        moved = float(step.change.max())
        number += 1
        if moved <= tolerance or not np.isfinite(moved) or number == MOST_ROUNDS:
            return _settled(block, parameters, step.cavity, sites, moved, moved <= tolerance)
        if number > PATIENCE:
            sites = _part_way(sites, step.wanted, 0.5)
        else:
            sites, last = _led(step, last, owner, block.pavements), step


def _step(block: Block, parameters: Parameters, moments: Moments, sites: Sites) -> _Step:
    cavity = _cavity(block, moments, sites)
    wanted = _matched(block, parameters, cavity)
    precision = wanted.precision - sites.precision
    # At the cavity's mean: a site far away has large information that means little.
    information = wanted.information - sites.information - cavity.mean * precision
    return _Step(cavity, wanted, precision * cavity.whole, information * np.sqrt(cavity.whole))


def _led(step: _Step, last: _Step | None, owner: Ints, pavements: int) -> Sites:
    """The next sites: on each pavement, as far past the matched ones as the last round teaches."""
    if last is None:
        return step.wanted
    turn_p = step.off_precision - last.off_precision
    turn_i = step.off_information - last.off_information
    along = step.off_precision * turn_p + step.off_information * turn_i
    over = np.bincount(owner, turn_p**2 + turn_i**2, pavements)
    lead = np.bincount(owner, along, pavements) / np.where(over > 0, over, 1.0)
    led = _part_way(step.wanted, last.wanted, np.clip(lead, *LEAD)[owner])
    broken = np.bincount(owner, led.precision < 0, pavements)[owner] > 0
    return Sites(
        np.where(broken, step.wanted.precision, led.precision),
        np.where(broken, step.wanted.information, led.information),
    )


def _cavity(block: Block, moments: Moments, sites: Sites) -> Cavity:
    spot, age = block.spot[block.bound], moments.sums.age[block.bound]
    spread = moments.spread.take(spot)
    whole = spread.aa - 2 * age * spread.ak + age**2 * spread.kk
    mean = moments.mean.a[spot] - age * moments.mean.k[spot]
    # 1 / (1 / whole - precision), written for whole near 0.
    room = 1 - whole * sites.precision
    variance = whole / room
    return Cavity((mean - whole * sites.information) / room, variance, whole)


def _probability(
    sign: Column, bound: Floats, sigma: float, cavity: Cavity
) -> tuple[Floats, Floats, Floats]:
    """z, d and the ratio of density to probability, phi(z) / Phi(z)."""
    d = np.sqrt(sigma**2 + cavity.variance)
    z = sign * (cavity.mean - bound) / d
    ratio = np.sqrt(2 / np.pi) / erfcx(-z / np.sqrt(2))
    return z, d, ratio


def _matched(block: Block, parameters: Parameters, cavity: Cavity) -> Sites:
    """The sites that give f the mean and variance that the bounds themselves would give."""
    sign, bound = block.sign[block.bound], block.ln_rate[block.bound]
    z, d, ratio = _probability(sign, bound, parameters.sigma, cavity)
    pull = sign * ratio / d
    bend = ratio * (z + ratio) / d**2
    room = 1 - cavity.variance * bend
    return Sites(bend / room, (pull + cavity.mean * bend) / room)


def _part_way(old: Sites, new: Sites, step: Floats | float) -> Sites:
    return Sites(
        old.precision + step * (new.precision - old.precision),
        old.information + step * (new.information - old.information),
    )


def _settled(
    block: Block, parameters: Parameters, cavity: Cavity, sites: Sites, moved: float, at_rest: bool
) -> Settled:
    sign, bound = block.sign[block.bound], block.ln_rate[block.bound]
    z, d, ratio = _probability(sign, bound, parameters.sigma, cavity)
    c, m = cavity.variance, cavity.mean
    room = 1 + sites.precision * c
    stood_in = sites.information**2 * c + 2 * sites.information * m - sites.precision * m**2
    log_mass = log_ndtr(z) + 0.5 * np.log(room) - 0.5 * stood_in / room
    sigma_slope = -ratio * z / d**2 * parameters.sigma**2
    return Settled(sites, log_mass, sigma_slope, moved, at_rest)
