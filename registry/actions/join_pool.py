"""Let a pavement join a pool by a dated consent or permit; its outlook comes along at once."""

from datetime import date

from django.db import transaction

from registry.actions.follow_pool import follow_pool
from registry.actions.queue_work import queue_outlooks
from registry.actions.refresh_dues import refresh_dues
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Pavement, Person, Pool, PoolPlace


class CannotJoinPool(DomainError):
    """The pavement is in that pool already, or no document was named."""


@transaction.atomic
def join_pool(
    pavement: Pavement,
    pool: Pool,
    *,
    by_document: str,
    from_on: date,
    by: Person | None,
    organisation: Organisation | None,
) -> PoolPlace:
    """Let a pavement join a pool from a day on; its place in another pool ends that day.

    From a day that has come on its outlook is that of the pool's fit in force. Raises
    CannotJoinPool.
    """
    if not by_document.strip():
        raise CannotJoinPool("Name the consent or permit by which the pavement joins.")
    Pavement.objects.filter(pk=pavement.pk).held().first()
    open_place = PoolPlace.objects.filter(pavement=pavement, to_on__isnull=True).first()
    if open_place is not None:
        if open_place.pool_id == pool.pk:
            raise CannotJoinPool("The pavement is in this pool already.")
        if from_on <= open_place.from_on:
            raise CannotJoinPool(
                f"It has been in {open_place.pool} since {open_place.from_on.isoformat()}: "
                "join from a later day."
            )
        PoolPlace.objects.filter(pk=open_place.pk).update(to_on=from_on)
    later = PoolPlace.objects.filter(pavement=pavement, to_on__gt=from_on).first()
    if later is not None:
        raise CannotJoinPool(
            f"It was in {later.pool} until {later.to_on:%Y-%m-%d}: join from that day or later."
        )
    place = PoolPlace.objects.create(
        pavement=pavement, pool=pool, by_document=by_document.strip(), from_on=from_on
    )
    write_line(
        place,
        "joined a pool",
        by=by,
        organisation=organisation,
        why=by_document.strip(),
        changes={"pool": ["", str(pool)]},
        pavement=pavement,
    )
    if follow_pool(pavement):
        refresh_dues([pavement.pk])
    queue_outlooks(pool.organisation_id)
    return place
