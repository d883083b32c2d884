"""Who measures on a photo, and who sees what was measured: both as the photo itself."""

from django.core.exceptions import PermissionDenied
from django.http import Http404

from registry.access.defects import get_photo
from registry.access.holding import rights_at
from registry.access.photos import sees_original
from registry.models import Person, Photo, PhotoExtent
from registry.models.entry import EntryQuerySet


def get_photo_to_measure(person: Person, pk: int) -> Photo:
    """Return a photo that a person may measure on: with a right to record, and on the original.

    The flat picture is made of all of the original, covered faces too.
    """
    photo = get_photo(person, pk, to="record_defect")
    if not sees_original(person, photo):
        raise PermissionDenied("It is measured on the original, which goes to its own side.")
    return photo


def may_measure(person: Person, photo: Photo) -> bool:
    """Say whether a page offers to measure on a photo that the person sees."""
    if photo.is_void or photo.pavement is None or not sees_original(person, photo):
        return False
    return rights_at(person, photo.pavement).organisation_for("record_defect") is not None


def get_photo_extent(person: Person, pk: int) -> PhotoExtent:
    """Return an extent of a photo that the person sees."""
    row = PhotoExtent.objects.select_related("observation__defect").filter(pk=pk).first()
    if row is None:
        raise Http404("No such extent.")
    row.photo = get_photo(person, row.photo_id)
    return row


def visible_extents(photo: Photo) -> EntryQuerySet:
    """Return the standing extents of a photo that the caller was given by `get_photo`."""
    return PhotoExtent.objects.standing().filter(photo=photo).order_by("pk")
