"""Have a photo made ready for view once more, where that was given up or broke off."""

from django.db import transaction

from registry.actions.queue_work import queue_photo_copy, queue_photo_sizes
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.photo_jobs import copy_broke_off, sizes_broke_off
from registry.models import Organisation, Person, Photo, PhotoFile


class NothingToTry(DomainError):
    """The photo is ready, or is being made ready."""


@transaction.atomic
def try_photo_again(photo: Photo, *, by: Person | None, organisation: Organisation | None) -> Photo:
    """Queue what was given up of a photo: its sizes, its copy to pass on, or both.

    NothingToTry where nothing was.
    """
    file = PhotoFile.objects.select_for_update().get(pk=photo.file_id)
    sizes = file.sizes_state == "refused" or sizes_broke_off(file)
    copy = copy_broke_off(photo)
    if not (sizes or copy):
        raise NothingToTry("The photo is ready, or is being made ready at this moment.")
    if sizes:
        file.sizes_state, file.sizes_why = "waiting", ""
        file.save(update_fields=["sizes_state", "sizes_why"])
        queue_photo_sizes(file.pk)
    if copy:
        queue_photo_copy(photo.pk)
    write_line(photo, "tried again", by=by, organisation=organisation)
    photo.file = file
    return photo
