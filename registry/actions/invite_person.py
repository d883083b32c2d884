"""Invite a person into an organisation by a link that works once, for 14 days."""

import secrets
from dataclasses import dataclass
from datetime import timedelta

from django.conf import settings
from django.core.mail import send_mail
from django.db import transaction
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Invitation, Membership, Organisation, Person, digest_of

DAYS = 14


class CannotInvite(DomainError):
    """The person belongs to the organisation already, or may not invite."""


class NotMailed(OSError):
    """No mail server is set up: the mail was put into a file on the server, and reaches nobody."""


@dataclass(frozen=True)
class Issued:
    """A new invitation and its link. The link is shown now or never: only a digest is stored."""

    invitation: Invitation
    link: str


@transaction.atomic
def invite_person(
    *, email: str, organisation: Organisation, may_invite: bool = False, by: Person
) -> Issued:
    """Store an invitation; an older open one for the same person ends by it.

    Raises CannotInvite where the address belongs to somebody who is there already with as much
    right. The link is not mailed here; see `mail_invitation`.
    """
    email = email.strip().lower()
    now = timezone.now()
    _refuse_member(email, organisation, may_invite)
    older = Invitation.objects.open(at=now).filter(email=email, organisation=organisation)
    older.update(withdrawn_at=now)
    token = secrets.token_urlsafe(32)
    invitation = Invitation.objects.create(
        organisation=organisation,
        email=email,
        may_invite=may_invite,
        token_digest=digest_of(token),
        invited_by=by,
        expires_at=now + timedelta(days=DAYS),
    )
    write_line(invitation, "invited", by=by, organisation=organisation)
    return Issued(invitation, settings.PUBLIC_URL + reverse("invitation_accept", args=[token]))


def _refuse_member(email: str, organisation: Organisation, may_invite: bool) -> None:
    members = Membership.objects.current(at=timezone.now()).filter(organisation=organisation)
    member = members.filter(person__email=email).first()
    if member is not None and (member.may_invite or not may_invite):
        raise CannotInvite(f"{email} belongs to {organisation} already.")


def mail_invitation(issued: Issued, *, by: Person) -> None:
    """Mail the link. Raises OSError where the mail cannot be sent: SMTPException or NotMailed.

    Called after the invitation is stored, so that a mail server out of order loses no link.
    """
    context = {"invitation": issued.invitation, "link": issued.link, "by": by, "days": DAYS}
    name = " ".join(issued.invitation.organisation.name.split())  # a subject is one line
    send_mail(
        subject=f"Invitation to the pavement registry: {name}",
        message=render_to_string("invitation/mail.txt", context),
        from_email=None,
        recipient_list=[issued.invitation.email],
    )
    if settings.EMAIL_BACKEND.endswith(".filebased.EmailBackend"):
        raise NotMailed("no mail server is set up here, mails are only kept as files")
