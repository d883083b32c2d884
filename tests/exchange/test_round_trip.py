"""Out of the record, into an empty one, and out again: the same bytes. And only what is shown."""

import csv
import io
import json
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from django.utils import timezone
from openpyxl import load_workbook

from registry.actions.import_records import import_records
from registry.exchange.files_out import (
    FileIsThere,
    csv_archive,
    geojson,
    write_csv_folder,
    write_workbook,
)
from registry.exchange.guarded_text import SETS_OFF
from registry.exchange.shown import shown_pavements
from registry.models import InfiltrationTest, Organisation, Pavement, PavementNumber
from registry.models.choices import Role
from tests.exchange.folders import folder, pavement, run, sweep
from tests.factories import (
    CleaningFactory,
    InfiltrationTestFactory,
    OrganisationFactory,
    PavementFactory,
    SeatFactory,
    SiteFactory,
    SpotFactory,
)

pytestmark = pytest.mark.django_db
PORTFOLIO = Path(__file__).parents[2] / "fixtures" / "portfolio"
FILES = ("pavements.csv", "infiltration_tests.csv", "sweeps.csv", "defects.csv")
NOW = datetime(2026, 6, 30, 12, tzinfo=UTC)


def org(**fields: object) -> Organisation:
    return OrganisationFactory(time_zone="America/New_York", **fields)


def out(organisation: Organisation, path: Path) -> dict[str, str]:
    write_csv_folder(path, shown_pavements([organisation.pk], timezone.now()), NOW)
    return {name: (path / name).read_bytes().decode() for name in FILES}


def workbook(organisation: Organisation) -> bytes:
    target = io.BytesIO()
    write_workbook(target, shown_pavements([organisation.pk], timezone.now()), NOW)
    return target.getvalue()


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


ODD_PAVEMENTS = (
    pavement(
        ref="=P1",
        name='a "b", c\nd',
        area_m2="",
        area_ft2="602.5",
        lon="-92.9",
        lat="45.16",
        action_rate_in_h="10",
        run_on_m2="0",
        heavy_trees="nk",
    ),
    pavement(
        ref="'P2",
        name="'tis",
        area_m2="nk",
        placed_on="nm",
        action_rate_mm_h="na",
        run_on_m2="33.3333333333333333",
        other_ref="@x",
        winter_sand="na",
    ),
    pavement(ref="P3", area_m2="", use="lot"),
)
ODD_RUNS = (
    run(
        pavement_ref="=P1",
        note="-1 °C, clear",
        ring_mm="",
        ring_in="11.98",
        water_kg="",
        water_lb="8.02",
        prewet_kg="",
        prewet_lb="nk",
        panel="C8",
        right="3.2",
        up="8.5",
    ),
    run(pavement_ref="=P1", seconds="3.42", started_at="2022-11-06T01:30-05:00"),
    run(pavement_ref="=P1", started_at="2022-11-06T01:30-04:00"),
    run(
        pavement_ref="'P2",
        run="1",
        started_at="2022-05-01",
        ring_mm="nm",
        ended="",
        seconds="nk",
    ),
    run(
        pavement_ref="'P2",
        started_at="2022-05-01",
        run="2",
        ended="stopped",
        rain_within_24_h="na",
        method="quick_pour",
        stratum="leaf_side",
    ),
    run(pavement_ref="P3", ring_mm="", water_kg="", prewet_kg="", seconds=""),
)
ODD_SWEEPS = (
    sweep(pavement_ref="P3", panels="+A1 A2", surface_wet="no", debris_yd3="0.4"),
    sweep(pavement_ref="P3", panels="B1", surface_wet="yes", debris_m3="1.25", passes="2"),
    sweep(pavement_ref="P3", done_at="2021-03-01", debris_m3="nm"),
)


def odd_record(path: Path) -> Path:
    """Everything at once: both systems, all kinds of empty, formulas, commas, doubled hours."""
    return folder(path, pavements=ODD_PAVEMENTS, runs=ODD_RUNS, sweeps=ODD_SWEEPS)


@pytest.mark.parametrize("source", ["portfolio", "odd"])
def test_csv_comes_back_byte_for_byte(source: str, tmp_path: Path):
    first, second = org(), org()
    path = PORTFOLIO if source == "portfolio" else odd_record(tmp_path / "in")
    import_records(path, organisation=first)
    written = out(first, tmp_path / "one")
    import_records(tmp_path / "one", organisation=second)
    assert out(second, tmp_path / "two") == written
    assert rows(written["infiltration_tests.csv"])


@pytest.mark.parametrize("source", ["portfolio", "odd"])
def test_a_workbook_comes_back_byte_for_byte(source: str, tmp_path: Path):
    first, second = org(), org()
    path = PORTFOLIO if source == "portfolio" else odd_record(tmp_path / "in")
    import_records(path, organisation=first)
    book = tmp_path / "book.xlsx"
    book.write_bytes(workbook(first))
    import_records(book, organisation=second)
    assert workbook(second) == book.read_bytes()
    assert out(second, tmp_path / "two") == out(first, tmp_path / "one")


def test_records_written_by_hand_come_back_byte_for_byte(tmp_path: Path):
    mine, theirs = org(), org()
    lot = PavementFactory(
        site__time_zone="America/New_York",
        as_written={"area_m2": "1,076 ft²"},
        area_m2=1076 * 0.3048**2,
    )
    SeatFactory(pavement=lot, organisation=mine)
    spot = SpotFactory(pavement=lot, place="C8 · 3.2 R · 8.5 U", stratum="field")
    for seconds in (60.0, 61.5):
        InfiltrationTestFactory(pavement=lot, spot=spot, seconds=seconds, note="x\r\ny ")
    InfiltrationTestFactory(pavement=lot, spot=spot, ring=None, started_on=date(2021, 5, 2))
    CleaningFactory(
        pavement=lot, surface="damp", as_written={"debris_m3": "0.4 yd3"}, debris_m3=0.4 * 0.9144**3
    )
    CleaningFactory(pavement=lot, state="turned_away", why_not="cars")
    written = out(mine, tmp_path / "one")
    tests = rows(written["infiltration_tests.csv"])
    assert [r["run"] for r in tests] == ["1", "1", "2"]
    assert (tests[0]["panel"], tests[0]["right"], tests[0]["up"]) == ("C8", "3.2", "8.5")
    assert (tests[1]["ring_in"], tests[1]["ring_mm"]) == ("12", "")
    [lots], [sweeps] = rows(written["pavements.csv"]), rows(written["sweeps.csv"])
    assert (lots["ref"], lots["area_ft2"]) == (f"record-{lot.pk}", "1076")
    assert (sweeps["debris_yd3"], sweeps["surface_wet"]) == ("0.4", "no")
    import_records(tmp_path / "one", organisation=theirs)
    assert out(theirs, tmp_path / "two") == written


def test_no_cell_sets_off_a_formula(tmp_path: Path):
    mine = org()
    import_records(odd_record(tmp_path / "in"), organisation=mine)
    for text in out(mine, tmp_path / "one").values():
        for line in rows(text):
            texts = [c for name, c in line.items() if c and name not in ("lon", "lat")]
            assert not [c for c in texts if c[0] in SETS_OFF]
    book = tmp_path / "book.xlsx"
    book.write_bytes(workbook(mine))
    cells = [c for sheet in load_workbook(book) for row in sheet.iter_rows() for c in row]
    assert {c.data_type for c in cells} <= {"s", "n", "inlineStr"}
    assert not [c for c in cells if c.hyperlink]


def test_negative_numbers_stay_numbers(tmp_path: Path):
    mine = org()
    import_records(odd_record(tmp_path / "in"), organisation=mine)
    assert rows(out(mine, tmp_path / "one")["pavements.csv"])[1]["lon"] == "-92.9"


def test_void_tests_and_doubles_are_left_out(tmp_path: Path):
    mine = org()
    import_records(
        folder(
            tmp_path / "in", pavements=(pavement(),), runs=(run(), run(point="T2"), run(point="T3"))
        ),
        organisation=mine,
    )
    kept = InfiltrationTest.objects.get(spot__name="T1")
    InfiltrationTest.objects.filter(spot__name="T2").update(void_at=NOW, void_why="wrong")
    InfiltrationTest.objects.filter(spot__name="T3").update(double_of=kept)
    assert len(rows(out(mine, tmp_path / "one")["infiltration_tests.csv"])) == 1


def test_an_organisation_without_pavements_gets_headers_alone(tmp_path: Path):
    """Case 59."""
    for text in out(org(), tmp_path / "one").values():
        assert len(text.splitlines()) == 1


def test_what_is_written_out_is_what_the_seats_show(tmp_path: Path):
    owner, tester, town = org(), org(usual_role=Role.TESTER), org(usual_role=Role.MUNICIPALITY)
    import_records(
        folder(
            tmp_path / "in",
            pavements=(pavement(action_rate_mm_h="254"),),
            runs=(run(), run(point="T2")),
        ),
        organisation=owner,
    )
    lot = PavementNumber.objects.get().pavement
    for organisation in (tester, town):
        SeatFactory(pavement=lot, organisation=organisation, role=organisation.usual_role)
    InfiltrationTest.objects.filter(spot__name="T2").update(submitted_on=date(2024, 1, 1))
    seen = {o: out(o, tmp_path / f"{o.pk}") for o in (owner, tester, town, org())}
    points = {o: [r["point"] for r in rows(t["infiltration_tests.csv"])] for o, t in seen.items()}
    assert [points[o] for o in (owner, tester, town)] == [["T1", "T2"], [], ["T2"]]
    levels = {o: [r["action_rate_mm_h"] for r in rows(t["pavements.csv"])] for o, t in seen.items()}
    assert list(levels.values()) == [["254"], [""], ["254"], []]


def test_a_former_owner_gets_its_own_period_alone(tmp_path: Path):
    seller = org()
    runs = tuple(run(started_at=f"{year}-05-01T10:00") for year in (2021, 2023))
    import_records(folder(tmp_path / "in", pavements=(pavement(),), runs=runs), organisation=seller)
    InfiltrationTest.objects.update(entered_for=org())
    seller.seats.update(to_at=datetime(2022, 1, 1, tzinfo=UTC))
    found = rows(out(seller, tmp_path / "one")["infiltration_tests.csv"])
    assert [r["started_at"] for r in found] == ["2021-05-01T10:00"]


def test_seconds_that_would_be_asked_about_keep_their_unit_on_the_way(tmp_path: Path):
    made = folder(tmp_path / "in", pavements=[pavement()], runs=[run(seconds="3.42 s")])
    for turn, mine in enumerate((org(), org())):
        import_records(made, organisation=mine)
        made = tmp_path / f"out{turn}"
        assert ",3.42 s," in out(mine, made)["infiltration_tests.csv"]
    assert [t.seconds for t in InfiltrationTest.objects.all()] == [3.42, 3.42]


def test_geojson_holds_a_point_for_each_position_and_null_for_none(tmp_path: Path):
    mine = org()
    import_records(odd_record(tmp_path / "in"), organisation=mine)
    found = json.loads("".join(geojson(shown_pavements([mine.pk], NOW), NOW)))
    by_ref = {f["properties"]["ref"]: f for f in found["features"]}
    assert by_ref["=P1"]["geometry"] == {"type": "Point", "coordinates": [-92.9, 45.16]}
    assert by_ref["P3"]["geometry"] is None
    assert by_ref["=P1"]["properties"]["area_ft2"] == 602.5


def test_geojson_points_to_what_the_map_shows_and_says_whose_position_it_is(tmp_path: Path):
    mine = org()
    places = {
        "datum": {"datum_lon": -70.1, "datum_lat": 44.1, "lon": -70.2, "lat": 44.2},
        "pavement": {"lon": -70.3, "lat": 44.3},
        "site": {"site": SiteFactory(lon=-70.4, lat=44.4)},
    }
    for place in places.values():
        SeatFactory(pavement=PavementFactory(**place), organisation=mine)
    on_map = Pavement.objects.with_points().values_list("map_lon", "map_lat")
    found = json.loads("".join(geojson(shown_pavements([mine.pk], NOW), NOW)))
    told = {
        f["properties"]["position_of"]: tuple(f["geometry"]["coordinates"])
        for f in found["features"]
    }
    assert told == {"datum": (-70.1, 44.1), "pavement": (-70.3, 44.3), "site": (-70.4, 44.4)}
    assert set(told.values()) == set(on_map)


def test_an_archive_holds_the_same_files_and_comes_in_pieces_from_one_reading(
    tmp_path: Path, django_assert_max_num_queries
):
    mine = org()
    import_records(PORTFOLIO, organisation=mine)
    with django_assert_max_num_queries(12):
        pieces = list(csv_archive(shown_pavements([mine.pk], timezone.now()), NOW))
    assert len(pieces) > 60
    with zipfile.ZipFile(io.BytesIO(b"".join(pieces))) as archive:
        held = {name: archive.read(name).decode() for name in archive.namelist()}
    assert held == {name: out(mine, tmp_path / name)[name] for name in FILES}


def test_nothing_is_overwritten(tmp_path: Path):
    mine = org()
    out(mine, tmp_path)
    with pytest.raises(FileIsThere, match="is there already"):
        out(mine, tmp_path)


def test_queries_of_writing_out_do_not_grow_with_the_rows(
    tmp_path: Path, django_assert_max_num_queries
):
    mine = org()
    import_records(PORTFOLIO, organisation=mine)
    with django_assert_max_num_queries(12):
        out(mine, tmp_path / "one")
