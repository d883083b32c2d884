"""Draw marks over a photo, or cover parts of it in copies: kept apart, the picture untouched."""

from collections.abc import Sequence

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import correct_entry
from registry.actions.queue_work import queue_photo_copy
from registry.actions.void_entry import void_entry
from registry.faults import DomainError
from registry.imaging import read_covers, read_marks, write_covers, write_marks
from registry.models import Organisation, Person, Photo, PhotoMarks
from registry.models.entry import Change


class CannotBeMarked(DomainError):
    """The photo is void."""


@transaction.atomic
def mark_photo(
    photo: Photo, marks: Sequence[object], *, by: Person | None, organisation: Organisation | None
) -> PhotoMarks | None:
    """Store the marks of one side in place of those it drew before, which stay readable as void.

    `marks` is the stored form of `imaging.write_marks`; empty takes the side's marks away, and
    None comes back. Raises MarksRefused in the drawer's words.
    """
    if photo.is_void:
        raise CannotBeMarked("This photo is void.")
    drawn = write_marks(read_marks(list(marks)))
    earlier = PhotoMarks.objects.standing().filter(photo=photo, entered_for=organisation)
    for row in earlier.select_for_update(of=("self",)):
        void_entry(row, why="drawn anew", by=by, organisation=organisation)
    if not drawn:
        return None
    return add_entry(PhotoMarks(photo=photo, drawn=drawn), by=by, organisation=organisation)


@transaction.atomic
def cover_photo(
    photo: Photo,
    covers: Sequence[object],
    *,
    shown_to: str,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Photo:
    """Say which parts are filled in what others get to see, and whether they see it at all.

    covers  [[left, top, right, bottom], ...] in fractions of the picture as seen

    The copy to hand out is made anew in the background.
    """
    drawn = write_covers(read_covers(list(covers)))
    counts = (f"{len(photo.covers)} covered", f"{len(drawn)} covered")
    changes = {
        "covers": Change(drawn, "", line=counts),
        "shown_to": Change(shown_to, ""),
    }
    correct_entry(photo, changes=changes, why=why, by=by, organisation=organisation)
    queue_photo_copy(photo.pk)
    photo.refresh_from_db()
    return photo
