"""How fast defects come in from a file: 2 ms a row or better for what is stored, of its own work.

Run alone: pytest tests/benchmarks/test_defect_import_speed.py -m benchmark -s
Reading and checking the file is not counted. Nor is what is queued for the background.
"""

import gc
import time
from collections.abc import Iterator
from datetime import date, timedelta

import pytest

from registry.actions.import_records import prepare_sound, store
from registry.exchange.sources import find_source
from registry.models import Defect, DefectMove, ImportBatch, JournalLine, Observation
from tests.exchange.folders import Row, defect, folder, pavement
from tests.factories import OrganisationFactory

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
PAVEMENTS, DEFECTS, YEARS = 20, 100, 3
MS_A_ROW = 2.0
KINDS = ("crack", "raveling", "clogged", "ponding")


def rows() -> Iterator[Row]:
    """Every defect is looked at each spring; one in two is confirmed in its second year."""
    for lot in range(PAVEMENTS):
        for n in range(DEFECTS):
            place = {"panel": f"{'ABCDEFGH'[n % 8]}{1 + n % 30}", "right": str(n % 9)}
            kind = KINDS[n % len(KINDS)]
            unit = "ft" if kind == "crack" else "ft2"
            for year in range(YEARS):
                yield defect(
                    pavement_ref=f"P{lot}",
                    kind=kind,
                    seen_on=(date(2022, 4, 18) + timedelta(days=366 * year)).isoformat(),
                    up=str(n // 9),
                    unit=unit,
                    extent=f"{1 + n % 7 + year}",
                    state="confirmed" if n % 2 and year else "",
                    **place,
                )


def test_defects_of_a_file_are_stored_at_2_ms_a_row(tmp_path):
    lots = tuple(pavement(ref=f"P{n}", name=f"Lot {n}") for n in range(PAVEMENTS))
    path = folder(tmp_path, pavements=lots, defects=tuple(rows()))
    organisation = OrganisationFactory(time_zone="America/New_York")
    source = find_source(path)
    batch = ImportBatch(
        organisation=organisation, file_name=source.name[:200], digest=source.digest
    )
    prepared = prepare_sound(source, batch, lambda count: None)
    gc.collect()
    begun, worked = time.perf_counter(), time.process_time()
    store(source, batch, prepared, lambda count: None)
    wall, work = time.perf_counter() - begun, time.process_time() - worked
    looks = Observation.objects.count()
    told = JournalLine.objects.filter(subject_kind__in=("defect", "observation")).count()
    moves = DefectMove.objects.exclude(from_state="").count()
    assert told == Defect.objects.count() + looks + moves
    assert looks == PAVEMENTS * DEFECTS * YEARS
    print(
        f"\n{looks} rows of {Defect.objects.count()} defects, {moves} moves: "
        f"{1000 * work / looks:.2f} ms a row of its own work, {1000 * wall / looks:.2f} by the wall"
    )
    assert 1000 * work / looks < MS_A_ROW
