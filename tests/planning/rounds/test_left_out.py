"""Each order left out is listed with the rule that kept it out, and where it came closest."""

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.crew import DumpPlace, WaterPoint
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
    at,
    crew,
    crew_day,
    machine,
    order,
    problem,
    stop,
)

OPTIONS = SolveOptions(seed=1, most_iterations=20)
TIP = DumpPlace(place="tip", minutes=20, hours=week(range(5), time(16), time(18)))
BIG = machine(
    axle_kg=6000, height_m=3.2, width_m=2.5, turning_m=12, hose_m=30, hopper_l=2000, water_l=800
)
DAY = timedelta(days=1)
WASHER = machine(methods=frozenset({WASH}))
SPRING = DaySpan(date(2026, 3, 1), date(2026, 5, 31))
CLOSED = frozenset({MONDAY, TUESDAY})
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


@pytest.mark.parametrize(
    ("first", "beside", "changes"),
    [
        (Rule.AXLE, Rule.HEIGHT, {"limits": Limits(axle_kg=1361, height_m=2.1)}),
        (Rule.AXLE, Rule.WINDOW, {"limits": Limits(axle_kg=1361), "closed_on": CLOSED}),
        (Rule.METHOD, Rule.SEASON, {"method": WASH, "season": (SPRING,)}),
        (Rule.SEASON, Rule.DRY_SURFACE, {"season": (SPRING,), "needs": Needs(dry=True)}),
        (Rule.DRY_SURFACE, Rule.WINDOW, {"needs": Needs(dry=True), "closed_on": CLOSED}),
        (Rule.NOTICE, Rule.WINDOW, {"notice_hours": 72, "closed_on": CLOSED}),
        (Rule.WINDOW, Rule.SHIFT, {"closed_on": CLOSED, "service_minutes": 461}),
    ],
)
def test_where_two_rules_keep_it_out_both_are_named(first: Rule, beside: Rule, changes: dict):
    """Lifting one alone does not help; the words say so, and name each rule once."""
    given = problem(order(**changes), crews=(crew(machine=BIG),), weather=WET, as_of=AS_OF, days=7)
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert left.breach.rule is first
    assert left.breach.words.count(f"Besides, {beside.value}: ") == 1
    assert f"Besides, {first.value}" not in left.breach.words


def test_one_rule_alone_names_no_other():
    given = problem(order(limits=Limits(axle_kg=1361)), crews=(crew(machine=BIG),))
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert "Besides" not in left.breach.words


def test_pin_to_another_crew_is_named():
    given = problem(order(pinned_to="wash"), crews=(crew(), crew("wash", machine=WASHER)))
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert (left.breach.rule, left.crew) == (Rule.METHOD, "wash")
    free = problem(order(pinned_to="north"), crews=(crew(), crew("wash", machine=WASHER)))
    assert solve_round(free, OPTIONS).plan.left_out == ()


def test_pin_to_a_day_that_is_not_its_own_says_which_days_are():
    """It is the day pinned to that is looked at, however many others there are."""
    (left,) = solve_round(problem(order(pinned_on=TUESDAY + DAY)), OPTIONS).plan.left_out
    assert (left.breach.rule, left.on) == (Rule.DAYS, TUESDAY + DAY)
    holiday = crew(holidays=frozenset({TUESDAY}))
    given = problem(order(pinned_on=TUESDAY), crews=(holiday,))
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert (left.breach.rule, left.on) == (Rule.HOLIDAY, TUESDAY)


def test_day_that_is_locked_is_named():
    """The crew's two days are locked with another order; the one left has no other day."""
    days = tuple(
        crew_day("07:00", stop("B", "07:20", "08:20", on=on), returns="08:40", on=on)
        for on in (MONDAY,)
    )
    one_day = order(latest_on=MONDAY)
    given = problem(one_day, order("B", "b"), locked=days)
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert (left.order, left.breach.rule) == ("A", Rule.LOCKED)


def test_hours_gone_by_are_named():
    given = problem(order(latest_on=MONDAY), not_before=at("14:00"))
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert left.breach.rule is Rule.SHIFT
    assert "of which is left what lies after 14:00" in left.breach.words
    over = problem(order(latest_on=MONDAY), not_before=at("15:00"))
    (left,) = solve_round(over, OPTIONS).plan.left_out
    assert left.breach.rule is Rule.PAST


@pytest.mark.parametrize(
    ("rule", "changes"),
    [
        (Rule.WATER_PERMIT, {"permit": DaySpan(TUESDAY + DAY, TUESDAY + 9 * DAY)}),
        (Rule.WATER_HOURS, {"hours": week(range(5), time(9), time(9, 45))}),
        (Rule.WATER_HOURS, {"closed_on": frozenset({MONDAY, TUESDAY})}),
    ],
)
def test_rule_of_the_water_point_is_named(rule: Rule, changes: dict):
    """An hour on site, with water of the point; it is open for less, or by no permit."""
    tap = WaterPoint(place="tap", minutes=15)
    given = problem(order(water="tap"), water_points=(replace(tap, **changes),))
    (left,) = solve_round(given, OPTIONS).plan.left_out
    assert left.breach.rule is rule
    assert solve_round(replace(given, water_points=(tap,)), OPTIONS).plan.left_out == ()


def test_water_point_that_opens_late_is_waited_for():
    tap = WaterPoint(place="tap", minutes=15, hours=week(range(5), time(11), time(12)))
    given = problem(order(water="tap"), water_points=(tap,))
    plan = solve_round(given, OPTIONS).plan
    assert plan.days[0].stops[0].begins_at == at("11:00", plan.days[0].on)
    assert breaches_of(given, plan) == []


@pytest.mark.parametrize("frost_on", [MONDAY, TUESDAY])
def test_frost_within_24_h_is_named(frost_on):
    weather = {frost_on: DayWeather(lowest_c=0.0)}
    wash = order(latest_on=MONDAY, needs=Needs(no_frost=True))
    (left,) = solve_round(problem(wash, weather=weather), OPTIONS).plan.left_out
    assert left.breach.rule is Rule.TEMPERATURE
    assert f"{frost_on} goes down to 0 °C" in left.breach.words
    mild = {frost_on: DayWeather(lowest_c=0.1)}
    assert solve_round(problem(wash, weather=mild), OPTIONS).plan.left_out == ()


def test_hours_of_the_site_are_told():
    """A window that is too short on the day, and one on a day on which the crew does not work."""
    short = order(windows=(WeekSpan(0, ClockSpan(time(7), time(7, 59))),), latest_on=MONDAY)
    (left,) = solve_round(problem(short), OPTIONS).plan.left_out
    assert left.breach.words == (
        "60 min on site do not fit into the hours of the site within the shift of 2026-09-14: "
        "07:00-07:59."
    )
    sunday = order(windows=(WeekSpan(6, ClockSpan(time(6), time(9))),), latest_on=MONDAY)
    (left,) = solve_round(problem(sunday), OPTIONS).plan.left_out
    assert left.breach.words == (
        "The hours of the site leave nothing of the shift of Monday 2026-09-14: "
        "open Sun 06:00-09:00."
    )
