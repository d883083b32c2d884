"""Hand out again what a killed worker left lying. Safe to do at any time and as often as liked."""

from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from registry.actions.make_dossier import SILENT_AFTER as DOSSIER_SILENT_AFTER
from registry.actions.make_photo_sizes import give_up_sizes
from registry.actions.queue_work import queue_dossier, queue_import, queue_round
from registry.actions.work_on_round import SILENT_AFTER as ROUND_SILENT_AFTER
from registry.faults import DomainError
from registry.models import BatchState, Dossier, ImportBatch, Round
from registry.models.import_batch import SILENT_AFTER

LOST_AFTER = timedelta(minutes=15)
"""Longer than any job may take (a spreadsheet has 10 minutes)."""

MOST_ATTEMPTS = 3
"""A job whose worker was killed so often is the likely reason for it, and is given up."""


class WorkGivenUp(DomainError):
    """A job was begun so often and never ended that it is not begun again."""


@transaction.atomic
def take_up_lost_work() -> int:
    """Queue silent spreadsheets, rounds, dossiers once more, free lost jobs; return how many.

    A job begun MOST_ATTEMPTS times is marked failed instead, and a photo whose sizes it was to
    make says so on its page.
    """
    now = timezone.now()
    lost = DBTaskResult.objects.filter(
        status=TaskResultStatus.RUNNING, started_at__lt=now - LOST_AFTER
    )
    spent = [job for job in lost.select_for_update() if len(job.worker_ids) >= MOST_ATTEMPTS]
    for job in spent:
        _give_up(job)
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
    return freed + len(rows) + _queue_silent_rounds(now) + _queue_silent_dossiers(now)


def _queue_silent_rounds(now: datetime) -> int:
    silent = Q(worked_at__lt=now - ROUND_SILENT_AFTER) | Q(
        worked_at__isnull=True, asked_at__lt=now - ROUND_SILENT_AFTER
    )
    rounds = list(Round.objects.select_for_update().under_way().filter(silent))
    for row in rounds:
        queue_round(row.pk)
    return len(rounds)


def _queue_silent_dossiers(now: datetime) -> int:
    silent = Q(worked_at__lt=now - DOSSIER_SILENT_AFTER) | Q(
        worked_at__isnull=True, asked_at__lt=now - DOSSIER_SILENT_AFTER
    )
    rows = list(Dossier.objects.select_for_update().under_way().filter(silent))
    for row in rows:
        queue_dossier(row.pk)
    return len(rows)


def _give_up(job: DBTaskResult) -> None:
    job.set_failed(WorkGivenUp(f"Begun {len(job.worker_ids)} times; no worker came to its end."))
    if job.task_path == "registry.tasks.make_sizes_of_photo":
        give_up_sizes(*job.args_kwargs["args"], begun=len(job.worker_ids))
