"""Faces and number plates covered in a copy that goes out: filled, never blurred.

A blur can be worked back; a filled rectangle holds nothing. The original is never touched, and a
view is covered anew each time it is asked for, so that covers may be changed by who drew them.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO

from PIL import Image, ImageDraw

from registry.imaging.develop import develop
from registry.imaging.faults import MarksRefused
from registry.imaging.sizes import COPY_QUALITY, View, view_within

MOST_COVERS = 60
FILL = (40, 44, 46)


@dataclass(frozen=True)
class Cover:
    """A rectangle, in fractions of the picture as seen: x from the left, y from the upper edge.

    MarksRefused where it has no width or height, or does not lie within the picture.
    """

    left: float
    top: float
    right: float
    bottom: float

    def __post_init__(self) -> None:
        if not all(0 <= side <= 1 for side in (self.left, self.top, self.right, self.bottom)):
            raise MarksRefused("A cover must lie within the picture.")
        if not (self.left < self.right and self.top < self.bottom):
            raise MarksRefused("A cover has a width and a height.")


def read_covers(stored: object) -> tuple[Cover, ...]:
    """Covers from their stored form [[left, top, right, bottom], ...], as parsed from JSON."""
    if not isinstance(stored, Sequence) or isinstance(stored, str | bytes | Mapping):
        raise MarksRefused("Covers come as a list.")
    if len(stored) > MOST_COVERS:
        raise MarksRefused(f"A picture takes up to {MOST_COVERS} covers.")
    return tuple(_read_cover(one) for one in stored)


def write_covers(covers: Sequence[Cover]) -> list[list[float]]:
    """The stored form, ready for JSON."""
    return [[one.left, one.top, one.right, one.bottom] for one in covers]


def covered(data: bytes, covers: Sequence[Cover], most_bytes: int) -> View:
    """A view (JPEG as `make_sizes` makes it) with its covers filled, at most `most_bytes` long."""
    with Image.open(BytesIO(data), formats=["JPEG"]) as image:
        seen = image.convert("RGB")
    seen.info.clear()
    return view_within(fill(seen, covers), most_bytes)


def copy_to_hand_out(data: bytes, covers: Sequence[Cover], longest_px: int) -> View:
    """A JPEG of the photo as seen without any tag, its covers filled; PhotoRefused if damaged.

    data        the original, JPEG, PNG or HEIC
    longest_px  the longer side at most; never larger than stored
    """
    seen = fill(develop(data, longest_px), covers)
    out = BytesIO()
    seen.save(out, "JPEG", quality=COPY_QUALITY)
    return View(out.getvalue(), seen.width, seen.height)


def fill(image: Image.Image, covers: Sequence[Cover]) -> Image.Image:
    """Fill the covers in place, outward to whole pixels, and return the picture."""
    pen = ImageDraw.Draw(image)
    for one in covers:
        left, top = math.floor(one.left * image.width), math.floor(one.top * image.height)
        right = max(left, math.ceil(one.right * image.width) - 1)
        bottom = max(top, math.ceil(one.bottom * image.height) - 1)
        pen.rectangle((left, top, right, bottom), fill=FILL)
    return image


def _read_cover(stored: object) -> Cover:
    if not isinstance(stored, list | tuple) or len(stored) != 4:
        raise MarksRefused("A cover is four numbers: left, top, right, bottom.")
    for side in stored:
        # NaN and the numbers JSON has beyond a float are not between 0 and 1 either.
        if isinstance(side, bool) or not isinstance(side, int | float) or not abs(side) <= 1e9:
            raise MarksRefused("A cover is four numbers: left, top, right, bottom.")
    return Cover(*(float(side) for side in stored))
