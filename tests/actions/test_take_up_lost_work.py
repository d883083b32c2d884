"""What a killed worker left lying is handed out again, and nothing that is still worked on."""

from datetime import timedelta

import pytest
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from registry.actions.queue_work import queue_outlooks
from registry.actions.take_up_lost_work import LOST_AFTER, take_up_lost_work
from registry.actions.work_on_import import SILENT_AFTER
from registry.models import ImportBatch
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
