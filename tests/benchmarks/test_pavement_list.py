"""The list of 20 000 pavements: the first byte comes within 300 ms at the median.

Run with `pytest -m benchmark --benchmark-enable tests/benchmarks`. With benchmarks disabled each
request is made once, and only the number of queries is held.
"""

import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.benchmarks.portfolio import store_pavements

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
PAVEMENTS = 20_000
MEDIAN_S = 0.300
QUERIES = 12


@pytest.fixture(scope="module")
def client_of_many(django_db_setup, django_db_blocker):
    """A client signed in as the manager of 20 000 pavements, stored once for all of them."""
    with django_db_blocker.unblock(), transaction.atomic():
        client = Client()
        person = store_pavements(PAVEMENTS)
        client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
        yield client
        transaction.set_rollback(True)


@pytest.mark.parametrize(
    "address",
    [
        "/pavements/",
        "/pavements/?page=200",
        "/pavements/?word=clean&word=restore",
        "/pavements/?sort=lowest",
        "/pavements/?sort=due&overdue=on",
        "/pavements/?text=lot+0123",
        "/pavements/?sort=sweep",
        "/pavements/?chance_from=10&sweep_to=2030-01-01",
        "/pavements/map/",
        "/",
    ],
)
def test_first_byte_of_a_list_comes_soon(benchmark, client_of_many, address):
    with CaptureQueriesContext(connection) as queries:
        assert client_of_many.get(address).status_code == 200
    assert len(queries) <= QUERIES
    benchmark.pedantic(client_of_many.get, args=(address,), rounds=15, warmup_rounds=2)
    if benchmark.stats is not None:
        assert benchmark.stats.stats.median < MEDIAN_S
