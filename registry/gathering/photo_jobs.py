"""Whether anybody is still at work on the sizes of a photo or on its copy to pass on."""

from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from registry.gathering.photo_files import has_copy
from registry.models import Photo, PhotoFile

OPEN = (TaskResultStatus.READY, TaskResultStatus.RUNNING)


def sizes_broke_off(file: PhotoFile) -> bool:
    """Say whether the sizes are not made and no job is open that would make them."""
    return file.sizes_state == "waiting" and not _is_open("make_sizes_of_photo", file.pk)


def copy_broke_off(photo: Photo) -> bool:
    """Say whether the copy to pass on is not there and no job is open that would make it."""
    return not has_copy(photo) and not _is_open("make_copy_of_photo", photo.pk)


def _is_open(task: str, pk: int) -> bool:
    jobs = DBTaskResult.objects.filter(task_path=f"registry.tasks.{task}", status__in=OPEN)
    return jobs.filter(args_kwargs={"args": [pk], "kwargs": {}}).exists()
