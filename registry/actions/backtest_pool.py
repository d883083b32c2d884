"""Back-test the fit in force of a pool: leave each pavement's newest visit out, and foretell it."""

from datetime import date

import numpy as np
from django.db import transaction

from registry.actions.fit_pool import OPTIONS
from registry.decline.backtest import backtest
from registry.decline.digest import digest_of
from registry.decline.portfolio import gather_portfolio
from registry.faults import DomainError
from registry.gathering.decline_records import gather_records
from registry.gathering.stored_fit import backtest_as_plain
from registry.models import Fit, Pool


class CannotBacktest(DomainError):
    """There is no fit in force, or it rests on other records than those of today."""


def backtest_pool(pool: Pool, members: list[int], *, as_of: date, force: bool = False) -> Fit:
    """Return the fit in force with its back-test, worked out where it has none yet.

    Raises CannotBacktest. What was stored stays: a fit is only ever given what it lacks, or with
    `force` the same worked out again from the same records.
    """
    fit = Fit.objects.filter(pool=pool).current().first()
    if fit is None:
        raise CannotBacktest("No fit of this pool has converged yet.")
    if fit.back_test is not None and not force:
        return fit
    rows = gather_records(members, on=as_of)
    portfolio = gather_portfolio(rows.records, np.datetime64(as_of)).portfolio
    if digest_of(portfolio, OPTIONS) != fit.input_digest:
        raise CannotBacktest("Records have changed since the fit in force: refresh outlooks first.")
    fit.back_test = backtest_as_plain(backtest(portfolio, OPTIONS))
    with transaction.atomic():
        fit.save(update_fields=["back_test"])
    return fit
