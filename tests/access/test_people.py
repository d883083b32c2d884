"""Who gets at organisations, memberships and invitations before any pavement is asked for."""

from datetime import UTC, datetime

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.test import TestCase

from registry.access import people
from tests.factories import InvitationFactory, MembershipFactory

ENDED = datetime(2020, 1, 1, tzinfo=UTC)


class TestPeople(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.inviter = MembershipFactory(may_invite=True, person__name="B")
        cls.side = cls.inviter.organisation
        cls.colleague = MembershipFactory(organisation=cls.side, person__name="A")
        cls.left = MembershipFactory(organisation=cls.side, may_invite=True, to_at=ENDED)
        cls.stranger = MembershipFactory(may_invite=True)
        cls.invitation = InvitationFactory(organisation=cls.side, token="open")

    def test_members_are_who_works_there_now_by_name(self):
        assert list(people.members_of(self.side)) == [self.colleague, self.inviter]

    def test_organisation_is_found_by_who_works_there_alone(self):
        assert people.get_organisation(self.colleague.person, self.side.pk) == self.side
        for person in (self.left.person, self.stranger.person):
            with pytest.raises(Http404):
                people.get_organisation(person, self.side.pk)

    def test_only_who_may_invite_gets_it_to_invite(self):
        found = people.get_organisation(self.inviter.person, self.side.pk, to="invite")
        assert found == self.side
        with pytest.raises(PermissionDenied):
            people.get_organisation(self.colleague.person, self.side.pk, to="invite")

    def test_own_membership_is_anybodys_to_end_and_anothers_the_inviters(self):
        own = people.get_membership(self.colleague.person, self.colleague.pk)
        assert own == people.get_membership(self.inviter.person, own.pk)
        with pytest.raises(PermissionDenied):
            people.get_membership(self.colleague.person, self.inviter.pk)
        with pytest.raises(Http404):
            people.get_membership(self.stranger.person, own.pk)

    def test_open_invitations_are_shown_to_who_may_invite(self):
        InvitationFactory(organisation=self.side, withdrawn_at=ENDED)
        InvitationFactory()
        shown = people.open_invitations(self.inviter.person, self.side)
        assert list(shown) == [self.invitation]
        assert not people.open_invitations(self.colleague.person, self.side).exists()

    def test_invitation_is_withdrawn_by_who_may_invite_there(self):
        pk = self.invitation.pk
        assert people.get_invitation(self.inviter.person, pk) == self.invitation
        with pytest.raises(PermissionDenied):
            people.get_invitation(self.colleague.person, pk)
        with pytest.raises(Http404):
            people.get_invitation(self.stranger.person, pk)

    def test_link_finds_its_open_invitation_and_no_used_one(self):
        InvitationFactory(token="used", accepted_at=ENDED)
        assert people.find_invitation("open") == self.invitation
        assert people.find_invitation("used") is people.find_invitation("guessed") is None

    def test_address_is_known_however_it_is_spelt(self):
        assert people.is_known(self.inviter.person.email.upper())
        assert not people.is_known("nobody@example.org")
