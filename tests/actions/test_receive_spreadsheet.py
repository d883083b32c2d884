"""An uploaded spreadsheet is kept as it came, once, and queued; other files are refused."""

import hashlib

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django_tasks_db.models import DBTaskResult

from registry.actions.receive_spreadsheet import (
    AlreadyStored,
    NotASpreadsheet,
    receive_spreadsheet,
    safe_name,
)
from registry.models import ImportBatch
from tests.factories import OrganisationFactory, PersonFactory

pytestmark = pytest.mark.django_db
ROWS = b"ref,name\nP1,Lot\n"


def file(name="tests.csv", content=ROWS):
    return SimpleUploadedFile(name, content)


def receive(*files, organisation=None):
    organisation = organisation or OrganisationFactory()
    return receive_spreadsheet(files, organisation=organisation, by=PersonFactory())


def test_files_are_kept_byte_for_byte_and_their_reading_is_queued():
    batch = receive(file("a.csv"), file("b.csv", b"x"))
    assert (batch.state, batch.file_name) == ("waiting", "a.csv, b.csv")
    with default_storage.open(f"{batch.stored_file}/a.csv") as kept:
        assert kept.read() == ROWS
    job = DBTaskResult.objects.get()
    assert job.args_kwargs["args"] == [batch.pk]


def test_digest_is_the_same_in_whatever_order_the_files_come():
    sums = sorted(hashlib.sha256(content).digest() for content in (ROWS, b"x"))
    wanted = hashlib.sha256(b"".join(sums)).hexdigest()
    assert receive(file("a.csv"), file("b.csv", b"x")).digest == wanted
    assert receive(file("b.csv", b"x"), file("a.csv")).digest == wanted


def test_bytes_that_were_stored_come_in_no_second_time_for_the_same_side():
    batch = receive(file())
    ImportBatch.objects.update(state="stored", stored_at="2024-05-01T12:00Z")
    with pytest.raises(AlreadyStored, match=r"came in as tests\.csv on 2024-05-01"):
        receive(file("other name.csv"), organisation=batch.organisation)
    assert ImportBatch.objects.count() == 1
    receive(file())


def test_two_files_of_one_name_are_refused():
    with pytest.raises(NotASpreadsheet, match="one name"):
        receive(file(), file(content=b"x"))
    assert not ImportBatch.objects.exists()


@pytest.mark.parametrize("name", ["tests.xls", "tests", "a.csv.exe", "x" * 197 + ".csv"])
def test_file_of_another_kind_or_of_an_endless_name_is_refused(name):
    with pytest.raises(NotASpreadsheet):
        safe_name(file(name))


def test_folders_in_a_name_lead_nowhere():
    upload = file()
    upload._name = "..\\..\\etc/../.tests.CSV"
    assert safe_name(upload) == "tests.CSV"
