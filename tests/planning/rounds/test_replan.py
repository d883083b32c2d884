"""A plan changed by a person or the weather: what stays, what moves, which rule would break."""

from dataclasses import replace
from datetime import time, timedelta

import pytest

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.hours import ClockSpan, week
from registry.planning.rounds.problem import DayWeather
from registry.planning.rounds.replan import call_off, lock, move, pin, unlock
from registry.planning.rounds.solve import SolveOptions, solve_round
from registry.planning.rules import Rule
from tests.planning.rounds.instances import invented_round
from tests.planning.rounds.small import (
    MONDAY,
    TUESDAY,
    at,
    crew,
    crew_day,
    order,
    plan,
    problem,
    stop,
)

OPTIONS = SolveOptions(seed=1, most_iterations=100)
WEDNESDAY = TUESDAY + timedelta(days=1)
DAY = crew_day("07:00", stop("A", "07:10", "08:10"), stop("B", "08:20", "09:20"), returns="09:40")
PLAN = plan(DAY)
ON_TUESDAY = stop("C", "07:30", "08:30", on=TUESDAY)


def two(**changes):
    return problem(order(), order("B", "b"), **changes)


def test_an_order_dragged_to_another_day_is_laid_out_there():
    moved = move(two(), PLAN, "A", on=TUESDAY, to="north")
    assert moved.breaches == ()
    assert {ref: day.on for ref, day in moved.plan.day_of_order.items()} == {
        "A": TUESDAY,
        "B": MONDAY,
    }
    assert breaches_of(two(), moved.plan) == []


def test_it_goes_where_it_costs_the_least_driving():
    three = problem(order(), order("B", "b"), order("C", "c"))
    tuesday = crew_day("07:00", ON_TUESDAY, returns="09:00", on=TUESDAY)
    moved = move(three, plan(DAY, tuesday), "A", on=TUESDAY, to="north")
    assert moved.plan is not None
    assert moved.plan.day_of_order["A"].order_refs == ("A", "C")


def test_crew_that_has_left_keeps_its_day_where_another_is_called_off():
    other = replace(DAY, crew="south", stops=(stop("C", "07:10", "08:10"),), returns_at=at("08:30"))
    crews = (crew(), crew("south"))
    given = problem(order(), order("B", "b"), order("C", "c"), crews=crews)
    called = {"on": MONDAY, "crew": "north"}
    assert call_off(given, plan(DAY, other), **called).locked == ()
    underway = replace(given, not_before=at("08:00"))
    assert call_off(underway, plan(DAY, other), **called).locked == (other,)


NO_TUESDAY, SHORT_TUESDAY = week([0], time(7), time(15)), ClockSpan(time(7), time(8))


@pytest.mark.parametrize(
    ("rule", "changes", "on"),
    [
        (Rule.DAYS, {}, WEDNESDAY),
        (Rule.CALLED_OFF, {"called_off": frozenset({(None, TUESDAY)})}, TUESDAY),
        (Rule.HOLIDAY, {"crews": (crew(holidays=frozenset({TUESDAY})),)}, TUESDAY),
        (Rule.WORKING_DAY, {"crews": (crew(shifts=NO_TUESDAY),)}, TUESDAY),
        (Rule.SHIFT, {"crews": (crew(special={TUESDAY: SHORT_TUESDAY}),)}, TUESDAY),
    ],
)
def test_a_move_that_breaks_a_rule_names_it_and_changes_nothing(rule, changes, on):
    moved = move(two(**changes), PLAN, "A", on=on, to="north")
    assert moved.plan is None
    assert [breach.rule for breach in moved.breaches] == [rule]


def test_a_pinned_order_is_not_dragged_away():
    pinned = pin(two(), "A", on=MONDAY)
    moved = move(pinned, PLAN, "A", on=TUESDAY, to="north")
    assert [breach.rule for breach in moved.breaches] == [Rule.PINNED]
    free = pin(pinned, "A")
    assert move(free, PLAN, "A", on=TUESDAY, to="north").breaches == ()


def test_nothing_leaves_or_enters_a_locked_day():
    locked = lock(two(), PLAN, MONDAY)
    leaves = move(locked, PLAN, "A", on=TUESDAY, to="north")
    assert [breach.rule for breach in leaves.breaches] == [Rule.LOCKED]
    three = problem(order(), order("B", "b"), order("C", "c"))
    tuesday = crew_day("07:00", ON_TUESDAY, returns="09:00", on=TUESDAY)
    both = plan(DAY, tuesday)
    moved = move(lock(three, both, TUESDAY), both, "A", on=TUESDAY, to="north")
    assert [b.rule for b in moved.breaches] == [Rule.LOCKED]


def test_an_order_left_out_can_be_dragged_in():
    waiting = plan(crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20"))
    moved = move(two(), waiting, "B", on=MONDAY, to="north")
    assert moved.breaches == () and set(moved.plan.day_of_order) == {"A", "B"}


def test_a_locked_day_can_be_set_free_again():
    given = lock(two(), PLAN, MONDAY)
    assert given.locked == (DAY,)
    assert unlock(given, MONDAY, "south").locked == (DAY,)
    assert unlock(given, MONDAY).locked == ()
    with pytest.raises(RoundError, match="nothing on 2026-09-15"):
        lock(two(), PLAN, TUESDAY)


@pytest.mark.parametrize("wrong", [{"ref": "Z", "to": "north"}, {"ref": "A", "to": "nobody"}])
def test_strangers_are_refused(wrong):
    with pytest.raises(RoundError):
        move(two(), PLAN, wrong["ref"], on=TUESDAY, to=wrong["to"])


def test_a_day_called_off_goes_to_the_days_after_and_what_was_done_stays():
    off = call_off(two(), PLAN, MONDAY, done=("A",))
    after = solve_round(off, OPTIONS).plan
    assert breaches_of(off, after) == []
    assert after.day_of_order["A"].on == MONDAY
    assert after.day_of_order["B"].on == TUESDAY
    assert after.left_out == ()


def test_nothing_done_and_nowhere_to_go_is_said():
    short = problem(order(latest_on=MONDAY), order("B", "b"))
    off = call_off(short, PLAN, MONDAY)
    after = solve_round(off, OPTIONS).plan
    assert [left.order for left in after.left_out] == ["A"]
    assert after.left_out[0].breach.rule is Rule.CALLED_OFF


def test_days_before_stay_and_days_after_are_planned_anew():
    given = invented_round(40, 20, 2, seed=3)
    first = solve_round(given, OPTIONS).plan
    on = first.days[len(first.days) // 2].on
    wet = {on + timedelta(days=n): DayWeather(wet=True) for n in range(1)}
    off = call_off(replace(given, weather=wet), first, on)
    after = solve_round(off, OPTIONS, begin=first).plan
    assert breaches_of(off, after) == []
    assert [d for d in after.days if d.on < on] == [d for d in first.days if d.on < on]
    assert [d for d in after.days if d.on == on] == []
    missing = {left.order for left in after.left_out}
    assert set(after.day_of_order) | missing == {o.ref for o in given.orders}


def test_one_crew_is_called_off_and_the_other_goes_out():
    given = problem(order(latest_on=MONDAY), crews=(crew("north"), crew("south")))
    first = plan(crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20"))
    off = call_off(given, first, MONDAY, crew="north")
    assert solve_round(off, OPTIONS).plan.day_of_order["A"].crew == "south"


def test_what_cannot_be_called_off_is_refused():
    with pytest.raises(RoundError, match="locked"):
        call_off(lock(two(), PLAN, MONDAY), PLAN, MONDAY)
    with pytest.raises(RoundError, match="after the last day"):
        call_off(two(), PLAN, MONDAY + timedelta(days=30))
    with pytest.raises(RoundError, match="not planned on it: Z"):
        call_off(two(), PLAN, MONDAY, done=("A", "Z"))


def test_solving_again_goes_around_pins_and_locks():
    given = invented_round(40, 20, 2, seed=3)
    first = solve_round(given, OPTIONS).plan
    day = first.days[0]
    other = first.days[-1].order_refs[0]
    crews = {crew.ref for crew in given.crews if crew.ref != first.days[-1].crew}
    held = lock(given, first, day.on, day.crew)
    held = pin(held, other, to="crew 1") if "crew 1" in crews else pin(held, other, to="crew 2")
    again = solve_round(held, OPTIONS, begin=first).plan
    assert breaches_of(held, again) == []
    assert day in again.days
