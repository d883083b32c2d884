"""Work out the outlook of every pavement from the current fit of its pool, and keep it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from django.db import transaction
from django.utils import timezone

from registry.actions.fit_pool import fit_pool
from registry.actions.refresh_dues import refresh_dues_in_parts
from registry.actions.sort_into_pools import make_own_pools
from registry.decline.outlook import OutlookOptions, outlooks_of
from registry.decline.portfolio import gather_portfolio
from registry.gathering.decline_records import PoolRows, gather_records
from registry.gathering.outlooks import (
    NO_FIT,
    PavementOutlook,
    outlooks_by_pavement,
    undecided,
)
from registry.gathering.pools import pool_of, pools_on
from registry.gathering.stored_fit import parameters_of
from registry.models import Fit, Outlook, Pavement, Pool, Seat

SPLIT = "Not decided: this pavement was split; its parts have outlooks of their own."
KEPT = tuple(f.name for f in Outlook._meta.concrete_fields if f.name not in ("id", "pavement"))


@dataclass(frozen=True)
class PoolOutlooks:
    """What was worked out for one pool. `fit` is the newest; `used` the one in force, if any."""

    pool: Pool
    fit: Fit
    used: Fit | None
    outlooks: list[PavementOutlook]


def refresh_outlooks(
    *, as_of: date, force: bool = False, near: int | None = None
) -> Iterator[PoolOutlooks]:
    """Fit every pool whose records changed, then work out and store all its outlooks.

    near  an organisation: only the pools of pavements at which it holds a seat
    """
    make_own_pools(on=as_of)
    pools = pools_on(as_of) if near is None else _pools_near(near, as_of)
    for pool in sorted(pools, key=lambda pool: pool.pk):
        begun = timezone.now()
        rows = gather_records(pools[pool], on=as_of)
        fit = fit_pool(pool, rows, as_of=as_of, force=force)
        used = fit if fit.converged else Fit.objects.filter(pool=pool).current().first()
        found = _work_out(pools[pool], rows, used, as_of)
        for overtaken in _store_unless_newer(found, used, as_of, begun):
            refresh_outlook_of(overtaken, as_of=as_of)
        refresh_dues_in_parts(pools[pool])
        yield PoolOutlooks(pool, fit, used, found)


def _pools_near(organisation: int, as_of: date) -> dict[Pool, list[int]]:
    seats = Seat.objects.filter(organisation=organisation, to_at__isnull=True)
    there = set(seats.values_list("pavement_id", flat=True))
    return {pool: ids for pool, ids in pools_on(as_of).items() if not there.isdisjoint(ids)}


@transaction.atomic
def _store_unless_newer(
    found: list[PavementOutlook], used: Fit | None, as_of: date, begun: datetime
) -> list[Pavement]:
    """Store outlooks; return pavements whose own was brought up to date since `begun`.

    A reading may come in while a pool is fitted: its outlook is not overwritten by an older one.
    """
    ids = [o.pavement for o in found]
    stored = Outlook.objects.filter(pavement__in=ids).select_for_update()
    newer = {pk for pk, at in stored.values_list("pavement_id", "worked_out_at") if at > begun}
    store_outlooks((o for o in found if o.pavement not in newer), used, as_of)
    return list(Pavement.objects.filter(pk__in=newer))


@transaction.atomic
def refresh_outlook_of(pavement: Pavement, *, as_of: date) -> None:
    """Bring one pavement's outlook up to date from its pool's current parameters; no refit.

    Without a fit nothing is stored: the pavement has no outlook until its pool is fitted.
    """
    Pavement.objects.filter(pk=pavement.pk).held().first()
    pool = pool_of(pavement, as_of)
    used = Fit.objects.filter(pool=pool).current().first() if pool else None
    if used is not None:
        rows = gather_records([pavement.pk], on=as_of)
        store_outlooks(_work_out([pavement.pk], rows, used, as_of), used, as_of)


def _work_out(
    members: list[int], rows: PoolRows, used: Fit | None, as_of: date
) -> list[PavementOutlook]:
    if used is None:
        return [undecided(pk, NO_FIT) for pk in members]
    gathered = gather_portfolio(rows.records, np.datetime64(as_of))
    outlooks = outlooks_of(gathered.portfolio, parameters_of(used), OutlookOptions())
    found = outlooks_by_pavement(rows, outlooks, gathered.pavement_row, gathered.spot_row)
    split = set(
        Pavement.objects.filter(pk__in=members, parts__isnull=False).values_list("pk", flat=True)
    )
    return [undecided(o.pavement, SPLIT) if o.pavement in split else o for o in found]


@transaction.atomic
def store_outlooks(outlooks: Iterable[PavementOutlook], used: Fit | None, as_of: date) -> int:
    """Store outlooks in place of the ones before; return how many."""
    now = timezone.now()
    rows = [
        Outlook(
            pavement_id=o.pavement,
            fit=used,
            as_of_on=as_of,
            worked_out_at=now,
            risk=OutlookOptions().risk,
            spots=[_plain(spot) for spot in o.spots],
            by_method=[_plain(method) for method in o.by_method],
            **o.values,
        )
        for o in outlooks
    ]
    Outlook.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["pavement"],
        update_fields=list(KEPT),
        batch_size=500,
    )
    return len(rows)


def _plain(values: dict[str, object]) -> dict[str, object]:
    return {k: v.isoformat() if isinstance(v, date) else v for k, v in values.items()}
