"""Giving a seat: who may give which, and never the same twice at a time."""

from datetime import UTC, date, datetime

import pytest

from registry.actions.grant_seat import CannotGrant, Term, appoint_newcomer, grant_seat
from registry.models import Invitation, JournalLine, Organisation, Seat
from registry.models.choices import Role
from tests.factories import (
    MembershipFactory,
    OrganisationFactory,
    PavementFactory,
    PersonFactory,
    SeatFactory,
)

pytestmark = pytest.mark.django_db
FROM = datetime(2024, 3, 1, 5, tzinfo=UTC)
APPOINTED = (Role.TESTER, Role.SWEEPER, Role.CONTRACTOR, Role.EVALUATOR, Role.BUYER)


def give(giver: Seat, role: str, **options):
    return grant_seat(
        pavement=giver.pavement,
        organisation=options.pop("organisation", None) or OrganisationFactory(),
        term=Term(role=role, from_at=FROM, **options),
        by=PersonFactory(),
        appointed_by=giver.organisation,
    )


@pytest.mark.parametrize("role", [*APPOINTED, Role.MANAGER])
def test_owner_appoints(role):
    assert give(SeatFactory(role=Role.OWNER), role).role == role


@pytest.mark.parametrize("role", APPOINTED)
def test_manager_appoints(role):
    assert give(SeatFactory(role=Role.MANAGER), role).role == role


@pytest.mark.parametrize(
    ("giver", "role"),
    [
        (Role.OWNER, Role.OWNER),
        (Role.OWNER, Role.MUNICIPALITY),
        (Role.MANAGER, Role.OWNER),
        (Role.MANAGER, Role.MANAGER),
        (Role.MANAGER, Role.MUNICIPALITY),
        (Role.CONTRACTOR, Role.TESTER),
        (Role.TESTER, Role.TESTER),
        (Role.BUYER, Role.MANAGER),
        (Role.MUNICIPALITY, Role.TESTER),
    ],
)
def test_nobody_gives_what_is_not_theirs(giver, role):
    with pytest.raises(CannotGrant, match="may not appoint"):
        give(SeatFactory(role=giver), role)


def test_owner_of_another_pavement_gives_nothing_here():
    other, here = SeatFactory(role=Role.OWNER), SeatFactory(role=Role.OWNER)
    with pytest.raises(CannotGrant):
        grant_seat(
            pavement=here.pavement,
            organisation=OrganisationFactory(),
            term=Term(role=Role.TESTER, from_at=FROM),
            by=None,
            appointed_by=other.organisation,
        )


def test_former_owner_gives_nothing():
    seat = SeatFactory(role=Role.OWNER, to_at=FROM)
    with pytest.raises(CannotGrant):
        give(seat, Role.TESTER)


def test_seat_by_deed_needs_no_giver_and_is_in_the_journal():
    seat = grant_seat(
        pavement=PavementFactory(),
        organisation=OrganisationFactory(),
        term=Term(role=Role.OWNER, from_at=FROM, source_document="deed 12/2024"),
        by=None,
    )
    line = JournalLine.objects.about(seat).get()
    assert (line.verb, line.why) == ("seat given", "deed 12/2024")


def test_same_seat_is_not_held_twice_at_a_time():
    owner, tester = SeatFactory(role=Role.OWNER), OrganisationFactory()
    give(owner, Role.TESTER, organisation=tester)
    with pytest.raises(CannotGrant, match="already"):
        give(owner, Role.TESTER, organisation=tester)
    with pytest.raises(CannotGrant, match="already"):
        give(owner, Role.TESTER, organisation=tester, to_at=datetime(2025, 1, 1, tzinfo=UTC))


def test_seat_may_be_given_again_after_its_end():
    owner, tester = SeatFactory(role=Role.OWNER), OrganisationFactory()
    SeatFactory(pavement=owner.pavement, organisation=tester, role=Role.TESTER, to_at=FROM)
    assert give(owner, Role.TESTER, organisation=tester).is_open


def test_end_before_begin_is_refused():
    with pytest.raises(CannotGrant):
        give(SeatFactory(), Role.TESTER, to_at=datetime(2023, 1, 1, tzinfo=UTC))


def test_only_a_contractor_has_a_warranty():
    owner, last = SeatFactory(), date(2030, 1, 1)
    assert give(owner, Role.CONTRACTOR, warranty_last_on=last).warranty_last_on == last
    assert give(owner, Role.TESTER, warranty_last_on=last).warranty_last_on is None


def newcomer(owner: Seat, name: str):
    return appoint_newcomer(
        pavement=owner.pavement,
        name=name,
        email="first@example.org",
        term=Term(role=Role.SWEEPER, from_at=FROM),
        by=MembershipFactory(organisation=owner.organisation).person,
        appointed_by=owner.organisation,
    )


def test_newcomer_gets_a_seat_and_its_first_person_an_invitation():
    seat, issued = newcomer(SeatFactory(), "Sweepers & Sons")
    assert seat.organisation.name == "Sweepers & Sons"
    assert issued.invitation.may_invite
    assert issued.invitation.organisation == seat.organisation


def test_newcomer_under_a_name_known_here_is_refused_whole():
    owner = SeatFactory()
    OrganisationFactory(name="Sweepers & Sons")
    with pytest.raises(CannotGrant, match="is here already"):
        newcomer(owner, "SWEEPERS & sons")
    assert Organisation.objects.filter(name__iexact="sweepers & sons").count() == 1
    assert not Invitation.objects.exists()
