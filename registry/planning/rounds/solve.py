"""The round worked out with pyvrp: the same seed and iterations give the same plan.

The clock belongs to the caller: seconds are read from the function that the options carry. The
search is iterated local search (Wouda, Lan and Kool 2024, PyVRP, INFORMS Journal on Computing 36).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from pyvrp import IteratedLocalSearchParams, Route, ScheduledActivity, Solution, SolveParams, solve
from pyvrp.constants import MAX_VALUE
from pyvrp.search import PerturbationParams

from registry.planning.rounds.axis import Segment
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.fill_up import fill_up
from registry.planning.rounds.greedy import greedy_plan
from registry.planning.rounds.ground import Ground, Watch
from registry.planning.rounds.left_out import reasons
from registry.planning.rounds.model import Builder, Model
from registry.planning.rounds.plan import CrewDay, Plan, Stop, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.warm import warm_start

# A search remembers the costs it accepted. With a long memory it goes further astray and comes to a
# better plan in the end; many clients leave no time for it. Measured on 1 000 orders, 90 days and
# 4 crews, 60 s of one core: with the package's own 300, up to 25 changes at a time and a thorough
# look at each new best the objective is 6 % higher (16 848 to 15 823) than with 50, 6 and none.
LONGEST_MEMORY, SHORTEST_MEMORY, MEMORY_BY_CLIENTS = 300, 50, 100_000
MOST_CHANGES = 6


def search_for(clients: int) -> SolveParams:
    """Return the parameters of the search for so many clients."""
    memory = min(LONGEST_MEMORY, max(SHORTEST_MEMORY, MEMORY_BY_CLIENTS // clients))
    return SolveParams(
        ils=IteratedLocalSearchParams(history_length=memory, exhaustive_on_best=False),
        perturbation=PerturbationParams(max_perturbations=MOST_CHANGES),
    )


@dataclass(frozen=True)
class Progress:
    """How far the search is: best_cost as in `Objective.total` without locked days, None as long
    as no plan keeps all rules; seconds by the caller's clock, None without one."""

    iterations: int
    best_cost: int | None
    seconds: float | None


@dataclass(frozen=True, kw_only=True)
class SolveOptions:
    """When to stop, and whom to tell.

    seed             of the search
    most_iterations, most_seconds   at least one of them; seconds ask for a clock
    clock            seconds that only grow, such as time.monotonic
    on_progress      told every `tell_every_seconds` by the clock, every 100 iterations without one;
                     the search stops where it answers True
    """

    seed: int
    most_iterations: int | None = None
    most_seconds: float | None = None
    clock: Callable[[], float] | None = None
    on_progress: Callable[[Progress], bool | None] | None = None
    tell_every_seconds: float = 1.0

    def __post_init__(self) -> None:
        if self.most_iterations is None and self.most_seconds is None:
            raise RoundError("Say how many iterations or seconds the round may take.")
        if min(self.most_iterations or 0, self.most_seconds or 0, self.seed) < 0:
            raise RoundError("Seed, iterations and seconds are no less than 0.")
        if self.most_seconds is not None and self.clock is None:
            raise RoundError("A limit in seconds needs a clock.")


@dataclass(frozen=True)
class Solved:
    """A plan and how it was found. `stopped_by` is iterations, seconds, person or nothing to do."""

    plan: Plan
    iterations: int
    seconds: float | None
    stopped_by: str


class Watcher:
    """The stopping rule given to pyvrp: called with the best cost before each iteration."""

    def __init__(self, options: SolveOptions, offset: int) -> None:
        self.options = options
        self.offset = offset
        self.iterations = -1
        self.stopped_by = ""
        self.begun_at = options.clock() if options.clock is not None else 0.0
        self._told_at = self.begun_at

    @property
    def seconds(self) -> float | None:
        return None if self.options.clock is None else self.options.clock() - self.begun_at

    def __call__(self, best_cost: int) -> bool:
        self.iterations += 1
        self.stopped_by = self._why_stop(best_cost)
        return bool(self.stopped_by)

    def _why_stop(self, best_cost: int) -> str:
        options, seconds = self.options, self.seconds
        if options.most_iterations is not None and self.iterations >= options.most_iterations:
            return "iterations"
        if options.most_seconds is not None and (seconds or 0) >= options.most_seconds:
            return "seconds"
        if options.on_progress is not None and self._is_time_to_tell(seconds):
            cost = None if best_cost > MAX_VALUE else best_cost - self.offset
            if options.on_progress(Progress(self.iterations, cost, seconds)):
                return "person"
        return ""

    def _is_time_to_tell(self, seconds: float | None) -> bool:
        if seconds is None:
            return self.iterations % 100 == 0
        due = self.iterations == 0 or seconds - self._told_at >= self.options.tell_every_seconds
        if due:
            self._told_at = seconds
        return due


def solve_round(problem: Problem, options: SolveOptions, begin: Plan | None = None) -> Solved:
    """Return the best plan found, locked days unchanged, with the reason for each order left.

    begin    a plan to begin from, such as the one in force; the nearest-due plan where None
    Orders that the search left are put in afterwards where there is room by plain code. Raises
    RoundError where the problem or options contradict themselves.
    """
    ground = Ground(problem)
    begin = begin if begin is not None else greedy_plan(ground)
    model = Builder(ground, begin).build()
    if model is None:
        plan = Plan(_in_order(problem.locked))
        return Solved(replace(plan, left_out=reasons(ground, plan)), 0, None, "nothing to do")
    watcher = Watcher(options, model.offset)
    result = solve(
        model.data,
        watcher,
        seed=options.seed,
        collect_stats=False,
        params=search_for(len(model.orders)),
        initial_solution=warm_start(model, begin),
    )
    days = _crew_days(model, result.best) if result.best.is_feasible() else []
    plan = fill_up(ground, Plan(_in_order((*problem.locked, *days))))
    plan = replace(plan, left_out=reasons(ground, plan))
    return Solved(plan, result.num_iterations, watcher.seconds, watcher.stopped_by)


def _in_order(days: tuple[CrewDay, ...]) -> tuple[CrewDay, ...]:
    return tuple(sorted(days, key=lambda day: (day.on, day.crew)))


def _crew_days(model: Model, best: Solution) -> list[CrewDay]:
    """Give the routes of each vehicle type to its crews, in their order."""
    crews = [iter(watches) for _, watches in model.vehicles]
    return [
        _crew_day(model, route, next(crews[route.vehicle_type()]))
        for route in best.routes()
        if route.num_clients()
    ]


def _crew_day(model: Model, route: Route, watch: Watch) -> CrewDay:
    segment, _ = model.vehicles[route.vehicle_type()]
    begins, *between, ends = route.schedule()
    stops = [stop for visit in between for stop in _stops_of(model, segment, visit)]
    return CrewDay(
        crew=watch.crew.ref,
        on=watch.on,
        leaves_at=segment.begin_at(begins.end_time),
        stops=tuple(stops),
        returns_at=segment.end_at(ends.start_time),
    )


def _stops_of(model: Model, segment: Segment, visit: ScheduledActivity) -> Iterator[Stop]:
    """Yield the stops, one or two, that an activity of pyvrp stands for."""
    begins, ends = visit.start_time, visit.end_time
    if visit.is_client():
        ref = model.orders[visit.idx].ref
        yield Stop(StopKind.WORK, ref, segment.begin_at(begins), segment.end_at(ends))
        return
    reload = model.reloads[visit.idx]
    for kind, place, minutes in reload.places if reload is not None else ():
        done = begins + minutes
        yield Stop(kind, place, segment.begin_at(begins), segment.end_at(done))
        begins = done + (reload.drive if reload is not None else 0)
