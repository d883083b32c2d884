"""Fit the decline of a pool and keep the fit, also where it found nothing."""

import time
from dataclasses import asdict
from datetime import date
from typing import Any

import numpy as np
from django.db import transaction

from registry.decline.digest import digest_of
from registry.decline.fit import FitResult, fit_decline
from registry.decline.options import FitOptions
from registry.decline.portfolio import Gathered, gather_portfolio
from registry.decline.records import DRIVERS, REASONS, Exclusion
from registry.decline.written import (
    covariance_as_plain,
    options_as_plain,
    parameters_as_plain,
)
from registry.gathering.decline_records import PoolRows
from registry.gathering.stored_fit import driver_effects, finite, recoveries, residuals_as_plain
from registry.models import Fit, Pool

CODE_VERSION = "decline 2"
"""Goes up with every change of the model that changes its numbers; part of staleness."""

OPTIONS = FitOptions()


def fit_pool(pool: Pool, rows: PoolRows, *, as_of: date, force: bool = False) -> Fit:
    """Return the current fit of a pool, made anew where its records have changed since.

    rows  the records of its pavements, gathered as of the day

    The fit itself runs outside of any transaction; only its result is stored in one.
    """
    gathered = gather_portfolio(rows.records, np.datetime64(as_of))
    digest = digest_of(gathered.portfolio, OPTIONS)
    last = None if force else _fresh(pool, digest)
    if last is not None:
        return last
    started = time.monotonic()
    result = fit_decline(gathered.portfolio, OPTIONS)
    seconds = time.monotonic() - started
    with transaction.atomic():
        # Of two who fit the same records at once, whoever comes second takes the first's fit.
        Pool.objects.select_for_update(no_key=True).get(pk=pool.pk)
        last = None if force else _fresh(pool, digest)
        return last or _store(pool, as_of, digest, gathered, result, seconds)


def _fresh(pool: Pool, digest: str) -> Fit | None:
    """Return the newest fit where it rests on these records; days that brought none change
    nothing.
    """
    last = Fit.objects.filter(pool=pool).order_by("-pk").first()
    is_fresh = last and last.input_digest == digest and last.code_version == CODE_VERSION
    return last if is_fresh else None


def _store(
    pool: Pool,
    as_of: date,
    digest: str,
    gathered: Gathered,
    result: FitResult,
    seconds: float,
) -> Fit:
    return Fit.objects.create(
        pool=pool,
        as_of_on=as_of,
        options=options_as_plain(OPTIONS),
        input_digest=digest,
        code_version=CODE_VERSION,
        **_found(result),
        left_out=_left_out(gathered),
        unknown_drivers=dict(zip(DRIVERS, gathered.left_out.unknown_drivers.tolist(), strict=True)),
        drivers=driver_effects(result, gathered.portfolio, OPTIONS.level),
        recoveries=recoveries(result, gathered.portfolio, OPTIONS.level),
        residuals=residuals_as_plain(result),
        seconds=round(seconds, 3),
    )


def _found(result: FitResult) -> dict[str, Any]:
    parameters, covariance = result.parameters, result.covariance
    return {
        "converged": result.converged,
        "message": result.message[:300],
        "parameters": None if parameters is None else parameters_as_plain(parameters),
        "covariance": None if covariance is None else covariance_as_plain(covariance),
        "log_likelihood": finite(result.log_likelihood),
        "log_posterior": finite(result.log_posterior),
        "checks": [_check(asdict(check)) for check in result.checks],
        "pavements": result.pavements,
        "spots": result.spots,
        "infiltration_tests": result.tests,
        "bounds": result.bounds,
        "cleanings": result.cleanings,
    }


def _left_out(gathered: Gathered) -> dict[str, int]:
    """Return how many runs were left out, by reason in words."""
    codes, counts = np.unique(gathered.left_out.run, return_counts=True)
    return {
        REASONS[Exclusion(code)]: int(count)
        for code, count in zip(codes.tolist(), counts.tolist(), strict=True)
        if code != Exclusion.NONE
    }


def _check(check: dict[str, Any]) -> dict[str, Any]:
    return {**check, "value": None if check["value"] is None else finite(check["value"])}
