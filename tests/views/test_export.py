"""Files out of a page: what the person may see, sent while it is made."""

import io
import json
import zipfile
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse
from python_calamine import CalamineWorkbook

from registry.actions.import_records import import_records
from tests.exchange.folders import folder, pavement, run
from tests.factories import MembershipFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(client: Client, tmp_path: Path) -> Client:
    member = MembershipFactory()
    path = folder(tmp_path / "in", pavements=(pavement(lon="-74", lat="40.7"),), runs=(run(),))
    import_records(path, organisation=member.organisation)
    client.force_login(member.person)
    return client


def sent(client: Client, form: str) -> bytes:
    response = client.get(reverse("export_file", args=[form]))
    assert response.status_code == 200
    assert response["Content-Disposition"].startswith("attachment")
    return b"".join(response.streaming_content)


def test_csv_files_come_in_an_archive(browser: Client):
    with zipfile.ZipFile(io.BytesIO(sent(browser, "csv"))) as archive:
        assert archive.testzip() is None
        assert b"P1,Lot,Mill Lane" in archive.read("pavements.csv")
        assert b"P1,T1,2023-05-01T10:00" in archive.read("infiltration_tests.csv")


def test_a_workbook_has_a_sheet_for_each_table(browser: Client):
    book = CalamineWorkbook.from_filelike(io.BytesIO(sent(browser, "xlsx")))
    assert book.sheet_names == ["pavements", "infiltration_tests", "sweeps", "defects"]
    assert book.get_sheet_by_name("pavements").to_python()[1][:2] == ["P1", "Lot"]


def test_geojson_has_a_point(browser: Client):
    [feature] = json.loads(sent(browser, "geojson"))["features"]
    assert feature["geometry"]["coordinates"] == [-74.0, 40.7]


def test_another_persons_file_is_empty(browser: Client):
    other = Client()
    other.force_login(MembershipFactory().person)
    assert json.loads(sent(other, "geojson"))["features"] == []
    assert "no pavement" in other.get(reverse("export_page")).content.decode()


def test_an_unknown_form_of_file_is_not_found(browser: Client):
    assert browser.get(reverse("export_file", args=["doc"])).status_code == 404


def test_the_page_offers_every_form(browser: Client):
    text = browser.get(reverse("export_page")).content.decode()
    for form in ("csv", "xlsx", "geojson"):
        assert reverse("export_file", args=[form]) in text
