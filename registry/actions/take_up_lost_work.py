"""Hand out again what a killed worker left lying. Safe to do at any time and as often as liked."""

from datetime import timedelta

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from registry.actions.queue_work import queue_import
from registry.actions.work_on_import import SILENT_AFTER
from registry.models import BatchState, ImportBatch

LOST_AFTER = timedelta(minutes=15)
"""Longer than any job may take (a spreadsheet has 10 minutes)."""


@transaction.atomic
def take_up_lost_work() -> int:
    """Queue silent spreadsheets once more, and free jobs that nobody works on; return how many."""
    now = timezone.now()
    lost = DBTaskResult.objects.filter(
        status=TaskResultStatus.RUNNING, started_at__lt=now - LOST_AFTER
    )
    freed = lost.update(status=TaskResultStatus.READY, started_at=None)
    open_batches = Q(state__in=(BatchState.WAITING, BatchState.READING)) | Q(
        state=BatchState.CHECKED, store_asked=True
    )
    silent = Q(worked_at__lt=now - SILENT_AFTER) | Q(
        worked_at__isnull=True, created_at__lt=now - SILENT_AFTER
    )
    rows = list(ImportBatch.objects.select_for_update().filter(open_batches & silent))
    for batch in rows:
        queue_import(batch.pk)
    return freed + len(rows)
