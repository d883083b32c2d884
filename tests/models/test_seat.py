"""A seat is held from an instant up to another, and once at a time by an organisation."""

import pytest

from registry.models import Seat
from tests.factories import LONG_AGO, SeatFactory, SectionFactory
from tests.models.refusals import AT, refused

pytestmark = pytest.mark.django_db


def test_seat_does_not_end_before_it_begins():
    refused("seat_ends_after_it_begins", SeatFactory, from_at=AT, to_at=LONG_AGO)


def test_same_seat_is_open_once():
    row = SeatFactory()
    same = {"pavement": row.pavement, "organisation": row.organisation}
    refused("seat_open_once", SeatFactory, **same)
    SeatFactory(**same, role="tester")
    SeatFactory(**same, to_at=AT)


def test_same_seat_at_a_section_is_open_once():
    section = SectionFactory()
    row = SeatFactory(pavement=section.pavement, section=section, role="contractor")
    same = {"pavement": row.pavement, "organisation": row.organisation, "role": row.role}
    refused("seat_at_a_section_open_once", SeatFactory, section=section, **same)
    SeatFactory(section=SectionFactory(pavement=row.pavement), **same)
    SeatFactory(**same)


def test_seat_is_held_from_its_first_instant_up_to_its_end():
    row = SeatFactory(from_at=LONG_AGO, to_at=AT)
    assert Seat.objects.held_at(LONG_AGO).get() == row and row.is_held_at(LONG_AGO)
    assert not Seat.objects.held_at(AT).exists() and not row.is_held_at(AT)
    assert Seat.objects.begun_by(AT).get() == row


def test_seat_that_ended_in_the_moment_it_began_never_was():
    SeatFactory(from_at=AT, to_at=AT)
    assert not Seat.objects.begun_by(AT).exists()
