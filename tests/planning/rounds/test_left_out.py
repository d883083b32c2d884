"""Each order left out is listed with the rule that kept it out, and where it came closest."""

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from registry.planning.rounds.crew import DumpPlace
from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan, week
from registry.planning.rounds.order import Limits, Needs
from registry.planning.rounds.problem import DayWeather
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rules import Rule
from tests.planning.rounds.small import (
    AS_OF,
    MONDAY,
    TUESDAY,
    WASH,
    crew,
    machine,
    order,
    problem,
)

OPTIONS = SolveOptions(seed=1, most_iterations=20)
TIP = DumpPlace(place="tip", minutes=20, hours=week(range(5), time(16), time(18)))
BIG = machine(
    axle_kg=6000, height_m=3.2, width_m=2.5, turning_m=12, hose_m=30, hopper_l=2000, water_l=800
)
WET = {MONDAY + timedelta(days=n): DayWeather(wet=True, lowest_c=1) for n in range(20)}


@pytest.mark.parametrize(
    ("rule", "changes"),
    [
        (Rule.METHOD, {"method": WASH}),
        (Rule.AXLE, {"limits": Limits(axle_kg=1361)}),
        (Rule.HEIGHT, {"limits": Limits(height_m=2.1)}),
        (Rule.WIDTH, {"limits": Limits(width_m=2)}),
        (Rule.TURNING, {"limits": Limits(turning_m=9)}),
        (Rule.HOSE, {"needs": Needs(hose_m=50)}),
        (Rule.LICENCE, {"needs": Needs(licence="heavy")}),
        (Rule.PEOPLE, {"needs": Needs(people=3)}),
        (Rule.DECANT, {"needs": Needs(wash_water=True)}),
        (Rule.HOPPER, {"debris_l": 2001}),
        (Rule.WATER, {"water_l": 801}),
        (Rule.DAYS, {"earliest_on": MONDAY + timedelta(30), "latest_on": MONDAY + timedelta(40)}),
        (Rule.PINNED, {"pinned_on": MONDAY + timedelta(days=4, weeks=1)}),
        (
            Rule.WORKING_DAY,
            {"pinned_on": MONDAY + timedelta(days=5), "latest_on": MONDAY + timedelta(14)},
        ),
        (Rule.SEASON, {"season": (DaySpan(date(2026, 3, 1), date(2026, 5, 31)),)}),
        (Rule.DRY_SURFACE, {"needs": Needs(dry=True)}),
        (Rule.TEMPERATURE, {"needs": Needs(lowest_c=4)}),
        (Rule.AFTER_TEST, {"needs": Needs(after_test_within_days=14)}),
        (Rule.WINDOW, {"windows": (WeekSpan(0, ClockSpan(time(7), time(7, 59))),)}),
        (Rule.WINDOW, {"closed_on": frozenset({MONDAY, TUESDAY})}),
        (Rule.NOISE, {"noise": ClockSpan(time(8), time(8, 30))}),
        (Rule.NOTICE, {"notice_hours": 72}),
        (Rule.DUMP_HOURS, {"dump": "tip", "dump_minutes": 20}),
        (Rule.SHIFT, {"service_minutes": 461}),
    ],
)
def test_the_rule_that_kept_it_out_is_named(rule: Rule, changes: dict):
    given = problem(
        order(**changes), crews=(crew(machine=BIG),), dumps=(TIP,), weather=WET, as_of=AS_OF, days=7
    )
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert left.order == "A"
    assert left.breach.rule is rule
    assert left.breach.words.endswith(".")
    # Not for the order as it was before the change.
    assert solve_round(replace(given, orders=(order(),)), OPTIONS).plan.left_out == ()


@pytest.mark.parametrize(
    ("rule", "changes"),
    [
        (Rule.HOLIDAY, {"holidays": frozenset({MONDAY, TUESDAY})}),
        (Rule.WORKING_DAY, {"shifts": week([3], time(7), time(15))}),
        (Rule.WORK_HOURS, {"most_work_minutes": 70}),
        (Rule.SHIFT, {"breaks": (ClockSpan(time(8), time(14, 50)),)}),
    ],
)
def test_a_crew_that_cannot_is_named(rule: Rule, changes: dict):
    (left,) = solve_round(problem(order(), crews=(crew(**changes),)), OPTIONS).plan.left_out
    assert (left.breach.rule, left.crew) == (rule, "north")


def test_days_called_off_are_named():
    off = frozenset({(None, MONDAY), ("north", TUESDAY)})
    (left,) = solve_round(problem(order(), called_off=off), OPTIONS).plan.left_out
    assert left.breach.rule is Rule.CALLED_OFF


def test_of_several_crews_the_one_that_came_closest_is_named():
    """The first has no machine for it; the second lacks only the time."""
    no_machine, short = crew("first", machine=machine(methods=frozenset({WASH}))), crew("second")
    given = problem(order(service_minutes=470), crews=(no_machine, short))
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert (left.breach.rule, left.crew, left.on) == (Rule.SHIFT, "second", MONDAY)


def test_of_several_days_the_one_that_came_closest_is_named():
    """460 minutes fit into neither day; Tuesday is the longer one."""
    longer = crew(special={TUESDAY: ClockSpan(time(7), time(15, 5))})
    given = problem(order(service_minutes=470), crews=(longer,))
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert (left.breach.rule, left.on) == (Rule.SHIFT, TUESDAY)


def test_no_room_says_by_how_much():
    """Monday holds 300 + 10 + 10; another 200 with 20 minutes more of driving is 60 over 480."""
    placed = order(service_minutes=300, latest_on=MONDAY, prize=5000)
    waits = order("B", "b", service_minutes=200, latest_on=MONDAY, prize=50)
    (left,) = solve_round(problem(placed, waits), OPTIONS).plan.left_out
    assert (left.order, left.breach.rule) == ("B", Rule.NO_ROOM)
    assert "60 minutes over" in left.breach.words
    assert (left.crew, left.on) == ("north", MONDAY)


def test_room_is_made_by_moving_another():
    """A may be done on both days, B on Monday only: wherever a search begins, both are placed."""
    a = order("A", service_minutes=400, prize=320)
    b = order("B", "b", service_minutes=400, latest_on=MONDAY, prize=300)
    plan = solve_round(problem(a, b), SolveOptions(seed=1, most_iterations=0)).plan
    assert {ref: day.on for ref, day in plan.day_of_order.items()} == {"A": TUESDAY, "B": MONDAY}


def test_rule_is_that_of_a_crew_with_the_machine():
    """Two crews cannot do the method at all; the one that can is too heavy: so the axle load."""
    others = (
        crew("b", machine=machine(methods=frozenset({WASH}))),
        crew("c", machine=machine(methods=frozenset({WASH}))),
    )
    heavy = crew("a", machine=machine(axle_kg=6000))
    given = problem(order(limits=Limits(axle_kg=3000)), crews=(*others, heavy))
    left = solve_round(given, SolveOptions(seed=1, most_iterations=10)).plan.left_out
    assert [(one.breach.rule, one.crew) for one in left] == [(Rule.AXLE, "a")]
