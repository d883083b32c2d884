"""A plan held against every rule, by plain code that shares nothing with what made it but the data.

Instants are turned into what the clock on the wall shows and compared with the hours as they are
written; working time is elapsed time less breaks. `breaches_of` returns all that is wrong, each
with its rule, its words and where; an empty list is a plan that can be driven.
"""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from registry.planning.rounds.check_days import day_breaches
from registry.planning.rounds.check_found import Found
from registry.planning.rounds.check_hours import hour_breaches
from registry.planning.rounds.check_loads import load_breaches
from registry.planning.rounds.check_machine import machine_breaches
from registry.planning.rounds.plan import CrewDay, Plan, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rules import Rule


def breaches_of(problem: Problem, plan: Plan) -> list[Found]:
    """Return every broken rule of a plan, in order of day, crew and stop."""
    return [
        *_unknown(problem, plan),
        *_visits(plan),
        *_locks(problem, plan),
        *_left_out(problem, plan),
        *(found for day in plan.days for found in crew_day_breaches(problem, day)),
    ]


def crew_day_breaches(problem: Problem, day: CrewDay) -> Iterator[Found]:
    """Yield what is wrong in one crew-day by itself; nothing of one that is locked.

    What was locked stands as it was decided, whatever the rules say now.
    """
    if day in problem.locked or list(_unknown(problem, Plan((day,)))):
        return
    yield from day_breaches(problem, day)
    yield from machine_breaches(problem, day)
    yield from hour_breaches(problem, day)
    yield from load_breaches(problem, day)


def _unknown(problem: Problem, plan: Plan) -> Iterator[Found]:
    """Crews, orders and places that the problem does not have."""
    crews = {crew.ref for crew in problem.crews}
    known = {
        StopKind.WORK: {order.ref for order in problem.orders},
        StopKind.DUMP: {dump.place for dump in problem.dumps},
        StopKind.WATER: {point.place for point in problem.water_points},
    }
    for day in plan.days:
        if day.crew not in crews:
            yield Found(Rule.UNKNOWN, f"There is no crew “{day.crew}”.", day.crew, day.on)
        for stop in day.stops:
            if stop.ref not in known[stop.kind]:
                words = f"“{stop.ref}” is not known as {stop.kind.value}."
                yield Found(Rule.UNKNOWN, words, day.crew, day.on, stop.ref)


def _visits(plan: Plan) -> Iterator[Found]:
    """An order in two places of the plan, a crew in two places on one day."""
    visits: dict[str, list[CrewDay]] = defaultdict(list)
    shifts: dict[tuple[str, date], int] = defaultdict(int)
    for day in plan.days:
        shifts[day.crew, day.on] += 1
        for ref in day.order_refs:
            visits[ref].append(day)
    for ref, days in visits.items():
        if len(days) > 1:
            where = ", ".join(f"{day.on} by {day.crew}" for day in days)
            words = f"Order {ref} is done {len(days)} times: {where}."
            yield Found(Rule.DOUBLE_VISIT, words, days[-1].crew, days[-1].on, ref)
    for (crew, on), times in shifts.items():
        if times > 1:
            yield Found(Rule.DOUBLE_VISIT, f"Crew {crew} goes out {times} times.", crew, on)


def _locks(problem: Problem, plan: Plan) -> Iterator[Found]:
    for locked in problem.locked:
        if locked not in plan.days:
            words = f"{locked.on} of crew {locked.crew} is locked, and not as it was."
            yield Found(Rule.LOCKED, words, locked.crew, locked.on)


def _left_out(problem: Problem, plan: Plan) -> Iterator[Found]:
    """Each order is either in a crew-day or listed as left out."""
    placed = {ref for day in plan.days for ref in day.order_refs}
    listed = {left.order for left in plan.left_out}
    for order in problem.orders:
        if (order.ref in placed) is (order.ref in listed):
            both = (
                "both placed and left out" if order.ref in placed else "neither placed nor left out"
            )
            yield Found(Rule.ACCOUNTED_FOR, f"Order {order.ref} is {both}.", order=order.ref)
