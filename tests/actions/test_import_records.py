"""Spreadsheets into the record: what is stored, how it is judged, and what changes nothing."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from registry.actions.import_records import import_records
from registry.actions.judge_tests import judge_tests
from registry.exchange.problems import SpreadsheetRefused
from registry.models import (
    Cleaning,
    Criteria,
    ImportBatch,
    InfiltrationTest,
    JournalLine,
    Organisation,
    Pavement,
    PavementNumber,
    RunOnArea,
    Seat,
    Site,
    Spot,
)
from registry.models.choices import Role
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import OrganisationFactory, PanelFactory, PavementFactory, SeatFactory

pytestmark = pytest.mark.django_db
PORTFOLIO = Path(__file__).parents[2] / "fixtures" / "portfolio"


@pytest.fixture
def org() -> Organisation:
    return OrganisationFactory(time_zone="America/New_York", system="si")


def faults_of(path: Path, org: Organisation) -> list[str]:
    with pytest.raises(SpreadsheetRefused) as refused:
        import_records(path, organisation=org)
    return [str(problem) for problem in refused.value.problems]


def doubts_of(path: Path, org: Organisation) -> list[str]:
    return [str(p) for p in import_records(path, organisation=org).prepared.records.doubts.listed]


def test_the_portfolio_comes_in_without_an_error(org: Organisation):
    batch = import_records(PORTFOLIO, organisation=org).batch
    assert batch.counts == {"pavements": 60, "infiltration_tests": 492, "sweeps": 203}
    assert Pavement.objects.count() == PavementNumber.objects.count() == Seat.objects.count() == 60
    assert (InfiltrationTest.objects.count(), Cleaning.objects.count()) == (492, 203)
    assert Criteria.objects.filter(action_rate_mm_h=254, action_rate_is_given=True).count() == 60
    assert batch.notes[-1] == (
        f"Times at new sites were read as America/New_York, the local time of {org}."
    )


def test_imported_tests_stand_as_if_typed_in_by_hand(org: Organisation):
    """Judging all of them anew, as after any entry by hand, changes nothing."""
    import_records(PORTFOLIO, organisation=org)
    assert judge_tests(Pavement.objects.values_list("pk", flat=True)) == 0
    assert InfiltrationTest.objects.filter(use="bound", result_sign="<").count() > 0


def test_readings_texts_times_and_rights_are_kept(org: Organisation, tmp_path: Path):
    path = folder(
        tmp_path,
        pavements=(
            pavement(
                area_m2="",
                area_ft2="602",
                action_rate_in_h="10",
                run_on_m2="55.5",
                heavy_trees="nk",
                use="nk",
                other_ref="JOB-7",
            ),
        ),
        runs=(
            run(
                ring_mm="",
                water_kg="",
                prewet_kg="",
                ring_in="11.98",
                water_lb="8.02",
                prewet_lb="8.00",
                seconds="3:42",
                note="windy",
            ),
        ),
    )
    import_records(path, organisation=org)
    lot, row = Pavement.objects.get(), InfiltrationTest.objects.get()
    assert lot.area_m2 == pytest.approx(602 * 0.3048**2)
    assert (lot.written("area_m2"), lot.written("other_ref")) == ("602 ft²", "JOB-7")
    assert (lot.heavy_trees, lot.use, lot.empties) == ("nk", "", {"use": "nk"})
    assert Criteria.objects.get().action_rate_mm_h == 254
    run_on = RunOnArea.objects.get()
    assert (run_on.kind, run_on.area_m2, run_on.runoff_coefficient) == ("paved", 55.5, None)
    assert (row.system, row.ring, row.water, row.prewet_water) == ("inch_pound", 11.98, 8.02, 8.0)
    assert (row.seconds, row.written("seconds"), row.note) == (222, "3:42", "windy")
    assert row.written("ring") == "11.98 in"
    assert row.started_at == datetime(2023, 5, 1, 14, 0, tzinfo=UTC)
    # K = 126 870 of the pound system: 126870 x 8.02 / (11.98^2 x 222)
    assert row.result_value == pytest.approx(31.9350, abs=1e-3)
    seat = Seat.objects.get()
    assert (seat.role, seat.organisation) == (Role.OWNER, org)
    assert seat.from_at == datetime(2015, 5, 4, 4, 0, tzinfo=UTC)


def test_the_journal_says_what_came_in_for_each_pavement(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(), run(point="T2")))
    batch = import_records(path, organisation=org).batch
    line = JournalLine.objects.get(pavement=Pavement.objects.get())
    assert (line.verb, line.why) == ("brought in", "1 pavement, 2 infiltration tests")
    assert (line.subject_id, line.by_organisation) == (batch.pk, org)


def test_a_dry_run_stores_nothing(org: Organisation):
    outcome = import_records(PORTFOLIO, organisation=org, dry_run=True)
    assert outcome.batch.counts["infiltration_tests"] == 492
    for model in (Pavement, ImportBatch, Site, Spot, JournalLine):
        assert not model.objects.exists()


def test_the_same_files_twice_change_nothing(org: Organisation):
    first = import_records(PORTFOLIO, organisation=org)
    again = import_records(PORTFOLIO, organisation=org)
    assert again.was_in_before and again.batch == first.batch
    assert InfiltrationTest.objects.count() == 492


def test_the_same_rows_in_another_file_are_known(org: Organisation, tmp_path: Path):
    import_records(
        folder(tmp_path / "a", pavements=(pavement(),), runs=(run(),), sweeps=(sweep(),)),
        organisation=org,
    )
    more = folder(
        tmp_path / "b",
        pavements=(pavement(), pavement(ref="P2", name="Path")),
        runs=(run(point="T2"), run()),
        sweeps=(sweep(),),
    )
    batch = import_records(more, organisation=org).batch
    assert batch.known == {"pavements": 1, "infiltration_tests": 1, "sweeps": 1}
    assert batch.counts == {"pavements": 1, "infiltration_tests": 1, "sweeps": 0}
    assert InfiltrationTest.objects.count() == 2


def test_rows_that_differ_from_the_record_name_the_difference(org: Organisation, tmp_path: Path):
    import_records(
        folder(tmp_path / "a", pavements=(pavement(),), runs=(run(),), sweeps=(sweep(passes="2"),)),
        organisation=org,
    )
    other = folder(
        tmp_path / "b",
        pavements=(pavement(name="Car park"),),
        runs=(run(seconds="130"),),
        sweeps=(sweep(passes="3"),),
    )
    assert [f.split(". ")[0] for f in faults_of(other, org)] == [
        "pavements.csv, row 2, name: The record has “Lot” here, the file “Car park”",
        "infiltration_tests.csv, row 2, seconds: The record has 120.5 here, the file 130",
        "sweeps.csv, row 2, passes: The record has “2” here, the file “3”",
    ]
    assert InfiltrationTest.objects.count() == 1


def test_an_area_that_is_10_76_times_another_is_told_so(org: Organisation, tmp_path: Path):
    """Case 31: 446 in the ft2 column for 4 800."""
    first = folder(tmp_path / "a", pavements=(pavement(area_m2="", area_ft2="4800"),))
    import_records(first, organisation=org)
    again = folder(tmp_path / "b", pavements=(pavement(area_m2="", area_ft2="446"),))
    [fault] = faults_of(again, org)
    assert "They differ 10.76 times, as m² and ft² do." in fault


def test_blank_cells_say_nothing_against_the_record(org: Organisation, tmp_path: Path):
    import_records(folder(tmp_path / "a", pavements=(pavement(),), runs=(run(),)), organisation=org)
    thin = folder(tmp_path / "b", runs=(run(prewet_kg="", prewet_seconds="", seconds="nk"),))
    assert import_records(thin, organisation=org).batch.known == {"infiltration_tests": 1}


def test_kilograms_in_the_pound_column_are_asked_about(org: Organisation, tmp_path: Path):
    """Case 13: 3.63 kg written where pounds belong; stored as written and kept out of the trend."""
    path = folder(
        tmp_path,
        pavements=(pavement(),),
        runs=(
            run(
                ring_mm="",
                ring_in="12",
                water_kg="",
                water_lb="3.63",
                prewet_kg="",
                prewet_lb="8",
                prewet_seconds="57",
            ),
        ),
    )
    doubts = doubts_of(path, org)
    assert any("3.63 lb is no pour of the method, but 3.63 kg is" in d for d in doubts)
    row = InfiltrationTest.objects.get()
    assert (row.water, row.system, row.use) == (3.63, "inch_pound", "looked_at")


def test_both_systems_in_one_file_are_each_computed_in_their_own(org: Organisation, tmp_path: Path):
    """Case 15."""
    pounds = run(point="T2", ring_mm="", ring_in="12", water_kg="", water_lb="8", prewet_kg="")
    import_records(
        folder(tmp_path, pavements=(pavement(),), runs=(run(), pounds)), organisation=org
    )
    found = dict(InfiltrationTest.objects.values_list("system", "result_constant"))
    assert found == {"si": 4_583_666_000.0, "inch_pound": 126_870.0}


def test_thousands_and_decimal_commas_are_read_by_the_range_of_the_column(
    org: Organisation, tmp_path: Path
):
    """Case 17: 11,98 in and 1,450 m² are each read one way, and asked about."""
    path = folder(
        tmp_path,
        pavements=(pavement(area_m2="1,450"),),
        runs=(run(ring_mm="", ring_in="11,98", water_kg="", water_lb="8", prewet_kg=""),),
    )
    asked = [d for d in doubts_of(path, org) if "was read as" in d]
    assert "“1,450” was read as 1450 m²" in asked[0]
    assert "“11,98” was read as 11.98 in" in asked[1]
    assert InfiltrationTest.objects.get().ring == 11.98
    assert Pavement.objects.get().area_m2 == 1450


def test_an_hour_that_came_twice_is_asked_for_and_the_day_kept(org: Organisation, tmp_path: Path):
    """Case 38: 01:30 on the night the clocks went back."""
    path = folder(
        tmp_path,
        pavements=(pavement(),),
        runs=(
            run(started_at="2022-11-06T01:30"),
            run(point="T2", started_at="2022-11-06T01:30-05:00"),
        ),
    )
    assert any("came twice that night" in d for d in doubts_of(path, org))
    first, second = InfiltrationTest.objects.order_by("spot__name")
    assert (first.started_on, first.started_at) == (date(2022, 11, 6), None)
    assert second.started_at == datetime(2022, 11, 6, 6, 30, tzinfo=UTC)


def test_a_day_without_a_clock_is_a_day_and_not_midnight(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(started_at="2024-02-29"),))
    import_records(path, organisation=org)
    row = InfiltrationTest.objects.get()
    assert (row.started_on, row.started_at) == (date(2024, 2, 29), None)


def test_runs_without_a_number_are_counted_by_the_clock(org: Organisation, tmp_path: Path):
    runs = (run(started_at="2023-05-01T10:20"), run(), run(started_at="2023-05-01T10:40"))
    import_records(folder(tmp_path, pavements=(pavement(),), runs=runs), organisation=org)
    found = InfiltrationTest.objects.order_by("started_at").values_list("run", "use")
    assert list(found) == [(1, "trend"), (2, "trend"), (3, "looked_at")]


def test_nothing_depends_on_the_order_of_rows(org: Organisation, tmp_path: Path):
    """Case 60: ten years of paper, typed in any order, a part of it later."""
    years = [
        run(started_at=f"{y}-05-01T10:00", seconds=str(60 + 9 * (y - 2016)))
        for y in range(2016, 2024)
    ]
    import_records(
        folder(tmp_path / "a", pavements=(pavement(),), runs=tuple(years)), organisation=org
    )
    other = OrganisationFactory(time_zone="America/New_York")
    import_records(
        folder(tmp_path / "b", pavements=(pavement(),), runs=tuple(reversed(years[::2]))),
        organisation=other,
    )
    import_records(folder(tmp_path / "c", runs=tuple(years[1::2])), organisation=other)
    fields = ("started_at", "result_rate_mm_h", "use", "doubts")
    mine, theirs = (
        list(InfiltrationTest.objects.filter(entered_for=o).in_order().values(*fields))
        for o in (org, other)
    )
    assert mine == theirs and len(mine) == 8


def test_one_name_of_two_sites_is_never_taken_for_one(org: Organisation, tmp_path: Path):
    """Case 30."""
    import_records(folder(tmp_path / "a", pavements=(pavement(),)), organisation=org)
    doubts = doubts_of(folder(tmp_path / "b", pavements=(pavement(ref="P2", name="East"),)), org)
    assert "A new site is made" in doubts[0]
    assert Site.objects.filter(name="Mill Lane").count() == 2


def test_a_site_is_found_by_name_and_position_together(org: Organisation, tmp_path: Path):
    at = {"lon": "-74.0", "lat": "40.7"}
    import_records(folder(tmp_path / "a", pavements=(pavement(**at),)), organisation=org)
    near = pavement(ref="P2", name="East", lon="-74.001", lat="40.701")
    assert doubts_of(folder(tmp_path / "b", pavements=(near,)), org) == []
    assert Site.objects.count() == 1


def test_a_site_of_the_record_keeps_its_own_local_time(org: Organisation, tmp_path: Path):
    import_records(folder(tmp_path / "a", pavements=(pavement(),)), organisation=org)
    path = folder(tmp_path / "b", runs=(run(),))
    import_records(path, organisation=org, time_zone="Asia/Tokyo")
    assert InfiltrationTest.objects.get().started_at == datetime(2023, 5, 1, 14, 0, tzinfo=UTC)


def test_a_place_on_a_panel_becomes_a_place_on_the_plan(org: Organisation, tmp_path: Path):
    lot = PavementFactory(site__time_zone="America/New_York")
    SeatFactory(pavement=lot, organisation=org)
    PavementNumber.objects.create(pavement=lot, organisation=org, number="P1")
    panel = PanelFactory(pavement=lot, name="B2", right_m=3.0, up_m=6.0)
    path = folder(
        tmp_path,
        runs=(
            run(panel="B2", right="1.5", up="2", stratum="wheel_path"),
            run(point="T2", panel="Z9"),
        ),
    )
    doubts = doubts_of(path, org)
    spot = Spot.objects.get(name="T1")
    assert (spot.panel, spot.right_m, spot.up_m, spot.stratum) == (panel, 4.5, 8.0, "wheel_path")
    assert spot.place == "B2 · 1.5 R · 2 U"
    assert any("no panel Z9" in doubt for doubt in doubts)


def test_stratum_of_a_new_point_is_the_one_that_any_of_its_rows_names(
    org: Organisation, tmp_path: Path
):
    later = run(started_at="2024-05-01T10:00", stratum="run_on_edge")
    for name, runs in (("a", (run(stratum=""), later)), ("b", (later, run(stratum="")))):
        path = folder(tmp_path / name, pavements=(pavement(ref=f"P{name}"),), runs=tuple(
            {**row, "pavement_ref": f"P{name}"} for row in runs
        ))  # fmt: skip
        import_records(path, organisation=org)
    assert set(Spot.objects.values_list("stratum", flat=True)) == {"run_on_edge"}
    Spot.objects.update(stratum="")
    path = folder(tmp_path / "c", runs=(
        {**later, "pavement_ref": "Pa", "started_at": "2025-05-01T10:00"},
    ))  # fmt: skip
    assert any("at no stratum in the record, and here at run_on_edge" in d
               for d in doubts_of(path, org))  # fmt: skip


def test_rows_for_a_pavement_without_a_seat_that_writes_are_refused(tmp_path: Path):
    sweeper = OrganisationFactory(usual_role=Role.SWEEPER)
    lot = SeatFactory(organisation=sweeper, role=Role.SWEEPER).pavement
    PavementNumber.objects.create(pavement=lot, organisation=sweeper, number="P1")
    path = folder(tmp_path, runs=(run(),), sweeps=(sweep(),))
    [fault] = faults_of(path, sweeper)
    assert "holds no seat at P1 that writes infiltration_tests" in fault
    assert not Cleaning.objects.exists()


def test_another_organisations_pavements_are_not_found_by_their_ref(
    org: Organisation, tmp_path: Path
):
    import_records(folder(tmp_path / "a", pavements=(pavement(),)), organisation=org)
    [fault] = faults_of(folder(tmp_path / "b", runs=(run(),)), OrganisationFactory())
    assert "There is no pavement P1" in fault


def test_the_number_of_a_void_pavement_is_not_given_twice(org: Organisation, tmp_path: Path):
    import_records(folder(tmp_path / "a", pavements=(pavement(),)), organisation=org)
    Pavement.objects.update(void_at=datetime(2024, 1, 1, tzinfo=UTC), void_why="never built")
    again = folder(tmp_path / "b", pavements=(pavement(name="Path"),))
    [fault] = faults_of(again, org)
    assert "P1 is the number of a void pavement" in fault


def test_a_fault_in_the_last_row_keeps_all_of_it_out(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(), run(point="T2", seconds="0")))
    faults_of(path, org)
    assert not Pavement.objects.exists()
    assert not ImportBatch.objects.exists()


def test_tests_before_placing_are_asked_about(org: Organisation, tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(placed_on="2023-06-01"),), runs=(run(),))
    assert any("dated before the pavement was placed" in d for d in doubts_of(path, org))


def test_nothing_is_computed_of_what_nobody_wrote_down(org: Organisation, tmp_path: Path):
    """Case 11: no ring, no rate."""
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(ring_mm="nm"),))
    import_records(path, organisation=org)
    row = InfiltrationTest.objects.get()
    assert (row.result_value, row.use, row.empties) == (None, "not_computed", {"ring": "nm"})


def test_number_of_queries_does_not_grow_with_the_rows(
    org: Organisation, tmp_path: Path, django_assert_max_num_queries
):
    few = tuple(run(point=f"T{n}") for n in range(3))
    many = tuple(run(point=f"T{n}") for n in range(200))
    with django_assert_max_num_queries(45):
        import_records(folder(tmp_path / "a", pavements=(pavement(),), runs=few), organisation=org)
    with django_assert_max_num_queries(45):
        import_records(folder(tmp_path / "b", runs=many), organisation=org)


def test_a_time_that_can_be_read_twice_says_so_in_the_place_of_the_rate(
    org: Organisation, tmp_path: Path
):
    """Case 16."""
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(seconds="3.42"),))
    [doubt] = doubts_of(path, org)
    assert "3 min 42 s gives 826 mm/h" in doubt
    row = InfiltrationTest.objects.get()
    assert (row.seconds, row.use, row.no_result_code) == (None, "not_computed", "time_unclear")
    assert "“3.42” can be read in more ways than one" in row.no_result_reason
