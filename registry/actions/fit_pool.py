"""Fit the decline of a pool and keep the fit, also where it found nothing."""

import time
from dataclasses import asdict
from datetime import date
from typing import Any

import numpy as np
from django.db import transaction

from registry.decline.fit import FitResult, fit_decline
from registry.decline.options import FitOptions
from registry.decline.portfolio import Gathered, gather_portfolio
from registry.decline.records import DRIVERS, REASONS, Exclusion
from registry.gathering.decline_records import PoolRows, gather_records
from registry.gathering.fit_words import driver_effects, recoveries
from registry.gathering.stored_fit import parameters_as_data
from registry.models import Fit, Pool

CODE_VERSION = "decline 1"
"""Goes up with every change of the model that changes its numbers; part of staleness."""


def fit_pool(pool: Pool, members: list[int], *, as_of: date, force: bool = False) -> Fit:
    """Return the current fit of a pool, made anew where its records have changed since.

    The fit itself runs outside of any transaction; only its result is stored in one.
    """
    rows = gather_records(members, on=as_of)
    last = Fit.objects.filter(pool=pool).order_by("-pk").first()
    if not force and last is not None and _is_fresh(last, rows, as_of):
        return last
    started = time.monotonic()
    gathered = gather_portfolio(rows.records, np.datetime64(as_of))
    result = fit_decline(gathered.portfolio, FitOptions())
    return _store(pool, as_of, rows, gathered, result, time.monotonic() - started)


def _is_fresh(fit: Fit, rows: PoolRows, as_of: date) -> bool:
    """Say whether a fit rests on these records; one made for an earlier day is, if none came."""
    same = fit.input_digest == rows.digest and fit.code_version == CODE_VERSION
    return same and (fit.as_of_on == as_of or _nothing_between(rows, fit.as_of_on, as_of))


def _nothing_between(rows: PoolRows, first: date, last: date) -> bool:
    low, high = sorted((np.datetime64(first), np.datetime64(last)))
    for times in (rows.records.runs.started_at, rows.records.cleanings.done_at):
        days = times.astype("datetime64[D]")
        if np.any((days > low) & (days <= high)):
            return False
    return True


@transaction.atomic
def _store(
    pool: Pool,
    as_of: date,
    rows: PoolRows,
    gathered: Gathered,
    result: FitResult,
    seconds: float,
) -> Fit:
    return Fit.objects.create(
        pool=pool,
        as_of_on=as_of,
        options={"priors": "published", "level": FitOptions().level},
        input_digest=rows.digest,
        code_version=CODE_VERSION,
        converged=result.converged,
        message=result.message[:300],
        parameters=parameters_as_data(result.parameters),
        covariance=None if result.covariance is None else result.covariance.tolist(),
        log_likelihood=_finite(result.log_likelihood),
        log_posterior=_finite(result.log_posterior),
        checks=[_check(asdict(check)) for check in result.checks],
        pavements=result.pavements,
        spots=result.spots,
        infiltration_tests=result.tests,
        bounds=result.bounds,
        cleanings=result.cleanings,
        left_out=_left_out(gathered),
        unknown_drivers=dict(zip(DRIVERS, gathered.left_out.unknown_drivers.tolist(), strict=True)),
        drivers=driver_effects(result, gathered.portfolio),
        recoveries=recoveries(result, gathered.portfolio),
        seconds=round(seconds, 3),
    )


def _left_out(gathered: Gathered) -> dict[str, int]:
    """Return how many runs were left out, by reason in words."""
    codes, counts = np.unique(gathered.left_out.run, return_counts=True)
    return {
        REASONS[Exclusion(code)]: int(count)
        for code, count in zip(codes.tolist(), counts.tolist(), strict=True)
        if code != Exclusion.NONE
    }


def _check(check: dict[str, Any]) -> dict[str, Any]:
    return {**check, "value": None if check["value"] is None else _finite(check["value"])}


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
