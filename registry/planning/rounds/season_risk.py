"""What a season's plan buys: pavements below their action level by month, with and without it.

For each order the chance that its pavement lies below its action level is given by month, cleaned
and not. The expected number is the sum of the chances, which needs no independence. Symbols:

    p₀[o, m]   chance of order o in month m, not cleaned          (orders, months)
    p₁[o, m]   the same, cleaned at the time the plan has it
    done[o]    in the plan
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.plan import Plan
from registry.planning.rounds.problem import Problem

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Chances:
    """Chances of lying below the action level, each of shape (orders, months), from 0 to 1.

    orders    their refs, in order of rows; months, the first day of each
    cleaned   with the cleaning on the day that the plan has for it
    """

    orders: tuple[str, ...]
    months: tuple[date, ...]
    not_cleaned: Floats
    cleaned: Floats

    def __post_init__(self) -> None:
        shape = len(self.orders), len(self.months)
        for chances in (self.not_cleaned, self.cleaned):
            if chances.shape != shape:
                raise RoundError(f"{shape[0]} orders and {shape[1]} months need as many chances.")
            if not (np.isfinite(chances).all() and (chances >= 0).all() and (chances <= 1).all()):
                raise RoundError("A chance lies from 0 to 1.")
        if len(set(self.orders)) < len(self.orders):
            raise RoundError("An order has two rows of chances.")


@dataclass(frozen=True)
class Month:
    """One month. Expected numbers of pavements; crew-days and cost of the plan in that month.

    cost             in the currency of the prices
    one_more_avoids  expected pavement-months below the action level, over all months given, that
                     the orders left out would spare if this month had one crew-day more; None where
                     nothing is left out that a crew-day of this month could hold
    """

    first_on: date
    without_plan: float
    with_plan: float
    crew_days: int
    cost: float
    one_more_avoids: float | None


@dataclass(frozen=True)
class SeasonRisk:
    """The months, and in all: pavement-months below the action level with and without the plan."""

    months: tuple[Month, ...]
    without_plan: float
    with_plan: float
    crew_days: int
    cost: float


def season_risk(
    problem: Problem, plan: Plan, chances: Chances, crew_day_cost: Mapping[str, float]
) -> SeasonRisk:
    """Return the season in figures.

    chances        rows for orders of the problem; a pavement without an order changes nothing and
                   is left to the caller to add to both sums
    crew_day_cost  of each crew that goes out, in any one currency
    Raises RoundError for an unknown order or a crew-day without a cost.
    """
    unknown = [ref for ref in chances.orders if ref not in problem.order_by_ref]
    if unknown:
        raise RoundError(f"Chances are given for {unknown[0]}, which is no order of this round.")
    unpriced = sorted({day.crew for day in plan.days} - set(crew_day_cost))
    if unpriced:
        raise RoundError(f"No cost of a crew-day is given for {', '.join(unpriced)}.")
    done = np.array([ref in plan.day_of_order for ref in chances.orders], dtype=bool)
    planned = np.where(done[:, None], chances.cleaned, chances.not_cleaned)
    months = tuple(
        _month(problem, plan, chances, planned, crew_day_cost, n)
        for n in range(len(chances.months))
    )
    return SeasonRisk(
        months=months,
        without_plan=float(chances.not_cleaned.sum()),
        with_plan=float(planned.sum()),
        crew_days=len(plan.days),
        cost=sum(crew_day_cost[day.crew] for day in plan.days),
    )


def _month(
    problem: Problem,
    plan: Plan,
    chances: Chances,
    planned: Floats,
    crew_day_cost: Mapping[str, float],
    n: int,
) -> Month:
    first_on = chances.months[n]
    days = [day for day in plan.days if _same_month(day.on, first_on)]
    return Month(
        first_on=first_on,
        without_plan=float(chances.not_cleaned[:, n].sum()),
        with_plan=float(planned[:, n].sum()),
        crew_days=len(days),
        cost=sum(crew_day_cost[day.crew] for day in days),
        one_more_avoids=_one_more(problem, plan, chances, n),
    )


def _one_more(problem: Problem, plan: Plan, chances: Chances, n: int) -> float | None:
    """What one crew-day more in a month would spare, of the orders left out that fall into it.

    The day holds as many minutes on site as the fullest tenth of the round's crew-days do; filled
    by what is spared per minute, the most first, whole orders only. The cleaned chance counts from
    that month on.
    """
    minutes = usual_site_minutes(problem, plan)
    first_on = chances.months[n]
    left = []
    for row, ref in enumerate(chances.orders):
        order = problem.order_by_ref[ref]
        begins, ends = problem.span_of(order)
        if ref in plan.day_of_order or not _meets(begins, ends, first_on):
            continue
        spared = float((chances.not_cleaned - chances.cleaned)[row, n:].sum())
        if spared > 0 and order.service_minutes <= minutes:
            left.append((spared / order.service_minutes, spared, order.service_minutes))
    if not left:
        return None
    total, room = 0.0, minutes
    for _, spared, needed in sorted(left, reverse=True):
        if needed <= room:
            total, room = total + spared, room - needed
    return total


def usual_site_minutes(problem: Problem, plan: Plan) -> int:
    """Return the minutes on site of the fullest tenth of crew-days: what one more could hold."""
    spent = sorted(
        sum(problem.order_by_ref[ref].minutes_for(day.crew) for ref in day.order_refs)
        for day in plan.days
    )
    return spent[int(0.9 * (len(spent) - 1))] if spent else 0


def _same_month(on: date, first_on: date) -> bool:
    return (on.year, on.month) == (first_on.year, first_on.month)


def _meets(begins: date, ends: date, first_on: date) -> bool:
    """Say whether a span of days has a day in a month."""
    month = first_on.year, first_on.month
    return (begins.year, begins.month) <= month <= (ends.year, ends.month)
