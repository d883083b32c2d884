"""Portfolios invented from the model itself, for measuring and for checking that a fit finds what
was put in."""

from dataclasses import dataclass

import numpy as np

from registry.decline.ages import AgeTable, walk_ages
from registry.decline.faults import DeclineError
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio, gather_portfolio
from registry.decline.records import (
    METHODS,
    NO,
    YES,
    Cleanings,
    Column,
    Floats,
    Ints,
    Pavements,
    Records,
    Runs,
    Spots,
    no_skips,
)

DAY_SECONDS = 86_400
YEAR_DAYS = 365.25


@dataclass(frozen=True)
class SimulateOptions:
    """What is invented about each pavement.

    ages        years in service, uniform between the two
    spots       fewest and most       visits   fewest and most, spread over its life
    cleanings_a_year   Poisson, methods in equal shares
    stopped_mm_h   slower runs are stopped with water standing, too_fast_mm_h  faster ones hold no
                   head; both are then bounds
    driver_share   chance of each driver of a pavement; the first spot is at the run-on edge with
                   chance one half
    """

    as_of: np.datetime64
    ages: tuple[float, float] = (1.0, 12.0)
    spots: tuple[int, int] = (2, 4)
    visits: tuple[int, int] = (1, 3)
    cleanings_a_year: float = 0.6
    stopped_mm_h: float = 152.8
    too_fast_mm_h: float = 60_000.0
    driver_share: float = 0.3
    action_mm_h: float = 254.0

    def __post_init__(self) -> None:
        if not 0 < self.ages[0] <= self.ages[1]:
            raise DeclineError("Ages in service rise from above 0.")
        if not (1 <= self.spots[0] <= self.spots[1] and 0 <= self.visits[0] <= self.visits[1]):
            raise DeclineError("A pavement has at least one spot, and visits from 0 up.")


def simulate_records(
    pavements: int, parameters: Parameters, options: SimulateOptions, rng: np.random.Generator
) -> Records:
    """Records of so many pavements. The same generator state gives the same records."""
    if pavements < 1:
        raise DeclineError("At least one pavement is invented.")
    days = np.floor(rng.uniform(*options.ages, pavements) * YEAR_DAYS).astype(np.int64)
    spot_count = rng.integers(options.spots[0], options.spots[1] + 1, pavements)
    owner = np.repeat(np.arange(pavements), spot_count)
    order = np.arange(len(owner)) - np.searchsorted(owner, owner)
    spots = Spots(
        pavement=owner,
        name=np.char.add("T", (order + 1).astype(str)),
        run_on_edge=((order == 0) & (rng.random(len(owner)) < 0.5)).astype(np.int8),
    )
    table = _pavements(pavements, days, options, rng)
    cleanings = _cleanings(days, table.placed_on, options, rng)
    spot, started_at = _visits(days, spots, table.placed_on, options, rng)
    blank = Runs(
        spot=spot,
        started_at=started_at,
        run=np.ones(len(spot), np.int64),
        mm_h=np.ones(len(spot)),
        sign=np.zeros(len(spot), np.int8),
        left_out=np.zeros(len(spot), np.uint8),
    )
    plain = Records(table, spots, blank, cleanings, no_skips())
    return _with_rates(plain, parameters, options, rng)


def _pavements(
    count: int, days: Ints, options: SimulateOptions, rng: np.random.Generator
) -> Pavements:
    width = len(str(count))
    trees, sand, soil = (rng.random((3, count)) < options.driver_share).astype(np.int8)
    return Pavements(
        ref=np.char.add("P", np.char.zfill(np.arange(1, count + 1).astype(str), width)),
        placed_on=options.as_of - days,
        heavy_trees=np.where(trees, YES, NO).astype(np.int8),
        winter_sand=np.where(sand, YES, NO).astype(np.int8),
        bare_soil_run_on=np.where(soil, YES, NO).astype(np.int8),
        action_mm_h=np.full(count, options.action_mm_h),
    )


def _cleanings(
    days: Ints, placed_on: Column, options: SimulateOptions, rng: np.random.Generator
) -> Cleanings:
    count = rng.poisson(options.cleanings_a_year * days / YEAR_DAYS)
    owner = np.repeat(np.arange(len(days)), count)
    second = (rng.random(len(owner)) * days[owner] * DAY_SECONDS).astype(np.int64)
    return Cleanings(
        pavement=owner,
        done_at=placed_on[owner].astype("datetime64[s]") + second,
        method=rng.integers(0, len(METHODS), len(owner)).astype(np.uint8),
    )


def _visits(
    days: Ints, spots: Spots, placed_on: Column, options: SimulateOptions, rng: np.random.Generator
) -> tuple[Ints, Column]:
    """Every spot of a pavement on each of its visits; one visit in each equal part of its life."""
    visits = rng.integers(options.visits[0], options.visits[1] + 1, len(days))
    visit_owner = np.repeat(np.arange(len(days)), visits)
    number = np.arange(len(visit_owner)) - np.searchsorted(visit_owner, visit_owner)
    share = (number + rng.random(len(number))) / visits[visit_owner]
    day = np.floor(share * days[visit_owner]).astype(np.int64)
    # Two visits within two days would be one observation, or one too soon after the other.
    apart = np.diff(day, prepend=-2) >= 2
    apart |= np.diff(visit_owner, prepend=-1) > 0
    visit_owner, day = visit_owner[apart], day[apart]
    hour = rng.integers(8, 17, len(day))
    at = (placed_on[visit_owner] + day).astype("datetime64[s]") + hour * 3600
    spots_of = np.bincount(spots.pavement, minlength=len(days))
    first = np.concatenate(([0], np.cumsum(spots_of)[:-1]))
    run_visit = np.repeat(np.arange(len(at)), spots_of[visit_owner])
    within = np.arange(len(run_visit)) - np.searchsorted(run_visit, run_visit)
    return first[visit_owner[run_visit]] + within, at[run_visit]


def _with_rates(
    records: Records, parameters: Parameters, options: SimulateOptions, rng: np.random.Generator
) -> Records:
    """Draw a, k of pavements and spots and the noise, and read off every run."""
    gathered = gather_portfolio(records, options.as_of)
    portfolio = gathered.portfolio
    rows = np.flatnonzero(gathered.left_out.run == 0)
    # Observations are sorted by spot and time; so are the runs they were made from.
    rank = np.argsort(gathered.spot_row)[records.runs.spot[rows]]
    order = rows[np.lexsort((records.runs.started_at[rows], rank))]
    ln_rate = _latent(portfolio, parameters, rng)
    low, high = np.log(options.stopped_mm_h), np.log(options.too_fast_mm_h)
    sign = np.where(ln_rate < low, -1, np.where(ln_rate > high, 1, 0)).astype(np.int8)
    runs = records.runs
    observed = Runs(
        spot=runs.spot[order],
        started_at=runs.started_at[order],
        run=runs.run[order],
        mm_h=np.exp(np.clip(ln_rate, low, high)),
        sign=sign,
        left_out=np.zeros(len(order), np.uint8),
    )
    return Records(records.pavements, records.spots, observed, records.cleanings, records.skips)


def _latent(portfolio: Portfolio, parameters: Parameters, rng: np.random.Generator) -> Floats:
    """ln I of every observation, noise included, (n,)."""
    pavements, spots, tests = len(portfolio.ref), len(portfolio.spot_name), len(portfolio.spot)
    o_aa, o_ak, o_kk = parameters.omega
    pavement = rng.multivariate_normal([0.0, 0.0], [[o_aa, o_ak], [o_ak, o_kk]], pavements)
    owner = portfolio.spot_pavement
    a = parameters.mu_a + pavement[owner, 0] + parameters.tau_a * rng.standard_normal(spots)
    k = parameters.mu_k + pavement[owner, 1] + parameters.tau_k * rng.standard_normal(spots)
    k += portfolio.spot_driver @ parameters.drivers
    table = AgeTable.of(portfolio.lists)
    after = walk_ages(table, parameters.recovery).after
    slot = table.slot(portfolio.spot_list[portfolio.spot], portfolio.passed)
    age = after[slot] + portfolio.since
    noise = parameters.sigma * rng.standard_normal(tests)
    return np.asarray(a[portfolio.spot] - age * k[portfolio.spot] + noise)
