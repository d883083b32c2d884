"""The solver on rounds that can be worked out by hand or by trying everything; and its manners."""

from dataclasses import replace
from datetime import date, time, timedelta
from itertools import combinations, permutations

import numpy as np
import pytest

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.hours import ClockSpan, WeekSpan, week
from registry.planning.rounds.objective import objective_of
from registry.planning.rounds.order import Needs
from registry.planning.rounds.plan import Plan
from registry.planning.rounds.problem import DayWeather, Problem
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rounds.travel import Travel
from registry.planning.rules import Rule
from tests.planning.rounds.instances import invented_round
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

OPTIONS = SolveOptions(seed=1, most_iterations=300)


def solved(given: Problem, options: SolveOptions = OPTIONS) -> Plan:
    """Return the plan, which the check has found to break no rule."""
    plan = solve_round(given, options).plan
    assert breaches_of(given, plan) == []
    return plan


def test_one_order_is_done_as_anybody_would():
    plan = solved(problem(order()))
    assert plan.days == (
        crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20"),
    ) or plan.days[0].order_refs == ("A",)
    assert objective_of(problem(order()), plan).total == 20


# By trying everything: each set of orders in each sequence on each of two days, one crew.
DAYS = (MONDAY, TUESDAY)


def cost_of(given: Problem, sequence, on: date) -> int | None:
    """Minutes of driving of one day driven in a sequence, begun at 07:00; None if it cannot be."""
    minutes, place, driven = 7 * 60, "yard", 0
    for o in sequence:
        drive = given.travel.between(place, o.place)
        minutes, driven, place = minutes + drive, driven + drive, o.place
        spans = [
            (h.span.begins.hour * 60, h.span.ends.hour * 60)
            for h in o.windows
            if h.weekday == on.weekday()
        ] or [(0, 24 * 60)]
        begins = [max(minutes, a) for a, b in spans if max(minutes, a) + o.service_minutes <= b]
        if not begins or not o.earliest_on <= on <= o.latest_on:
            return None
        minutes = min(begins) + o.service_minutes
    back = given.travel.between(place, "yard")
    return driven + back if minutes + back <= 15 * 60 else None


def best_by_trying_everything(given: Problem) -> int:
    """The least sum of driving and of prizes left, over all plans there are."""
    orders = given.orders
    best = {}
    for on in DAYS:
        for size in range(len(orders) + 1):
            for some in combinations(orders, size):
                costs = [c for p in permutations(some) if (c := cost_of(given, p, on)) is not None]
                if costs:
                    best[on, frozenset(o.ref for o in some)] = min(costs)
    prizes = {o.ref: o.prize for o in orders}
    return min(
        first + second + sum(prize for ref, prize in prizes.items() if ref not in (one | two))
        for (day, one), first in best.items()
        for (other, two), second in best.items()
        if day == MONDAY and other == TUESDAY and not one & two
    )


@pytest.mark.parametrize("seed", range(12))
def test_the_optimum_is_found_against_trying_everything(seed: int):
    given = little_town(seed)
    plan = solved(given)
    assert objective_of(given, plan).total == best_by_trying_everything(given)


def little_town(seed: int) -> Problem:
    """Six orders, two days, one crew; times there and back differ; not all can be done."""
    rng = np.random.default_rng(seed)
    places = ("yard", *(f"p{n}" for n in range(6)))
    xy = rng.uniform(0, 60, (7, 2))
    minutes = np.ceil(np.hypot(*(xy[:, None] - xy[None]).T) + rng.uniform(0, 5, (7, 7)))
    np.fill_diagonal(minutes, 0)
    orders = []
    for n in range(6):
        opens = int(rng.integers(7, 12))
        hours = week(range(5), time(opens), time(opens + 3)) if rng.uniform() < 0.5 else ()
        last = TUESDAY if rng.uniform() < 0.7 else MONDAY
        orders.append(
            order(
                f"O{n}",
                f"p{n}",
                service_minutes=int(rng.integers(60, 170)),
                windows=hours,
                latest_on=last,
                prize=int(rng.integers(30, 400)),
            )
        )
    return problem(*orders, travel=Travel(places, minutes.astype(np.int64)))


def test_the_same_seed_and_iterations_give_the_same_plan():
    given = invented_round(40, 20, 2, seed=3)
    options = SolveOptions(seed=7, most_iterations=150)
    first, again = solve_round(given, options), solve_round(given, options)
    assert first.plan == again.plan
    assert first.iterations == again.iterations == 150
    other = solve_round(given, replace(options, seed=8))
    assert other.plan != first.plan


def test_a_plan_of_many_days_and_crews_keeps_every_rule():
    given = invented_round(120, 30, 3, seed=5)
    plan = solved(given, SolveOptions(seed=1, most_iterations=200))
    assert objective_of(given, plan).placed > 100
    placed_by = {ref: day.crew for day in plan.days for ref in day.order_refs}
    washes = {o.ref for o in given.orders if o.method == WASH}
    assert {placed_by[ref] for ref in washes & set(placed_by)} <= {"crew 1", "crew 3"}


def test_a_site_with_hours_on_single_days_is_done_in_them():
    hours = (
        WeekSpan(0, ClockSpan(time(9), time(9, 30))),
        WeekSpan(1, ClockSpan(time(13), time(14))),
        WeekSpan(3, ClockSpan(time(8), time(12))),
    )
    plan = solved(problem(order(windows=hours, latest_on=MONDAY + timedelta(days=4))))
    done = plan.days[0].stops[0]
    tuesday = at("13:00", TUESDAY), at("14:00", TUESDAY)
    thursday = MONDAY + timedelta(days=3)
    assert (done.begins_at, done.ends_at) == tuesday or plan.days[0].on == thursday


def test_a_break_in_the_middle_of_the_work_is_rested():
    rested = crew(breaks=(ClockSpan(time(9), time(9, 30)),))
    plan = solved(problem(order(service_minutes=420), crews=(rested,)))
    (day,) = plan.days
    assert day.stops[0].ends_at - day.stops[0].begins_at == timedelta(minutes=450)
    nothing = solved(problem(order(service_minutes=431), crews=(rested,)))
    assert nothing.left_out[0].breach.rule is Rule.SHIFT


def test_of_two_that_exclude_each_other_the_greater_risk_goes_first():
    both = (
        order("A", service_minutes=400, latest_on=MONDAY, prize=200),
        order("B", "b", service_minutes=400, latest_on=MONDAY, prize=300),
    )
    plan = solved(problem(*both))
    assert plan.days[0].order_refs == ("B",)
    (left,) = plan.left_out
    assert (left.order, left.breach.rule, left.on) == ("A", Rule.NO_ROOM, MONDAY)
    assert "lower risk" in left.breach.words


@pytest.mark.parametrize(
    ("clock", "placed"),
    [("06:00", {"A": MONDAY}), ("13:40", {"A": MONDAY}), ("13:41", {"A": TUESDAY})],
)
def test_a_round_asked_for_within_its_first_day_begins_at_the_present_hour(clock, placed):
    """The shift ends 15:00: 10 minutes there, an hour of work, 10 back are 80 minutes."""
    given = problem(order(), not_before=at(clock))
    found = solved(given)
    assert {ref: day.on for ref, day in found.day_of_order.items()} == placed
    assert breaches_of(given, found) == []


@pytest.mark.parametrize(
    ("ends", "begins"),
    [(None, at("07:10")), (time(9), at("09:00")), (time(14, 1), None)],
)
def test_dry_work_begins_24_h_after_rain(ends, begins):
    """Rain on Sunday; on Monday alone an hour of work can begin by 13:50."""
    weather = {MONDAY - timedelta(days=1): DayWeather(wet=True, rain_ends=ends)}
    given = problem(order(needs=Needs(dry=True), latest_on=MONDAY), weather=weather)
    found = solved(given)
    assert breaches_of(given, found) == []
    placed = [stop.begins_at for day in found.days for stop in day.stops]
    assert placed == ([begins] if begins else [])
    assert [left.breach.rule for left in found.left_out] == ([] if begins else [Rule.DRY_SURFACE])


def test_what_is_over_for_today_says_so():
    given = problem(order(latest_on=MONDAY), not_before=at("15:00"))
    (left,) = solved(given).left_out
    assert left.breach.rule is Rule.PAST
    late = problem(order(latest_on=MONDAY), not_before=at("14:00"))
    (left,) = solved(late).left_out
    assert "what lies after 14:00" in left.breach.words


def test_an_order_worth_less_than_its_drive_waits():
    plan = solved(problem(order(prize=19)))
    assert plan.days[0].order_refs == ("A",)  # filled up: a crew that is paid may as well go
    assert plan.left_out == ()


def test_an_overdue_order_is_done_in_the_next_days_and_before_others():
    late = order("A", service_minutes=400, latest_on=MONDAY - timedelta(days=3), prize=160,
                 earliest_on=MONDAY - timedelta(days=30))  # fmt: skip
    due = order("B", "b", service_minutes=400, latest_on=MONDAY, prize=300)
    plan = solved(problem(late, due, overdue_days=1))
    assert plan.days[0].order_refs == ("A",)
    plan = solved(problem(late, due, overdue_days=2))
    assert plan.left_out == ()


def test_an_order_whose_window_began_before_the_round_is_placed():
    early = order(earliest_on=MONDAY - timedelta(days=40), latest_on=TUESDAY)
    assert solved(problem(early)).days[0].on in DAYS


def test_pins_hold_even_where_they_cost_more():
    crews = crew("north"), crew("south")
    pinned = order(pinned_on=TUESDAY, pinned_to="south")
    plan = solved(problem(pinned, order("B", "b"), order("C", "c"), crews=crews))
    day = plan.day_of_order["A"]
    assert (day.crew, day.on) == ("south", TUESDAY)


def test_a_pinned_order_goes_before_greater_risk():
    poor = order("A", service_minutes=400, prize=1, latest_on=MONDAY, pinned_on=MONDAY)
    rich = order("B", "b", service_minutes=400, prize=900, latest_on=MONDAY)
    assert solved(problem(poor, rich)).days[0].order_refs == ("A",)


def test_a_locked_day_stays_and_the_rest_is_planned_around_it():
    locked = crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20")
    given = problem(order(), order("B", "b"), locked=(locked,))
    plan = solved(given)
    assert locked in plan.days
    assert plan.day_of_order["B"].on == TUESDAY


def test_notice_is_waited_for():
    told = order(notice_hours=24, latest_on=MONDAY, notice_at=at("10:00", MONDAY - timedelta(1)))
    (day,) = solved(problem(told)).days
    assert day.stops[0].begins_at >= at("10:00")


def test_several_sizes_of_crew_each_do_what_they_can():
    big = crew("big", machine=machine(methods=frozenset({WASH}), axle_kg=9000))
    light = crew("light", machine=machine(axle_kg=900), people=1)
    given = problem(
        order("A", method=WASH),
        order("B", "b", limits=order().limits),
        order("C", "c", needs=Needs(people=2)),
        crews=(big, light),
    )
    plan = solved(given)
    assert {ref: day.crew for ref, day in plan.day_of_order.items()} == {"A": "big", "B": "light"}
    assert plan.left_out[0].breach.rule in (Rule.METHOD, Rule.PEOPLE)


def test_minutes_on_site_may_differ_by_crew():
    slow, quick = crew("slow"), crew("quick")
    work = order(service_minutes=600, service_by_crew={"quick": 300})
    plan = solved(problem(work, crews=(slow, quick)))
    assert plan.days[0].crew == "quick"


@pytest.mark.parametrize("most", [0, 5])
def test_a_person_can_stop_it_and_keeps_the_best_so_far(most: int):
    told = []

    def stop_after(progress):
        told.append(progress)
        return len(told) > most

    given = invented_round(30, 20, 1, seed=2)
    options = SolveOptions(seed=1, most_iterations=100_000, on_progress=stop_after)
    found = solve_round(given, options)
    assert found.stopped_by == "person"
    assert found.iterations == told[-1].iterations == 100 * most
    assert breaches_of(given, found.plan) == []
    assert found.plan.days
    assert told[-1].best_cost is None or told[-1].best_cost > 0


def test_seconds_are_read_from_the_clock_that_is_given():
    ticks = iter(range(1000))
    told = []
    options = SolveOptions(
        seed=1,
        most_seconds=30,
        clock=lambda: float(next(ticks)),
        on_progress=lambda p: told.append(p),
    )
    found = solve_round(invented_round(10, 10, 1, seed=1), options)
    assert found.stopped_by == "seconds"
    assert 10 < found.iterations < 31
    assert all(progress.seconds <= 30 for progress in told)


def test_the_best_cost_told_is_that_of_the_plan():
    told = []
    given = invented_round(20, 20, 1, seed=4)
    options = SolveOptions(seed=1, most_iterations=1000, on_progress=lambda p: told.append(p))
    plan = solve_round(given, options).plan
    assert told[-1].best_cost >= objective_of(given, plan).total
    tell_all = replace(options, most_iterations=900)
    assert solve_round(given, tell_all).plan
    assert told[-1].best_cost == objective_of(given, solve_round(given, tell_all).plan).total


def test_it_can_begin_from_the_plan_in_force():
    given = invented_round(30, 20, 1, seed=2)
    first = solve_round(given, SolveOptions(seed=1, most_iterations=400)).plan
    again = solve_round(given, SolveOptions(seed=2, most_iterations=1), begin=first).plan
    assert objective_of(given, again).total <= objective_of(given, first).total


def test_nothing_to_do_is_no_fault():
    found = solve_round(problem(), OPTIONS)
    assert (found.plan, found.stopped_by) == (Plan(()), "nothing to do")
    nobody = solve_round(problem(order(), crews=()), OPTIONS)
    assert nobody.plan.left_out[0].breach.words == "There is no crew."


@pytest.mark.parametrize(
    "wrong",
    [
        {"seed": 1},
        {"seed": -1, "most_iterations": 5},
        {"seed": 1, "most_iterations": -5},
        {"seed": 1, "most_seconds": 5},
    ],
)
def test_options_that_cannot_be_are_refused(wrong: dict):
    with pytest.raises(RoundError):
        SolveOptions(**wrong)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"days": 0}, "1 to 366"),
        ({"as_of": AS_OF.replace(tzinfo=None)}, "time zone"),
        ({"not_before": AS_OF.replace(tzinfo=None)}, "time zone"),
        ({"crews": (crew(), crew())}, "twice as crew: north"),
        ({"crews": (crew(depot="moon"),)}, "“moon”"),
        ({"locked": (crew_day("07:00", returns="08:00", who="nobody"),)}, "no crew"),
        (
            {"locked": (crew_day("07:00", stop("Z", "07:10", "08:00"), returns="08:10"),)},
            "order Z",
        ),
    ],
)
def test_a_problem_that_contradicts_itself_is_refused(wrong: dict, said: str):
    with pytest.raises(RoundError, match=said):
        problem(order(), **wrong)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"place": "moon"}, "“moon”"),
        ({"pinned_to": "nobody"}, "pinned to “nobody”"),
        ({"dump": "hill"}, "dump at “hill”"),
        ({"service_minutes": 0}, "at least a minute"),
        ({"prize": -1}, "no less than 0"),
        ({"latest_on": MONDAY - timedelta(days=1)}, "before the earliest"),
        ({"notice_at": AS_OF.replace(tzinfo=None)}, "time zone"),
    ],
)
def test_an_order_that_contradicts_itself_is_refused(wrong: dict, said: str):
    with pytest.raises(RoundError, match=said):
        problem(order(**wrong))
