"""The nearest-due round: a plan that keeps the rules, and one the solver does better than."""

from datetime import timedelta

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.greedy import greedy_round
from registry.planning.rounds.objective import Objective, objective_of
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rules import Rule
from tests.planning.rounds.instances import invented_round
from tests.planning.rounds.small import (
    MONDAY,
    TUESDAY,
    crew,
    crew_day,
    order,
    plan,
    problem,
    stop,
)


def test_it_keeps_every_rule():
    given = invented_round(150, 30, 2, seed=9)
    found = {f.rule for f in breaches_of(given, greedy_round(given))}
    assert found <= {Rule.ACCOUNTED_FOR}  # it gives no reasons for what it leaves out


def test_the_nearest_of_those_due_soonest_goes_next():
    given = problem(order("A", "c"), order("B", "a"), order("C", "b"))
    assert greedy_round(given).days[0].order_refs == ("B", "C", "A")


def test_what_is_due_first_goes_first_where_only_one_fits():
    given = problem(
        order("A", "a", service_minutes=400, latest_on=MONDAY + timedelta(days=8)),
        order("B", "c", service_minutes=400, latest_on=MONDAY),
    )
    assert [day.order_refs for day in greedy_round(given).days] == [("B",), ("A",)]


def test_a_locked_day_stays():
    locked = crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20")
    given = problem(order(), order("B", "b"), locked=(locked,))
    days = greedy_round(given).days
    assert days[0] == locked and days[1].on == TUESDAY


def test_the_solver_does_better():
    given = invented_round(60, 30, 1, seed=1)
    solved = solve_round(given, SolveOptions(seed=1, most_iterations=500)).plan
    assert objective_of(given, solved).total < 0.85 * objective_of(given, greedy_round(given)).total


def test_what_a_plan_costs_by_hand():
    """10 to a, 10 on to b, 20 back; a day at 60; C, worth 70, is left."""
    given = problem(order(), order("B", "b"), order("C", "c", prize=70), crews=(crew(day_cost=60),))
    day = crew_day(
        "07:00", stop("A", "07:10", "08:10"), stop("B", "08:20", "09:20"), returns="09:40"
    )
    cost = objective_of(given, plan(day))
    assert cost == Objective(
        driving_minutes=40, crew_days=1, crew_day_minutes=60, prize_left=70, placed=2
    )
    assert cost.total == 170
