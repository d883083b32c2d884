"""The decline of one place over days, for a chart: what a fit says it was and will be."""

from dataclasses import dataclass

import numpy as np

from registry.decline.ages import AgeTable, walk_ages
from registry.decline.faults import DeclineError
from registry.decline.histories import SECONDS_A_YEAR
from registry.decline.outlook import Outlooks, Rates, chance_at, rates_at
from registry.decline.portfolio import CleaningLists
from registry.decline.records import METHODS, Column, Floats

A_DAY = np.timedelta64(1, "D")


@dataclass(frozen=True, eq=False)
class Curve:
    """days (d,) datetime64[D]; age (d,) effective years; rates mm/h and p_below (d,)."""

    days: Column
    age: Floats
    rates: Rates
    p_below: Floats


def decline_curve(
    outlooks: Outlooks, place: int, days: Column, cleaned_by: str | None = None
) -> Curve:
    """One place on given days, datetime64[D], none before placing.

    The cleanings on record have their effect; after the day of the outlook none follows, but one
    by `cleaned_by` on that day if a method is named.
    """
    portfolio, places = outlooks.portfolio, outlooks.places
    placed_on = portfolio.placed_on[places.pavement[place]]
    if cleaned_by is not None and cleaned_by not in METHODS:
        raise DeclineError(f"There is no cleaning method named {cleaned_by}.")
    if len(days) and days.min() < placed_on:
        raise DeclineError("The surface was not placed yet on the first of these days.")
    gap, method = _cleanings(outlooks, place, placed_on, cleaned_by)
    done = np.cumsum(gap)
    elapsed = (days - placed_on) / A_DAY * 86_400 / SECONDS_A_YEAR
    lists = CleaningLists(np.array([0, len(gap)]), gap, method)
    after = walk_ages(AgeTable.of(lists), outlooks.parameters.recovery).after
    passed = np.searchsorted(done, elapsed, side="right")
    age = after[passed - 1] + elapsed - np.where(passed > 0, np.append(done, 0)[passed - 1], 0)
    joint = places.joint.take(np.full(len(days), place))
    action = np.full(len(days), places.ln_action[place])
    rates = rates_at(joint, age, outlooks.options)
    return Curve(days, age, rates, chance_at(joint, age, action))


def _cleanings(
    outlooks: Outlooks, place: int, placed_on: np.datetime64, cleaned_by: str | None
) -> tuple[Floats, Column]:
    portfolio = outlooks.portfolio
    pavements = len(portfolio.ref)
    number = place if place < pavements else portfolio.spot_list[place - pavements]
    rows = slice(portfolio.lists.first[number], portfolio.lists.first[number + 1])
    gap, method = portfolio.lists.gap[rows], portfolio.lists.method[rows]
    if cleaned_by is None:
        return gap, method
    now = float((portfolio.as_of - placed_on) / A_DAY) * 86_400 / SECONDS_A_YEAR
    return (
        np.append(gap, max(now - gap.sum(), 0.0)),
        np.append(method, METHODS.index(cleaned_by)).astype(np.uint8),
    )
