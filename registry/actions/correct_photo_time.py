"""Put the true time of a photo beside the time its camera stored, with how it is known."""

from zoneinfo import ZoneInfo

from registry.actions.correct_entry import correct_entry
from registry.imaging import true_time
from registry.instants import read_local_instant
from registry.models import Organisation, Person, Photo
from registry.models.entry import Change


def correct_photo_time(
    photo: Photo,
    *,
    clock_error_s: float,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
    fold: int | None = None,
) -> Photo:
    """Store when a photo was really taken. The camera's time stays as stored, for ever.

    clock_error_s  seconds the camera's clock was ahead of the clocks at the site; negative: slow
    why            how that is known
    fold           0 or 1, which of the two passes of an hour that came twice

    Raises CameraTimeError for an undated photo, which stays undated, and Ambiguous for an hour
    that came twice that night.
    """
    found = true_time(photo.camera_time or None, clock_error_s, why)
    zone = photo.site.time_zone
    at = read_local_instant(f"{found.local_at:%Y-%m-%d %H:%M:%S}", zone, fold)
    changes = {
        "true_at": Change(at, "", seen=photo.true_at, is_seen_known=True),
        "taken_on": Change(at.astimezone(ZoneInfo(zone)).date(), ""),
        "true_how": Change(found.why[:200], ""),
    }
    correct_entry(photo, changes=changes, why=why, by=by, organisation=organisation)
    photo.refresh_from_db()
    return photo
