"""A month of 10 000 orders over 20 000 pavements: the first byte within 300 ms at the median.

Processor time, as in `test_pavement_list.py`. Run with
`pytest -m benchmark --benchmark-enable tests/benchmarks/test_calendar.py -s`. With benchmarks
disabled each request is made once, and only the number of queries is held.
"""

import gc
import time
from datetime import date, timedelta

import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from registry import models
from tests.benchmarks.portfolio import store_pavements

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
PAVEMENTS, ORDERS = 20_000, 10_000
MEDIAN_S, QUERIES, ROUNDS = 0.300, 12, 5


@pytest.fixture(scope="module")
def client_of_many(django_db_setup, django_db_blocker):
    """A client signed in as who keeps them all."""
    with django_db_blocker.unblock(), transaction.atomic():
        client = Client()
        person = store_pavements(PAVEMENTS)
        keeper = models.Membership.objects.get(person=person).organisation
        pavements = list(models.Pavement.objects.order_by("pk").values_list("pk", flat=True))[::2]
        models.WorkOrder.objects.bulk_create(
            (
                models.WorkOrder(
                    pavement_id=pavements[n % len(pavements)],
                    organisation=keeper,
                    entered_for=keeper,
                    number=f"W-{n}",
                    method="vacuum",
                    asked_by="the keeper",
                    asked_on=date(2024, 5, 1),
                    state="dated",
                    dated_for=date(2024, 5, 1) + timedelta(days=n % 31),
                )
                for n in range(ORDERS)
            ),
            batch_size=1000,
        )
        client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
        yield client
        transaction.set_rollback(True)


@pytest.mark.benchmark(timer=time.process_time)
@pytest.mark.parametrize("address", ["/calendar/?month=2024-05", "/calendar/2024-05-14/"])
def test_first_byte_of_a_full_month_and_of_its_day_comes_soon(benchmark, client_of_many, address):
    with CaptureQueriesContext(connection) as queries:
        assert client_of_many.get(address).status_code == 200
    count = len(queries)  # counted now: the next request begins the log anew
    assert 0 < count <= QUERIES
    gc.collect()
    gc.freeze()  # what the test run itself holds is not the page's to look through
    benchmark.pedantic(client_of_many.get, args=(address,), rounds=ROUNDS, warmup_rounds=1)
    gc.unfreeze()
    if benchmark.stats is not None:
        found = benchmark.stats.stats.median
        print(f"\n{found * 1000:4.0f} ms, {count} queries")
        assert found < MEDIAN_S
