"""Withdraw an invitation that nobody took up yet."""

from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Invitation, Person


class CannotWithdraw(DomainError):
    """The invitation was taken up, withdrawn or ran out before."""


@transaction.atomic
def withdraw_invitation(*, invitation: Invitation, by: Person) -> Invitation:
    """Make the link useless."""
    now = timezone.now()
    ended = Invitation.objects.open(at=now).filter(pk=invitation.pk).update(withdrawn_at=now)
    if not ended:
        raise CannotWithdraw("This invitation is not open any more.")
    invitation.refresh_from_db()
    write_line(invitation, "withdrawn", by=by, organisation=invitation.organisation)
    return invitation
