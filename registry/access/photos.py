"""Who gets the bytes of a photo as they came, and who a copy with nothing of the device in it.

One rule for original, device and uncovered views: the side that brought the photo in, and the
seats that read all of the pavement. All others get views without position and device, the faces
and number plates covered that somebody covered; so does what anybody hands out.
"""

from registry.access.holding import rights_at
from registry.models import JournalLine, Person, Photo, PhotoMarks
from registry.models.entry import EntryQuerySet
from registry.models.rights import READERS_OF_ALL


def sees_original(person: Person, photo: Photo) -> bool:
    """Say whether a person who sees a photo may have its bytes as they came, uncovered.

    Who brought it in keeps that for ever, a former owner too.
    """
    if photo.pavement is None:
        return False
    rights = rights_at(person, photo.pavement)
    return photo.entered_for_id in rights.organisations or bool(rights.roles & READERS_OF_ALL)


TOLD_BY_THE_FILE = frozenset({"position_says", "device"})
"""Fields that go to nobody who may not have the original."""


def lines_of_photo(person: Person, photo: Photo) -> list[JournalLine]:
    """Return the journal of a visible photo, without position and device for who sees copies."""
    lines = list(JournalLine.objects.about(photo).select_related("by", "by_organisation"))
    if not sees_original(person, photo):
        for line in lines:
            line.changes = {k: v for k, v in line.changes.items() if k not in TOLD_BY_THE_FILE}
    return lines


def visible_marks(person: Person, photo: Photo) -> EntryQuerySet:
    """Return the marks on a visible photo that a person may see.

    One's own; to readers of all every side's; to all others those of the side whose photo it is,
    and of these a former owner or manager only what was drawn in its time.
    """
    rows = PhotoMarks.objects.standing().filter(photo=photo).select_related("entered_for")
    if photo.pavement is None:
        return rows.none()
    rights = rights_at(person, photo.pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    own = rows.filter(entered_for__in=rights.organisations)
    author = rows.filter(entered_for=photo.entered_for_id)
    if rights.past_until is not None and not rights.roles:
        author = author.filter(entered_at__lt=rights.past_until)
    return own | author
