"""Days are taken over in one go, checked against the record as it is; the order book follows."""

from datetime import UTC, date, datetime, timedelta

import pytest

from registry.actions.call_off_round_day import call_off_round_day
from registry.actions.change_round import move_order
from registry.actions.take_over_round import CannotTakeOver, take_over_round
from registry.actions.work_on_round import work_on_round
from registry.gathering.round_week import first_day_to_take
from registry.models import JournalLine, RoundDay, WorkOrder
from tests.actions.test_change_round import SATURDAY, TUESDAY, get, solved
from tests.factories import (
    CrewHolidayFactory,
    RoundFactory,
    RoundStopFactory,
    SeasonDayFactory,
    SeasonFactory,
)
from tests.gathering.rounds import AT, MONDAY, SUNDAY, crew, keeper, order

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
PAST, PAST_AT = date(2024, 9, 16), datetime(2024, 9, 16, 11, tzinfo=UTC)


@pytest.fixture
def town():
    org = keeper()
    crew(org)
    for n in range(2):
        order(org, n=n, site={"notice_h": 72.0})
    return org


def take(row, first_on=MONDAY, last_on=SUNDAY):
    return take_over_round(row, first_on=first_on, last_on=last_on, by=None)


def test_orders_are_dated_and_the_days_are_in_force(town):
    row = solved(town)
    taken = take(row)
    assert (taken.days, taken.orders, taken.still_dated) == (1, 2, ())
    for stop in RoundDay.objects.in_force().get().stops.all():
        order_of = stop.order
        assert (order_of.state, order_of.dated_for, order_of.starts_at) == (
            "dated", MONDAY, stop.begins_at,
        )  # fmt: skip
        assert order_of.crew.name == "crew A"
        assert order_of.moves.get().signed_by == "the command line"
    assert JournalLine.objects.filter(subject_kind="round", verb="taken over").count() == 1


def test_days_of_a_later_round_take_the_place_of_those_before(town):
    first = solved(town)
    take(first)
    order(town, n=5)
    second = solved(town)
    take(second)
    assert RoundDay.objects.in_force().get().round == second
    assert get("W-5").state == "dated"
    assert get("W-0").moves.count() in (1, 2)  # moved again only where its hour changed


def test_days_kept_before_one_called_off_are_taken_over_with_the_rest(town):
    row = solved(town)
    row = move_order(row, get("W-1"), on=TUESDAY, crew=row.crew_days.first().crew, by=None)
    new = call_off_round_day(row, on=TUESDAY, crew=None, why="rain", by=None)
    assert work_on_round(new.pk) == "done"
    assert (new.first_on, first_day_to_take(new, at=AT)) == (TUESDAY, MONDAY)
    assert first_day_to_take(new, at=AT + 4 * DAY) == TUESDAY
    assert take(new).orders == 2
    assert [day.on for day in RoundDay.objects.in_force().order_by("on")] == [MONDAY, TUESDAY + DAY]
    assert (get("W-0").dated_for, get("W-1").dated_for) == (MONDAY, TUESDAY + DAY)
    assert take(new, last_on=MONDAY).days == 1
    assert RoundDay.objects.in_force().count() == 2  # once of a crew and day, however often


def test_season_day_dated_since_breaks_the_rule_of_the_season(town):
    row = solved(town)
    SeasonFactory(
        organisation=town, methods_not=["vacuum"], from_month=9, from_day=1, to_month=9, to_day=2,
        ends_at=["last_frost"],
    )  # fmt: skip
    SeasonDayFactory(organisation=town, fact="last_frost", on=MONDAY + DAY)
    with pytest.raises(CannotTakeOver, match="in the season of the method"):
        take(row)


def test_day_that_would_be_over_by_now_is_not_taken_over(town, monkeypatch):
    row = solved(town)
    evening = row.crew_days.get().returns_at + timedelta(minutes=1)
    monkeypatch.setattr("registry.actions.take_over_round.timezone.now", lambda: evening)
    with pytest.raises(CannotTakeOver, match="would be over"):
        take(row)


def test_order_that_is_dated_but_on_no_day_any_more_is_told(town):
    take(solved(town))
    WorkOrder.objects.filter(number="W-1").update(latest_on=date(2031, 9, 1))
    WorkOrder.objects.filter(number="W-1").update(state="dated", is_pinned=False)
    order_1 = get("W-1")
    order_1.pavement.site.heaviest_axle_kg = 100.0
    order_1.pavement.site.save(update_fields=["heaviest_axle_kg"])
    taken = take(solved(town))
    assert [row.number for row in taken.still_dated] == ["W-1"]


def test_rule_that_holds_now_is_named_and_nothing_is_taken_over(town):
    row = solved(town)
    CrewHolidayFactory(organisation=town, first_on=MONDAY, last_on=MONDAY)
    with pytest.raises(CannotTakeOver, match="no work on a holiday"):
        take(row)
    assert not RoundDay.objects.in_force().exists()
    assert set(WorkOrder.objects.values_list("state", flat=True)) == {"approved"}


def test_locked_day_is_held_against_the_rules_too(town):
    row = solved(town)
    row.crew_days.update(is_locked=True)
    CrewHolidayFactory(organisation=town, first_on=MONDAY, last_on=MONDAY)
    with pytest.raises(CannotTakeOver, match="no work on a holiday"):
        take(row)


def test_order_done_meanwhile_drops_out_and_one_void_stops_it(town):
    row = solved(town)
    WorkOrder.objects.filter(number="W-0").update(state="done")
    assert take(row).orders == 1
    assert get("W-0").state == "done"
    row = solved(town)
    WorkOrder.objects.filter(number="W-1").update(void_at="2031-09-01T00:00Z", void_why="double")
    with pytest.raises(CannotTakeOver, match="is void"):
        take(row)


def test_order_that_can_no_longer_be_planned_stops_it(town):
    row = solved(town)
    WorkOrder.objects.filter(number="W-1").update(passes=None)
    with pytest.raises(CannotTakeOver, match="no passes are written"):
        take(row)


def test_crew_that_lost_its_machine_stops_it(town):
    row = solved(town)
    town.crews.update(machine=None)
    with pytest.raises(CannotTakeOver, match="no machine is chosen"):
        take(row)


def test_some_days_can_be_taken_over_alone(town):
    order(town, n=3, earliest_on=TUESDAY)
    WorkOrder.objects.filter(number__in=("W-0", "W-1")).update(latest_on=MONDAY)
    row = solved(town)
    assert take(row, TUESDAY, TUESDAY).orders == 1
    assert [day.on for day in RoundDay.objects.in_force()] == [TUESDAY]
    assert get("W-0").state == "approved"
    with pytest.raises(CannotTakeOver, match="no work from"):
        take(row, SATURDAY, SATURDAY)


def test_days_that_are_past_are_not_taken_over(town):
    row = RoundFactory(organisation=town, state="done", objective={"total": 0})
    stop = RoundStopFactory(
        day__round=row,
        day__crew=town.crews.get(),
        day__on=PAST,
        day__leaves_at=PAST_AT,
        order=get("W-0"),
    )
    with pytest.raises(CannotTakeOver, match="before today"):
        take(row, PAST, PAST)
    assert not stop.day.is_in_force
