"""How fast a portfolio in the database is invented, gathered, fitted and foretold, by the actions.

Run alone: pytest tests/benchmarks/test_outlook_speed.py -m benchmark -s
Asked for: one pavement's outlook after a new test under 10 ms of computing; no page slower for it.
"""

import os
import platform
import time
from collections.abc import Callable
from datetime import date

import numpy as np
import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlook_of, refresh_outlooks
from registry.decline.outlook import outlook_of
from registry.gathering.decline_records import gather_records
from registry.gathering.stored_fit import parameters_of
from registry.models import Fit, InfiltrationTest, Outlook, Pavement

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
PAVEMENTS = 20_000
AS_OF = date(2026, 6, 30)
OUTLOOK_S, QUERIES = 0.010, 20


@pytest.fixture(scope="module")
def stored(django_db_setup, django_db_blocker):
    """So many invented pavements, fitted and foretold once; seconds by what was done."""
    with django_db_blocker.unblock(), transaction.atomic():
        took = {}
        took["invented"] = seconds(
            lambda: invent_portfolio(pavements=PAVEMENTS, seed=1, as_of=AS_OF)
        )
        ids = list(Pavement.objects.values_list("pk", flat=True))
        took["gathered"] = seconds(lambda: gather_records(ids, on=AS_OF))
        took["fitted, foretold and stored"] = seconds(lambda: list(refresh_outlooks(as_of=AS_OF)))
        took["again, nothing changed"] = seconds(lambda: list(refresh_outlooks(as_of=AS_OF)))
        tests = InfiltrationTest.objects.count()
        print(f"\n{platform.processor() or platform.machine()}, {os.cpu_count()} cores")
        print(f"{PAVEMENTS} pavements, {tests} infiltration tests")
        for what, found in took.items():
            print(f"  {what}: {found:.1f} s")
        yield took
        transaction.set_rollback(True)


def seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def median_s(work: Callable[[], object], rounds: int = 15) -> float:
    """Processor time, so that other work on the machine does not count."""
    found = []
    for _ in range(rounds):
        begun = time.process_time()
        work()
        found.append(time.process_time() - begun)
    return float(np.median(found))


def test_every_pavement_is_foretold_by_one_fit(stored):
    assert Outlook.objects.filter(why_not="").count() == PAVEMENTS
    assert Fit.objects.filter(converged=True).count() == 1
    fit = Fit.objects.get()
    print(f"  the fit itself: {fit.seconds} s")
    assert stored["again, nothing changed"] < 0.5 * stored["fitted, foretold and stored"]


def test_outlook_after_a_new_test_is_computed_at_once(stored):
    pavement = Pavement.objects.select_related("site").order_by("pk")[PAVEMENTS // 2]
    rows = gather_records([pavement.pk], on=AS_OF)
    parameters = parameters_of(Fit.objects.get())
    computing = median_s(lambda: outlook_of(rows.records, parameters, np.datetime64(AS_OF)))
    with CaptureQueriesContext(connection) as queries:
        refresh_outlook_of(pavement, as_of=AS_OF)
    whole = median_s(lambda: refresh_outlook_of(pavement, as_of=AS_OF))
    print(f"  one outlook: {1000 * computing:.1f} ms of computing, {1000 * whole:.1f} ms in all,")
    print(f"  {len(queries)} queries, of {PAVEMENTS} pavements in the pool")
    assert computing < OUTLOOK_S
    assert len(queries) <= QUERIES
