"""Bring in an organisation, and a person who works for it from the start."""

from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Membership, Organisation, Person


class CannotBegin(DomainError):
    """The organisation is here already, or its first person is not and has no name."""


@transaction.atomic
def add_organisation(row: Organisation, *, by: Person | None) -> Organisation:
    """Store a new organisation. Raises ValidationError, for a name that is here already too."""
    row.full_clean()
    row.save(force_insert=True)
    write_line(row, "added", by=by)
    return row


@transaction.atomic
def add_person(
    *,
    email: str,
    name: str,
    organisation: Organisation,
    password: str | None,
    may_invite: bool = False,
    from_at: datetime | None = None,
    by: Person | None,
) -> Person:
    """Store a new person of an organisation; without a password nobody can sign in as them.

    Raises ValidationError for a password that is too weak or an address that is here already.
    """
    person = Person(email=email.lower(), name=name)
    if password is None:
        person.set_unusable_password()
    else:
        validate_password(password, person)
        person.set_password(password)
    person.full_clean(exclude={"password"})
    person.save(force_insert=True)
    membership = Membership.objects.create(
        person=person,
        organisation=organisation,
        may_invite=may_invite,
        from_at=from_at or timezone.now(),
    )
    write_line(membership, "joined", by=by, organisation=organisation)
    return person


@transaction.atomic
def begin_organisation(
    row: Organisation, *, email: str, name: str, password: str | None
) -> tuple[Organisation, Person]:
    """Store a new organisation with its first person, who may invite others; return both.

    For who runs the server: all others come by invitation. Somebody who signs in here already
    joins with the password they have. Raises CannotBegin, and ValidationError for a wrong fact,
    a name that is here already or a password that is too weak.
    """
    if Organisation.objects.filter(name__iexact=row.name).exists():
        raise CannotBegin(f"{row.name} is here already; its own people invite others.")
    known = Person.objects.filter(email__iexact=email.strip()).first()
    if known is None and not (name.strip() and password):
        raise CannotBegin(f"Nobody signs in as {email} yet: give their name and a password.")
    add_organisation(row, by=None)
    if known is None:
        known = add_person(
            email=email.strip(),
            name=name.strip(),
            organisation=row,
            password=password,
            may_invite=True,
            by=None,
        )
        known.shown_system = row.system
        known.save(update_fields=["shown_system"])
    else:
        membership = Membership.objects.create(person=known, organisation=row, may_invite=True)
        write_line(membership, "joined", by=None, organisation=row)
    return row, known
