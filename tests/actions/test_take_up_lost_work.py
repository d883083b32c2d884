"""What a killed worker left lying is handed out again, and nothing that is still worked on."""

from datetime import timedelta

import pytest
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from registry.actions.queue_work import queue_outlooks, queue_photo_sizes
from registry.actions.take_up_lost_work import LOST_AFTER, MOST_ATTEMPTS, take_up_lost_work
from registry.actions.work_on_import import SILENT_AFTER
from registry.models import ImportBatch, PhotoFile
from tests.factories import OrganisationFactory

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


def batch(state, silent_for, **fields):
    return ImportBatch.objects.create(
        organisation=OrganisationFactory(), digest="0", state=state,
        worked_at=timezone.now() - silent_for, **fields,
    )  # fmt: skip


@pytest.mark.parametrize(("longer", "freed"), [(MINUTE, 1), (-MINUTE, 0)])
def test_job_is_free_again_only_after_longer_than_any_may_take(longer, freed):
    queue_outlooks(1)
    started = timezone.now() - LOST_AFTER - longer
    DBTaskResult.objects.update(status=TaskResultStatus.RUNNING, started_at=started)
    assert take_up_lost_work() == freed
    assert DBTaskResult.objects.filter(status=TaskResultStatus.READY).count() == freed


@pytest.mark.parametrize(
    ("state", "fields", "queued"),
    [
        ("waiting", {}, 1),
        ("reading", {}, 1),
        ("checked", {"store_asked": True}, 1),
        ("checked", {}, 0),
        ("stored", {}, 0),
    ],
)
def test_silent_spreadsheet_is_queued_once_more_while_it_is_open(state, fields, queued):
    batch(state, SILENT_AFTER + MINUTE, **fields)
    assert take_up_lost_work() == DBTaskResult.objects.count() == queued


def test_spreadsheet_that_gave_a_sign_of_work_is_left_alone():
    batch("reading", timedelta(0))
    assert take_up_lost_work() == DBTaskResult.objects.count() == 0


def killed(times):
    """A worker took up the job so many times, and was killed each time."""
    for number in range(times):
        job = DBTaskResult.objects.get()
        assert job.status == TaskResultStatus.READY
        job.claim(f"worker {number}")
        DBTaskResult.objects.update(started_at=timezone.now() - LOST_AFTER - MINUTE)
        take_up_lost_work()
    return DBTaskResult.objects.get()


def test_photo_that_kills_its_worker_is_given_up_with_a_reason_and_not_taken_up_again():
    file = PhotoFile.objects.create(
        sha256="a" * 64, kind="heic", bytes_long=1, width_px=14_000, height_px=14_000
    )
    queue_photo_sizes(file.pk)
    assert killed(MOST_ATTEMPTS - 1).status == TaskResultStatus.READY
    file.refresh_from_db()
    assert file.sizes_state == "waiting"
    assert killed(1).status == TaskResultStatus.FAILED
    file.refresh_from_db()
    assert file.sizes_state == "refused"
    assert "begun 3 times and broke off each time" in file.sizes_why
    assert take_up_lost_work() == 0
    assert not DBTaskResult.objects.ready().exists()


def test_other_work_that_kills_its_worker_is_given_up_too():
    queue_outlooks(1)
    job = killed(MOST_ATTEMPTS)
    assert job.status == TaskResultStatus.FAILED
    assert "Begun 3 times" in job.traceback
