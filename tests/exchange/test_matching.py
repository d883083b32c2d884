"""Rows against the record: what is the same, though said otherwise, and what differs."""

from pathlib import Path

import pytest

from registry.actions.import_records import import_records
from registry.exchange.problems import SpreadsheetRefused
from registry.models import Organisation, Pavement, Site
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import OrganisationFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def org(tmp_path: Path) -> Organisation:
    """An organisation that brought in a pavement, a test and a cleaning."""
    org = OrganisationFactory(time_zone="America/New_York", system="si")
    rows = {"pavements": (pavement(),), "runs": (run(),), "sweeps": (sweep(passes="2"),)}
    import_records(folder(tmp_path / "first", **rows), organisation=org)
    return org


def refusal(org: Organisation, path: Path, **rows: tuple) -> list[tuple[str, str]]:
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(folder(path, **rows), organisation=org)
    return [(fault.column, fault.message) for fault in refused.value.problems]


@pytest.mark.parametrize("others", [["Old Mill"], [{"name": "Old Mill", "used_by": "the town"}]])
def test_a_site_is_known_by_any_of_its_names(org, tmp_path: Path, others: list):
    site = Site.objects.get()
    site.other_names = others
    site.save(update_fields=["other_names"])
    rows = {"pavements": (pavement(site="Old Mill"),), "runs": (run(point="T2"),)}
    import_records(folder(tmp_path, **rows), organisation=org)
    assert refusal(org, tmp_path / "b", pavements=(pavement(site="New Mill"),)) == [
        ("site", "The record has “Mill Lane” here, the file “New Mill”.")
    ]


def test_what_differs_of_a_test_is_named_by_columns_of_the_file(org, tmp_path: Path):
    row = run(ring_mm="305", water_kg="4", prewet_kg="4", seconds="99", note="windy")
    assert [column for column, _ in refusal(org, tmp_path, runs=(row,))] == [
        "ring_mm or ring_in", "water_kg or water_lb", "seconds", "prewet_kg or prewet_lb", "note",
    ]  # fmt: skip


def test_a_test_in_the_other_system_is_another_reading(org, tmp_path: Path):
    row = run(ring_mm="", ring_in="11.8", water_kg="", water_lb="8", prewet_kg="", prewet_lb="8")
    assert "ring_mm or ring_in" in dict(refusal(org, tmp_path, runs=(row,)))


def test_a_cleaning_of_one_time_and_method_with_other_passes_differs(org, tmp_path: Path):
    assert refusal(org, tmp_path, sweeps=(sweep(passes="3"),)) == [
        ("passes", "The record has “2” here, the file “3”.")
    ]


def test_an_area_off_as_square_feet_are_from_square_metres_is_said_so(org, tmp_path: Path):
    [(_, message)] = refusal(org, tmp_path, pavements=(pavement(area_m2=f"{420 / 0.3048**2}"),))
    assert "10.76 times" in message


def test_a_blank_cell_says_nothing_against_the_record(org, tmp_path: Path):
    rows = {"pavements": (pavement(area_m2="", placed_on=""),), "sweeps": (sweep(),)}
    outcome = import_records(folder(tmp_path, **rows), organisation=org)
    assert dict(outcome.batch.known) == {"pavements": 1, "sweeps": 1}
    assert Pavement.objects.get().area_m2 == 420
