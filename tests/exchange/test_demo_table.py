"""The town's tests brought in as a spreadsheet: each rate and refusal as people printed them."""

import re
from pathlib import Path

import pytest

from registry.actions.import_records import import_records
from registry.models import InfiltrationTest
from registry.units import System
from tests.exchange.folders import Row, folder, pavement
from tests.factories import OrganisationFactory
from tests.measuring import demo_tests
from tests.measuring.test_demo_table import printed_step

pytestmark = pytest.mark.django_db
DONE = {n: row for n, row in demo_tests.rows().items() if row.reading is not None}
WET = {"T-306", "T-307", "T-308"}


def record_row(line: demo_tests.Row) -> Row:
    """One line of the table as a row of the file; its number stands in the remark."""
    reading = line.reading
    is_si = reading.system is System.SI
    ring, water = ("ring_mm", "water_kg") if is_si else ("ring_in", "water_lb")
    return {
        "pavement_ref": line.pavement,
        "point": line.point,
        "started_at": f"{line.at:%Y-%m-%dT%H:%M}" if line.at else line.on.isoformat(),
        "method": reading.method.value,
        ring: "nk" if reading.ring is None else reading.ring,
        water: "nm" if reading.water is None else reading.water,
        "seconds": line.time_as_written.removesuffix(" (typed)"),
        "ended": reading.ended.value,
        "prewet_seconds": "nm" if reading.prewet_seconds is None else reading.prewet_seconds,
        "rain_within_24_h": "yes" if line.number in WET else "no",
        "note": line.number,
    }


@pytest.fixture
def stored(tmp_path: Path) -> dict[str, InfiltrationTest]:
    lots = sorted({line.pavement for line in DONE.values()})
    path = folder(
        tmp_path,
        pavements=tuple(pavement(ref=ref, name=ref, placed_on="nk") for ref in lots),
        runs=tuple(record_row(line) for line in DONE.values()),
    )
    import_records(path, organisation=OrganisationFactory(time_zone="America/New_York"))
    return {row.note: row for row in InfiltrationTest.objects.all()}


def test_every_rate_is_the_printed_one(stored: dict[str, InfiltrationTest]):
    assert set(stored) == set(DONE)
    compared = 0
    for number, line in DONE.items():
        row = stored[number]
        if re.fullmatch(r"[\d.]+", line.printed):
            in_h = row.result_rate_mm_h / 25.4
            assert in_h == pytest.approx(float(line.printed), abs=printed_step(line.printed)), (
                number
            )
            assert row.result_sign == ""
            compared += 1
    assert compared == 129
    si = [round(stored[n].result_value) for n in ("T-231", "T-232", "T-233")]
    assert si == [12829, 11562, 15245]


def test_every_bound_and_refusal_is_that_of_the_table(stored: dict[str, InfiltrationTest]):
    for number in ("T-245", "T-269", "T-294"):
        row = stored[number]
        assert (row.result_sign, round(row.result_value, 1), row.use) == ("<", 3.9, "bound")
    assert (stored["T-319"].use, stored["T-319"].no_result_code) == ("not_computed", "ring_missing")
    assert (stored["T-333"].use, stored["T-333"].no_result_code) == ("not_computed", "time_unclear")
    assert (stored["T-340"].use, stored["T-340"].use_code) == ("looked_at", "not_to_standard")
    assert (stored["T-326"].use, stored["T-326"].use_code) == ("looked_at", "water_other_system")
    assert stored["T-326"].result_value == pytest.approx(136, abs=0.5)
    assert {stored[n].use_code for n in WET} == {"wet_day"}
    assert stored["T-249"].use_code == "under_24_h"
