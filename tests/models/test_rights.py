"""What seats add up to: open ones write, a former holder's end is known, a split leaves reading."""

from datetime import UTC, datetime, timedelta

import pytest

from registry.models.choices import Role
from registry.models.rights import rights_of
from tests.factories import SeatFactory

pytestmark = pytest.mark.django_db
AT = datetime(2024, 6, 1, 2, tzinfo=UTC)
"""22:00 of the day before at the site."""
ENDED = AT - timedelta(days=30)


def rights(role, **fields):
    seat = SeatFactory(role=role, **fields)
    return rights_of([seat], seat.pavement, AT)


def test_today_is_the_day_at_the_site():
    assert rights(Role.OWNER).today.isoformat() == "2024-05-31"


@pytest.mark.parametrize(
    ("role", "viewpoint"),
    [(Role.OWNER, "holder"), (Role.BUYER, "holder"), (Role.MUNICIPALITY, "town"),
     (Role.TESTER, None), (Role.SWEEPER, None)],
)  # fmt: skip
def test_viewpoint_follows_what_a_seat_reads(role, viewpoint):
    assert rights(role).viewpoint == viewpoint
    assert rights(role, to_at=ENDED).viewpoint is None


def test_former_keeper_keeps_a_copy_up_to_the_end_of_its_seat_and_a_tester_none():
    assert rights(Role.OWNER, to_at=ENDED).past_until == ENDED
    assert rights(Role.TESTER, to_at=ENDED).past_until is None
    assert rights(Role.OWNER).past_until is None


def test_seat_that_ended_writes_nothing():
    assert rights(Role.OWNER).may("edit")
    assert not rights(Role.OWNER, to_at=ENDED).may("edit")


def test_split_pavement_is_read_and_printed_alone():
    found = rights(Role.OWNER, pavement__state="split")
    assert [found.may(what) for what in ("read", "print", "edit")] == [True, True, False]
    assert found.appoints == frozenset()


@pytest.mark.parametrize(("days", "writes"), [(0, True), (1, True), (-1, False)])
def test_contractor_records_acceptance_to_the_last_day_of_its_warranty(days, writes):
    last = AT.date() - timedelta(days=1) + timedelta(days=days)
    assert rights(Role.CONTRACTOR, warranty_last_on=last).may("record_acceptance") == writes


def test_seats_by_deed_or_permit_are_ended_by_nobody_here():
    for role in (Role.OWNER, Role.MUNICIPALITY):
        found = rights(role)
        assert found.ending(found.seats[0]) is None
    tester = rights(Role.TESTER)
    assert tester.ending(tester.seats[0]) == tester.seats[0].organisation
