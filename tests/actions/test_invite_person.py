"""Inviting: a link that is shown once, an older one that ends by it, a mail of one subject line."""

from datetime import timedelta

import pytest
from django.core import mail
from django.test import TestCase
from django.utils import timezone

from registry.access.people import find_invitation
from registry.actions.invite_person import CannotInvite, invite_person, mail_invitation
from registry.models import Invitation
from tests.factories import MembershipFactory


class TestInvitePerson(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.inviter = MembershipFactory(may_invite=True)
        cls.side = cls.inviter.organisation

    def invite(self, email="Ann@Example.org ", **more):
        return invite_person(email=email, organisation=self.side, by=self.inviter.person, **more)

    def test_link_finds_the_invitation_and_its_secret_is_not_stored(self):
        issued = self.invite()
        token = issued.link.rstrip("/").rsplit("/", 1)[-1]
        assert find_invitation(token) == issued.invitation
        assert issued.invitation.email == "ann@example.org"
        assert token not in str(Invitation.objects.values().get())

    def test_link_works_for_fourteen_days(self):
        left = self.invite().invitation.expires_at - timezone.now()
        assert timedelta(days=13, hours=23) < left <= timedelta(days=14)

    def test_newer_invitation_ends_the_older_one(self):
        older, newer = self.invite().invitation, self.invite().invitation
        assert Invitation.objects.open(at=timezone.now()).get() == newer != older

    def test_who_is_there_already_is_invited_only_to_more_right(self):
        MembershipFactory(organisation=self.side, person__email="ann@example.org")
        with pytest.raises(CannotInvite, match="belongs to"):
            self.invite()
        assert self.invite(may_invite=True).invitation.may_invite
        with pytest.raises(CannotInvite):
            self.invite(self.inviter.person.email, may_invite=True)

    def test_mail_goes_to_the_invited_with_the_link_and_one_line_of_subject(self):
        self.side.name = "Mill Lane\n  Estates"
        issued = self.invite()
        mail_invitation(issued, by=self.inviter.person)
        [sent] = mail.outbox
        assert sent.to == ["ann@example.org"] and issued.link in sent.body
        assert sent.subject == "Invitation to the pavement registry: Mill Lane Estates"
