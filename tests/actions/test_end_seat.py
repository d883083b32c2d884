"""Ending a seat: not the owner's, not a contractor's who wrote here while its warranty runs."""

from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from registry.actions.end_seat import CannotEndSeat, end_seat
from registry.models import JournalLine
from registry.models.choices import Role
from tests.factories import InfiltrationTestFactory, OrganisationFactory, SeatFactory

pytestmark = pytest.mark.django_db


def end(seat, organisation=None):
    return end_seat(seat=seat, why="work done", by=None, organisation=organisation)


def test_ended_seat_keeps_its_line():
    seat = end(SeatFactory(role=Role.TESTER))
    assert seat.to_at <= timezone.now()
    assert JournalLine.objects.about(seat).get().why == "work done"


def test_seat_ends_once():
    seat = end(SeatFactory(role=Role.TESTER))
    first = seat.to_at
    with pytest.raises(CannotEndSeat, match="has an end already"):
        end(seat)
    seat.refresh_from_db()
    assert seat.to_at == first


def test_reason_is_asked():
    with pytest.raises(CannotEndSeat, match="Say why"):
        end_seat(seat=SeatFactory(role=Role.TESTER), why="  ", by=None, organisation=None)


def test_owners_seat_ends_by_a_sale_alone():
    with pytest.raises(CannotEndSeat, match="by a sale"):
        end(SeatFactory(role=Role.OWNER))


def test_seat_that_has_not_begun_never_will():
    begins = datetime(2999, 1, 1, tzinfo=UTC)
    seat = end(SeatFactory(role=Role.TESTER, from_at=begins))
    assert seat.to_at == begins
    assert not seat.is_held_at(begins)


def contractor(days: int, *, wrote: bool):
    last = (timezone.now() + timedelta(days=days)).date()
    seat = SeatFactory(role=Role.CONTRACTOR, warranty_last_on=last)
    if wrote:
        InfiltrationTestFactory(pavement=seat.pavement, entered_for=seat.organisation)
    return seat


def test_contractor_who_wrote_here_stays_while_its_warranty_runs():
    seat = contractor(30, wrote=True)
    with pytest.raises(CannotEndSeat, match="its seat stays"):
        end(seat, OrganisationFactory())
    seat.refresh_from_db()
    assert seat.is_open


def test_contractor_may_give_its_seat_up_in_its_warranty():
    seat = contractor(30, wrote=True)
    assert not end(seat, seat.organisation).is_open


def test_contractor_named_by_mistake_can_be_taken_out():
    assert not end(contractor(30, wrote=False), OrganisationFactory()).is_open


def test_contractor_may_be_ended_after_its_warranty():
    assert not end(contractor(-3, wrote=True), OrganisationFactory()).is_open
