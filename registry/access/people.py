"""People, organisations and invitations: the part of the door that comes before any pavement."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils import timezone

from registry.models import Invitation, Membership, Organisation, Person, digest_of


def organisations_of(person: Person, at: datetime | None = None) -> QuerySet[Organisation]:
    """Return the organisations a person works for at an instant (now)."""
    members = Membership.objects.current(at=at or timezone.now()).filter(person=person)
    return Organisation.objects.filter(pk__in=members.values("organisation"))


def get_organisation(person: Person, pk: int, *, to: str = "read") -> Organisation:
    """Return an organisation the person belongs to; `to="invite"` asks for that right too."""
    organisation = get_object_or_404(organisations_of(person), pk=pk)
    if to == "invite" and not may_invite(person, organisation):
        raise PermissionDenied("This is for those of the organisation who may invite people.")
    return organisation


def may_invite(person: Person, organisation: Organisation) -> bool:
    """Say whether a person may let others into an organisation, and end their work there."""
    return members_of(organisation).filter(person=person, may_invite=True).exists()


def members_of(organisation: Organisation) -> QuerySet[Membership]:
    """Return who works for an organisation now; ask `get_organisation` first."""
    current = Membership.objects.current(at=timezone.now()).filter(organisation=organisation)
    return current.select_related("person").order_by("person__name", "pk")


def memberships_of(person: Person) -> QuerySet[Membership]:
    """Return for whom a person works now."""
    current = Membership.objects.current(at=timezone.now()).filter(person=person)
    return current.select_related("organisation").order_by("organisation__name")


def get_membership(person: Person, pk: int) -> Membership:
    """Return a membership the person may end: their own, or one where they may invite."""
    own = Membership.objects.filter(organisation__in=organisations_of(person))
    row = get_object_or_404(own.select_related("organisation", "person"), pk=pk)
    if row.person_id != person.pk:
        get_organisation(person, row.organisation_id, to="invite")
    return row


def open_invitations(person: Person, organisation: Organisation) -> QuerySet[Invitation]:
    """Return the invitations that can still be taken up, to those who may invite."""
    if not may_invite(person, organisation):
        return Invitation.objects.none()
    rows = Invitation.objects.open(at=timezone.now()).filter(organisation=organisation)
    return rows.select_related("invited_by").order_by("pk")


def get_invitation(person: Person, pk: int) -> Invitation:
    """Return an invitation that the person may withdraw."""
    own = Invitation.objects.filter(organisation__in=organisations_of(person))
    row = get_object_or_404(own, pk=pk)
    get_organisation(person, row.organisation_id, to="invite")
    return row


def find_invitation(token: str) -> Invitation | None:
    """Return the open invitation of a link, to whoever holds the link."""
    rows = Invitation.objects.open(at=timezone.now()).select_related("organisation", "invited_by")
    return rows.filter(token_digest=digest_of(token)).first()


def is_known(email: str) -> bool:
    """Say whether somebody signs in with an address. Ask only for the holder of an invitation."""
    return Person.objects.filter(email__iexact=email).exists()
