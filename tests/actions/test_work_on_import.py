"""Spreadsheets in the background: read, stored on a yes, stopped, taken up again."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from registry.actions import work_on_import as work
from registry.actions.receive_spreadsheet import (
    AlreadyStored,
    NotASpreadsheet,
    receive_spreadsheet,
)
from registry.actions.stop_import import CannotBeStopped, stop_import
from registry.actions.take_up_lost_work import take_up_lost_work
from registry.actions.work_on_import import CannotBeStored, ask_to_store, work_on_import
from registry.models import ImportBatch, InfiltrationTest, Membership, Pavement
from tests.exchange.folders import folder, pavement, run
from tests.factories import MembershipFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def member() -> Membership:
    return MembershipFactory()


def upload(path: Path) -> list[SimpleUploadedFile]:
    return [SimpleUploadedFile(p.name, p.read_bytes()) for p in sorted(path.iterdir())]


@pytest.fixture
def batch(member: Membership, tmp_path: Path) -> ImportBatch:
    files = upload(folder(tmp_path, pavements=(pavement(),), runs=(run(), run(point="T2"))))
    return receive_spreadsheet(files, organisation=member.organisation, by=member.person)


def again(batch: ImportBatch) -> ImportBatch:
    return ImportBatch.objects.get(pk=batch.pk)


def jobs() -> int:
    return DBTaskResult.objects.filter(task_path__endswith="work_on_spreadsheet").count()


def test_what_is_received_waits_and_its_job_with_it(batch: ImportBatch):
    assert (batch.state, jobs()) == ("waiting", 1)
    assert not Pavement.objects.exists()


def test_reading_stores_nothing_and_says_what_was_found(batch: ImportBatch):
    work_on_import(batch.pk)
    found = again(batch)
    assert (found.state, found.rows_total, found.fault_count) == ("checked", 3, 0)
    assert found.counts == {"pavements": 1, "infiltration_tests": 2, "sweeps": 0}
    assert found.can_be_stored
    assert not Pavement.objects.exists()


def test_it_is_stored_once_it_was_asked_for(batch: ImportBatch, member: Membership):
    work_on_import(batch.pk)
    ask_to_store(batch)
    assert jobs() == 2
    work_on_import(batch.pk)
    assert again(batch).state == "stored"
    row = InfiltrationTest.objects.first()
    assert (row.entered_by, row.entered_for) == (member.person, member.organisation)
    assert row.import_batch == batch


def test_a_job_done_twice_does_nothing_the_second_time(batch: ImportBatch):
    work_on_import(batch.pk)
    work_on_import(batch.pk)
    ask_to_store(batch)
    for _ in range(3):
        work_on_import(batch.pk)
    assert InfiltrationTest.objects.count() == 2


def test_faults_are_kept_with_file_row_column_and_mend(member: Membership, tmp_path: Path):
    files = upload(folder(tmp_path, pavements=(pavement(surface="marble"),)))
    batch = receive_spreadsheet(files, organisation=member.organisation, by=member.person)
    work_on_import(batch.pk)
    [fault] = again(batch).faults
    assert (fault["file"], fault["row"], fault["column"]) == ("pavements.csv", 2, "surface")
    assert "marble" in fault["message"] and "pervious_concrete" in fault["mend"]
    with pytest.raises(CannotBeStored):
        ask_to_store(batch)


def test_a_file_that_cannot_be_read_at_all_is_refused_too(member: Membership):
    files = [SimpleUploadedFile("pavements.csv", "réf".encode("latin-1"))]
    batch = receive_spreadsheet(files, organisation=member.organisation, by=member.person)
    work_on_import(batch.pk)
    assert (again(batch).state, again(batch).fault_count) == ("refused", 1)


def test_the_same_upload_is_told_to_be_stored_already(batch: ImportBatch, tmp_path: Path):
    work_on_import(batch.pk)
    ask_to_store(batch)
    work_on_import(batch.pk)
    with pytest.raises(AlreadyStored, match="Nothing was changed"):
        receive_spreadsheet(upload(tmp_path), organisation=batch.organisation, by=batch.by)


def test_two_uploads_of_one_spreadsheet_are_stored_once(batch: ImportBatch, tmp_path: Path):
    twin = receive_spreadsheet(upload(tmp_path), organisation=batch.organisation, by=batch.by)
    for one in (batch, twin):
        work_on_import(one.pk)
        ask_to_store(one)
    for one in (batch, twin):
        work_on_import(one.pk)
    assert (again(batch).state, again(twin).state) == ("stored", "stopped")
    assert InfiltrationTest.objects.count() == 2


@pytest.mark.parametrize("name", ["tests.pdf", "tests", "x.xlsm"])
def test_other_kinds_of_files_are_not_received(member: Membership, name: str):
    with pytest.raises(NotASpreadsheet):
        receive_spreadsheet(
            [SimpleUploadedFile(name, b"x")], organisation=member.organisation, by=member.person
        )


def test_a_path_in_the_name_of_an_upload_leads_nowhere(member: Membership):
    files = [SimpleUploadedFile("pavements.csv", b"ref\n")]
    files[0]._name = "../../evil/pavements.csv"
    batch = receive_spreadsheet(files, organisation=member.organisation, by=member.person)
    assert batch.file_name == "pavements.csv"


def test_one_that_waits_is_stopped_at_once(batch: ImportBatch):
    stop_import(batch, by=None)
    work_on_import(batch.pk)
    assert again(batch).state == "stopped"
    with pytest.raises(CannotBeStopped):
        stop_import(batch, by=None)


def test_one_that_is_being_read_stops_and_stores_nothing(
    batch: ImportBatch, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(work, "TELLS_EVERY_S", 0.0)
    ImportBatch.objects.filter(pk=batch.pk).update(stop_asked=True)
    work_on_import(batch.pk)
    assert again(batch).state == "stopped"
    assert not Pavement.objects.exists()


def test_work_that_takes_too_long_is_refused(batch: ImportBatch, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(work, "TIME_LIMIT_S", -1.0)
    work_on_import(batch.pk)
    assert "longer than 10 minutes" in again(batch).faults[0]["message"]


def test_a_batch_that_another_worker_is_at_is_left_to_it(batch: ImportBatch):
    ImportBatch.objects.filter(pk=batch.pk).update(state="reading", worked_at=timezone.now())
    work_on_import(batch.pk)
    assert again(batch).state == "reading"


def test_a_killed_workers_batch_is_taken_up_again(batch: ImportBatch):
    long_ago = timezone.now() - timedelta(minutes=5)
    ImportBatch.objects.filter(pk=batch.pk).update(state="reading", worked_at=long_ago)
    before = jobs()
    assert take_up_lost_work() == 1
    assert jobs() == before + 1
    work_on_import(batch.pk)
    assert again(batch).state == "checked"
    assert take_up_lost_work() == 0


def test_a_job_that_nobody_works_on_is_free_again(batch: ImportBatch):
    long_ago = timezone.now() - timedelta(hours=1)
    DBTaskResult.objects.update(status=TaskResultStatus.RUNNING, started_at=long_ago)
    take_up_lost_work()
    assert not DBTaskResult.objects.filter(status=TaskResultStatus.RUNNING).exists()


def left_by_its_worker(batch: ImportBatch, **fields: object) -> None:
    long_ago = timezone.now() - timedelta(minutes=5)
    ImportBatch.objects.filter(pk=batch.pk).update(state="reading", worked_at=long_ago, **fields)


def test_stop_that_was_asked_for_while_its_worker_was_dead_is_heeded(batch: ImportBatch):
    left_by_its_worker(batch)
    stop_import(batch, by=None)
    work_on_import(batch.pk)
    assert again(batch).state == "stopped"


def test_what_kills_its_worker_is_given_up_after_three_times_and_may_come_again(
    batch: ImportBatch, tmp_path: Path
):
    for _ in range(work.MOST_ATTEMPTS):
        left_by_its_worker(batch)
        assert work._claim(batch.pk) is not None  # and then its worker is killed
    left_by_its_worker(batch)
    work_on_import(batch.pk)
    found = again(batch)
    assert (found.state, found.fault_count) == ("refused", 1)
    assert "begun 3 times" in found.faults[0]["message"] and found.faults[0]["mend"]
    twin = receive_spreadsheet(upload(tmp_path), organisation=batch.organisation, by=batch.by)
    work_on_import(twin.pk)
    assert again(twin).state == "checked"


def test_reading_in_vain_does_not_count_against_storing(batch: ImportBatch):
    ImportBatch.objects.filter(pk=batch.pk).update(begun=work.MOST_ATTEMPTS - 1)
    work_on_import(batch.pk)
    ask_to_store(batch)
    work_on_import(batch.pk)
    assert again(batch).state == "stored"


def test_page_says_since_when_nobody_works_on_it(batch: ImportBatch, client: Client):
    client.force_login(batch.by)
    address = reverse("import_batch_page", args=[batch.pk])
    assert "No sign of work" not in client.get(address).content.decode()
    left_by_its_worker(batch)
    page = client.get(address).content.decode()
    since = f"{timezone.now() - timedelta(minutes=5):%Y-%m-%d}"
    assert f"No sign of work on it since {since}" in page
    assert "Nothing of it is stored" in page
