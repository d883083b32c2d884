"""What a person's organisations hold: seats, the pavements at them, and what may be done there."""

from collections.abc import Collection
from datetime import datetime

from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from registry.access.people import organisations_of
from registry.models import Pavement, Person, Seat
from registry.models.pavement import PavementQuerySet
from registry.models.rights import MAY, Rights, rights_of
from registry.models.seat import SeatQuerySet


def seats_of(person: Person, at: datetime | None = None) -> SeatQuerySet:
    """Return the seats of a person's organisations, past ones included."""
    at = at or timezone.now()
    return Seat.objects.of_organisations(organisations_of(person, at)).begun_by(at)


def visible_pavements(person: Person, at: datetime | None = None) -> PavementQuerySet:
    """Return pavements at which the person's organisations hold or held a seat that reads."""
    seats = seats_of(person, at).filter(role__in=MAY["read"])
    seen = Exists(seats.filter(pavement=OuterRef("pk")))
    return Pavement.objects.filter(seen, void_at__isnull=True)


def open_roles(person: Person) -> frozenset[str]:
    """Return the roles that a person's organisations hold now, at whatever pavement."""
    held = seats_of(person).held_at(timezone.now())
    return frozenset(held.values_list("role", flat=True).distinct())


def pavements_held_as(person: Person, roles: Collection[str]) -> QuerySet[Pavement]:
    """Return pavements that carry on at which the person's organisations hold a role now."""
    held = seats_of(person).held_at(timezone.now()).filter(role__in=roles)
    return Pavement.objects.counted_once().filter(pk__in=held.values("pavement"), void_at=None)


def rights_at(person: Person, pavement: Pavement, at: datetime | None = None) -> Rights:
    """Return what a person may do at a pavement."""
    at = at or timezone.now()
    seats = seats_of(person, at).filter(pavement=pavement).select_related("organisation")
    return rights_of(seats.order_by("pk"), pavement, at)
