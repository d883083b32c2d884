"""What a spreadsheet brings, and what is taken back of it, changes outlooks in the same write."""

import csv
from io import StringIO

import pytest
from django.core.management import call_command
from django.utils import timezone

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.actions.take_back_import import take_back_import
from registry.models import Fit, ImportBatch, Outlook, PavementNumber

pytestmark = pytest.mark.django_db
RUN = {"point": "new", "stratum": "field", "method": "c1701", "ring_mm": "300",
       "water_kg": "18", "seconds": "7000", "ended": "drained", "prewet_kg": "3.6",
       "prewet_seconds": "40", "rain_within_24_h": "no", "run": "1"}  # fmt: skip
NAMES = ("rate_mm_h", "p_below", "sweep_by_on", "spots")


def numbers():
    rows = Outlook.objects.order_by("pavement").values_list("pavement", *NAMES)
    return {row[0]: row[1:] for row in rows}


def test_import_and_its_taking_back_change_the_outlooks_of_its_pavements_without_a_fit(tmp_path):
    now = timezone.now()
    owner = invent_portfolio(pavements=4, seed=5, as_of=now.date())
    list(refresh_outlooks(as_of=now.date()))
    before = numbers()
    number = PavementNumber.objects.order_by("pk").last()
    row = {"pavement_ref": number.number, "started_at": f"{now:%Y-%m-%d}T00:00", **RUN}
    with (tmp_path / "infiltration_tests.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(row))
        writer.writeheader()
        writer.writerow(row)
    call_command("import_records", str(tmp_path), "--for", owner.name, stdout=StringIO())
    after = numbers()
    assert {pk for pk in before if after[pk] != before[pk]} == {number.pavement_id}
    assert "new" in {spot["name"] for spot in after[number.pavement_id][3]}
    take_back_import(ImportBatch.objects.get(), why="wrong lot", by=None)
    assert numbers() == before
    assert Fit.objects.count() == 1
