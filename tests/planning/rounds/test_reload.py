"""Trips to empty the hopper and fill the tank, put in by the solver and kept by the check."""

from datetime import time, timedelta

import pytest

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.crew import DumpPlace, WaterPoint
from registry.planning.rounds.greedy import greedy_round
from registry.planning.rounds.hours import ClockSpan, DaySpan, week
from registry.planning.rounds.order import Needs
from registry.planning.rounds.plan import Plan, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rules import Rule
from tests.planning.rounds.small import MONDAY, TUESDAY, crew, machine, order, problem

OPTIONS = SolveOptions(seed=1, most_iterations=200)
TIP = DumpPlace(place="tip", minutes=20)
TAP = WaterPoint(place="tap", minutes=15)
REST = (ClockSpan(time(10), time(11)),)
D, W, K = StopKind.DUMP, StopKind.WATER, StopKind.WORK


def loads(debris_l: int, water_l: int, latest_on=MONDAY):
    """Three orders that must all be done on one day."""
    return [
        order(ref, place, debris_l=debris_l, water_l=water_l, latest_on=latest_on)
        for ref, place in (("A", "a"), ("B", "b"), ("C", "c"))
    ]


def solved(given: Problem) -> Plan:
    plan = solve_round(given, OPTIONS).plan
    assert breaches_of(given, plan) == []
    return plan


def kinds(plan: Plan) -> list[StopKind]:
    (day,) = plan.days
    return [stop.kind for stop in day.stops]


def test_a_hopper_that_holds_two_is_emptied_once():
    given = problem(*loads(900, 0), crews=(crew(machine=machine(hopper_l=2000)),), dumps=(TIP,))
    plan = solved(given)
    assert sorted(kind.value for kind in kinds(plan)) == ["dump", "work", "work", "work"]


def test_a_tank_that_holds_one_is_filled_twice():
    tank = crew(machine=machine(water_l=500))
    plan = solved(problem(*loads(0, 500), crews=(tank,), water_points=(TAP,)))
    assert kinds(plan) == [K, W, K, W, K]


def test_a_crew_that_carries_both_empties_and_fills_on_one_trip():
    both = crew(machine=machine(water_l=1000, hopper_l=2000))
    given = problem(*loads(900, 450), crews=(both,), dumps=(TIP,), water_points=(TAP,))
    found = kinds(solved(given))
    assert found.count(K) == 3 and found.count(D) == found.count(W) == 1
    assert found.index(W) == found.index(D) + 1


def test_nothing_that_has_room_goes_out_of_its_way():
    given = problem(*loads(600, 0), crews=(crew(machine=machine(hopper_l=2000)),), dumps=(TIP,))
    assert kinds(solved(given)) == [K, K, K]


@pytest.mark.parametrize(
    ("tip", "latest_on"),
    [
        (DumpPlace(place="tip", minutes=20, hours=week([2], time(7), time(15))), MONDAY),
        (DumpPlace(place="tip", minutes=20, closed_on=frozenset({MONDAY})), MONDAY),
        (DumpPlace(place="tip", minutes=20, hours=week(range(5), time(5), time(6))), MONDAY),
    ],
)
def test_where_the_dump_is_closed_one_load_is_all(tip, latest_on):
    full = crew(machine=machine(hopper_l=1000))
    plan = solved(problem(*loads(900, 0, latest_on), crews=(full,), dumps=(tip,)))
    assert kinds(plan) == [K]
    assert {left.breach.rule for left in plan.left_out} == {Rule.NO_ROOM}


def test_the_dump_is_reached_while_it_is_open():
    """Open 12:00 to 12:30 only: one load before, one after."""
    noon = DumpPlace(place="tip", minutes=20, hours=week(range(5), time(12), time(12, 30)))
    full = crew(machine=machine(hopper_l=1000))
    plan = solved(problem(*loads(900, 0)[:2], crews=(full,), dumps=(noon,)))
    assert kinds(plan) == [K, D, K]


def test_the_fill_that_follows_a_dump_finds_its_point_open():
    tap = WaterPoint(place="tap", minutes=15, hours=week(range(5), time(11), time(11, 40)))
    both = crew(machine=machine(water_l=500, hopper_l=1000), breaks=REST)
    given = problem(*loads(900, 450)[:2], crews=(both,), dumps=(TIP,), water_points=(tap,))
    assert kinds(solved(given)) == [K, D, W, K]


def test_water_is_taken_on_the_days_of_the_permit():
    tap = WaterPoint(place="tap", minutes=15, permit=DaySpan(TUESDAY, TUESDAY))
    tank = crew(machine=machine(water_l=500))
    plan = solved(problem(*loads(0, 500, TUESDAY), crews=(tank,), water_points=(tap,)))
    assert plan.left_out == ()
    assert all(W not in {s.kind for s in day.stops} for day in plan.days if day.on == MONDAY)


def test_a_wet_load_goes_where_it_may():
    wet = crew(machine=machine(hopper_l=1000, keeps_wash_water=True))
    yard = DumpPlace(place="tap", minutes=20, takes_wash_water=True)
    given = problem(*loads(900, 0)[:2], crews=(wet,), dumps=(TIP, yard))
    (day,) = solved(given).days
    assert [stop.ref for stop in day.stops if stop.kind is D] == ["tap"]


def test_a_load_over_the_hopper_is_refused_by_name():
    full = crew(machine=machine(hopper_l=1000))
    plan = solved(problem(order(debris_l=1001), crews=(full,), dumps=(TIP,)))
    (left,) = plan.left_out
    assert left.breach.rule is Rule.HOPPER and "1001 L" in left.breach.words


def test_a_dump_run_on_site_is_planned_into_the_hours_of_the_dump():
    yard = DumpPlace(
        place="tip", minutes=30, hours=week(range(5), time(9), time(10)), takes_wash_water=True
    )
    run = order(dump="tip", dump_minutes=30, needs=Needs(wash_water=True))
    plan = solved(problem(run, dumps=(yard,)))
    assert kinds(plan) == [K]
    long = order(dump="tip", dump_minutes=30, service_minutes=200)
    (left,) = solved(problem(long, dumps=(yard,))).left_out
    assert left.breach.rule is Rule.DUMP_HOURS


def test_the_nearest_due_plan_keeps_the_same_rules():
    both = crew(machine=machine(water_l=500, hopper_l=1000), breaks=REST)
    given = problem(*loads(900, 450), crews=(both,), dumps=(TIP,), water_points=(TAP,))
    plan = greedy_round(given)
    assert [f.rule for f in breaches_of(given, plan) if f.rule is not Rule.ACCOUNTED_FOR] == []
    assert sum(len(day.order_refs) for day in plan.days) >= 2
    assert plan.days[0].returns_at - plan.days[0].leaves_at <= timedelta(hours=8)
