"""Spreadsheets on a page, without scripts: choose, look, store, stop, take back."""

from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.actions.work_on_import import work_on_import
from registry.models import ImportBatch, InfiltrationTest, Membership, Pavement
from tests.exchange.folders import folder, pavement, run
from tests.factories import MembershipFactory, OrganisationFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def member() -> Membership:
    return MembershipFactory(organisation__name="Brindle Court")


@pytest.fixture
def browser(client: Client, member: Membership) -> Client:
    client.force_login(member.person)
    return client


def choose(browser: Client, member: Membership, path: Path, **fields: str):
    files = [SimpleUploadedFile(p.name, p.read_bytes()) for p in sorted(path.iterdir())]
    form = {"organisation": member.organisation_id, "chosen": files, **fields}
    return browser.post(reverse("import_page"), form)


def page(browser: Client, batch: ImportBatch) -> str:
    return browser.get(reverse("import_batch_page", args=[batch.pk])).content.decode()


def press(browser: Client, batch: ImportBatch, what: str, **fields: str) -> str:
    address = reverse(f"import_batch_{what}", args=[batch.pk])
    return browser.post(address, fields, follow=True).content.decode()


@pytest.fixture
def small(tmp_path: Path) -> Path:
    doubtful = run(point="T2", rain_within_24_h="yes")
    return folder(tmp_path / "in", pavements=(pavement(),), runs=(run(), doubtful))


def test_files_that_were_lost_on_the_way_are_counted_where_the_page_told_how_many(
    browser: Client, member: Membership, small: Path
):
    count = len(list(small.iterdir()))
    answer = choose(browser, member, small, **{"chosen-count": str(count + 1)})
    (why,) = answer.context["form"].errors["chosen"]
    assert why.startswith(f"1 of the {count + 1} chosen did not arrive.")
    assert not ImportBatch.objects.exists()


def test_a_spreadsheet_goes_from_choosing_to_taking_back(
    browser: Client, member: Membership, small: Path
):
    answer = choose(browser, member, small, time_zone="America/New_York")
    batch = ImportBatch.objects.get()
    assert answer.url == reverse("import_batch_page", args=[batch.pk])
    assert "It waits for its turn." in page(browser, batch)
    work_on_import(batch.pk)
    found = page(browser, batch)
    assert "Store all of it" in found and "Doubts: 1" in found
    assert "Rain ended less than 24 h before the test." in found
    assert "Times at new sites were read as America/New_York, as asked for." in found
    assert not Pavement.objects.exists()
    assert "read once more and then stored" in press(browser, batch, "store")
    work_on_import(batch.pk)
    assert "Take it back" in page(browser, batch)
    assert InfiltrationTest.objects.get(spot__name="T1").entered_by == member.person
    assert "Say why" in press(browser, batch, "take_back")
    assert "can come in again" in press(browser, batch, "take_back", why="wrong town")
    assert not InfiltrationTest.objects.standing().exists()
    assert "wrong town" in page(browser, batch)


def test_faults_are_shown_and_nothing_can_be_stored(
    browser: Client, member: Membership, tmp_path: Path
):
    choose(browser, member, folder(tmp_path / "in", pavements=(pavement(surface="marble"),)))
    batch = ImportBatch.objects.get()
    work_on_import(batch.pk)
    shown = page(browser, batch)
    assert "To be mended: 1" in shown and "marble" in shown
    assert "Store all of it" not in shown
    assert "not waiting to be stored" in press(browser, batch, "store")


def test_one_that_waits_can_be_stopped(browser: Client, member: Membership, small: Path):
    choose(browser, member, small)
    batch = ImportBatch.objects.get()
    assert "stopped before anything was stored" in press(browser, batch, "stop")
    assert "no longer being worked on" in press(browser, batch, "stop")


def test_the_page_renews_itself_only_while_there_is_work(
    browser: Client, member: Membership, small: Path
):
    choose(browser, member, small)
    batch = ImportBatch.objects.get()
    assert "data-look-again" in page(browser, batch) and "Look again" in page(browser, batch)
    work_on_import(batch.pk)
    assert "data-look-again" not in page(browser, batch)


@pytest.mark.parametrize(
    ("name", "fields", "words"),
    [
        ("tests.pdf", {}, "neither a .csv file nor an .xlsx workbook"),
        ("tests.csv", {"time_zone": "Mars/A"}, "is not a time zone"),
    ],
)
def test_what_is_wrong_with_the_choice_is_told_beside_it(
    browser: Client, member: Membership, name: str, fields: dict[str, str], words: str
):
    file = SimpleUploadedFile(name, b"x")
    form = {"organisation": member.organisation_id, "chosen": [file], **fields}
    assert words in browser.post(reverse("import_page"), form).content.decode()
    assert not ImportBatch.objects.exists()


def test_nothing_is_brought_in_for_an_organisation_one_does_not_work_for(
    browser: Client, small: Path
):
    stranger = OrganisationFactory()
    file = SimpleUploadedFile("pavements.csv", b"ref")
    answer = browser.post(reverse("import_page"), {"organisation": stranger.pk, "chosen": [file]})
    assert answer.status_code == 200
    assert not ImportBatch.objects.exists()


def test_others_do_not_see_a_spreadsheet(browser: Client, member: Membership, small: Path):
    choose(browser, member, small)
    other = Client()
    other.force_login(MembershipFactory().person)
    address = reverse("import_batch_page", args=[ImportBatch.objects.get().pk])
    assert other.get(address).status_code == 404
    assert "pavements.csv" not in other.get(reverse("import_page")).content.decode()


def test_whoever_works_for_nobody_is_told_so(client: Client):
    client.force_login(MembershipFactory(to_at="2016-01-01T00:00Z").person)
    assert (
        "You work for no organisation yet." in client.get(reverse("import_page")).content.decode()
    )


def test_the_same_spreadsheet_again_is_told_beside_the_files(
    browser: Client, member: Membership, small: Path
):
    choose(browser, member, small)
    batch = ImportBatch.objects.get()
    work_on_import(batch.pk)
    press(browser, batch, "store")
    work_on_import(batch.pk)
    assert "Nothing was changed." in choose(browser, member, small).content.decode()


def test_number_of_queries_does_not_grow_with_the_spreadsheets(browser: Client, member: Membership):
    def add(count: int) -> None:
        for _ in range(count):
            ImportBatch.objects.create(
                organisation=member.organisation, by=member.person, file_name="x", digest="0"
            )

    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            browser.get(reverse("import_page"))
        return len(found)

    add(2)
    few = queries()
    add(20)
    assert queries() == few


def test_page_names_the_local_time_that_a_blank_one_stands_for(browser: Client, member: Membership):
    member.organisation.time_zone = "America/Chicago"
    member.organisation.save(update_fields=["time_zone"])
    text = browser.get(reverse("import_page")).content.decode()
    assert f"Left blank: that of {member.organisation}, America/Chicago." in text
