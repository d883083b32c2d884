"""The page for whoever watches the machine."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from registry.gathering.readiness import worker_fault

pytestmark = pytest.mark.django_db


def test_healthz_answers_without_signing_in(client):
    answer = client.get(reverse("healthz"))
    assert answer.status_code == 200
    assert answer.json() == {"database": "ok", "storage": "ok", "worker": "ok"}


def test_healthz_is_not_for_writing(client):
    assert client.post(reverse("healthz")).status_code == 405


def test_storage_that_is_gone_is_named(client, settings, tmp_path):
    settings.MEDIA_ROOT = str(tmp_path / "no" / "such")
    answer = client.get(reverse("healthz"))
    assert answer.status_code == 503
    assert answer.json()["storage"] == "cannot be written to"


def waiting_since(at: datetime) -> None:
    task = DBTaskResult.objects.create(
        args_kwargs={"args": [], "kwargs": {}},
        task_path="registry.none",
        backend_name="default",
        run_after=at,
    )
    DBTaskResult.objects.filter(pk=task.pk).update(enqueued_at=at)


def test_task_that_nobody_takes_is_named(client):
    waiting_since(timezone.now() - timedelta(minutes=30))
    answer = client.get(reverse("healthz"))
    assert answer.status_code == 503
    assert answer.json()["worker"] == "a task waits since 30 minutes"


def test_task_that_just_came_in_is_no_fault():
    at = datetime(2026, 6, 1, tzinfo=UTC)
    waiting_since(at - timedelta(minutes=9))
    assert worker_fault(at) == ""
