"""A person pins, locks, moves and solves again; a broken rule is named and nothing is changed."""

from datetime import timedelta

import pytest

from registry.actions.ask_for_round import ask_for_round
from registry.actions.call_off_round_day import call_off_round_day
from registry.actions.change_round import (
    CannotChangeRound,
    RuleBroken,
    lock_days,
    move_order,
    pin_order,
    solve_again,
)
from registry.actions.stop_round import stop_round
from registry.actions.work_on_round import work_on_round
from registry.models import Round, RoundDay, TravelTable, WorkOrder
from registry.planning.rounds.faults import RoundError
from tests.factories import SeasonFactory, SiteWindowFactory
from tests.gathering.rounds import MONDAY, asked, crew, keeper, order

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
TUESDAY, SATURDAY = MONDAY + DAY, MONDAY + 5 * DAY


@pytest.fixture
def town():
    org = keeper()
    crew(org)
    for n in range(3):
        order(org, n=n)
    return org


def solved(org, **fields) -> Round:
    row = ask_for_round(asked(org, **fields), by=None)
    assert work_on_round(row.pk) == "done"
    row.refresh_from_db()
    return row


def day_of(row: Round, number: str) -> RoundDay:
    return RoundDay.objects.get(round=row, stops__order__number=number)


def get(number: str) -> WorkOrder:
    return WorkOrder.objects.get(number=number)


def test_moved_order_stands_on_its_new_day_in_a_new_round(town):
    row = solved(town)
    who = row.crew_days.first().crew
    assert day_of(row, "W-1").on == MONDAY
    new = move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    assert (new.made_from, new.state, new.because) == (
        row, "done", "W-1 moved to 2031-09-16, crew A",
    )  # fmt: skip
    assert (day_of(new, "W-1").on, day_of(new, "W-0").on) == (TUESDAY, MONDAY)
    assert day_of(row, "W-1").on == MONDAY  # the round before stands as it was
    assert new.objective["crew_days"] == 2
    pin = new.pins.get()
    assert (pin.order.number, pin.on, pin.crew) == ("W-1", TUESDAY, who)
    assert set(WorkOrder.objects.values_list("state", flat=True)) == {"approved"}


def test_rule_that_a_move_breaks_is_named_and_nothing_changes(town):
    row = solved(town)
    who = row.crew_days.first().crew
    with pytest.raises(RuleBroken, match="work on working days of the crew"):
        move_order(row, get("W-1"), on=SATURDAY, crew=who, by=None)
    hours = [[0, "07:00", "15:30"]]
    SiteWindowFactory(site=get("W-1").pavement.site, hours=hours)
    with pytest.raises(RuleBroken, match="inside the hours of the site"):
        move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    assert Round.objects.count() == 1


def test_rule_that_time_alone_broke_does_not_hold_up_a_move(town):
    row = solved(town)
    who = row.crew_days.first().crew
    SiteWindowFactory(site=get("W-0").pavement.site, hours=[[4, "07:00", "15:30"]])
    new = move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    assert day_of(new, "W-1").on == TUESDAY


def test_only_the_newest_round_is_changed(town):
    row = solved(town)
    who = row.crew_days.first().crew
    move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    for change in (
        lambda: move_order(row, get("W-2"), on=TUESDAY, crew=who, by=None),
        lambda: pin_order(row, get("W-2"), on=TUESDAY, crew=None, by=None),
        lambda: lock_days(row, row.crew_days.all(), locked=True, by=None),
        lambda: solve_again(row, by=None),
        lambda: call_off_round_day(row, on=MONDAY, crew=None, why="rain", by=None),
    ):
        with pytest.raises(CannotChangeRound, match="later round"):
            change()


def test_round_is_changed_again_where_the_one_made_from_it_failed(town):
    row = solved(town)
    stop_round(solve_again(row, by=None), by=None)
    assert solve_again(row, by=None).state == "waiting"


def test_round_without_a_plan_is_not_changed(town):
    row = ask_for_round(asked(town), by=None)
    with pytest.raises(CannotChangeRound, match="no plan yet"):
        pin_order(row, get("W-2"), on=TUESDAY, crew=None, by=None)


def test_solved_again_it_keeps_to_pins_and_locked_days(town):
    row = solved(town)
    who = row.crew_days.first().crew
    row = move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    pin_order(row, get("W-2"), on=MONDAY + 3 * DAY, crew=None, by=None)
    monday = RoundDay.objects.get(round=row, on=MONDAY)
    assert lock_days(row, [monday], locked=True, by=None) == 1
    new = solve_again(row, by=None)
    assert (new.state, new.crew_days.get().is_locked) == ("waiting", True)
    assert work_on_round(new.pk) == "done"
    assert day_of(new, "W-1").on == TUESDAY
    # The locked day still holds both it had, whatever the pin says.
    assert {stop.order.number for stop in new.crew_days.get(on=MONDAY).stops.all()} == {
        "W-0", "W-2",
    }  # fmt: skip
    lock_days(new, [new.crew_days.get(on=MONDAY)], locked=False, by=None)
    last = solve_again(new, by=None)
    assert work_on_round(last.pk) == "done"
    assert day_of(last, "W-2").on == MONDAY + 3 * DAY


def test_order_set_free_goes_where_it_likes(town):
    row = solved(town)
    pin_order(row, get("W-2"), on=TUESDAY, crew=None, by=None)
    pin_order(row, get("W-2"), on=None, crew=None, by=None)
    assert not row.pins.exists()


def test_order_done_meanwhile_cannot_be_moved(town):
    row = solved(town)
    who = row.crew_days.first().crew
    WorkOrder.objects.filter(number="W-1").update(state="done")
    with pytest.raises(CannotChangeRound, match="no longer among those"):
        move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)


def test_day_called_off_is_planned_around(town):
    row = solved(town)
    assert {day.on for day in row.crew_days.all()} == {MONDAY}
    new = call_off_round_day(row, on=MONDAY, crew=None, why="rain from 02:00", by=None)
    assert (new.first_on, new.because) == (MONDAY, "2031-09-15 called off: rain from 02:00")
    assert work_on_round(new.pk) == "done"
    assert {day.on for day in new.crew_days.all()} == {TUESDAY}


def test_days_before_the_one_called_off_stay_and_so_does_what_was_done_on_it(town):
    row = solved(town)
    who = row.crew_days.first().crew
    row = move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    row = move_order(row, get("W-2"), on=TUESDAY, crew=who, by=None)
    WorkOrder.objects.filter(number="W-1").update(state="done", dated_for=TUESDAY)
    new = call_off_round_day(row, on=TUESDAY, crew=who, why="rain from noon", by=None)
    assert work_on_round(new.pk) == "done"
    assert day_of(new, "W-0").on == MONDAY
    assert day_of(new, "W-1").on == TUESDAY
    assert day_of(new, "W-2").on == TUESDAY + DAY


def test_day_is_called_off_where_the_season_of_what_stands_before_it_ends(town):
    given = {"organisation": town, "climate": "", "methods_not": ["vacuum"]}
    SeasonFactory(**given, from_month=9, from_day=16, to_month=9, to_day=16)
    row = solved(town)
    SeasonFactory(**given, from_month=9, from_day=17, to_month=9, to_day=30)
    assert {day.on for day in row.crew_days.all()} == {MONDAY}
    new = call_off_round_day(row, on=TUESDAY, crew=None, why="rain", by=None)
    assert work_on_round(new.pk) == "done"
    assert day_of(new, "W-0").on == MONDAY and not new.left_out.exists()


def test_locked_day_is_not_called_off(town):
    row = solved(town)
    lock_days(row, row.crew_days.all(), locked=True, by=None)
    with pytest.raises(RoundError, match="is locked"):
        call_off_round_day(row, on=MONDAY, crew=None, why="rain", by=None)
    assert Round.objects.count() == 1


def test_order_is_moved_a_second_time_and_its_pin_goes_with_it(town):
    row = solved(town)
    who = row.crew_days.first().crew
    once = move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    twice = move_order(once, get("W-1"), on=TUESDAY + DAY, crew=who, by=None)
    assert day_of(twice, "W-1").on == TUESDAY + DAY
    assert twice.pins.get().on == TUESDAY + DAY


def test_rounds_made_from_one_another_share_a_table_of_driving_times(town):
    places = ("yard", "site 0", "site 1", "site 2")
    rows = [[a, b, 7] for a in places for b in places if a != b]
    row = solved(town, travel=TravelTable.of(rows))
    who = row.crew_days.first().crew
    moved = move_order(row, get("W-1"), on=TUESDAY, crew=who, by=None)
    again = solve_again(moved, by=None)
    assert {row.travel, moved.travel, again.travel} == {TravelTable.objects.get()}
    assert TravelTable.objects.get().times == 12
    assert day_of(moved, "W-1").driving_min == 14
