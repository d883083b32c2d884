"""What stands on the days of a calendar, from rows."""

from datetime import UTC, date, datetime, time

import pytest

from registry.actions.call_off_work_order import call_off_work_order
from registry.agenda import by_day, on_day
from registry.gathering.calendar import Cut, Span, calendar_items
from registry.models import Cleaning, Crew, Due, Pavement, RoundCallOff, WorkOrder
from tests.actions.orders import BY_NOBODY, DAY, asked, lot, moved
from tests.factories import (
    CrewFactory,
    CrewHolidayFactory,
    ExtraShiftFactory,
    RoundDayFactory,
    RoundStopFactory,
    VisitFactory,
    WorkOrderFactory,
)

pytestmark = pytest.mark.django_db
MAY = Span(date(2024, 5, 1), date(2024, 5, 31), date(2024, 5, 25), "America/New_York")
AT = datetime(2024, 5, 20, 11, 30, tzinfo=UTC)


def items(span=MAY):
    found = calendar_items(
        span,
        orders=WorkOrder.objects.all(),
        kept=Pavement.objects.all(),
        crews=Crew.objects.all(),
    )
    return {item.kind: item for item in found}


def dated(**fields):
    return WorkOrderFactory(state="dated", dated_for=DAY, **fields)


def in_force(order, on=DAY, **fields):
    day = RoundDayFactory(
        crew=order.crew, on=on, is_in_force=True, taken_over_at=AT,
        leaves_at=AT, returns_at=AT.replace(hour=20),
    )  # fmt: skip
    times = {"arrives_at": AT, "begins_at": AT, "ends_at": AT.replace(hour=13)}
    return RoundStopFactory(day=day, order=order, **{**times, **fields})


def test_dated_order_stands_on_its_day_at_the_times_of_the_round_in_force():
    order = dated(crew=CrewFactory())
    in_force(order)
    item = items()["order"]
    assert (item.first_on, item.clock, item.state) == (DAY, "07:30-09:30", "dated")
    assert item.page == ("work_order_page", order.pk)
    assert item.is_past_due


def test_times_of_another_day_or_crew_are_not_those_of_the_order():
    order = dated(crew=CrewFactory(), starts_at=AT.replace(hour=12))
    in_force(order, on=date(2024, 5, 21))
    RoundStopFactory(order=order, day__is_in_force=False, day__on=DAY, day__crew=order.crew)
    assert items()["order"].clock == "08:30"


def test_order_without_a_day_stands_on_its_latest():
    WorkOrderFactory(state="approved", latest_on=date(2024, 5, 20), latest_why="before frost")
    found = items()
    assert set(found) == {"latest"}
    assert (found["latest"].words, found["latest"].is_past_due) == ("before frost", True)


@pytest.mark.parametrize("state", ["asked_for", "approved", "dropped"])
def test_order_that_is_not_dated_stands_on_no_day(state):
    WorkOrderFactory(state=state, dated_for=DAY)
    assert items() == {}


def test_void_order_stands_on_no_day():
    dated(void_at=AT, void_why="never meant")
    assert items() == {}


def test_day_called_off_is_told_with_the_crew_of_then_though_the_order_has_another_day_since():
    pavement, _ = lot()
    then, now = CrewFactory(), CrewFactory()
    order = moved(asked(pavement, then.organisation), "approved")
    moved(order, "dated", crew=then)
    event = Cleaning(state="called_off", done_on=DAY, why_not="rain", method=order.method)
    call_off_work_order(order, event=event, **BY_NOBODY)
    assert set(items()) == {"called_off"}
    order.refresh_from_db()
    moved(order, "dated", on=date(2024, 5, 28), crew=CrewFactory(organisation=then.organisation))
    found = items()
    assert now.pk not in {item.crew_id for item in found.values()}
    assert (found["called_off"].crew, found["called_off"].words) == (str(then), "rain")
    assert (found["called_off"].first_on, found["order"].first_on) == (DAY, date(2024, 5, 28))


def test_called_off_that_never_was_is_not_told():
    pavement, _ = lot()
    order = moved(asked(pavement), "approved", "dated")
    event = Cleaning(state="called_off", done_on=DAY, why_not="rain", method=order.method)
    call_off_work_order(order, event=event, **BY_NOBODY)
    Cleaning.objects.update(void_at=AT, void_why="another lot")
    assert items() == {}


def test_next_inspection_is_that_of_the_last_visit():
    visit = VisitFactory(state="done", done_on=date(2023, 5, 1), next_due_on=DAY)
    assert items()["visit"].page == ("pavement_page", visit.pavement_id)
    VisitFactory(pavement=visit.pavement, state="done", done_on=date(2023, 9, 1))
    assert items() == {}


def test_latest_day_to_sweep_is_that_of_what_is_due():
    Due.objects.create(
        pavement=lot()[0], as_of_on=DAY, worked_out_at=AT, latest_on=DAY, latest_by="fit",
        latest_why="the chance reaches 10 %", no_gain="no fit", no_method="none yet",
    )  # fmt: skip
    assert items()["sweep_by"].words == "the chance reaches 10 %"


def test_days_of_crews_are_told_by_one_query(django_assert_num_queries):
    crew = CrewFactory()
    firm = crew.organisation
    CrewHolidayFactory(organisation=firm, first_on=date(2024, 4, 29), last_on=date(2024, 5, 2))
    ExtraShiftFactory(crew=crew, on=DAY, from_clock=time(22), to_clock=time(4))
    call_off = RoundCallOff.objects.create(
        round=RoundDayFactory(crew=crew, is_in_force=True, taken_over_at=AT).round,
        on=DAY, crew=crew, why="rain",
    )  # fmt: skip
    RoundCallOff.objects.create(round=RoundDayFactory(crew=crew, on=DAY).round, on=DAY, why="x")
    found = items()
    assert set(found) == {"day_off", "extra_shift", "day_called_off"}
    assert found["day_off"].crew_id is None
    assert found["extra_shift"].clock == "22:00-04:00"
    assert (found["day_called_off"].row_id, found["day_called_off"].words) == (call_off.pk, "rain")
    with django_assert_num_queries(5):
        items()


def test_holiday_stands_on_each_of_its_days():
    crew = CrewFactory()
    CrewHolidayFactory(
        organisation=crew.organisation, first_on=date(2024, 4, 29), last_on=date(2024, 5, 2)
    )
    found = list(items().values())
    assert [len(on_day(found, date(2024, 5, n))) for n in (1, 2, 3)] == [1, 1, 0]


def test_more_rows_ask_no_more_queries(django_assert_num_queries):
    crew = CrewFactory()
    in_force(dated(crew=crew))
    with django_assert_num_queries(6):
        items()
    for _ in range(20):
        dated(crew=crew)
    with django_assert_num_queries(6):
        items()


def test_cut_day_begins_with_what_the_whole_day_begins_with_and_counts_the_rest():
    """Of 9 orders (2 with a clock, 1 timed by its round), 5 latest days and 6 inspections."""
    for hour in (16, 9):
        dated(starts_at=AT.replace(hour=hour))
    in_force(dated(crew=CrewFactory()))
    for _ in range(6):
        dated()
        VisitFactory(state="closed", done_on=date(2023, 5, 20), next_due_on=DAY)
    for _ in range(5):
        WorkOrderFactory(state="approved", latest_on=DAY)
    rows = {
        "orders": WorkOrder.objects.all(),
        "kept": Pavement.objects.all(),
        "crews": Crew.objects.all(),
    }
    whole = by_day(calendar_items(MAY, **rows), [DAY])[DAY]
    assert len(whole) == 20
    cut = Cut(4)
    some = by_day(calendar_items(MAY, **rows, cut=cut), [DAY])[DAY]
    assert [(item.kind, item.row_id) for item in some[:4]] == [
        (item.kind, item.row_id) for item in whole[:4]
    ]
    assert len(some) + cut.left_out[DAY] == len(whole)
    assert len(some) == 8
