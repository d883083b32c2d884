"""Bring in an organisation, and a person who works for it from the start."""

from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.db import transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.models import Membership, Organisation, Person


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
