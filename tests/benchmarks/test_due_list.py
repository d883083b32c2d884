"""The list of what is due at 20 000 pavements: the first byte within 300 ms at the median.

Processor time, as in `test_pavement_list.py`. Run with
`pytest -m benchmark --benchmark-enable tests/benchmarks/test_due_list.py -s`. With benchmarks
disabled each request is made once, and only the number of queries is held.
"""

import gc
import statistics
import time
from datetime import date, timedelta

import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from registry.models import CleaningMethod, Due, Pavement
from registry.models.choices import Role
from tests.benchmarks.portfolio import store_pavements
from tests.factories import LONG_AGO

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
PAVEMENTS = 20_000
MEDIAN_S = 0.300
QUERIES = 12
ROUNDS = 5
FIRST_DAY = date(2026, 6, 1)
METHODS = CleaningMethod.values[:6]


def store_dues() -> None:
    """Store what is due at every pavement; the same every time."""
    rules = [{"rule": n, "holds": False, "words": "No.", "missing": ""} for n in range(1, 7)]
    ids = Pavement.objects.order_by("pk").values_list("pk", flat=True)
    Due.objects.bulk_create((_due(n, pk, rules) for n, pk in enumerate(ids)), batch_size=1000)


def _due(n: int, pavement: int, rules: list[dict[str, object]]) -> Due:
    has_day = n % 7 > 0
    return Due(
        pavement_id=pavement,
        as_of_on=FIRST_DAY,
        worked_out_at=LONG_AGO,
        method=METHODS[n % len(METHODS)],
        method_why="dry dust or sand on top",
        area_m2=50.0 + n % 3000,
        earliest_on=FIRST_DAY + timedelta(days=n % 400),
        earliest_why="summer: warm and dry enough to wash",
        latest_on=FIRST_DAY + timedelta(days=n % 1500) if has_day else None,
        latest_by=("fit", "permit", "sand")[n % 3] if has_day else "",
        reason="chance at T1 to lie below the action level reaches 10 %; dry dust or sand on top",
        gain_median=1.0 + n % 17 / 10,
        gain_low=1.0,
        gain_high=3.0,
        no_longer_enough=True if n % 50 == 0 else None,
        is_permit_short=n % 3 == 0,
        enough={"si": rules, "inch_pound": rules},
        missed_window=n % 97 == 0,
        is_below=(True, False, None)[n % 3],
        is_level_far=n % 11 == 0,
        months_left=None if n % 11 == 0 or n % 5 == 0 else n % 613 / 7,
        reserve=None if n % 4 else n % 101 / 100,
        run_on_m2=None if n % 2 else float(n % 5000),
        rank_why="above the action level, may be below in 12 months",
    )


@pytest.fixture(scope="module", params=[Role.MANAGER, Role.OWNER])
def client_of_many(request, django_db_setup, django_db_blocker):
    """A client signed in as the manager, then as an owner, of them all."""
    with django_db_blocker.unblock(), transaction.atomic():
        client = Client()
        person = store_pavements(PAVEMENTS, role=request.param)
        store_dues()
        client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
        yield client
        transaction.set_rollback(True)


@pytest.mark.benchmark(timer=time.process_time)
@pytest.mark.parametrize(
    "address",
    [
        "/due/",
        "/due/?page=400",
        "/due/?within=late",
        "/due/?within=60&method=vacuum",
        "/due/?no_longer=on",
        "/due/?permit=on&by=permit",
        "/due/?owner=owner+07",
        "/due/?site=site+0123",
        "/due/?pavement=lot+0123",
        "/due/?undecided=day&sort=pavement",
        "/due/?sort=gain",
        "/due/?sort=rank",
        "/due/?sort=rank&page=400",
        "/",
    ],
)
def test_first_byte_of_what_is_due_comes_soon(benchmark, client_of_many, address):
    with CaptureQueriesContext(connection) as queries:
        assert client_of_many.get(address).status_code == 200
    count = len(queries)  # counted now: the next request begins the log anew
    assert 0 < count <= QUERIES
    walls = []

    def ask():
        begun = time.perf_counter()
        client_of_many.get(address)
        walls.append(time.perf_counter() - begun)

    gc.collect()
    gc.freeze()  # what the test run itself holds is not the page's to look through
    benchmark.pedantic(ask, rounds=ROUNDS, warmup_rounds=1)
    gc.unfreeze()
    if benchmark.stats is not None:
        found, wall = benchmark.stats.stats.median, statistics.median(walls[1:])
        print(f"\n{found * 1000:4.0f} ms, {wall * 1000:4.0f} by the wall, {count} queries")
        assert found < MEDIAN_S
