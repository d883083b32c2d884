"""Give every organisation that holds a pavement a pool of its own."""

from datetime import date

from django.db import transaction

from registry.gathering.pools import holders_on
from registry.models import Organisation, Pool


@transaction.atomic
def make_own_pools(*, on: date) -> int:
    """Make the own pool of every organisation that holds a pavement and has none; say how many."""
    holders = set(holders_on(on).values())
    have = set(Pool.objects.filter(is_own=True).values_list("organisation_id", flat=True))
    rows = Organisation.objects.filter(pk__in=holders - have)
    made = [Pool(organisation=o, name=f"{o.name}, own pavements", is_own=True) for o in rows]
    Pool.objects.bulk_create(made, ignore_conflicts=True)
    return len(made)
