"""Give every organisation that holds a pavement a pool of its own; join pavements to others."""

from datetime import date

from django.db import transaction

from registry.actions.queue_work import queue_outlooks
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.pools import holders_on
from registry.models import Organisation, Pavement, Person, Pool, PoolPlace


class CannotJoinPool(DomainError):
    """The pavement is in that pool already, or no document was named."""


@transaction.atomic
def make_own_pools(*, on: date) -> int:
    """Make the own pool of every organisation that holds a pavement and has none; say how many."""
    holders = set(holders_on(on).values())
    have = set(Pool.objects.filter(is_own=True).values_list("organisation_id", flat=True))
    rows = Organisation.objects.filter(pk__in=holders - have)
    made = [Pool(organisation=o, name=f"{o.name}, own pavements", is_own=True) for o in rows]
    Pool.objects.bulk_create(made, ignore_conflicts=True)
    return len(made)


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
    """Let a pavement join a pool from a day on; its place in another pool ends that day."""
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
    queue_outlooks(pool.organisation_id)
    return place
