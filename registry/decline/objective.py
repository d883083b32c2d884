"""What a fit climbs: log marginal likelihood plus log priors, over blocks of pavements.

Blocks of a few thousand pavements keep the columns of one in the processor's cache. Bounds are
settled on the pavements that have any, from where they rested last.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.crowded import BATCH, SEVERAL, Grid, exact_slopes, weigh_nodes
from registry.decline.likelihood import Block, Sites, block_of, integrate, no_sites
from registry.decline.parameters import NAMES, Parameters
from registry.decline.portfolio import Portfolio, select_pavements
from registry.decline.priors import Priors, no_priors
from registry.decline.propagation import TOLERANCE, Settled, settle_sites
from registry.decline.records import Bools, Floats
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
        self.bounded = block_of(select_pavements(portfolio, has_bounds(portfolio)))
        self.ends = np.cumsum([0, *(len(block.bound) for block in self.blocks)])
        self.sites = no_sites(len(self.bounded.bound))
        crowded = has_several_bounds(portfolio)
        self.crowded = [
            block_of(part) for part in split(select_pavements(portfolio, crowded), BATCH)
        ]
        owners = portfolio.observed_pavement[portfolio.sign != 0]
        self.crowded_rows = np.flatnonzero(crowded[owners])
        self.evaluations = 0

    def at(self, vector: Floats) -> Point:
        """Value and slope at (16,) unconstrained numbers."""
        parameters = Parameters.from_vector(vector)
        settled = settle_sites(self.bounded, parameters, self.sites, self.tolerance)
        self.sites, self.evaluations = settled.sites, self.evaluations + 1
        value, slope = 0.0, np.zeros(len(vector))
        for block, low, high in zip(self.blocks, self.ends[:-1], self.ends[1:], strict=True):
            part_value, part_slope = evaluate(block, parameters, settled, slice(low, high))
            value, slope = value + part_value, slope + part_slope
        slope = np.where(self.free, slope, 0.0)
        prior = self.priors.log_density(vector, self.free)
        whole_slope = slope + self.priors.slope(vector, self.free)
        return Point(vector, value, value + prior, whole_slope, settled.at_rest)

    def sharpened(self, vector: Floats) -> Point:
        """The same, with pavements of several bounds integrated over nodes instead."""
        point = self.at(vector)
        parameters = Parameters.from_vector(vector)
        value, slope, low = 0.0, np.zeros(len(vector)), 0
        for block in self.crowded:
            rows = self.crowded_rows[low : low + len(block.bound)]
            low += len(rows)
            sites = Sites(self.sites.precision[rows], self.sites.information[rows])
            settled = settle_sites(block, parameters, sites, self.tolerance)
            moments = integrate(block, parameters, settled.sites)
            exact = weigh_nodes(block, parameters, moments, settled.sites, Grid())
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


def evaluate(
    block: Block, parameters: Parameters, settled: Settled, rows: slice
) -> tuple[float, Floats]:
    """Log likelihood and slope (16,) of a block, whose bounds are `rows` of those settled."""
    sites = Sites(settled.sites.precision[rows], settled.sites.information[rows])
    moments = integrate(block, parameters, sites)
    value = moments.log_likelihood + float(settled.log_mass[rows].sum())
    bound_sigma = float(settled.sigma_slope[rows].sum())
    return value, slopes(block, parameters, moments, bound_sigma).vector()


def split(portfolio: Portfolio, size: int) -> list[Portfolio]:
    """The tested pavements, in runs of `size`."""
    tested = np.flatnonzero(portfolio.tests_of_pavements())
    parts = []
    for low in range(0, len(tested), size):
        wanted = np.zeros(len(portfolio.ref), bool)
        wanted[tested[low : low + size]] = True
        parts.append(select_pavements(portfolio, wanted))
    return parts


def has_bounds(portfolio: Portfolio) -> Bools:
    """(P,) whether any observation of the pavement is a bound."""
    bounds = portfolio.observed_pavement[portfolio.sign != 0]
    return np.bincount(bounds, minlength=len(portfolio.ref)) > 0


def has_several_bounds(portfolio: Portfolio) -> Bools:
    """(P,) whether enough of the pavement's observations are bounds for `crowded`."""
    bounds = portfolio.observed_pavement[portfolio.sign != 0]
    return np.bincount(bounds, minlength=len(portfolio.ref)) >= SEVERAL


def log_likelihood(portfolio: Portfolio, parameters: Parameters) -> float:
    """The log marginal likelihood of a portfolio."""
    objective = Objective(portfolio, no_priors(), np.ones(len(NAMES), bool))
    return objective.sharpened(parameters.vector()).log_likelihood
