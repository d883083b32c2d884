"""The longest interval between cleanings that holds for ever, and what it costs.

Cleaned by m every T years, the effective age just before a cleaning settles at T / r_m. So an
interval holds while T / r_m stays below the effective age at which the place would be below its
action level: with even chance (the median, T = r_m (a - ln action) / k), or with the risk.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from registry.decline.faults import DeclineError
from registry.decline.outlook import Outlooks
from registry.decline.records import METHODS

LONGEST_YEARS = 30.0
NEVER_ENOUGH = "Even a new surface would lie below its action level."
TOO_OFTEN = "It would have to be cleaned more often than is done."
NO_PRICE = "The price of this method is not known."


@dataclass(frozen=True)
class Interval:
    """One method at one place.

    median_years   keeps the median at or above the action level for ever; None with a reason
    years          keeps p_below at or under the risk for ever; None with a reason
    longer         the true interval is longer than these years: 30 are shown at most
    cost_a_year    price / years, in the currency of the price; None with a reason
    cheapest       of the methods that hold and have a price
    """

    method: str
    median_years: float | None
    years: float | None
    longer: bool
    price: float | None
    cost_a_year: float | None
    cheapest: bool
    reason: str


def sustainable_intervals(
    outlooks: Outlooks,
    place: int,
    prices: Mapping[str, float | None],
    shortest_years: float = 1 / 12,
) -> tuple[Interval, ...]:
    """One for each of METHODS.

    prices          of one cleaning of this pavement, by method; missing or None: not known
    shortest_years  a method that must come more often than this does not hold
    """
    unknown = set(prices) - set(METHODS)
    if unknown:
        raise DeclineError(f"There is no cleaning method named {', '.join(sorted(unknown))}.")
    if any(price is not None and not 0 <= price < np.inf for price in prices.values()):
        raise DeclineError("A price is 0 or more.")
    found = [
        _interval(outlooks, place, number, prices.get(name), shortest_years)
        for number, name in enumerate(METHODS)
    ]
    costs = [i.cost_a_year for i in found if i.cost_a_year is not None]
    least = min(costs, default=None)
    return tuple(
        Interval(**{**vars(i), "cheapest": least is not None and i.cost_a_year == least})
        for i in found
    )


def _interval(
    outlooks: Outlooks, place: int, number: int, price: float | None, shortest: float
) -> Interval:
    method, recovery = METHODS[number], float(outlooks.parameters.recovery[number])
    reason = outlooks.why_not(place)
    if reason:
        return Interval(method, None, None, False, price, None, False, reason)
    median = recovery * float(outlooks.middle_age[place])
    years = recovery * float(outlooks.reaching_age[place])
    shown = min(median, LONGEST_YEARS)
    if years < shortest:
        why = NEVER_ENOUGH if years == 0 else TOO_OFTEN
        return Interval(method, shown, None, False, price, None, False, why)
    longer, years = years > LONGEST_YEARS, min(years, LONGEST_YEARS)
    cost = None if price is None else price / years
    why = NO_PRICE if price is None else ""
    return Interval(method, shown, years, longer, price, cost, False, why)
