"""Take up an invitation: a new person with name and password, or one who is known already."""

from django.db import IntegrityError, transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Invitation, Membership, Person


class CannotAccept(DomainError):
    """The invitation was used, withdrawn, is too old, or is for somebody else."""


@transaction.atomic
def accept_as_new_person(*, invitation: Invitation, name: str, password: str) -> Membership:
    """Make the person the invitation is for and let them join. The password was validated."""
    _claim(invitation)
    taken = f"{invitation.email} has an account here already. Sign in, then open the link again."
    if Person.objects.filter(email__iexact=invitation.email).exists():
        raise CannotAccept(taken)
    try:
        with transaction.atomic():
            person = Person.objects.create_user(invitation.email, password, name=name)
    except IntegrityError as clash:  # two invitations taken up in the same moment
        raise CannotAccept(taken) from clash
    return _join(invitation, person)


@transaction.atomic
def accept_invitation(*, invitation: Invitation, by: Person) -> Membership:
    """Let a person who is signed in join; only the one whose address was invited."""
    if by.email.lower() != invitation.email.lower():
        raise CannotAccept(f"This invitation is for {invitation.email}, not for {by.email}.")
    _claim(invitation)
    return _join(invitation, by)


def _claim(invitation: Invitation) -> None:
    """Use the invitation up; of two requests at once only one gets it."""
    now = timezone.now()
    claimed = Invitation.objects.open(at=now).filter(pk=invitation.pk).update(accepted_at=now)
    if not claimed:
        raise CannotAccept("This invitation was used, withdrawn or is too old. Ask for another.")


def _join(invitation: Invitation, person: Person) -> Membership:
    organisation = invitation.organisation
    current = Membership.objects.current(at=timezone.now())
    membership = current.filter(person=person, organisation=organisation).first()
    if membership is None:
        membership = Membership.objects.create(
            person=person, organisation=organisation, may_invite=invitation.may_invite
        )
    elif invitation.may_invite and not membership.may_invite:
        membership.may_invite = True
        membership.save(update_fields=["may_invite"])
    write_line(membership, "joined", by=person, organisation=organisation)
    return membership
