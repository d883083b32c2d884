"""Nearest due: the round that a person would make with a list and a map, to compare and to begin.

Day by day and crew by crew: of the orders that are due soonest, the nearest that still fits goes
next. No day is looked at twice.
"""

from datetime import date, timedelta

from registry.planning.rounds.fitting import Misfit, Running, add_order, begin_day, end_day
from registry.planning.rounds.ground import Ground, Watch
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Plan
from registry.planning.rounds.problem import Problem

# The nearest is taken of at most so many orders, due within so many days of the one due first.
DUE_TOGETHER, DUE_WITHIN = 10, timedelta(days=7)


def greedy_round(problem: Problem) -> Plan:
    """Return the plan of the nearest-due rule; locked days stay. The orders left out stand without
    reasons: see `left_out.reasons`."""
    return greedy_plan(Ground(problem))


def greedy_plan(ground: Ground) -> Plan:
    """Return the same from what is already worked out of the problem."""
    waiting = sorted(ground.free_orders, key=lambda order: _due(ground, order))
    days = list(ground.problem.locked)
    for watch in ground.watches:
        day = _fill(ground, watch, waiting)
        if day.stops:
            days.append(day)
            taken = set(day.order_refs)
            waiting = [order for order in waiting if order.ref not in taken]
    return Plan(tuple(sorted(days, key=lambda day: (day.on, day.crew))))


def _due(ground: Ground, order: Order) -> tuple[bool, date, int, str]:
    """Pinned first, then by the last day allowed, then by prize."""
    problem = ground.problem
    pinned = order.pinned_on is not None or order.pinned_to is not None
    return not pinned, problem.span_of(order)[1], -problem.prize_of(order), order.ref


def _fill(ground: Ground, watch: Watch, waiting: list[Order]) -> CrewDay:
    """Return the crew-day of one watch, filled from those waiting, soonest due first."""
    so_far = begin_day(ground, watch)
    fitting = [order for order in waiting if ground.suits(order, watch)]
    while fitting:
        nearest, fitting = _nearest(so_far, fitting)
        if nearest is None:
            break
        so_far = nearest
    return end_day(so_far)


def _nearest(so_far: Running, fitting: list[Order]) -> tuple[Running | None, list[Order]]:
    """The crew-day with the nearest of the first few that fit, and those then still to try.

    What does not fit now does not fit later on the same day, and is not tried again.
    """
    found: list[tuple[int, int, Running]] = []
    misfits = set()
    last_on = date.max
    for n, order in enumerate(fitting):
        due_on = so_far.ground.problem.span_of(order)[1]
        if due_on > last_on:
            break
        added = add_order(so_far, order)
        if isinstance(added, Misfit):
            misfits.add(n)
            continue
        minutes = so_far.ground.problem.travel.between(so_far.place, order.place)
        found.append((minutes, n, added))
        last_on = min(last_on, due_on + DUE_WITHIN)
        if len(found) == DUE_TOGETHER:
            break
    if not found:
        return None, []
    _, taken, added = min(found, key=lambda f: f[:2])
    rest = [order for n, order in enumerate(fitting) if n != taken and n not in misfits]
    return added, rest
