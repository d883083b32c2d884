"""Give an organisation a seat at a pavement: by appointment, or as a deed or permit says."""

from dataclasses import dataclass
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F, Q

from registry.actions.follow_pool import follow_pool
from registry.actions.invite_person import Issued, invite_person
from registry.actions.refresh_dues import refresh_dues
from registry.actions.refresh_standing import refresh_standings
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.pools import HOLDERS
from registry.models import Organisation, Pavement, Person, Seat, Section
from registry.models.choices import Role
from registry.models.rights import APPOINTS, KEEPERS


class CannotGrant(DomainError):
    """The seat is held already, or is not the appointing organisation's to give."""


@dataclass(frozen=True)
class Term:
    """What a seat is and how long; `to_at` None is open. A warranty is a contractor's alone."""

    role: str
    from_at: datetime
    to_at: datetime | None = None
    section: Section | None = None
    warranty_last_on: date | None = None
    source_document: str = ""


@transaction.atomic
def grant_seat(
    *,
    pavement: Pavement,
    organisation: Organisation,
    term: Term,
    by: Person | None,
    appointed_by: Organisation | None = None,
) -> Seat:
    """Store a seat.

    With `appointed_by` the appointing organisation's own seat must allow it; without, the seat
    follows from a deed, a contract or a permit, named in the term's source document.
    """
    Pavement.objects.held().get(pk=pavement.pk)  # two appointments at once: one waits
    if appointed_by is not None:
        _refuse_unless_appoints(pavement, appointed_by, term)
    _refuse_double(pavement, organisation, term)
    seat = Seat(
        pavement=pavement,
        organisation=organisation,
        role=term.role,
        section=term.section,
        from_at=term.from_at,
        to_at=term.to_at,
        warranty_last_on=term.warranty_last_on if term.role == Role.CONTRACTOR else None,
        appointed_by=appointed_by,
        source_document=term.source_document,
        entered_by=by,
    )
    try:
        seat.full_clean()
    except ValidationError as refusal:
        raise CannotGrant(" ".join(refusal.messages)) from refusal
    seat.save(force_insert=True)
    write_line(seat, "seat given", by=by, organisation=appointed_by, why=term.source_document)
    if seat.role in KEEPERS | {Role.MUNICIPALITY}:
        refresh_standings([seat.pavement_id])  # whose thresholds count, and what a town judges by
    if seat.role in HOLDERS:
        follow_pool(seat.pavement)  # who holds it decides with which others it is fitted
    if seat.role in KEEPERS | {Role.SWEEPER}:
        refresh_dues([seat.pavement_id])  # whose calendar, prices and machines count
    return seat


def _refuse_unless_appoints(pavement: Pavement, giver: Organisation, term: Term) -> None:
    """The giver must hold a seat that appoints the role, now and when the new seat begins."""
    held = Seat.objects.filter(pavement=pavement, organisation=giver, to_at__isnull=True)
    if not any(term.role in APPOINTS.get(seat.role, ()) for seat in held):
        raise CannotGrant(f"{giver} may not appoint that seat here.")


def _refuse_double(pavement: Pavement, organisation: Organisation, term: Term) -> None:
    same = Seat.objects.filter(
        pavement=pavement, organisation=organisation, role=term.role, section=term.section
    ).exclude(to_at=F("from_at"))
    if term.to_at is not None:
        same = same.filter(from_at__lt=term.to_at)
    if same.filter(Q(to_at__isnull=True) | Q(to_at__gt=term.from_at)).exists():
        role = Role(term.role).label
        raise CannotGrant(f"{organisation} holds a seat as {role} here in that time already.")


@transaction.atomic
def appoint_newcomer(
    *,
    pavement: Pavement,
    name: str,
    email: str,
    term: Term,
    by: Person,
    appointed_by: Organisation,
) -> tuple[Seat, Issued]:
    """Bring in an organisation that is not here yet, give it the seat, invite its first person."""
    if Organisation.objects.filter(name__iexact=name).exists():
        raise CannotGrant(f"{name} is here already.")
    newcomer = Organisation.objects.create(name=name, usual_role=term.role, email=email)
    write_line(newcomer, "added", by=by, organisation=appointed_by)
    seat = grant_seat(
        pavement=pavement, organisation=newcomer, term=term, by=by, appointed_by=appointed_by
    )
    return seat, invite_person(email=email, organisation=newcomer, may_invite=True, by=by)
