"""What a fit means for every pavement and spot on one day.

symbol       meaning                                                             unit
V            effective age on the day                                            years
rate         exp of the median of a - kV, with its 10 % and 90 % quantiles        mm/h
p_below      P(a - kV < ln action | k >= 0)                                       1
sweep_by     first day on which p_below, not cleaned further, reaches the risk:
             as-of + floor(365.25 x); as-of itself if it is there already

Everything is conditional on k >= 0. Where the action level is not known, or the day lies before
the placing date, the numbers are nan and the dates NaT, and `why_not` says why.
"""

from dataclasses import dataclass

import numpy as np

from registry.decline.ageing import age_reaching
from registry.decline.faults import DeclineError
from registry.decline.histories import SECONDS_A_YEAR
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio, gather_portfolio
from registry.decline.posterior import Places, places_of
from registry.decline.records import METHODS, Bools, Column, Floats, Ints, Records
from registry.decline.share import Shares, shares_below
from registry.decline.truncated import Joint, chance_below, level_at, quantile

DAYS_A_YEAR = SECONDS_A_YEAR / 86_400
NO_ACTION_LEVEL = "Not decided: the action level is not known."
NOT_YET_PLACED = "Not decided: the surface was not placed yet on that day."
NOT_SETTLED = "Not decided: the stopped or too fast runs of this pool did not settle."


@dataclass(frozen=True)
class OutlookOptions:
    """risk: of lying below the action level at which a place is due. years_ahead: how far searched.

    beyond: p_below after the best cleaning from which sweeping is no longer enough.
    band: quantiles of the rate.
    """

    risk: float = 0.10
    years_ahead: float = 10.0
    beyond: float = 0.5
    band: tuple[float, float] = (0.10, 0.90)

    def __post_init__(self) -> None:
        low, high = self.band
        if not (0 < self.risk < 1 and 0 < self.beyond < 1 and 0 < low < 0.5 < high < 1):
            raise DeclineError("A risk and a quantile lie between 0 and 1.")
        if not 0 < self.years_ahead <= 100:
            raise DeclineError("A day is searched up to 100 years ahead.")


@dataclass(frozen=True, eq=False)
class Rates:
    """The rate of n places: median, low and high quantile, mm/h, (n,)."""

    rate: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class AfterCleaning:
    """Each pavement as if cleaned on the day by each of METHODS, (P, 4).

    sweep_by  datetime64[D], NaT for none within the years searched or not decided
    """

    rate: Floats
    low: Floats
    high: Floats
    p_below: Floats
    sweep_by: Column


@dataclass(frozen=True, eq=False)
class Outlooks:
    """Of P pavements and S spots; place p < P is a pavement, place P + s a spot; n = P + S.

    rates, p_below, sweep_by (n,)   see above
    reaching_age (n,)      effective age at which p_below is the risk; inf never within 500 years
    middle_age (n,)        effective age at which p_below is one half
    best_p_below (n,)      p_below if cleaned today by the method that recovers most
    pavement_sweep_by (P,) the earliest over the pavement and its tested spots
    deciding_place (P,)    the place that decides it
    shares_below           of the surface, by stratum (P,)
    beyond_sweeping (n,)   best_p_below is at least one half; False where not decided
    """

    portfolio: Portfolio
    parameters: Parameters
    options: OutlookOptions
    places: Places
    rates: Rates
    p_below: Floats
    sweep_by: Column
    reaching_age: Floats
    middle_age: Floats
    best_p_below: Floats
    pavement_sweep_by: Column
    deciding_place: Ints
    after: AfterCleaning
    shares_below: Shares

    @property
    def beyond_sweeping(self) -> Bools:
        return np.asarray(self.best_p_below >= self.options.beyond)

    def why_not(self, place: int) -> str:
        """Why p_below and dates of a place are not given, "" if they are."""
        if not self.places.settled:
            return NOT_SETTLED
        if np.isnan(self.places.age[place]):
            return NOT_YET_PLACED
        return NO_ACTION_LEVEL if np.isnan(self.places.ln_action[place]) else ""


def outlook_of(
    records: Records,
    parameters: Parameters,
    as_of: np.datetime64,
    options: OutlookOptions | None = None,
) -> Outlooks:
    """The outlook of the pavements of some records, often one, from a fit made before.

    A new test or cleaning changes its pavement's outlook at once, and no other's.
    """
    return outlooks_of(gather_portfolio(records, as_of).portfolio, parameters, options)


def outlooks_of(
    portfolio: Portfolio, parameters: Parameters, options: OutlookOptions | None = None
) -> Outlooks:
    """The outlooks of a whole portfolio on its day `as_of`."""
    options = options or OutlookOptions()
    places = places_of(portfolio, parameters)
    if not places.settled:
        undecided = np.full(len(places.age), np.nan)
        places = Places(**{**vars(places), "ln_action": undecided})
    pavements = len(portfolio.ref)
    joint, age, action = places.joint, places.age, places.ln_action
    own = np.arange(pavements)
    rates = rates_at(joint, age, options)
    reaching = age_reaching(joint, action, options.risk)
    sweep_by = days_reaching(reaching - age, portfolio.as_of, options)
    best = 1.0 - parameters.recovery.max()
    decided = np.where(places.tests + (places.pavement == np.arange(len(age))) > 0, 1, 0)
    first, deciding = _earliest(sweep_by, places.pavement, decided > 0, pavements)
    return Outlooks(
        portfolio=portfolio,
        parameters=parameters,
        options=options,
        places=places,
        rates=rates,
        p_below=chance_at(joint, age, action),
        sweep_by=sweep_by,
        reaching_age=reaching,
        middle_age=age_reaching(joint, action, 0.5),
        best_p_below=chance_at(joint, age * best, action),
        pavement_sweep_by=first,
        deciding_place=deciding,
        after=_after_cleaning(places, reaching, portfolio, parameters, options),
        shares_below=shares_below(joint.take(own), age[own], action[own], parameters, options.band),
    )


def rates_at(joint: Joint, age: Floats, options: OutlookOptions) -> Rates:
    """The rate of n places at effective ages, (n,) years; nan ages give nan."""
    low, high = options.band
    level = level_at(joint, age)
    return Rates(*(np.exp(quantile(level, share)) for share in (0.5, low, high)))


def chance_at(joint: Joint, age: Floats, ln_action: Floats) -> Floats:
    """P(below the action level | k >= 0) of n places, nan where age or action level is nan."""
    chance = np.full(len(age), np.nan)
    known = np.flatnonzero(~np.isnan(age) & ~np.isnan(ln_action))
    chance[known] = chance_below(level_at(joint.take(known), age[known]), ln_action[known])
    return chance


def days_reaching(years: Floats, as_of: np.datetime64, options: OutlookOptions) -> Column:
    """The day after so many years, datetime64[D]: as_of if none are left, NaT beyond the search."""
    days = np.full(years.shape, np.datetime64("NaT", "D"))
    with np.errstate(invalid="ignore"):
        found = years <= options.years_ahead
    whole = np.floor(DAYS_A_YEAR * np.maximum(years[found], 0.0)).astype(np.int64)
    days[found] = as_of + whole
    return days


def _earliest(
    sweep_by: Column, pavement: Ints, counts: Bools, pavements: int
) -> tuple[Column, Ints]:
    """The earliest day of each pavement over its places that count, and the place it is from."""
    number = sweep_by.astype(np.int64)
    late = np.iinfo(np.int64).max
    number = np.where(counts & ~np.isnat(sweep_by), number, late)
    order = np.lexsort((np.arange(len(number)), number, pavement))
    first = np.searchsorted(pavement[order], np.arange(pavements))
    place = order[first]
    return np.where(number[place] < late, sweep_by[place], np.datetime64("NaT", "D")), place


def _after_cleaning(
    places: Places,
    reaching: Floats,
    portfolio: Portfolio,
    parameters: Parameters,
    options: OutlookOptions,
) -> AfterCleaning:
    pavements, methods = len(portfolio.ref), len(METHODS)
    rows = np.repeat(np.arange(pavements), methods)
    joint = places.joint.take(rows)
    age = (places.age[:pavements, None] * (1 - parameters.recovery)).ravel()
    rates = rates_at(joint, age, options)
    shape = (pavements, methods)
    return AfterCleaning(
        rate=rates.rate.reshape(shape),
        low=rates.low.reshape(shape),
        high=rates.high.reshape(shape),
        p_below=chance_at(joint, age, places.ln_action[rows]).reshape(shape),
        sweep_by=days_reaching(reaching[rows] - age, portfolio.as_of, options).reshape(shape),
    )
