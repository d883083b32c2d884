"""The commands as a person calls them: words, exit status, streams."""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from registry.models import InfiltrationTest, Pavement, PavementStanding
from tests.exchange.folders import folder, pavement, run
from tests.factories import OrganisationFactory

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).parents[2]
PORTFOLIO = ROOT / "fixtures" / "portfolio"


@pytest.fixture(autouse=True)
def org() -> None:
    OrganisationFactory(name="Brindle Court", time_zone="America/New_York")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    return folder(tmp_path / "in", pavements=(pavement(),), runs=(run(), run(point="T2")))


def call(*words: object, **options: object) -> tuple[str, str]:
    out, err = StringIO(), StringIO()
    try:
        call_command(*map(str, words), stdout=out, stderr=err, **options)
    except CommandError as fault:
        return out.getvalue(), err.getvalue() + f"CommandError: {fault}"
    return out.getvalue(), err.getvalue()


def test_the_portfolio_comes_in_with_a_report_and_conditions():
    out, err = call("import_records", PORTFOLIO, "--for", "Brindle Court")
    assert err == ""
    assert "Stored: 60 pavements, 492 infiltration tests, 203 cleanings." in out
    assert "Times at new sites were read as America/New_York" in out
    assert "expected.json was not read" in out
    assert PavementStanding.objects.filter(viewpoint="holder").count() == 60


def test_every_doubt_is_told_with_file_row_column_and_mend(tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(),), runs=(run(rain_within_24_h="yes"),))
    out, _ = call("import_records", path, "--for", "Brindle Court")
    assert (
        "? infiltration_tests.csv, row 2, rain_within_24_h: "
        "Rain ended less than 24 h before the test. Test again when dry." in out
    )
    assert "Doubts: 1" in out


def test_a_dry_run_says_what_would_be_stored_and_stores_nothing(small: Path):
    out, _ = call("import_records", small, "--for", "Brindle Court", "--dry-run")
    assert "Would be stored: 1 pavement, 2 infiltration tests." in out
    assert not Pavement.objects.exists()


def test_the_second_time_nothing_is_changed(small: Path):
    call("import_records", small, "--for", "Brindle Court")
    out, _ = call("import_records", small, "--for", "Brindle Court")
    assert out.strip().endswith("Nothing was changed.")
    assert InfiltrationTest.objects.count() == 2


def test_faults_go_to_standard_error_one_line_each(tmp_path: Path):
    path = folder(tmp_path, pavements=(pavement(surface="x"), pavement(ref="P2", use="y")))
    out, err = call("import_records", path, "--for", "Brindle Court")
    assert out == ""
    lines = err.splitlines()
    assert [line.split(": ")[0] for line in lines] == [
        "pavements.csv, row 2, surface",
        "pavements.csv, row 3, use",
        "CommandError",
    ]
    assert lines[-1] == "CommandError: Nothing was stored: 2 to be mended."


def test_an_unknown_organisation_or_time_zone_is_told():
    assert "no organisation “X”" in call("import_records", PORTFOLIO, "--for", "X")[1]
    wrong = call("import_records", PORTFOLIO, "--for", "Brindle Court", "--time-zone", "Mars/A")
    assert "“Mars/A” is not a time zone" in wrong[1]
    assert "no organisation “X”" in call("export_records", "x", "--for", "X")[1]


@pytest.mark.parametrize("name", ["book.xlsx", "points.geojson"])
def test_files_are_written_and_never_overwritten(small: Path, tmp_path: Path, name: str):
    call("import_records", small, "--for", "Brindle Court")
    form = name.rsplit(".", 1)[-1]
    words = ("export_records", tmp_path / name, "--for", "Brindle Court", "--format", form)
    out, err = call(*words)
    assert err == "" and str(tmp_path / name) in out
    assert "is there already" in call(*words)[1]


def test_csv_files_are_written_into_a_folder(small: Path, tmp_path: Path):
    call("import_records", small, "--for", "Brindle Court")
    out, _ = call("export_records", tmp_path / "out", "--for", "Brindle Court")
    assert out.startswith("3 rows")
    assert {p.name for p in (tmp_path / "out").iterdir()} == {
        "pavements.csv",
        "infiltration_tests.csv",
        "sweeps.csv",
        "defects.csv",
    }


def test_geojson_is_geojson(small: Path, tmp_path: Path):
    call("import_records", small, "--for", "Brindle Court")
    path = tmp_path / "points.geojson"
    call("export_records", path, "--for", "Brindle Court", "--format", "geojson")
    found = json.loads(path.read_text())
    assert found["type"] == "FeatureCollection" and len(found["features"]) == 1


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path):
    (tmp_path / "file").write_text("x")
    _, err = call("export_records", tmp_path / "file" / "out", "--for", "Brindle Court")
    assert "cannot be written" in err
