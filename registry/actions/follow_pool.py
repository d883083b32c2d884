"""Bring the outlook of a pavement along where it is in another pool than its outlook is of."""

from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from registry.actions.refresh_outlooks import refresh_outlook_of
from registry.gathering.pools import pool_of
from registry.models import Outlook, Pavement


@transaction.atomic
def follow_pool(pavement: Pavement) -> bool:
    """Work the outlook out from the fit in force of today's pool; say whether it was of another.

    Where that pool has no fit yet the reason stands in place of the numbers: those of before rest
    on records of others, who share theirs with it no more.
    """
    today = timezone.now().astimezone(ZoneInfo(pavement.site.time_zone)).date()
    pool = pool_of(pavement, today)
    stored = Outlook.objects.filter(pavement=pavement).values_list("fit__pool", flat=True)
    if list(stored) == [pool.pk if pool else None]:
        return False
    refresh_outlook_of(pavement, as_of=today)
    return True
