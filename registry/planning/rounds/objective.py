"""What a plan costs, in minutes of driving: the driving itself, crew-days used, risk left standing.

The same sum for every plan, however it was made, so that plans can be compared.
"""

from dataclasses import dataclass

from registry.planning.rounds.plan import CrewDay, Plan, StopKind
from registry.planning.rounds.problem import Problem


@dataclass(frozen=True)
class Objective:
    """Driving, crew-days × what each is worth, and the prizes of what is left out."""

    driving_minutes: int
    crew_days: int
    crew_day_minutes: int
    prize_left: int
    placed: int

    @property
    def total(self) -> int:
        return self.driving_minutes + self.crew_day_minutes + self.prize_left


def objective_of(problem: Problem, plan: Plan) -> Objective:
    """Return what a plan costs, locked days included."""
    placed = {ref for day in plan.days for ref in day.order_refs}
    left = [order for order in problem.orders if order.ref not in placed]
    return Objective(
        driving_minutes=sum(driving_minutes(problem, day) for day in plan.days),
        crew_days=len(plan.days),
        crew_day_minutes=sum(problem.crew_by_ref[day.crew].day_cost for day in plan.days),
        prize_left=sum(problem.prize_of(order) for order in left),
        placed=len(placed),
    )


def driving_minutes(problem: Problem, day: CrewDay) -> int:
    """Return the minutes of driving of one crew-day, from the depot and back."""
    depot = problem.crew_by_ref[day.crew].depot
    places = [
        problem.order_by_ref[stop.ref].place if stop.kind is StopKind.WORK else stop.ref
        for stop in day.stops
    ]
    legs = zip([depot, *places], [*places, depot], strict=True)
    return sum(problem.travel.between(begins, ends) for begins, ends in legs)
