"""A plan with a thousand defects comes within 300 ms: gathered, drawn, and listed.

Processor time, so that other work on the machine does not count.

Run with `pytest -m benchmark --benchmark-enable tests/benchmarks/test_plan_page.py`. With
benchmarks disabled the page is asked for once, and only the number of queries is held.
"""

import gc
import random
import time
from datetime import date

import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.defects import KINDS
from registry.models import Defect, DefectMove, Observation, Panel
from tests import factories
from tests.views.record import manager_of

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
DEFECTS, LOOKS, PANEL_M = 1_000, 3, 3.6576
MEDIAN_S, QUERIES = 0.300, 24
FIRST = date(2024, 4, 18)


@pytest.fixture(scope="module")
def plan_of_many(django_db_setup, django_db_blocker):
    """A client and the address of a plan of 44 panels, with its defects and their looks."""
    with django_db_blocker.unblock(), transaction.atomic():
        pavement, person = manager_of()
        plan = factories.PlanFactory(pavement=pavement, number=1, drawn_on=date(2023, 8, 24))
        panels = [
            Panel(
                pavement=pavement, plan=plan, name=f"{letter}{up + 1}", right_m=right * PANEL_M,
                up_m=up * PANEL_M, width_m=PANEL_M, length_m=PANEL_M,
            )
            for right, letter in enumerate("ABCD")
            for up in range(11)
        ]  # fmt: skip
        Panel.objects.bulk_create(panels)
        _store_defects(pavement)
        client = Client()
        client.force_login(person, backend=settings.AUTHENTICATION_BACKENDS[-1])
        yield client, reverse("plan_page", args=[pavement.pk])
        transaction.set_rollback(True)


def _store_defects(pavement):
    dice = random.Random(20260519)
    kinds = list(KINDS.values())
    rows = [_defect(pavement, number, dice.choice(kinds), dice) for number in range(1, DEFECTS + 1)]
    Defect.objects.bulk_create(rows)
    DefectMove.objects.bulk_create(
        DefectMove(defect=row, to_state="noted", on=FIRST) for row in rows
    )
    Observation.objects.bulk_create(
        Observation(defect=row, seen_on=date(2024 + n, 4, 18), area_m2=1.0 + n, severity="low")
        for row in rows
        for n in range(LOOKS)
    )


def _defect(pavement, number, kind, dice):
    x, y = dice.uniform(0, 12.5), dice.uniform(0, 38)
    w, h = dice.uniform(0.3, 2), dice.uniform(0.3, 2)
    outline, drawn_as = [[x, y]], "spot"
    if kind.unit == "m2":
        outline, drawn_as = [[x, y], [x + w, y], [x + w, y + h], [x, y + h]], "area"
    elif kind.unit == "m":
        outline, drawn_as = [[x, y], [x + w, y + h]], "line"
    return Defect(
        pavement=pavement, number=number, kind=kind.code, first_seen_on=FIRST,
        outline=outline, outline_kind=drawn_as,
    )  # fmt: skip


@pytest.mark.benchmark(timer=time.process_time)
@pytest.mark.parametrize("asked", ["", "?on=2025-01-01", "?kind=crack"])
def test_a_plan_with_a_thousand_defects_comes_soon(benchmark, plan_of_many, asked):
    client, address = plan_of_many
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address + asked).status_code == 200
    assert len(queries) <= QUERIES
    gc.collect()
    gc.freeze()  # what the test run itself holds is not the page's to look through
    benchmark.pedantic(client.get, args=(address + asked,), rounds=15, warmup_rounds=2)
    gc.unfreeze()
    if benchmark.stats is not None:
        assert benchmark.stats.stats.median < MEDIAN_S
