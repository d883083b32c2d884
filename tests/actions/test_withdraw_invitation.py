"""A withdrawn link leads nowhere, and only an open one is withdrawn."""

import pytest
from django.utils import timezone

from registry.actions.withdraw_invitation import CannotWithdraw, withdraw_invitation
from registry.models import Invitation, JournalLine
from tests.factories import InvitationFactory, PersonFactory

pytestmark = pytest.mark.django_db


def test_withdrawn_invitation_is_open_no_more_and_its_line_says_by_whom():
    by = PersonFactory()
    row = withdraw_invitation(invitation=InvitationFactory(), by=by)
    assert not Invitation.objects.open(at=timezone.now()).exists()
    line = JournalLine.objects.about(row).get()
    assert (line.verb, line.by, line.by_organisation) == ("withdrawn", by, row.organisation)


@pytest.mark.parametrize("state", ["accepted_at", "withdrawn_at"])
def test_invitation_that_is_over_is_not_withdrawn(state):
    row = InvitationFactory(**{state: timezone.now()})
    with pytest.raises(CannotWithdraw):
        withdraw_invitation(invitation=row, by=PersonFactory())
    assert not JournalLine.objects.exists()
