"""Rows of record files: all faults of a row are told at once, each with column and cure."""

from pathlib import Path

import pytest

from registry.actions.import_records import import_records
from registry.exchange.problems import Problem, SpreadsheetRefused
from registry.models import Organisation
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import OrganisationFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def org() -> Organisation:
    return OrganisationFactory(time_zone="America/New_York", system="si")


def faults_of(path: Path, org: Organisation) -> list[Problem]:
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(path, organisation=org)
    assert all(fault.mend and fault.file for fault in refused.value.problems)
    return refused.value.problems


def columns_of(path: Path, org: Organisation) -> list[str]:
    return sorted(fault.column for fault in faults_of(path, org))


def test_all_faults_of_a_pavement_are_told_at_once(org: Organisation, tmp_path: Path):
    row = pavement(
        name="", surface="marble", placed_on="2999-01-01", area_m2="0", action_rate_mm_h="much",
        lon="-200", use="fun", other_ref="x" * 41,
    )  # fmt: skip
    assert columns_of(folder(tmp_path, pavements=(row,)), org) == [
        "action_rate_mm_h", "area_m2", "lat", "lon", "name", "other_ref", "placed_on", "surface",
        "use",
    ]  # fmt: skip


def test_all_faults_of_a_test_are_told_at_once(org: Organisation, tmp_path: Path):
    row = run(
        point="", started_at="2023-02-30T10:00", method="guess", ring_mm="0", water_kg="-1",
        seconds="soon", ended="gone", prewet_kg="0", rain_within_24_h="perhaps", run="99",
    )  # fmt: skip
    assert columns_of(folder(tmp_path, pavements=(pavement(),), runs=(row,)), org) == [
        "ended", "method", "point", "prewet_kg", "rain_within_24_h", "ring_mm", "run", "seconds",
        "started_at", "water_kg",
    ]  # fmt: skip


def test_all_faults_of_a_cleaning_are_told_at_once(org: Organisation, tmp_path: Path):
    row = sweep(done_at="2999-01-01", method="magic", surface_wet="damp", passes="0")
    assert columns_of(folder(tmp_path, pavements=(pavement(),), sweeps=(row,)), org) == [
        "done_at", "method", "passes", "surface_wet",
    ]  # fmt: skip


def test_a_row_of_an_unknown_pavement_is_read_to_its_end(org: Organisation, tmp_path: Path):
    rows = (run(pavement_ref="P9", seconds="soon"), run(pavement_ref="", ended="gone"))
    path = folder(tmp_path, pavements=(pavement(),), runs=rows)
    assert [(fault.row, fault.column) for fault in faults_of(path, org)] == [
        (2, "pavement_ref"), (2, "seconds"), (3, "pavement_ref"), (3, "ended"),
    ]  # fmt: skip


def test_an_unknown_pavement_lends_no_local_time_to_a_fault(org: Organisation, tmp_path: Path):
    """02:30 on 12 March 2023 was skipped in New York (IANA tz database), not in Oslo."""
    row = run(pavement_ref="P9", started_at="2023-03-12T02:30")
    path = folder(tmp_path, pavements=(pavement(),), runs=(row,))
    assert columns_of(path, org) == ["pavement_ref"]


def test_a_faulty_row_is_still_found_to_be_there_twice(org: Organisation, tmp_path: Path):
    path = folder(
        tmp_path,
        pavements=(pavement(), pavement(surface="marble")),
        runs=(run(), run(ended="gone")),
        sweeps=(sweep(), sweep(passes="0")),
    )
    assert [(fault.row, fault.column) for fault in faults_of(path, org)] == [
        (3, "surface"),
        (3, "ref"),
        (3, "ended"),
        (3, "passes"),
        (3, "pavement_ref, point, started_at, run"),
        (3, "pavement_ref, done_at, method, panels, note"),
    ]


def test_rows_that_name_no_place_are_not_doubles(org: Organisation, tmp_path: Path):
    rows = {"runs": (run(point=""), run(point="")), "sweeps": (sweep(method=""), sweep(method=""))}
    path = folder(tmp_path, pavements=(pavement(),), **rows)
    assert columns_of(path, org) == ["method", "method", "point", "point"]


def test_a_faulty_row_is_still_compared_with_the_record(org: Organisation, tmp_path: Path):
    first = folder(tmp_path / "a", pavements=(pavement(),), runs=(run(),))
    import_records(first, organisation=org)
    path = folder(
        tmp_path / "b",
        pavements=(pavement(surface="marble", area_m2="500"),),
        runs=(run(seconds="soon", water_kg="4.0"),),
    )
    assert columns_of(path, org) == [
        "area_m2 or area_ft2", "seconds", "surface", "water_kg or water_lb",
    ]  # fmt: skip


def test_a_half_position_is_told_beside_another_fault(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(surface="marble", lon="-92.9"),))
    assert columns_of(path, org) == ["lat", "surface"]


def test_a_faulty_half_of_a_position_does_not_make_the_other_lack(org: Organisation, tmp_path):
    path = folder(tmp_path, pavements=(pavement(lon="west", lat="45"),))
    assert columns_of(path, org) == ["lon"]


def test_both_units_filled_in_are_both_read(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(area_m2="wide", area_ft2="long"),))
    assert columns_of(path, org) == ["area_ft2", "area_ft2", "area_m2"]


def test_a_cell_below_no_name_is_told_with_the_others(org: Organisation, tmp_path: Path):
    text = "ref,,name,site,surface,placed_on,area_m2\nP1,stray,Lot,Mill,marble,2015-05-04,420\n"
    (tmp_path / "pavements.csv").write_text(text)
    assert columns_of(tmp_path, org) == ["column 2", "surface"]


def test_a_shifted_pavement_makes_no_faults_of_its_tests(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(other_ref="J"),), runs=(run(),))
    file = path / "pavements.csv"
    file.write_text(file.read_text().replace("\nP1,", "\none,P1,"))
    assert [fault.row for fault in faults_of(path, org)] == [2]


def test_a_text_read_two_ways_says_what_would_mend_it(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(started_at="03/04/2022"),))
    [fault] = faults_of(path, org)
    assert fault.mend == "Write it so that it can be read in one way alone."
