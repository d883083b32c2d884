"""Plans of rounds: a round worked out, held against the rules, and read back from its rows."""

from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, replace

from registry.gathering.round_problem import RoundInput, crew_day
from registry.models import Round, RoundDay
from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.check_found import Found
from registry.planning.rounds.greedy import greedy_round
from registry.planning.rounds.ground import Ground
from registry.planning.rounds.left_out import reasons
from registry.planning.rounds.objective import Objective, driving_minutes, objective_of
from registry.planning.rounds.plan import CrewDay, Plan
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.solve import Progress, Solved, SolveOptions, solve_round

MOST_SECONDS = 600
"""No search goes on for longer, whatever its iterations: a job that does is taken for lost."""


@dataclass(frozen=True, eq=False)
class RoundResult:
    """A plan with what it costs, what the nearest-due rule would cost, and the rules it breaks."""

    given: RoundInput
    solved: Solved
    objective: dict[str, int]
    greedy: dict[str, int]
    found: tuple[Found, ...]

    @property
    def plan(self) -> Plan:
        return self.solved.plan


def solve_gathered(
    row: Round,
    given: RoundInput,
    *,
    clock: Callable[[], float],
    on_progress: Callable[[Progress], bool | None] | None = None,
    begin: Plan | None = None,
) -> RoundResult:
    """Work a round out and hold it against every rule. Raises RoundError."""
    options = SolveOptions(
        seed=row.seed,
        most_iterations=row.iterations,
        most_seconds=MOST_SECONDS if row.seconds is None else min(row.seconds, MOST_SECONDS),
        clock=clock,
        on_progress=on_progress,
    )
    solved = solve_round(given.problem, options, begin)
    return RoundResult(
        given,
        solved,
        cost_of(given.problem, solved.plan),
        cost_of(given.problem, greedy_round(given.problem)),
        tuple(breaches_of(given.problem, solved.plan)),
    )


def cost_of(problem: Problem, plan: Plan) -> dict[str, int]:
    """Return the objective of a plan by its parts, as rounds keep it."""
    cost: Objective = objective_of(problem, plan)
    return {"total": cost.total, **asdict(cost)}


def stored_days(row: Round) -> list[RoundDay]:
    """Return the days of a round with their stops, orders and places; a fixed number of queries."""
    return list(row.crew_days.with_stops())


def plan_of(given: RoundInput, days: Iterable[RoundDay]) -> Plan:
    """Return stored days as a plan. An order that is no longer given drops out of its day."""
    found = []
    for day in days:
        kept = [
            stop for stop in day.stops.all() if not stop.order_id or stop.order_id in given.ref_of
        ]
        if any(stop.order_id for stop in kept):
            found.append(crew_day(day, kept, given.ref_of, given.places))
    return Plan(tuple(sorted(found, key=lambda d: (d.on, d.crew))))


def with_reasons(given: RoundInput, plan: Plan) -> Plan:
    """Return a plan with each order it leaves out listed, with the rule that kept it out."""
    return replace(plan, left_out=reasons(Ground(given.problem), plan))


def driving_of(problem: Problem, day: CrewDay) -> int:
    """Return the minutes of driving of a crew-day."""
    return driving_minutes(problem, day)
