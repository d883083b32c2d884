"""What the camera noted beside the picture: when, which device, where, facing, turned how.

Everything is told as stored and nothing is filled in. A photo whose data a message service took
out is undated and stays so; the time at which a file was last changed is no camera time.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from registry.imaging import tags
from registry.imaging.kinds import Kind, kind_of
from registry.imaging.opening import open_photo
from registry.imaging.tags import Tags, degrees_of, number_of, text_of


@dataclass(frozen=True)
class Position:
    """Where the device says it was, degrees on WGS 84.

    error_m  stated horizontal error (GPSHPositioningError), None where the device states none
    """

    lon: float
    lat: float
    error_m: float | None


@dataclass(frozen=True)
class Facing:
    """Compass direction of the lens, degrees clockwise from north, 0 <= degrees < 360.

    north  "true" or "magnetic", or None where the device does not say which
    """

    degrees: float
    north: str | None


@dataclass(frozen=True)
class Stamps:
    """What stands in the file. None is "the file does not say".

    camera_time     as stored, "2024:04:18 13:22:05"; None: undated
    camera_offset   as stored, "-04:00"
    satellite_time  UTC as stored, "2024:04:18 18:22:05"; may be older than the picture
    changed_time    when a program last wrote the file; never when the picture was taken
    orientation     1 to 8 as stored (Exif 2.32, 4.6.4 tag 0x0112), None where not stored
    unreadable      what stands in the file and cannot be read, in words
    """

    camera_time: str | None
    camera_offset: str | None
    satellite_time: str | None
    changed_time: str | None
    make: str | None
    model: str | None
    position: Position | None
    facing: Facing | None
    orientation: int | None
    unreadable: tuple[str, ...]

    @property
    def undated(self) -> bool:
        return self.camera_time is None


def read_stamps(data: bytes) -> Stamps:
    """Read the stamps of a photo. PhotoRefused if it is none; damaged stamps are only named."""
    kind = kind_of(data)
    with open_photo(data, kind) as image:
        found = tags.read_tags(image)
        own_turn = image.info.get("original_orientation") if kind is Kind.HEIC else None
    unreadable = list(found.damaged)
    camera_time, offset = _camera_time(found.exif)
    return Stamps(
        camera_time=camera_time,
        camera_offset=offset,
        satellite_time=_satellite_time(found.gps),
        changed_time=text_of(found.main, tags.CHANGED),
        make=text_of(found.main, tags.MAKE),
        model=text_of(found.main, tags.MODEL),
        position=_position(found.gps, unreadable),
        facing=_facing(found.gps, unreadable),
        orientation=_orientation(found, own_turn, unreadable),
        unreadable=tuple(dict.fromkeys(unreadable)),
    )


def _camera_time(exif: Mapping[int, Any]) -> tuple[str | None, str | None]:
    """Time and offset of taking; of digitising where a camera stores only that."""
    for time, offset in (
        (tags.TAKEN, tags.OFFSET_TAKEN),
        (tags.DIGITISED, tags.OFFSET_DIGITISED),
    ):
        if found := text_of(exif, time):
            return found, _offset_text(exif, offset)
    return None, None


def _offset_text(exif: Mapping[int, Any], tag: int) -> str | None:
    value = exif.get(tag)
    # "+00:00" is an offset, though it looks like the blanks of a time that is not known.
    return value.strip(" \0") or None if isinstance(value, str) else None


def _satellite_time(gps: Mapping[int, Any]) -> str | None:
    day, parts = text_of(gps, tags.GPS_DATE), gps.get(tags.GPS_TIME)
    if day is None or not isinstance(parts, tuple) or len(parts) != 3:
        return None
    hour, minute, second = (number_of(part) for part in parts)
    if hour is None or minute is None or second is None:
        return None
    return f"{day} {hour:02.0f}:{minute:02.0f}:{second:02.0f}"


def _position(gps: Mapping[int, Any], unreadable: list[str]) -> Position | None:
    """Longitude and latitude; a device without a fix writes V, blanks, 0/0 or twice nought."""
    if tags.LAT not in gps and tags.LON not in gps:
        return None
    lat = _signed(gps, tags.LAT, tags.LAT_REF, {"N": 1, "S": -1}, 90)
    lon = _signed(gps, tags.LON, tags.LON_REF, {"E": 1, "W": -1}, 180)
    if text_of(gps, tags.GPS_STATUS) == "V" or (lat == 0 and lon == 0):
        return None
    if lat is None or lon is None:
        unreadable.append("position")
        return None
    error_m = number_of(gps.get(tags.POSITION_ERROR))
    if error_m is not None and error_m <= 0:
        error_m = None
    return Position(lon=lon, lat=lat, error_m=error_m)


def _signed(
    gps: Mapping[int, Any], tag: int, sign_tag: int, signs: Mapping[str, int], most: int
) -> float | None:
    degrees = degrees_of(gps.get(tag))
    sign = signs.get(text_of(gps, sign_tag) or "")
    return sign * degrees if sign and degrees is not None and degrees <= most else None


def _facing(gps: Mapping[int, Any], unreadable: list[str]) -> Facing | None:
    if tags.DIRECTION not in gps:
        return None
    degrees = number_of(gps[tags.DIRECTION])
    if degrees is None or not 0 <= degrees <= 360:
        unreadable.append("compass direction")
        return None
    north = {"T": "true", "M": "magnetic"}.get(text_of(gps, tags.DIRECTION_REF) or "")
    return Facing(degrees=degrees % 360, north=north)


def _orientation(found: Tags, own_turn: int | None, unreadable: list[str]) -> int | None:
    """The turn as stored; a HEIC decoder has already made it and keeps the number aside."""
    value = own_turn if own_turn is not None else found.main.get(tags.ORIENTATION)
    if value is None:
        return None
    if not isinstance(value, int) or not 1 <= value <= 8:
        unreadable.append("turn")
        return None
    return value
