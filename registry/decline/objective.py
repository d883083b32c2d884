"""What a fit climbs: log marginal likelihood plus log priors, over blocks of pavements.

Blocks of a few thousand pavements keep the columns of one in the processor's cache. Bounds are
settled on the pavements that have any, from where they rested last.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.blocks import Aged, Block, age_block, block_of, no_sites
from registry.decline.crowded import BATCH, SEVERAL, exact_slopes, weigh_nodes
from registry.decline.likelihood import integrate
from registry.decline.means import MEANS, bend_in_means
from registry.decline.nodes import Grid
from registry.decline.parameters import NAMES, RECOVERY, Parameters
from registry.decline.portfolio import Portfolio, select_pavements
from registry.decline.priors import Priors, no_priors
from registry.decline.propagation import TOLERANCE, Settled, settle_sites
from registry.decline.records import Bools, Floats, Ints
from registry.decline.slopes import slopes

BLOCK_PAVEMENTS = 4_000


@dataclass(frozen=True, eq=False)
class Point:
    """One evaluation. slope is that of log_posterior in the free numbers, 0 elsewhere, (16,).

    at_rest  whether all bounds settled
    """

    vector: Floats
    log_likelihood: float
    log_posterior: float
    slope: Floats
    at_rest: bool


class Objective:
    """Evaluates a portfolio. Remembers where the sites rested, so that they rest again sooner."""

    def __init__(
        self, portfolio: Portfolio, priors: Priors, free: Bools, tolerance: float = TOLERANCE
    ) -> None:
        self.priors, self.free, self.tolerance = priors, free, tolerance
        self.blocks = [block_of(part) for part in split(portfolio, BLOCK_PAVEMENTS)]
        self.ends = np.cumsum([0, *(len(block.bound) for block in self.blocks)])
        self.tests = sum(len(block.spot) for block in self.blocks)
        self.bounds = int(self.ends[-1])
        self.sites = no_sites(self.bounds)
        counts = bounds_of(portfolio)
        several = counts >= SEVERAL
        owners = portfolio.observed_pavement[portfolio.sign != 0]
        # One bound on a pavement settles at once; where there are several they take rounds.
        kinds = (counts == 1, several) if self.bounds else ()
        self.bounded = [
            (block_of(select_pavements(portfolio, kind)), np.flatnonzero(kind[owners]))
            for kind in kinds
        ]
        self.grid = Grid.for_many(int(np.count_nonzero(several)))
        parts = split(select_pavements(portfolio, several), BATCH) if several.any() else []
        self.crowded = [block_of(part) for part in parts]
        self.with_recovery = bool(np.any(free[RECOVERY]))
        self.kept: dict[int, Aged] = {}
        self.evaluations = 0

    def aged(self, block: Block, recovery: Floats) -> Aged:
        """The block at these recoveries, kept as long as they stay."""
        kept = self.kept.get(id(block))
        if kept is None or not np.array_equal(kept.recovery, recovery):
            kept = self.kept[id(block)] = age_block(block, recovery)
        return kept

    def settle(self, parameters: Parameters) -> Settled:
        """All bounds at rest, in the order of the portfolio, from where they rested last."""
        self.evaluations += 1
        count = len(self.sites.precision)
        sites, mass, slope = no_sites(count), np.zeros(count), np.zeros(count)
        moved, at_rest = 0.0, True
        for block, rows in self.bounded:
            aged = self.aged(block, parameters.recovery)
            part = settle_sites(block, parameters, self.sites.take(rows), self.tolerance, aged)
            sites.precision[rows], sites.information[rows] = (
                part.sites.precision,
                part.sites.information,
            )
            mass[rows], slope[rows] = part.log_mass, part.sigma_slope
            moved, at_rest = max(moved, part.moved), at_rest and part.at_rest
        # A search may step where sites overflow; they must not stay there.
        finite = np.all(np.isfinite(sites.precision + sites.information))
        self.sites = sites if finite else no_sites(count)
        return Settled(sites, mass, slope, moved, at_rest)

    def at(self, vector: Floats) -> Point:
        """Value and slope at (16,) unconstrained numbers."""
        parameters = Parameters.from_vector(vector)
        settled = self.settle(parameters)
        value, slope = 0.0, np.zeros(len(vector))
        for block, low, high in zip(self.blocks, self.ends[:-1], self.ends[1:], strict=True):
            aged = self.aged(block, parameters.recovery)
            moments = integrate(block, parameters, settled.sites.take(slice(low, high)), aged)
            value += moments.log_likelihood + float(settled.log_mass[low:high].sum())
            sigma = float(settled.sigma_slope[low:high].sum())
            slope += slopes(block, parameters, moments, sigma, self.with_recovery).vector()
        slope = np.where(self.free, slope, 0.0)
        prior = self.priors.log_density(vector, self.free)
        whole_slope = slope + self.priors.slope(vector, self.free)
        return Point(vector, value, value + prior, whole_slope, settled.at_rest)

    def bend_in_means(self, vector: Floats) -> Floats:
        """Minus the second derivatives of the log posterior in MEANS, (6, 6), sites held."""
        parameters = Parameters.from_vector(vector)
        bend = np.diag(self.priors.bend(self.free)[MEANS])
        for block, low, high in zip(self.blocks, self.ends[:-1], self.ends[1:], strict=True):
            aged = self.aged(block, parameters.recovery)
            moments = integrate(block, parameters, self.sites.take(slice(low, high)), aged)
            bend += bend_in_means(block, parameters, moments)
        return bend

    def sharpened(self, vector: Floats) -> Point:
        """The same, with pavements of several bounds integrated over nodes instead."""
        point = self.at(vector)
        parameters = Parameters.from_vector(vector)
        value, slope, low = 0.0, np.zeros(len(vector)), 0
        rows = self.bounded[1][1] if self.crowded else np.array([], np.int64)
        for block in self.crowded:
            own = self.sites.take(rows[low : low + len(block.bound)])
            low += len(block.bound)
            settled = settle_sites(block, parameters, own, self.tolerance)
            moments = integrate(block, parameters, settled.sites)
            exact = weigh_nodes(block, parameters, moments, settled.sites, self.grid)
            value += float(exact.log_mass.sum() - settled.log_mass.sum())
            near = slopes(block, parameters, moments, float(settled.sigma_slope.sum()))
            slope += exact_slopes(block, parameters, moments, exact).vector() - near.vector()
        return Point(
            vector,
            point.log_likelihood + value,
            point.log_posterior + value,
            point.slope + np.where(self.free, slope, 0.0),
            point.at_rest,
        )


def split(portfolio: Portfolio, size: int) -> list[Portfolio]:
    """The tested pavements, in runs of `size`."""
    tested = np.flatnonzero(portfolio.tests_of_pavements())
    parts = []
    for low in range(0, len(tested), size):
        wanted = np.zeros(len(portfolio.ref), bool)
        wanted[tested[low : low + size]] = True
        parts.append(select_pavements(portfolio, wanted))
    return parts


def bounds_of(portfolio: Portfolio) -> Ints:
    """(P,) how many of each pavement's observations are bounds."""
    owners = portfolio.observed_pavement[portfolio.sign != 0]
    return np.bincount(owners, minlength=len(portfolio.ref))


def log_likelihood(portfolio: Portfolio, parameters: Parameters) -> float:
    """The log marginal likelihood of a portfolio."""
    objective = Objective(portfolio, no_priors(), np.ones(len(NAMES), bool))
    return objective.sharpened(parameters.vector()).log_likelihood
