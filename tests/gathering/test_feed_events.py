"""Events of feeds: one UID for ever, a SEQUENCE that rises, nothing told that is not for all."""

from dataclasses import asdict
from datetime import UTC, date, datetime
from itertools import pairwise

import pytest
from django.utils import timezone

from registry.actions.call_off_work_order import call_off_work_order
from registry.actions.correct_entry import correct_entry
from registry.actions.void_work_order import void_work_order
from registry.gathering.calendar import Span
from registry.gathering.feed_events import feed_events
from registry.models import Cleaning, Crew, Due, Pavement, WorkOrder
from registry.models.entry import Change
from tests.actions.orders import BY_NOBODY, DAY, asked, lot, moved
from tests.factories import (
    CrewFactory,
    CrewHolidayFactory,
    RoundDayFactory,
    RoundStopFactory,
    VisitFactory,
)

pytestmark = pytest.mark.django_db
YEAR = Span(date(2024, 1, 1), date(2024, 12, 31), date(2024, 5, 25), "America/New_York")
AT = datetime(2024, 5, 20, 11, 30, tzinfo=UTC)


def events():
    return feed_events(
        YEAR, orders=WorkOrder.objects.all(), kept=Pavement.objects.all(), crews=Crew.objects.all()
    )


def only():
    (event,) = events()
    return event


@pytest.fixture
def order():
    pavement, _ = lot()
    crew = CrewFactory()
    row = moved(asked(pavement, crew.organisation), "approved")
    return moved(row, "dated", crew=crew)


def test_every_change_raises_sequence_and_last_modified_and_keeps_the_uid(order):
    seen = [only()]

    def told():
        seen.append(only())

    moved(order, "dated", on=date(2024, 5, 28), crew=order.crew)
    told()
    correct_entry(order, changes={"passes": Change(2, "2")}, why="two", **BY_NOBODY)
    told()
    RoundStopFactory(
        order=order,
        day=RoundDayFactory(
            crew=order.crew, on=order.dated_for, is_in_force=True, taken_over_at=timezone.now()
        ),
    )
    told()
    event = Cleaning(state="called_off", done_on=DAY, why_not="rain", method=order.method)
    call_off_work_order(order, event=event, **BY_NOBODY)
    told()
    assert {e.uid for e in seen} == {seen[0].uid}
    for before, after in pairwise(seen):
        assert after.sequence > before.sequence
        assert after.changed_at >= before.changed_at
    assert [e.is_cancelled for e in seen] == [False, False, False, False, True]


def test_void_order_stays_as_cancelled(order):
    void_work_order(order, why="never meant", **BY_NOBODY)
    assert only().is_cancelled
    assert "void" in only().description


def test_dated_again_after_it_was_called_off_is_the_same_event_confirmed(order):
    uid = only().uid
    event = Cleaning(state="turned_away", done_on=DAY, why_not="cars", method=order.method)
    call_off_work_order(order, event=event, **BY_NOBODY)
    order.refresh_from_db()
    moved(order, "dated", on=date(2024, 6, 3), crew=order.crew)
    assert (only().uid, only().is_cancelled) == (uid, False)
    assert only().item.first_on == date(2024, 6, 3)


@pytest.mark.parametrize("state", ["asked_for", "approved"])
def test_order_taken_back_before_its_day_is_no_event(order, state):
    moved(order, state, is_back=True, why="too early")
    assert events() == []


def test_no_price_no_name_of_a_person_and_no_gate_code_is_told(order):
    secret = "Xyzzyname"
    site = order.pavement.site
    for name in ("gate", "entrance", "tow_rule"):
        setattr(site, name, secret)
    site.save()
    for name in ("because", "contact", "asked_by", "approved_by", "note", "invoice", "latest_why"):
        setattr(order, name, secret)
    order.price_agreed = "98765.43"
    order.save()
    firm = order.crew.organisation
    CrewHolidayFactory(organisation=firm, because=f"{secret} is ill", first_on=DAY, last_on=DAY)
    VisitFactory(state="done", walked_by=secret, next_due_on=DAY)
    told = [str({k: v for k, v in asdict(e).items() if k != "item"}) for e in events()]
    places = [e.item.place for e in events()]
    assert len(told) == 3
    assert secret not in "".join(told + places)
    assert "98765" not in "".join(told)


def test_latest_day_that_moves_is_the_same_event():
    due = Due.objects.create(
        pavement=lot()[0], as_of_on=DAY, worked_out_at=AT, latest_on=DAY, latest_by="fit",
        no_gain="no fit", no_method="none yet",
    )  # fmt: skip
    before = only()
    due.latest_on, due.worked_out_at = date(2024, 6, 1), AT.replace(day=21)
    due.save(update_fields=["latest_on", "worked_out_at"])
    assert only().uid == before.uid
    assert only().sequence > before.sequence
    assert not only().takes_time


def test_two_rows_never_share_a_uid(order):
    CrewHolidayFactory(organisation=order.crew.organisation, first_on=DAY, last_on=DAY)
    VisitFactory(state="done", next_due_on=DAY)
    moved(asked(order.pavement, order.organisation), "approved", "dated")
    found = [event.uid for event in events()]
    assert len(found) == len(set(found)) == 4
