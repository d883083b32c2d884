"""Rows against the record: what is the same, though said otherwise, and what differs."""

import csv
from datetime import UTC, datetime
from pathlib import Path

import pytest

from registry.actions.import_records import import_records
from registry.exchange.files_out import write_csv_folder
from registry.exchange.problems import SpreadsheetRefused
from registry.exchange.shown import shown_pavements
from registry.models import (
    Cleaning,
    ImportBatch,
    InfiltrationTest,
    Organisation,
    Pavement,
    PavementNumber,
    Site,
)
from registry.models.choices import Role
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    InfiltrationTestFactory,
    NumberFactory,
    OrganisationFactory,
    PavementFactory,
    SeatFactory,
    SpotFactory,
)

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 6, 30, 12, tzinfo=UTC)


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


@pytest.fixture
def seen(tmp_path: Path) -> tuple[Organisation, Path]:
    """An organisation with a seat, a test and a cleaning at a pavement without a number of its own,
    and all of it written out."""
    org = OrganisationFactory(time_zone="America/New_York")
    lot = PavementFactory(site__time_zone="America/New_York", name="North lot", area_m2=420.0)
    SeatFactory(pavement=lot, organisation=org)
    CriteriaFactory(pavement=lot)
    InfiltrationTestFactory(pavement=lot, spot=SpotFactory(pavement=lot))
    CleaningFactory(pavement=lot)
    write_csv_folder(tmp_path / "out", shown_pavements([org.pk], NOW), NOW)
    return org, tmp_path / "out"


def outcome_of(path: Path, org: Organisation) -> ImportBatch:
    return import_records(path, organisation=org).batch


def test_what_was_written_out_without_an_own_number_changes_nothing(seen):
    org, path = seen
    assert dict(outcome_of(path, org).known) == {
        "pavements": 1, "infiltration_tests": 1, "sweeps": 1,
    }  # fmt: skip
    assert (Pavement.objects.count(), PavementNumber.objects.count()) == (1, 0)
    assert (InfiltrationTest.objects.count(), Cleaning.objects.count()) == (1, 1)


def test_it_is_known_once_it_has_got_a_number_too_but_not_under_both(seen, tmp_path: Path):
    org, path = seen
    lot = Pavement.objects.get()
    PavementNumber.objects.create(pavement=lot, organisation=org, number="N-1")
    assert dict(outcome_of(path, org).known)["pavements"] == 1
    rows = (run(pavement_ref="N-1"), run(pavement_ref=f"record-{lot.pk}"))
    assert refusal(org, tmp_path, runs=rows) == [
        ("pavement_ref", f"record-{lot.pk} and N-1 are one pavement in the record.")
    ]


def test_a_void_pavement_without_a_number_does_not_come_back_unasked(seen):
    org, path = seen
    Pavement.objects.update(void_at=NOW, void_why="entered twice")
    with pytest.raises(
        SpreadsheetRefused, match="stands for a pavement of the record that is void"
    ):
        import_records(path, organisation=org)


def test_a_number_that_looks_like_none_stays_told_from_what_has_none(seen, tmp_path: Path):
    org, _ = seen
    lot = Pavement.objects.get()
    NumberFactory(
        organisation=org, number=f"record-{lot.pk}", pavement=SeatFactory(organisation=org).pavement
    )
    refs = [shown.ref for shown in shown_pavements([org.pk], NOW, with_records=False)]
    assert refs == [f"record-{lot.pk}", f"record-{lot.pk}-{lot.pk}"]
    write_csv_folder(tmp_path / "two", shown_pavements([org.pk], NOW), NOW)
    assert dict(outcome_of(tmp_path / "two", org).known)["pavements"] == 2


def test_a_new_ref_for_a_pavement_of_the_same_names_is_asked_about(org, tmp_path: Path):
    rows = (pavement(ref="Q7", name="lot"), pavement(ref="Q8", name="Lot", site="Mill Lane East"))
    batch = outcome_of(folder(tmp_path, pavements=rows), org)
    assert [(d["row"], d["column"]) for d in batch.doubts if d["column"] == "name"] == [(2, "name")]
    assert "at a site “Mill Lane” already, P1." in batch.doubts[0]["message"]


@pytest.mark.parametrize("is_over", [False, True])
def test_a_level_that_the_seat_hides_is_not_told_by_a_difference(seen, tmp_path: Path, is_over):
    lot = Pavement.objects.get()
    tester = SeatFactory(pavement=lot, role=Role.TESTER, to_at=NOW if is_over else None)
    row = pavement(ref=f"record-{lot.pk}", name="North lot", site="", action_rate_mm_h="1")
    row = {**row, "site": lot.site.name, "placed_on": "", "area_m2": ""}
    assert refusal(seen[0], tmp_path / "keeper", pavements=(row,))[-1][0] == "action_rate_mm_h"
    path = folder(tmp_path / "tester", pavements=(row,))
    assert dict(outcome_of(path, tester.organisation).known) == {"pavements": 1}


def hidden_rows(written_out: Path) -> tuple[dict, dict]:
    """Return the rows of the test and of the cleaning in the record, as its readers have them."""
    rows = []
    for table in ("infiltration_tests", "sweeps"):
        with (written_out / f"{table}.csv").open(newline="", encoding="utf-8") as file:
            rows += list(csv.DictReader(file))
    test, done = rows
    return test, done


@pytest.mark.parametrize("guessed", [{"seconds": "1"}, {}])
def test_a_test_that_the_seat_hides_is_told_of_without_its_values(seen, tmp_path: Path, guessed):
    """A guess is answered alike whether it is right or wrong."""
    lot = Pavement.objects.get()
    row = hidden_rows(seen[1])[0] | guessed
    tester = SeatFactory(pavement=lot, role=Role.TESTER).organisation
    assert refusal(tester, tmp_path, runs=(row,)) == [
        (
            "pavement_ref, point, started_at",
            f"A run of this point and start is recorded at record-{lot.pk} already. Your seat does "
            "not show it, so the row is neither compared with it nor stored.",
        )
    ]
    assert InfiltrationTest.objects.count() == 1


def test_a_cleaning_that_the_seat_hides_is_told_of_without_its_values(seen, tmp_path: Path):
    lot = Pavement.objects.get()
    _, row = hidden_rows(seen[1])
    sweeper = SeatFactory(pavement=lot, role=Role.SWEEPER).organisation
    [(column, message)] = refusal(sweeper, tmp_path, sweeps=({**row, "passes": "9"},))
    assert column == "pavement_ref, done_at, method"
    assert message.startswith("A cleaning of this time and method is recorded")


def test_who_writes_nothing_there_is_not_told_that_anything_is_recorded(seen, tmp_path: Path):
    lot = Pavement.objects.get()
    row, swept = hidden_rows(seen[1])
    sweeper = SeatFactory(pavement=lot, role=Role.SWEEPER).organisation
    tester = SeatFactory(pavement=lot, role=Role.TESTER).organisation
    for side, rows in ((sweeper, {"runs": (row,)}), (tester, {"sweeps": (swept,)})):
        [(_, message)] = refusal(side, tmp_path / side.name, **rows)
        assert f"holds no seat at record-{lot.pk} that writes" in message


def test_a_tester_s_own_test_comes_back_and_another_run_beside_a_hidden_one_comes_in(
    seen, tmp_path: Path
):
    lot = Pavement.objects.get()
    row, _ = hidden_rows(seen[1])
    tester = SeatFactory(pavement=lot, role=Role.TESTER).organisation
    rows = ({**row, "run": "2"}, {**row, "point": "T9"})
    first = outcome_of(folder(tmp_path / "a", runs=rows), tester)
    again = outcome_of(folder(tmp_path / "b", runs=(*rows, {**row, "point": "T8"})), tester)
    assert first.counts["infiltration_tests"] == 2
    assert dict(again.known) == {"infiltration_tests": 2}
