"""An invitation is taken up once, by the person it is for."""

import pytest
from django.test import TestCase
from django.utils import timezone

from registry.actions.accept_invitation import (
    CannotAccept,
    accept_as_new_person,
    accept_invitation,
)
from registry.models import JournalLine, Membership, Person
from tests.factories import InvitationFactory, MembershipFactory, PersonFactory

LONG_PASSWORD = "gravel-lantern-41"


class TestAcceptInvitation(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.invitation = InvitationFactory(email="ann@example.org", may_invite=True)

    def new_person(self, name="Ann"):
        return accept_as_new_person(invitation=self.invitation, name=name, password=LONG_PASSWORD)

    def test_newcomer_joins_with_the_right_that_was_given_and_a_line(self):
        row = self.new_person()
        assert (row.person.email, row.person.name) == ("ann@example.org", "Ann")
        assert row.person.check_password(LONG_PASSWORD)
        assert (row.organisation, row.may_invite) == (self.invitation.organisation, True)
        line = JournalLine.objects.about(row).get()
        assert (line.verb, line.by) == ("joined", row.person)

    def test_invitation_is_taken_up_once(self):
        self.new_person()
        person = Person.objects.get(email="ann@example.org")
        with pytest.raises(CannotAccept, match="was used"):
            accept_invitation(invitation=self.invitation, by=person)

    def test_address_that_has_an_account_signs_in_and_uses_nothing_up(self):
        known = PersonFactory(email="Ann@example.org")
        with pytest.raises(CannotAccept, match="has an account here already"):
            self.new_person()
        self.invitation.refresh_from_db()
        assert self.invitation.accepted_at is None
        assert accept_invitation(invitation=self.invitation, by=known).person == known

    def test_invitation_for_another_address_is_refused_and_stays_open(self):
        with pytest.raises(CannotAccept, match=r"for ann@example\.org, not for"):
            accept_invitation(invitation=self.invitation, by=PersonFactory())
        assert not Membership.objects.filter(organisation=self.invitation.organisation).exists()

    def test_member_gains_the_right_to_invite_and_no_second_membership(self):
        own = {"organisation": self.invitation.organisation}
        member = MembershipFactory(person__email="ann@example.org", **own)
        row = accept_invitation(invitation=self.invitation, by=member.person)
        assert (row.pk, row.may_invite) == (member.pk, True)

    def test_withdrawn_invitation_is_not_taken_up(self):
        type(self.invitation).objects.update(withdrawn_at=timezone.now())
        with pytest.raises(CannotAccept, match="withdrawn"):
            self.new_person()
        assert not Person.objects.filter(name="Ann").exists()
