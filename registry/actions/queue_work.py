"""Hand work to the background. The job commits with the rows it is about, or not at all.

Jobs are found by their names, as any worker finds them: `registry.tasks` imports the actions, so
no action can import it.
"""

from collections.abc import Sequence
from datetime import timedelta

from django.utils import timezone
from django.utils.module_loading import import_string
from django_tasks_db.models import DBTaskResult

A_DAY = timedelta(days=1)
DAILY = ("work_out_all_outlooks", "work_out_stale_standings", "work_out_stale_dues")
STANDINGS_A_JOB = 200


def queue_standings(pavement_ids: Sequence[int]) -> None:
    """Have the conditions of these pavements worked out anew."""
    for start in range(0, len(pavement_ids), STANDINGS_A_JOB):
        _queue("work_out_standings", list(pavement_ids[start : start + STANDINGS_A_JOB]))


def queue_outlooks(organisation_id: int) -> None:
    """Have the pools fitted and foretold in which an organisation's pavements are."""
    _queue("work_out_outlooks", organisation_id)


def queue_dues_kept_by(organisation_id: int) -> None:
    """Have worked out anew what is due where an organisation keeps or sweeps."""
    _queue("work_out_dues_kept_by", organisation_id)


def queue_dues_at(site_id: int) -> None:
    """Have worked out anew what is due at a site."""
    _queue("work_out_dues_at", site_id)


def queue_import(batch_id: int) -> None:
    """Have a spreadsheet read, or stored where that was asked for."""
    _queue("work_on_spreadsheet", batch_id)


def queue_round(round_id: int) -> None:
    """Have a round of crews worked out."""
    _queue("work_out_round", round_id)


def queue_dossier(dossier_id: int) -> None:
    """Have the dossier of a callback put together."""
    _queue("put_dossier_together", dossier_id)


def queue_photo_sizes(file_id: int) -> None:
    """Have the sizes of a photo made."""
    _queue("make_sizes_of_photo", file_id)


def queue_photo_copy(photo_id: int) -> None:
    """Have the copy of a photo made that may be handed out."""
    _queue("make_copy_of_photo", photo_id)


def queue_daily_work() -> int:
    """Queue what is done once a day and was not asked for in the last day; return how much.

    Two workers that look at once may queue a job twice: each may be done twice.
    """
    since = timezone.now() - A_DAY
    queued = 0
    for name in DAILY:
        path = f"registry.tasks.{name}"
        if not DBTaskResult.objects.filter(task_path=path, enqueued_at__gte=since).exists():
            _queue(name)
            queued += 1
    return queued


def _queue(name: str, *arguments: object) -> None:
    import_string(f"registry.tasks.{name}").enqueue(*arguments)
