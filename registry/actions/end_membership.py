"""End a person's work for an organisation. What they wrote for it stays the organisation's."""

from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Invitation, Membership, Person


class CannotEnd(DomainError):
    """The membership ended before, or nobody who may invite would be left."""


@transaction.atomic
def end_membership(*, membership: Membership, by: Person) -> Membership:
    """End a membership now, and withdraw the open invitations that the person gave out for it.

    The last one who may invite stays as long as others belong to the organisation, since nobody
    could let a successor in. The very last person may go; the seats then stay empty.
    """
    now = timezone.now()
    others = list(
        Membership.objects.select_for_update()
        .filter(organisation=membership.organisation, to_at__isnull=True)
        .exclude(pk=membership.pk)
    )
    if others and not any(other.may_invite for other in others):
        raise CannotEnd(
            f"Nobody else of {membership.organisation} may invite people. "
            "Invite somebody with that right first."
        )
    ended = Membership.objects.filter(pk=membership.pk, to_at__isnull=True).update(to_at=now)
    if not ended:
        raise CannotEnd("This membership ended before.")
    membership.refresh_from_db()
    given = Invitation.objects.open(at=now).filter(
        organisation=membership.organisation, invited_by=membership.person
    )
    given.update(withdrawn_at=now)
    write_line(membership, "ended", by=by, organisation=membership.organisation)
    return membership
