"""What the registry stands on is asked whether it answers, and a fault says what is wrong."""

from datetime import timedelta
from unittest import mock

import pytest
from django.core.files.storage import storages
from django.db import OperationalError
from django.test import override_settings
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from registry.actions.queue_work import queue_outlooks
from registry.gathering.readiness import (
    LONGEST_WAIT,
    database_fault,
    storage_fault,
    worker_fault,
)

MINUTE = timedelta(minutes=1)


@pytest.mark.django_db
def test_whole_database_and_storage_have_no_fault():
    assert database_fault() == storage_fault() == ""


def test_database_that_does_not_answer_is_named_by_its_error():
    with mock.patch("registry.gathering.readiness.connection.cursor", side_effect=OperationalError):
        assert database_fault() == "does not answer: OperationalError"


def test_storage_that_cannot_be_reached_or_written_says_so():
    with override_settings(MEDIA_ROOT="/proc/nowhere/media"):
        assert storage_fault() == "cannot be written to"
    far = mock.Mock(exists=mock.Mock(side_effect=ConnectionError))
    with mock.patch.object(type(storages), "__getitem__", return_value=far):
        assert storage_fault() == "does not answer: ConnectionError"


@pytest.mark.django_db
def test_task_that_waits_too_long_says_that_no_worker_takes_any():
    queue_outlooks(1)
    now = timezone.now()
    queued = DBTaskResult.objects.get().enqueued_at
    assert worker_fault(queued + LONGEST_WAIT) == ""
    late = queued + LONGEST_WAIT + MINUTE
    assert worker_fault(late) == "a task waits since 11 minutes"
    assert worker_fault(now) == ""
