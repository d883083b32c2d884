"""Set up a pool that others' pavements may join, and let a pavement leave it again."""

from datetime import date

from django.db import transaction

from registry.actions.follow_pool import follow_pool
from registry.actions.queue_work import queue_outlooks
from registry.actions.refresh_dues import refresh_dues
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Person, Pool, PoolPlace


class CannotRunPool(DomainError):
    """The name is taken or missing, or the place in the pool has ended or not begun."""


@transaction.atomic
def add_pool(*, name: str, organisation: Organisation, by: Person | None) -> Pool:
    """Store a pool that pavements join by a dated consent or permit. Raises CannotRunPool."""
    name = name.strip()
    if not name:
        raise CannotRunPool("A pool has a name.")
    Organisation.objects.select_for_update().get(pk=organisation.pk)
    if Pool.objects.filter(organisation=organisation, name__iexact=name).exists():
        raise CannotRunPool(f"{organisation} runs a pool of this name already.")
    pool = Pool.objects.create(organisation=organisation, name=name, is_own=False)
    write_line(pool, "set up", by=by, organisation=organisation)
    return pool


@transaction.atomic
def leave_pool(
    place: PoolPlace, *, on: date, why: str, by: Person | None, organisation: Organisation | None
) -> PoolPlace:
    """End a pavement's place in a pool; from that day it is in its holder's own. Why is asked.

    From that day on its outlook is that of the holder's own pool, and who runs this one sees it no
    more. Raises CannotRunPool.
    """
    if not why.strip():
        raise CannotRunPool("Say why it leaves.")
    if on <= place.from_on:
        raise CannotRunPool(f"It joined on {place.from_on.isoformat()}: it leaves on a later day.")
    if not PoolPlace.objects.filter(pk=place.pk, to_on__isnull=True).update(to_on=on):
        raise CannotRunPool("It has left this pool already.")
    place.refresh_from_db()
    write_line(
        place,
        "left a pool",
        by=by,
        organisation=organisation,
        why=why.strip(),
        changes={"pool": [str(place.pool), ""]},
        pavement=place.pavement,
    )
    if follow_pool(place.pavement):
        refresh_dues([place.pavement_id])
    if organisation is not None:
        queue_outlooks(organisation.pk)
    return place
