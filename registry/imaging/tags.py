"""The tags that a camera wrote into a photo: read one by one, a damaged one named and left out.

Tag numbers and meanings: CIPA DC-008 / JEITA CP-3451, Exif 2.32, 4.6.4 to 4.6.6.
"""

import math
import struct
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from PIL import Image

MAKE, MODEL, ORIENTATION, CHANGED = 0x010F, 0x0110, 0x0112, 0x0132
TAKEN, DIGITISED = 0x9003, 0x9004
OFFSET_TAKEN, OFFSET_DIGITISED = 0x9011, 0x9012
PART_SECOND = 0x9291
EXIF_IFD, GPS_IFD = 0x8769, 0x8825
LAT_REF, LAT, LON_REF, LON = 1, 2, 3, 4
GPS_TIME, GPS_STATUS, DIRECTION_REF, DIRECTION = 7, 10, 16, 17
GPS_DATE, POSITION_ERROR = 29, 31

LONGEST_TEXT = 200

# What Pillow raises while it reads tags that are no tags.
_DAMAGED = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    EOFError,
    OverflowError,
    ZeroDivisionError,
    struct.error,
)


@dataclass(frozen=True)
class Tags:
    """Three tables of tag number -> value as Pillow decodes it; empty where the file has none.

    damaged  names of tables that stand in the file and cannot be read
    """

    main: Mapping[int, Any]
    exif: Mapping[int, Any]
    gps: Mapping[int, Any]
    damaged: tuple[str, ...] = ()


def read_tags(image: Image.Image) -> Tags:
    """Read the tags of an opened photo; its pixels need not be decoded.

    Of a PNG, Pillow's own method would decode them all to look for tags behind them;
    `open_photo` has put these in reach.
    """
    try:
        found = Image.Image.getexif(image)
        main = dict(found)
    except _DAMAGED:
        return Tags({}, {}, {}, ("all tags",))
    exif, exif_damaged = _table(found, EXIF_IFD, "camera settings")
    gps, gps_damaged = _table(found, GPS_IFD, "position")
    return Tags(main, exif, gps, exif_damaged + gps_damaged)


def _table(found: Image.Exif, ifd: int, name: str) -> tuple[dict[int, Any], tuple[str, ...]]:
    try:
        return dict(found.get_ifd(ifd)), ()
    except _DAMAGED:
        return {}, (name,)


def text_of(table: Mapping[int, Any], tag: int) -> str | None:
    """Text as stored, without the zero that ends it; None where missing or blank."""
    value = table.get(tag)
    if isinstance(value, bytes):
        value = value.decode("latin-1")
    if not isinstance(value, str):
        return None
    text = value.split("\0")[0]
    readable = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)
    return readable[:LONGEST_TEXT] if readable.strip(" :0\N{REPLACEMENT CHARACTER}") else None


def number_of(value: object) -> float | None:
    """A finite number, or None: Exif allows 0/0 for "not known"."""
    if isinstance(value, tuple) and len(value) == 1:
        value = value[0]
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) else None


def degrees_of(value: object) -> float | None:
    """Degrees from the three numbers degrees, minutes, seconds; None where they are none.

    More than 60 minutes or seconds are none either; 60 itself comes of a device that rounds.
    """
    if not isinstance(value, tuple) or not 1 <= len(value) <= 3:
        return None
    parts = [number_of(part) for part in value]
    known = [part for part in parts if part is not None]
    if len(known) != len(parts) or any(part < 0 for part in known):
        return None
    if any(part > 60 for part in known[1:]):
        return None
    return math.fsum(part / 60.0**power for power, part in enumerate(known))
