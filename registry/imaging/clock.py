"""The time that a photo was really taken, beside the time that its camera stored.

The stored time is never changed. A clock that was found wrong, against another clock in the
picture, a satellite time or a witness, gives a true time with the reason written down.
"""

import math
import re
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone

from registry.imaging.faults import CameraTimeError

# Exif 2.32, 4.6.5 tag 0x9003: "YYYY:MM:DD HH:MM:SS"; some devices write dashes or a T.
_STORED = re.compile(r"(\d{4})[:\-](\d{2})[:\-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})(?:\.\d+)?")
_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")


@dataclass(frozen=True)
class TrueTime:
    """camera_text as stored; local_at what the clocks of the place of taking showed then.

    local_at has no zone: the camera wrote none that can be trusted once its clock is wrong. Give
    it to `registry.instants.read_local_instant` with the site's zone for an instant.
    clock_error_s is positive where the camera's clock was ahead.
    """

    camera_text: str
    clock_error_s: float
    why: str
    local_at: datetime


def true_time(camera_text: str | None, clock_error_s: float, why: str) -> TrueTime:
    """Take the error of the camera's clock off the stored time.

    camera_text    as stored, without its offset
    clock_error_s  seconds the camera's clock was ahead of the clocks at the place; negative
                   where it was slow (a clock left on winter time in summer: -3600)
    why            how the error is known

    Raises CameraTimeError for an undated photo, which stays undated, for a text that is no time,
    an error that is no number, and a missing reason.
    """
    if camera_text is None:
        raise CameraTimeError(
            "The photo carries no camera time, so there is none to put right: it stays undated."
        )
    if not why.strip():
        raise CameraTimeError("Write how it is known that the camera's clock was wrong.")
    if not math.isfinite(clock_error_s):
        raise CameraTimeError("The error of the camera's clock must be a number of seconds.")
    stored = stored_time(camera_text)
    try:
        local_at = stored - timedelta(seconds=clock_error_s)
    except OverflowError as fault:
        raise CameraTimeError(f"No clock is wrong by {clock_error_s:g} seconds.") from fault
    return TrueTime(camera_text, clock_error_s, why.strip(), local_at)


def stored_time(camera_text: str) -> datetime:
    """The stored text as a local time without zone; CameraTimeError where it is none."""
    parts = _STORED.fullmatch(camera_text.strip())
    try:
        if parts is None:
            raise ValueError("not of the form of Exif")
        year, month, day, hour, minute, second = (int(part) for part in parts.groups())
        return datetime(year, month, day, hour, minute, second)
    except ValueError as fault:
        raise CameraTimeError(f"The camera time “{camera_text}” is not a day and time.") from fault


def stored_instant(camera_text: str, camera_offset: str | None) -> datetime | None:
    """The instant that time and offset name together, or None where no offset is stored.

    With an offset stored, a clock on winter time is not wrong: 13:22 at -05:00 is 14:22 at
    -04:00. Compare this before a clock is called wrong.
    """
    if camera_offset is None:
        return None
    parts = _OFFSET.fullmatch(camera_offset)
    if parts is None or int(parts[2]) > 15 or int(parts[3]) > 59:
        raise CameraTimeError(f"The offset “{camera_offset}” is not one from UTC.")
    ahead = timedelta(hours=int(parts[2]), minutes=int(parts[3]))
    zone = timezone(ahead if parts[1] == "+" else -ahead)
    return stored_time(camera_text).replace(tzinfo=zone)
