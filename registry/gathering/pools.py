"""Which pavements are fitted together: each is in exactly one pool on a day."""

from collections import defaultdict
from collections.abc import Collection
from datetime import UTC, date, datetime, time

from django.db.models import F, Q
from django.utils import timezone

from registry.models import Pavement, Pool, PoolPlace, Seat
from registry.models.choices import Role

HOLDERS = (Role.OWNER, Role.MANAGER, Role.MUNICIPALITY, Role.CONTRACTOR)
"""Whose own pool a pavement is in: the owner's, or where nobody owns it on record, the next."""


def holders_on(day: date, pavement_ids: Collection[int] | None = None) -> dict[int, int]:
    """Return the organisation in whose own pool each pavement is by default, {pavement: id}.

    One without a placing date is held on record from the day it was brought in: of a day before
    that, who first held it since counts, for it would be lost from that day's outlooks without a
    word.
    """
    at = datetime.combine(day, time.max, UTC)
    since = Q(from_at__range=(at, timezone.now()), pavement__placed_on__isnull=True)
    there = Q(to_at__isnull=True) | Q(to_at__gt=at)
    seats = Seat.objects.filter(there, Q(from_at__lte=at) | since).exclude(to_at=F("from_at"))
    seats = seats.filter(role__in=HOLDERS, section__isnull=True)
    if pavement_ids is not None:
        seats = seats.filter(pavement__in=pavement_ids)
    found: dict[int, tuple[datetime, int, int]] = {}
    for pavement, organisation, role, from_at in seats.order_by("pk").values_list(
        "pavement_id", "organisation_id", "role", "from_at"
    ):
        rank = (max(at, from_at), HOLDERS.index(Role(role)))
        if pavement not in found or rank < found[pavement][:2]:
            found[pavement] = (*rank, organisation)
    return {pavement: organisation for pavement, (_, _, organisation) in found.items()}


def pools_on(day: date, among: Collection[int] | None = None) -> dict[Pool, list[int]]:
    """Return the pavements of every pool on a day; own pools must exist (`sort_into_pools`).

    `among`, ids of pavements, leaves all others out.
    """
    rows, places = Pavement.objects.standing(), PoolPlace.objects.on(day)
    if among is not None:
        rows, places = rows.filter(pk__in=among), places.filter(pavement__in=among)
    joined = dict(places.values_list("pavement_id", "pool_id"))
    holder = holders_on(day, among)
    theirs = Pool.objects.filter(is_own=True)
    if among is not None:
        theirs = theirs.filter(organisation__in=set(holder.values()))
    own = {pool.organisation_id: pool for pool in theirs}
    by_pk = Pool.objects.in_bulk(set(joined.values()))
    members: dict[Pool, list[int]] = defaultdict(list)
    for pk in rows.order_by("pk").values_list("pk", flat=True):
        if pk in joined:
            members[by_pk[joined[pk]]].append(pk)
        elif holder.get(pk) in own:
            members[own[holder[pk]]].append(pk)
    return dict(members)


def pool_of(pavement: Pavement, day: date) -> Pool | None:
    """Return the pool of one pavement on a day; None where nobody holds it or none was made."""
    place = PoolPlace.objects.on(day).filter(pavement=pavement).select_related("pool").first()
    if place is not None:
        return place.pool
    holder = holders_on(day, [pavement.pk]).get(pavement.pk)
    return Pool.objects.filter(is_own=True, organisation=holder).first() if holder else None
