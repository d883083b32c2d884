"""What the worker does of its own accord: fit what has changed, foretell, and back-test the fit."""

from django.utils import timezone

from registry.actions.backtest_pool import CannotBacktest, backtest_pool
from registry.actions.refresh_outlooks import refresh_outlooks


def work_out_outlooks(*, near: int | None = None) -> int:
    """Bring every pool up to date as of today; return how many outlooks were worked out.

    near  an organisation: only the pools of pavements at which it holds a seat

    Safe to be done twice: a pool whose records have not changed is not fitted again.
    """
    as_of = timezone.now().date()
    outlooks = 0
    for pool in refresh_outlooks(as_of=as_of, near=near):
        outlooks += len(pool.outlooks)
        if pool.used is None:
            continue
        try:
            backtest_pool(pool.pool, [o.pavement for o in pool.outlooks], as_of=as_of)
        except CannotBacktest:
            continue  # a reading came in since, or the newest fit failed: the next day's work
    return outlooks
