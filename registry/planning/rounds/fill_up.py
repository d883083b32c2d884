"""Orders that a search left out, put in where there is room, the greatest prize first."""

from collections.abc import Iterator

from registry.planning.rounds.fitting import Misfit, lay_out
from registry.planning.rounds.ground import Ground, Watch
from registry.planning.rounds.objective import driving_minutes
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Plan


def fill_up(ground: Ground, plan: Plan) -> Plan:
    """Return the plan with each order put in that some crew-day has room for as it stands."""
    problem = ground.problem
    left = [order for order in ground.free_orders if order.ref not in plan.day_of_order]
    for order in sorted(left, key=lambda o: (-problem.prize_of(o), o.ref)):
        found = [day for day, _ in insertions(ground, plan, order) if isinstance(day, CrewDay)]
        if found:
            plan = plan.with_day(min(found, key=lambda day: _added(ground, plan, day)))
    return plan


def insertions(
    ground: Ground, plan: Plan, order: Order
) -> Iterator[tuple[CrewDay | Misfit, Watch]]:
    """Yield what comes of an order at each place of each crew-day that it suits."""
    days = {(day.crew, day.on): day.order_refs for day in plan.days}
    for watch in ground.watches:
        if ground.suits(order, watch):
            refs = days.get((watch.crew.ref, watch.on), ())
            for n in range(len(refs) + 1):
                yield lay_out(ground, watch, (*refs[:n], order.ref, *refs[n:])), watch


def _added(ground: Ground, plan: Plan, day: CrewDay) -> int:
    """Minutes that a changed crew-day costs more than the one it takes the place of."""
    problem = ground.problem
    before = next((d for d in plan.days if (d.crew, d.on) == (day.crew, day.on)), None)
    if before is None:
        return driving_minutes(problem, day) + problem.crew_by_ref[day.crew].day_cost
    return driving_minutes(problem, day) - driving_minutes(problem, before)
