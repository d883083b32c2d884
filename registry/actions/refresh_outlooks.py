"""Work out the outlook of every pavement from the current fit of its pool, and keep it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import numpy as np
from django.db import transaction
from django.utils import timezone

from registry.actions.fit_pool import fit_pool
from registry.actions.give_way import give_way
from registry.actions.refresh_dues import refresh_dues_behind
from registry.actions.sort_into_pools import make_own_pools
from registry.decline.outlook import OutlookOptions, outlooks_of
from registry.decline.portfolio import gather_portfolio
from registry.gathering.decline_records import PoolRows, gather_records
from registry.gathering.outlooks import (
    NO_AGE,
    PavementOutlook,
    no_fit,
    outlooks_by_pavement,
    undecided,
)
from registry.gathering.pools import pools_on
from registry.gathering.stored_fit import parameters_of
from registry.models import Fit, Outlook, Pavement, Pool, Seat

TRIED_SOON = "One is tried within a day."
SPLIT = "Not decided: this pavement was split; its parts have outlooks of their own."
KEPT = tuple(f.name for f in Outlook._meta.concrete_fields if f.name not in ("id", "pavement"))
SAID = tuple(
    f.attname
    for f in Outlook._meta.concrete_fields
    if f.name not in ("id", "pavement", "worked_out_at")
)
"""Columns that say something; the instant at which they came out alike says nothing new."""
AT_ONCE = 200


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

    near  an organisation: only the pools it runs and those of pavements at which it holds a seat
    """
    make_own_pools(on=as_of)
    pools = pools_on(as_of) if near is None else _pools_near(near, as_of)
    for pool in sorted(pools, key=lambda pool: pool.pk):
        begun = timezone.now()
        rows = gather_records(pools[pool], on=as_of)
        fit = fit_pool(pool, rows, as_of=as_of, force=force)
        used = fit if fit.converged else Fit.objects.filter(pool=pool).current().first()
        found = _work_out(pools[pool], rows, used, as_of, fit.message)
        refresh_outlooks_of(_store_unless_newer(found, used, as_of, begun), as_of=as_of)
        refresh_dues_behind(pools[pool])
        yield PoolOutlooks(pool, fit, used, found)


def _pools_near(organisation: int, as_of: date) -> dict[Pool, list[int]]:
    seats = Seat.objects.filter(organisation=organisation, to_at__isnull=True)
    there = set(seats.values_list("pavement_id", flat=True))
    return {
        pool: ids
        for pool, ids in pools_on(as_of).items()
        if pool.organisation_id == organisation or not there.isdisjoint(ids)
    }


@transaction.atomic
def _store_unless_newer(
    found: list[PavementOutlook], used: Fit | None, as_of: date, begun: datetime
) -> list[int]:
    """Store outlooks that differ from the ones before; return the pavements whose own was brought
    up to date since `begun`.

    A reading may come in while a pool is fitted: its outlook is not overwritten by an older one.
    """
    ids = [o.pavement for o in found]
    kept = Outlook.objects.filter(pavement__in=ids).order_by("pk").select_for_update()
    stored = {row[0]: row[1:] for row in kept.values_list("pavement_id", "worked_out_at", *SAID)}
    newer = {pk for pk, (at, *_) in stored.items() if at > begun}
    rows = (row for row in _rows(found, used, as_of) if row.pavement_id not in newer)
    _store([row for row in rows if _said(row) != stored.get(row.pavement_id, ())[1:]])
    return sorted(newer)


def refresh_outlooks_of(pavement_ids: Iterable[int], *, as_of: date) -> None:
    """Bring outlooks up to date from the parameters in force, so many in one transaction."""
    ids = sorted(set(pavement_ids))
    for start in range(0, len(ids), AT_ONCE):
        _refresh_together(ids[start : start + AT_ONCE], as_of)
        give_way()


def refresh_outlook_of(pavement: Pavement, *, as_of: date) -> None:
    """Bring one pavement's outlook up to date from its pool's current parameters; no refit.

    Without a fit nothing is stored: the pavement has no outlook until its pool is fitted. One that
    rests on the fit of a pool it is in no more gives way to the reason.
    """
    _refresh_together([pavement.pk], as_of)


@transaction.atomic
def _refresh_together(ids: list[int], as_of: date) -> None:
    # Whoever takes the lock last sees the rows of all others.
    list(Pavement.objects.filter(pk__in=ids).held().values_list("pk", flat=True))
    without = set(ids)
    for pool, members in pools_on(as_of, ids).items():
        used = Fit.objects.filter(pool=pool).current().first()
        if used is not None:
            rows = gather_records(members, on=as_of)
            store_outlooks(_work_out(members, rows, used, as_of), used, as_of)
            without.difference_update(members)
    if without:
        left = Outlook.objects.filter(pavement__in=without, fit__isnull=False)
        gone = sorted(left.values_list("pavement_id", flat=True))
        store_outlooks([undecided(pk, no_fit(TRIED_SOON)) for pk in gone], None, as_of)


def _work_out(
    members: list[int], rows: PoolRows, used: Fit | None, as_of: date, failed: str = ""
) -> list[PavementOutlook]:
    """`failed` says why the newest fit found nothing; told where there is no good one before."""
    if used is None:
        ageless = set(rows.without_age) - {life.pavement for life in rows.lives}
        return [undecided(pk, NO_AGE if pk in ageless else no_fit(failed)) for pk in members]
    gathered = gather_portfolio(rows.records, np.datetime64(as_of))
    outlooks = outlooks_of(gathered.portfolio, parameters_of(used), OutlookOptions())
    found = outlooks_by_pavement(rows, outlooks, gathered.pavement_row, gathered.spot_row)
    split = set(
        Pavement.objects.filter(pk__in=members, parts__isnull=False).values_list("pk", flat=True)
    )
    return [undecided(o.pavement, SPLIT) if o.pavement in split else o for o in found]


def store_outlooks(outlooks: Iterable[PavementOutlook], used: Fit | None, as_of: date) -> int:
    """Store outlooks in place of the ones before; return how many."""
    return _store(_rows(outlooks, used, as_of))


def _rows(outlooks: Iterable[PavementOutlook], used: Fit | None, as_of: date) -> list[Outlook]:
    now = timezone.now()
    return [
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


def _said(row: Outlook) -> tuple[Any, ...]:
    return tuple(getattr(row, name) for name in SAID)


def _store(rows: list[Outlook]) -> int:
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
