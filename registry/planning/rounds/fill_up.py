"""Orders that a search left out, put in where there is room, the greatest prize first.

Where there is none, room is made: one order that is placed goes to another crew-day.
"""

from collections.abc import Iterator, Sequence

from registry.planning.rounds.fitting import Misfit, lay_out
from registry.planning.rounds.ground import Ground, Watch
from registry.planning.rounds.objective import driving_minutes
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Plan

MOST_MOVED_FOR = 50  # orders for which room is sought by moving another


def fill_up(ground: Ground, plan: Plan) -> Plan:
    """Return the plan with each order put in for which there is or can be made room."""
    problem = ground.problem
    left = [order for order in ground.free_orders if order.ref not in plan.day_of_order]
    tries = MOST_MOVED_FOR
    for order in sorted(left, key=lambda o: (-problem.prize_of(o), o.ref)):
        best = best_insertion(ground, plan, order)
        if best is not None:
            plan = plan.with_day(best)
        elif tries:
            tries -= 1
            plan = with_room_made(ground, plan, order)
    return plan


def best_insertion(ground: Ground, plan: Plan, order: Order) -> CrewDay | None:
    """Return the crew-day with the order put in that costs the least more; None without room."""
    found = [day for day, _ in insertions(ground, plan, order) if isinstance(day, CrewDay)]
    return min(found, key=lambda day: _added(ground, plan, day)) if found else None


def with_room_made(ground: Ground, plan: Plan, order: Order) -> Plan:
    """Return the plan with the order in, and one that was in its way elsewhere; else the plan.

    The first exchange that is found is taken. No order that was placed is left out for it.
    """
    for without, out in _exchanges(ground, plan, order):
        elsewhere = best_insertion(ground, without, ground.problem.order_by_ref[out])
        if elsewhere is not None:
            return without.with_day(elsewhere)
    return plan


def _exchanges(ground: Ground, plan: Plan, order: Order) -> Iterator[tuple[Plan, str]]:
    """Yield plans with the order in the place of another, and which other that was."""
    days = {(day.crew, day.on): day.order_refs for day in plan.days}
    for watch in ground.watches:
        if ground.suits(order, watch):
            refs = days.get((watch.crew.ref, watch.on), ())
            for out in refs:
                rest = [ref for ref in refs if ref != out]
                fits = (d for d in tries(ground, watch, rest, order.ref) if isinstance(d, CrewDay))
                day = next(fits, None)
                if day is not None:
                    yield plan.with_day(day), out


def tries(
    ground: Ground, watch: Watch, refs: Sequence[str], ref: str
) -> Iterator[CrewDay | Misfit]:
    """Yield what comes of putting an order at each place among others of a crew-day."""
    for n in range(len(refs) + 1):
        yield lay_out(ground, watch, (*refs[:n], ref, *refs[n:]))


def insertions(
    ground: Ground, plan: Plan, order: Order
) -> Iterator[tuple[CrewDay | Misfit, Watch]]:
    """Yield what comes of an order at each place of each crew-day that it suits."""
    days = {(day.crew, day.on): day.order_refs for day in plan.days}
    for watch in ground.watches:
        if ground.suits(order, watch):
            refs = days.get((watch.crew.ref, watch.on), ())
            yield from ((laid, watch) for laid in tries(ground, watch, refs, order.ref))


def _added(ground: Ground, plan: Plan, day: CrewDay) -> int:
    """Minutes that a changed crew-day costs more than the one it takes the place of."""
    problem = ground.problem
    before = next((d for d in plan.days if (d.crew, d.on) == (day.crew, day.on)), None)
    if before is None:
        return driving_minutes(problem, day) + problem.crew_by_ref[day.crew].day_cost
    return driving_minutes(problem, day) - driving_minutes(problem, before)
