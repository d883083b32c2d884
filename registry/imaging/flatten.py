"""A picture of a pavement laid flat, by the four corners of a rectangle of known size in it.

Places in a picture are fractions: x from the left edge, y from the upper edge of the picture as
seen, 0 to 1, so that they hold for every size in which it is shown.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO

import numpy as np
from PIL import Image

from registry.imaging import homography
from registry.imaging.develop import develop, seen_size
from registry.imaging.faults import CornersRefused
from registry.imaging.homography import Array

Fraction = tuple[float, float]
SIDE_M = (0.02, 60.0)  # a scale card to a lane
MOST_FLAT_PX = 4_000
FLAT_QUALITY = 85
# The picture is read with at most this many pixels a side: enough for any flat one.
MOST_READ_PX = 8_000
# Ground shown must be at least this part of the rectangle's distance before the camera: at its
# feet the map has a pole, and beyond lies what is behind it.
LEAST_DEPTH = 0.1


@dataclass(frozen=True)
class SeenRectangle:
    """A rectangle of known size lying in the pavement, as it is seen in a picture.

    corners     fractions, in order: home corner, the one to its right, far right, far left
    size_m      (width, height): home to right, home to far left
    picture_px  (width, height) of the whole picture as seen

    CornersRefused where they cannot be those of a rectangle.
    """

    corners: tuple[Fraction, ...]
    size_m: tuple[float, float]
    picture_px: tuple[int, int]

    def __post_init__(self) -> None:
        if len(self.corners) != 4:
            raise CornersRefused("Mark the four corners of the rectangle, no more and no fewer.")
        low, high = SIDE_M
        if not all(low <= side <= high for side in self.size_m):
            raise CornersRefused(
                f"The sides of the rectangle must be between {low:g} and {high:g} m long."
            )
        if not all(0 <= part <= 1 for corner in self.corners for part in corner):
            raise CornersRefused("Every corner must lie within the picture.")
        homography.check_corners(self.corners_px)

    @cached_property
    def corners_px(self) -> Array:
        return np.array(self.corners, dtype=float) * self.picture_px

    @cached_property
    def to_plane(self) -> Array:
        """H from pixels of the picture to metres right and up from the home corner."""
        return homography.fit(self.corners_px, rectangle_m(self.size_m))

    @cached_property
    def to_picture(self) -> Array:
        """H from metres to pixels; its third coordinate is positive before the camera."""
        return homography.fit(rectangle_m(self.size_m), self.corners_px)

    def before_camera(self, points_m: Array, nearest: float = 0.0) -> bool:
        """Say whether all points of shape (n, 2) lie before the camera.

        nearest  how far before it, as a part of the distance of the rectangle's nearest corner
        """
        corners = homography.depths(self.to_picture, rectangle_m(self.size_m))
        found = homography.depths(self.to_picture, points_m)
        return bool((found > nearest * corners.min()).all())


def rectangle_m(size_m: tuple[float, float]) -> Array:
    """The corners in the plane, shape (4, 2), in the order in which they are marked."""
    width, height = size_m
    return np.array([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])


@dataclass(frozen=True)
class Flat:
    """A picture in plan view: a JPEG, and where it lies.

    left_m, bottom_m  of its lower left corner, right and up from the rectangle's home corner
    """

    data: bytes
    width_px: int
    height_px: int
    px_per_m: float
    left_m: float
    bottom_m: float
    seen: SeenRectangle

    def to_metres(self, fractions: Sequence[Fraction]) -> tuple[Fraction, ...]:
        """Metres right and up from the home corner, of fractions of the flat picture."""
        return tuple(
            (
                self.left_m + x * self.width_px / self.px_per_m,
                self.bottom_m + (1 - y) * self.height_px / self.px_per_m,
            )
            for x, y in fractions
        )


def flatten(
    data: bytes,
    corners: Sequence[Fraction],
    size_m: tuple[float, float],
    px_per_m: float,
    around_m: float = 0.0,
) -> Flat:
    """Lay a photo flat.

    corners   four fractions of the picture as seen: home, right, far right, far left
    size_m    (width, height) of the rectangle
    px_per_m  pixels of the flat picture per metre
    around_m  how much of the pavement is shown beyond each side of the rectangle

    Raises PhotoRefused for the photo, CornersRefused for the rectangle, a flat picture of more
    than 4 000 pixels a side, or surroundings that reach behind the camera. Parts that the photo
    does not show are white.
    """
    seen = SeenRectangle(tuple(corners), size_m, seen_size(data))
    if not (0 <= around_m < math.inf and 0 < px_per_m < math.inf):
        raise CornersRefused("The scale and the surroundings of the flat picture must be lengths.")
    width, height = (round((side + 2 * around_m) * px_per_m) for side in size_m)
    if not (1 <= width <= MOST_FLAT_PX and 1 <= height <= MOST_FLAT_PX):
        raise CornersRefused(
            f"The flat picture would be {width} x {height} pixels; at most {MOST_FLAT_PX} a side "
            "are drawn. Show less around the rectangle, or at a smaller scale."
        )
    left_m = bottom_m = -around_m
    if not seen.before_camera(_frame(left_m, bottom_m, width, height, px_per_m), LEAST_DEPTH):
        raise CornersRefused(
            "So much around the rectangle reaches to where the photo was taken from, and behind. "
            "Show less of it."
        )
    image = develop(data, _read_px(seen, px_per_m))
    warped = _warped(image, seen, (width, height), (left_m, bottom_m), px_per_m)
    out = BytesIO()
    warped.save(out, "JPEG", quality=FLAT_QUALITY)
    return Flat(out.getvalue(), width, height, px_per_m, left_m, bottom_m, seen)


def _frame(left_m: float, bottom_m: float, width: int, height: int, px_per_m: float) -> Array:
    right_m, top_m = left_m + width / px_per_m, bottom_m + height / px_per_m
    return np.array([(left_m, bottom_m), (right_m, bottom_m), (right_m, top_m), (left_m, top_m)])


def _read_px(seen: SeenRectangle, px_per_m: float) -> int:
    """The size to read the photo in: no finer than the flat picture can show anywhere.

    Read much finer, a warp that looks at 4 x 4 pixels would skip most of them and flicker.
    """
    sides = np.roll(seen.corners_px, -1, axis=0) - seen.corners_px
    in_photo = np.linalg.norm(sides, axis=1)
    in_flat = np.array(seen.size_m * 2) * px_per_m
    finer = float((in_photo / in_flat).min())
    longest = max(seen.picture_px)
    return min(MOST_READ_PX, math.ceil(longest / max(1.0, finer)))


def _warped(
    image: Image.Image,
    seen: SeenRectangle,
    size: tuple[int, int],
    corner_m: tuple[float, float],
    px_per_m: float,
) -> Image.Image:
    """Each pixel of the flat picture fetched from where the homography says.

    Pillow looks up the middle of each pixel, as the continuous coordinates here have it.
    """
    shrink = np.diag([image.width / seen.picture_px[0], image.height / seen.picture_px[1], 1.0])
    from_flat = np.array(
        [
            [1 / px_per_m, 0, corner_m[0]],
            [0, -1 / px_per_m, corner_m[1] + size[1] / px_per_m],
            [0, 0, 1.0],
        ]
    )
    matrix = shrink @ seen.to_picture @ from_flat
    coefficients = (matrix / matrix[2, 2]).ravel()[:8]
    return image.transform(
        size,
        Image.Transform.PERSPECTIVE,
        tuple(float(part) for part in coefficients),
        resample=Image.Resampling.BICUBIC,
        fillcolor=(255, 255, 255),
    )
