"""Work for an organisation ends once, and never so that nobody is left who may invite."""

import pytest

from registry.actions.end_membership import CannotEnd, end_membership
from registry.models import JournalLine
from tests.factories import InvitationFactory, MembershipFactory, PersonFactory

pytestmark = pytest.mark.django_db


def test_the_last_who_may_invite_stays_while_others_belong_there():
    head = MembershipFactory(may_invite=True)
    other = MembershipFactory(organisation=head.organisation)
    with pytest.raises(CannotEnd, match="Invite somebody with that right first"):
        end_membership(membership=head, by=PersonFactory())
    head.refresh_from_db()
    assert head.to_at is None
    end_membership(membership=other, by=PersonFactory())
    assert end_membership(membership=head, by=PersonFactory()).to_at is not None


def test_membership_ends_once_with_a_line():
    membership = end_membership(membership=MembershipFactory(), by=PersonFactory())
    assert JournalLine.objects.about(membership).get().verb == "ended"
    with pytest.raises(CannotEnd, match="ended before"):
        end_membership(membership=membership, by=PersonFactory())


def test_open_invitations_of_who_leaves_are_withdrawn_and_those_of_others_stay():
    leaver = MembershipFactory()
    mine = InvitationFactory(organisation=leaver.organisation, invited_by=leaver.person)
    theirs = InvitationFactory(organisation=leaver.organisation)
    elsewhere = InvitationFactory(invited_by=leaver.person)
    end_membership(membership=leaver, by=PersonFactory())
    for invitation in (mine, theirs, elsewhere):
        invitation.refresh_from_db()
    ends = (mine.withdrawn_at, theirs.withdrawn_at, elsewhere.withdrawn_at)
    assert [end is not None for end in ends] == [True, False, False]
