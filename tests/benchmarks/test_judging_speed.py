"""Judging 2 000 tests of one pavement anew, as each new reading asks, takes under half a second.

Run with `pytest -m benchmark --benchmark-enable tests/benchmarks`. The time is that of the
processor alone, so that other work on the machine does not count. With benchmarks disabled each
is judged once, and it is held that judging again changes nothing.
"""

import time
from datetime import date, timedelta

import pytest

from registry.actions.judge_tests import judge_tests
from registry.models import Cleaning, InfiltrationTest
from tests.factories import PavementFactory, SpotFactory

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
SHAPES = {
    "8 spots on 125 days, two runs": (8, 125, 2),
    "500 spots on 4 days": (500, 4, 1),
    "1000 spots on one day, two runs": (1000, 1, 2),
    "one spot on 1000 days, two runs": (1, 1000, 2),
}
CPU_S = 0.5


def store_tests(spots, days, runs):
    lot = PavementFactory(placed_on=date(2012, 1, 1), area_m2=8000.0)
    places = [
        SpotFactory(
            pavement=lot,
            name=f"S{n}",
            stratum="field",
            right_m=1.5 * (n % 40),
            up_m=1.5 * (n // 40),
        )
        for n in range(spots)
    ]
    step = 4000 // days
    first = date(2013, 1, 1)
    InfiltrationTest.objects.bulk_create(
        InfiltrationTest(
            pavement=lot, spot=spot, method="c1701", started_on=first + timedelta(days=day * step),
            system="inch_pound", ring=12.0, water=40.0, prewet_seconds=10, prewet_water=8.0,
            seconds=60 + 400 * day / days + n % 20 + run, ended="drained", rain_within_24_h="no",
            stratum="field", run=run,
        )
        for day in range(days) for n, spot in enumerate(places) for run in range(1, runs + 1)
    )  # fmt: skip
    for day in range(0, days, 10):
        Cleaning.objects.create(
            pavement=lot, done_on=first + timedelta(days=day * step + 1), method="vacuum"
        )
    return lot


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
def test_tests_of_one_pavement_are_judged_soon(benchmark, shape):
    lot = store_tests(*shape)
    assert lot.infiltration_tests.count() == 2000
    assert judge_tests([lot.pk]) == 2000
    taken = []

    def judge():
        began = time.process_time()
        assert judge_tests([lot.pk]) == 0
        taken.append(time.process_time() - began)

    benchmark.pedantic(judge, rounds=5)
    if benchmark.stats is not None:
        assert sorted(taken)[len(taken) // 2] < CPU_S
