"""Work out what is due at pavements, and keep it for lists."""

from collections.abc import Collection, Iterable
from datetime import date

from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone

from registry.actions.give_way import give_way
from registry.gathering.due_facts import gather_due
from registry.gathering.due_rows import gather_due_rows
from registry.gathering.due_seasons import Seasons
from registry.gathering.due_stored import columns_of
from registry.models import Due, Pavement, Seat
from registry.models.rights import KEEPERS

AT_ONCE = 200
KEPT = tuple(f.name for f in Due._meta.concrete_fields if f.name not in ("id", "pavement"))


@transaction.atomic
def refresh_dues(pavement_ids: Iterable[int], *, today: date | None = None) -> int:
    """Work out and store what is due at these pavements; return how many have a line.

    `today` defaults to the day at each site. One that is not in service has none.
    """
    ids = sorted(set(pavement_ids))
    starts = range(0, len(ids), AT_ONCE)
    return sum(_refresh(ids[start : start + AT_ONCE], today) for start in starts)


def _refresh(ids: Collection[int], today: date | None) -> int:
    now = timezone.now()
    # Whoever takes the lock last sees the rows of all others.
    list(Pavement.objects.filter(pk__in=ids).held().values_list("pk", flat=True))
    found, house = gather_due_rows(ids, at=now, today=today)
    seasons = Seasons(house)
    rows = [
        Due(
            pavement=one.pavement,
            worked_out_at=now,
            **columns_of(gather_due(one, house, seasons)),
        )
        for one in found
    ]
    Due.objects.filter(pavement__in=set(ids) - {row.pavement_id for row in rows}).delete()
    Due.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["pavement"],
        update_fields=list(KEPT),
        batch_size=AT_ONCE,
    )
    return len(rows)


def refresh_stale_dues(*, today: date | None = None) -> int:
    """Refresh what was worked out on an earlier day or never; return how many have a line.

    `today` defaults to the day in UTC, which begins before or after that of a site: what was
    worked out on the day before it is done again.
    """
    on = today or timezone.now().date()
    stale = Q(due=None) | Q(due__as_of_on__lt=on)
    ids = Pavement.objects.in_service().standing().filter(stale).order_by("pk")
    return refresh_dues_in_parts(ids.values_list("pk", flat=True), today=today)


def refresh_dues_behind(pavement_ids: Iterable[int]) -> int:
    """Refresh what is due at those of these pavements whose outlook is newer, or whose line is of
    an earlier day or missing; return how many have a line. All others are left as they are.
    """
    behind = Q(due__worked_out_at__lt=F("outlook__worked_out_at"))
    behind |= Q(due__as_of_on__lt=timezone.now().date())
    behind |= Q(due=None)
    found: list[int] = []
    ids = sorted(set(pavement_ids))
    for start in range(0, len(ids), AT_ONCE):
        part = Pavement.objects.filter(behind, pk__in=ids[start : start + AT_ONCE])
        found += part.in_service().standing().values_list("pk", flat=True)
    return refresh_dues_in_parts(found)


def refresh_dues_kept_by(organisation_id: int) -> int:
    """Refresh what is due where an organisation keeps or sweeps: its calendar, prices or machines
    have changed.
    """
    seats = Seat.objects.held_at(timezone.now()).filter(
        Q(role__in=KEEPERS) | Q(role="sweeper"), organisation=organisation_id
    )
    return refresh_dues_in_parts(sorted(set(seats.values_list("pavement_id", flat=True))))


def refresh_dues_at(site_id: int) -> int:
    """Refresh what is due at a site whose climate or way in has changed."""
    ids = Pavement.objects.filter(site=site_id).order_by("pk").values_list("pk", flat=True)
    return refresh_dues_in_parts(ids)


def refresh_dues_in_parts(ids: Iterable[int], *, today: date | None = None) -> int:
    """Refresh in parts, each in a transaction of its own, so that no writer waits for all."""
    every, lines = list(ids), 0
    for start in range(0, len(every), AT_ONCE):
        lines += refresh_dues(every[start : start + AT_ONCE], today=today)
        give_way()
    return lines
