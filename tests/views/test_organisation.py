"""Who belongs to an organisation, and how that ends."""

import pytest
from django.urls import reverse

from registry import access
from registry.models import JournalLine, Membership
from tests.factories import InvitationFactory, MembershipFactory, SeatFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def inviter():
    return MembershipFactory(may_invite=True)


@pytest.fixture
def member(inviter):
    return MembershipFactory(organisation=inviter.organisation)


def end(client, by, membership):
    client.force_login(by.person)
    return client.post(reverse("membership_end", args=[membership.pk]), follow=True)


def test_page_lists_members_and_open_invitations(client, inviter, member):
    row = InvitationFactory(organisation=inviter.organisation, invited_by=inviter.person)
    client.force_login(inviter.person)
    page = client.get(reverse("organisation_page", args=[inviter.organisation_id]))
    for text in (member.person.email, inviter.person.email, row.email):
        assert text in page.content.decode()


def test_open_invitations_are_hidden_from_plain_members(client, inviter, member):
    row = InvitationFactory(organisation=inviter.organisation)
    client.force_login(member.person)
    page = client.get(reverse("organisation_page", args=[inviter.organisation_id]))
    assert row.email not in page.content.decode()


def test_ended_member_sees_nothing_any_more_at_once(client, inviter, member):
    seat = SeatFactory(organisation=inviter.organisation)
    assert access.visible_pavements(member.person).count() == 1
    end(client, inviter, member)
    assert access.visible_pavements(member.person).count() == 0
    assert access.visible_pavements(inviter.person).get() == seat.pavement


def test_ended_members_invitations_are_withdrawn(client, inviter, member):
    other = MembershipFactory(organisation=inviter.organisation, may_invite=True)
    row = InvitationFactory(organisation=inviter.organisation, invited_by=other.person)
    end(client, inviter, other)
    row.refresh_from_db()
    assert row.withdrawn_at is not None


def test_plain_member_may_leave_but_not_end_another(client, inviter, member):
    assert end(client, member, inviter).status_code == 403
    end(client, member, member)
    member.refresh_from_db()
    assert member.to_at is not None


def test_inviter_of_another_organisation_finds_nothing(client, member):
    stranger = MembershipFactory(may_invite=True)
    assert end(client, stranger, member).status_code == 404


def test_last_who_may_invite_stays_while_others_are_there(client, inviter, member):
    page = end(client, inviter, inviter)
    assert "Invite somebody with that right first" in page.content.decode()
    assert Membership.objects.get(pk=inviter.pk).to_at is None


def test_very_last_person_may_go(client, inviter):
    end(client, inviter, inviter)
    assert Membership.objects.get(pk=inviter.pk).to_at is not None


def test_person_may_come_back(client, inviter, member):
    end(client, inviter, member)
    MembershipFactory(person=member.person, organisation=inviter.organisation)
    assert access.organisations_of(member.person).count() == 1


def correct(client, by, **values):
    client.force_login(by.person)
    given = {"time_zone": "America/New_York", "system": "si", "email": "", "address": ""}
    path = reverse("organisation_correct", args=[by.organisation_id])
    return client.post(path, given | values, follow=True)


def test_local_time_and_units_are_put_right_with_a_line_by_who_may_invite(client, inviter):
    page = correct(client, inviter, address="3 Mill Lane").content.decode()
    assert "America/New_York" in page
    inviter.organisation.refresh_from_db()
    row = inviter.organisation
    assert (row.time_zone, row.system, row.address) == ("America/New_York", "si", "3 Mill Lane")
    line = JournalLine.objects.about(row).get()
    assert line.changes["system"] == ["inch_pound", "si"]
    correct(client, inviter, address="3 Mill Lane")
    assert JournalLine.objects.about(row).count() == 1  # the same again is no change


def test_wrong_facts_are_refused_with_what_was_typed_and_others_may_not(client, inviter, member):
    page = correct(client, inviter, time_zone="", email="no address", address="3 Mill Lane")
    text = page.content.decode()
    assert "Choose the place whose clocks go as yours" in text
    assert "3 Mill Lane" in text
    assert correct(client, member).status_code == 403
    inviter.organisation.refresh_from_db()
    assert inviter.organisation.system == "inch_pound"
