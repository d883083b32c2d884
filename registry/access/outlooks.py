"""Outlooks, the fits behind them, and pools: for who reads all tests, or runs the pool."""

from collections.abc import Collection

from django.core.exceptions import PermissionDenied
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone

from registry.access.holding import pavements_held_as, rights_at
from registry.access.people import organisations_of
from registry.models import (
    Fit,
    Organisation,
    Outlook,
    Pavement,
    Person,
    Pool,
    PoolPlace,
    Seat,
)
from registry.models.choices import Role
from registry.models.outlook import OutlookQuerySet
from registry.models.rights import KEEPERS, READERS_OF_ALL
from registry.models.together import together


def seen_outlooks(person: Person, among: Collection[int] | None = None) -> OutlookQuerySet:
    """Return the outlooks that a person may see, one a pavement at most.

    `among`, ids of pavements, leaves all others out before any seat is looked at.
    """
    read = Q(pavement__in=pavements_held_as(person, READERS_OF_ALL, among).values("pk"))
    pools = Pool.objects.filter(organisation__in=organisations_of(person), is_own=False)
    joined = list(pools.values_list("pk", flat=True))
    there = PoolPlace.objects.on(timezone.now().date()).filter(pool__in=joined)
    by_place = Q(fit__pool__in=joined, pavement__in=there.values("pavement"))
    rows = Outlook.objects.filter(read | by_place if joined else read)
    return rows if among is None else rows.filter(pavement__in=among)


def find_outlook(person: Person, pavement: Pavement) -> Outlook | None:
    """Return a pavement's outlook to who reads all its tests or runs the pool it joined; else None.

    Running one's own pool gives nothing: it is read through the seats at its pavements, and a
    former owner holds none.
    """
    there = PoolPlace.objects.on(timezone.now().date()).filter(
        pool=OuterRef("fit__pool"), pavement=OuterRef("pavement")
    )
    rows = Outlook.objects.select_related("fit__pool").filter(pavement=pavement)
    outlook = rows.with_entries_since().annotate(is_there=Exists(there)).first()
    if outlook is None or rights_at(person, pavement).roles & READERS_OF_ALL:
        return outlook
    pool = outlook.fit.pool if outlook.fit is not None else None
    if pool is None or pool.is_own or not outlook.is_there:
        return None
    return outlook if runs(person, pool) else None


def get_outlook(person: Person, pavement: Pavement) -> Outlook | None:
    """Return a pavement's outlook, None where none was worked out; refuse who may not see it."""
    outlook = find_outlook(person, pavement)
    if outlook is None and Outlook.objects.filter(pavement=pavement).exists():
        raise PermissionDenied("Your seat here does not read all tests, so no outlook is shown.")
    return outlook


def get_fit(person: Person, pk: int) -> Fit:
    """Return a fit to who runs its pool, or reads all tests of a pavement with an outlook of it."""
    fit = get_object_or_404(Fit.objects.select_related("pool__organisation"), pk=pk)
    held = pavements_held_as(person, READERS_OF_ALL)
    if not runs(person, fit.pool) and not held.filter(outlook__fit__pool=fit.pool).exists():
        raise Http404("No such fit.")
    return fit


def may_count(person: Person, fit: Fit) -> bool:
    """Say whether a person may be told how many pavements, tests and cleanings a fit rests on.

    Who runs a pool that others joined, and who reads all tests of every pavement of the pool. To
    anybody else a count tells of pavements and tests that are hidden from it.
    """
    if not fit.pool.is_own and runs(person, fit.pool):
        return True
    judged = Pavement.objects.counted_once().filter(void_at=None, outlook__fit__pool=fit.pool)
    held = pavements_held_as(person, READERS_OF_ALL).values("pk")
    return not judged.exclude(pk__in=held).exists()


def runs(person: Person, pool: Pool) -> bool:
    """Say whether a person works for the organisation that runs a pool."""
    return organisations_of(person).filter(pk=pool.organisation_id).exists()


def visible_pools(person: Person) -> QuerySet[Pool]:
    """Return the pools that the person's organisations run."""
    return Pool.objects.filter(organisation__in=organisations_of(person))


def get_pool(person: Person, pk: int) -> Pool:
    """Return a pool that one of the person's organisations runs."""
    return get_object_or_404(visible_pools(person).select_related("organisation"), pk=pk)


def pools_to_join(person: Person, pavement: Pavement) -> list[Pool]:
    """Return the pools into which a person may take a pavement: run by a side that sits there.

    Raises PermissionDenied where there is none.
    """
    sides = {s.organisation_id for s in _sides(person, pavement)}
    pools = Pool.objects.filter(organisation__in=sides, is_own=False)
    found = list(pools.select_related("organisation"))
    if not found:
        raise PermissionDenied("No organisation of yours that sits here runs a pool to join.")
    return found


def get_place_to_end(person: Person, pavement: Pavement) -> tuple[PoolPlace, Organisation]:
    """Return the open place in a pool and for whom a person ends it: its keeper or who runs it."""
    places = PoolPlace.objects.filter(pavement=pavement, to_on__isnull=True)
    place = places.select_related("pool__organisation", "pavement").first()
    sides = _sides(person, pavement)
    if place is None:
        raise Http404("This pavement joined no pool.")
    if runs(person, place.pool):
        return place, place.pool.organisation
    for seat in sides:
        if seat.role in KEEPERS:
            return place, seat.organisation
    raise PermissionDenied("Your seat at this pavement does not allow this.")


def place_and_way_in(person: Person, pavement: Pavement) -> tuple[PoolPlace | None, bool]:
    """Return the place in a pool that a pavement joined and did not leave yet, and whether the
    person may take it into a pool.
    """
    sides = {s.organisation_id for s in _sides(person, pavement)}
    places = PoolPlace.objects.filter(pavement=pavement, to_on__isnull=True)
    found, joined, open_to_join = together(
        places,
        Pool.objects.filter(pk__in=places.values("pool")),
        Pool.objects.filter(organisation__in=sides, is_own=False),
    )
    for place in found:
        place.pool = next(pool for pool in joined if pool.pk == place.pool_id)
    return next(iter(found), None), bool(open_to_join)


def _sides(person: Person, pavement: Pavement) -> list[Seat]:
    """Return the open seats through which a person may speak for a pavement's pool."""
    seats = rights_at(person, pavement).open_seats
    return [s for s in seats if s.role in KEEPERS | {Role.MUNICIPALITY}]


def visible_places(person: Person, pool: Pool) -> QuerySet[PoolPlace]:
    """Return who joined a pool, by which document; ask `get_pool` first."""
    return PoolPlace.objects.filter(pool=pool).select_related("pavement__site")
