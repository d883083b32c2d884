"""Put right what is said of a photo: what it shows, its panel, its place; never the file."""

from collections.abc import Mapping

from django.db import transaction

from registry.actions.add_photo import refuse_strangers
from registry.actions.correct_entry import correct_entry
from registry.gathering.photo_stamps import what_position_says
from registry.imaging import Position
from registry.models import Organisation, Person, Photo
from registry.models.entry import Change
from registry.models.seen import Changes


@transaction.atomic
def correct_photo(
    photo: Photo,
    *,
    changes: Mapping[str, Change],
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Photo:
    """Correct a photo by a line; what its position tells is worked out anew for the new panel."""
    meant = Photo.objects.select_related("pavement__site").get(pk=photo.pk)
    for name, change in changes.items():
        setattr(meant, name, change.value)
    refuse_strangers(meant)
    given = Changes(changes, seen=getattr(changes, "seen", {}))
    if given and organisation is not None:
        says = what_position_says(meant, _position(meant), organisation)[:240]
        if says != photo.position_says:
            given["position_says"] = Change(says, "")
    correct_entry(photo, changes=given, why=why, by=by, organisation=organisation)
    photo.refresh_from_db()
    return photo


def _position(photo: Photo) -> Position | None:
    if photo.longitude is None or photo.latitude is None:
        return None
    return Position(photo.longitude, photo.latitude, photo.position_error_m)
