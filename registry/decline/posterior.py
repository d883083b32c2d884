"""What is known of every pavement and spot: the joint normal of (a, k) there, and its age.

A place is a pavement or a spot. Places are numbered: pavement p is place p, spot s is place P + s.
The pavement itself is the field of its surface: alpha = kappa = 0, not at the run-on edge. A place
without tests has what its pavement's tests and the portfolio tell of it.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.ages import AgeTable, walk_ages
from registry.decline.blocks import Sites, block_of, no_sites
from registry.decline.crowded import BATCH, SEVERAL, weigh_nodes
from registry.decline.histories import SECONDS_A_YEAR
from registry.decline.likelihood import Moments, integrate
from registry.decline.nodes import Grid
from registry.decline.objective import bounds_of, split
from registry.decline.pair import Pair, Square, columns_times, put
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio, select_pavements
from registry.decline.propagation import settle_sites
from registry.decline.records import Floats, Ints
from registry.decline.truncated import Joint

# For moments that are weighed over nodes anyway, or exact after one round.
SITE_TOLERANCE = 1e-6


@dataclass(frozen=True, eq=False)
class Places:
    """All P pavements and S spots at one day, n = P + S.

    joint       of (a, k), k with its drivers, conditional on all tests but not yet on k >= 0
    age         (n,) effective age on the day `as_of`, years; nan before the placing date
    ln_action   (n,) ln mm/h, nan where not known
    pavement    (n,) pavement of each place
    tests       (n,) observations there; on the pavement: all of it
    settled     whether all bounds settled
    """

    joint: Joint
    age: Floats
    ln_action: Floats
    pavement: Ints
    tests: Ints
    settled: bool


def places_of(portfolio: Portfolio, parameters: Parameters) -> Places:
    """Condition on the tests of a portfolio, at given parameters."""
    moments, settled = _condition(portfolio, parameters)
    pavement = _pavement_joint(portfolio, parameters, moments)
    mean, spread = moments.mean, moments.spread
    joint = Joint(
        np.concatenate((pavement.a, mean.a)),
        np.concatenate((pavement.k, mean.k)),
        np.concatenate((pavement.aa, spread.aa)),
        np.concatenate((pavement.ak, spread.ak)),
        np.concatenate((pavement.kk, spread.kk)),
    )
    owner = np.concatenate((np.arange(len(portfolio.ref)), portfolio.spot_pavement))
    with np.errstate(invalid="ignore"):
        ln_action = np.log(portfolio.action_mm_h)[owner]
    return Places(
        joint=joint,
        age=ages_on(portfolio, parameters),
        ln_action=ln_action,
        pavement=owner,
        tests=np.concatenate((portfolio.tests_of_pavements(), portfolio.tests_of_spots())),
        settled=settled,
    )


def _condition(portfolio: Portfolio, parameters: Parameters) -> tuple[Moments, bool]:
    """The moments, pavements of several bounds integrated over nodes."""
    bounded = bounds_of(portfolio) > 0
    sites, settled = no_sites(0), True
    if bounded.any():
        block = block_of(select_pavements(portfolio, bounded))
        rest = settle_sites(block, parameters, no_sites(len(block.bound)), SITE_TOLERANCE)
        sites, settled = rest.sites, rest.at_rest
    block = block_of(portfolio)
    moments = integrate(block, parameters, sites)
    if bounded.any() and settled:
        _weigh(portfolio, parameters, moments, sites)
    return moments, settled


def _weigh(portfolio: Portfolio, parameters: Parameters, moments: Moments, sites: Sites) -> None:
    """Put the exact moments of crowded pavements in place of those found by propagation."""
    several = bounds_of(portfolio) >= SEVERAL
    if not several.any():
        return
    owners = portfolio.observed_pavement[portfolio.sign != 0]
    crowded = select_pavements(portfolio, several)
    found = _weigh_parts(crowded, parameters, sites.take(several[owners]), Grid())
    mean, spread, shift, between = found
    spots, pavements = np.flatnonzero(several[portfolio.spot_pavement]), np.flatnonzero(several)
    put(moments.mean, spots, mean)
    put(moments.spread, spots, spread)
    put(moments.pavement_shift, pavements, shift)
    put(moments.pavement_spread, pavements, between)


def _weigh_parts(
    crowded: Portfolio, parameters: Parameters, sites: Sites, grid: Grid
) -> tuple[Pair, Square, Pair, Square]:
    """Means and covariances of spots and of pavements, a batch at a time."""
    found, low = [], 0
    for part in split(crowded, BATCH):
        block = block_of(part)
        own = sites.take(slice(low, low + len(block.bound)))
        low += len(block.bound)
        exact = weigh_nodes(block, parameters, integrate(block, parameters, own), own, grid)
        found.append((exact.spot_mean, exact.spot_spread, exact.shift, exact.spread))
    mean, spread, shift, between = zip(*found, strict=True)
    return (
        Pair(*map(np.concatenate, zip(*mean, strict=True))),
        Square(*map(np.concatenate, zip(*spread, strict=True))),
        Pair(*map(np.concatenate, zip(*shift, strict=True))),
        Square(*map(np.concatenate, zip(*between, strict=True))),
    )


def _pavement_joint(portfolio: Portfolio, parameters: Parameters, moments: Moments) -> Joint:
    drivers = columns_times(portfolio.pavement_driver, parameters.drivers)
    shift, spread = moments.pavement_shift, moments.pavement_spread
    slope = parameters.mu_k + drivers + shift.k
    return Joint(parameters.mu_a + shift.a, slope, spread.aa, spread.ak, spread.kk)


def ages_on(portfolio: Portfolio, parameters: Parameters) -> Floats:
    """(n,) effective age of each place at 00:00 of the day `as_of`, years.

    A cleaning of that very day counts as done.
    """
    lists = portfolio.lists
    table = AgeTable.of(lists)
    length = np.diff(lists.first)
    number = np.arange(len(length))
    after = walk_ages(table, parameters.recovery).after[table.slot(number, length)]
    last = np.bincount(np.repeat(number, length), weights=lists.gap, minlength=len(length))
    place_list = np.concatenate((np.arange(len(portfolio.ref)), portfolio.spot_list))
    owner = np.concatenate((np.arange(len(portfolio.ref)), portfolio.spot_pavement))
    elapsed = (portfolio.as_of - portfolio.placed_on).astype("timedelta64[s]").astype(float)
    elapsed = elapsed[owner] / SECONDS_A_YEAR
    age = after[place_list] + np.maximum(elapsed - last[place_list], 0.0)
    return np.where(elapsed >= 0, age, np.nan)
