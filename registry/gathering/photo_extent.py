"""A photo laid flat by a rectangle known in it, and what is measured on it: bytes and rows in.

How surely a point is tapped, and how true the sides of a rectangle are: common practice, no
source. Both go into the stated error.
"""

import math
from dataclasses import dataclass

import numpy as np

from registry.gathering.photo_files import read_original
from registry.imaging import (
    CornersRefused,
    Extent,
    Flat,
    Marking,
    SeenRectangle,
    area_of,
    flatten,
    homography,
    length_of,
    on_plan,
)
from registry.imaging.develop import seen_size
from registry.imaging.flatten import LEAST_DEPTH
from registry.models import Panel, Photo, PhotoFile

Pixel = tuple[float, float]
FLAT_LONGEST_PX = 1_600
TAP_PX = 3.0
SIDE_M = {"panel": 0.006, "frame": 0.002, "card": 0.001}
USUAL_AROUND = (0.25, 0.1, 0.0)
"""How much is shown beyond each side, in parts of the longer side; the first that can be."""


@dataclass(frozen=True)
class KnownRectangle:
    """A rectangle of known size in a photo.

    corners     px of the photo as seen: home, right, far right, far left
    around_m    shown beyond each side; None for as much as can be of what is usual
    shown_px    width on the screen on which the corners were marked; None where they were typed
    home        (right_m, up_m) of its home corner on the plan; None where that is not known
    """

    kind: str
    words: str
    size_m: tuple[float, float]
    corners: tuple[Pixel, ...]
    around_m: float | None = None
    shown_px: int | None = None
    home: tuple[float, float] | None = None


@dataclass(frozen=True)
class Measured:
    """An extent with what is stored of it: its points in px of the photo, and on the plan."""

    extent: Extent
    in_photo: tuple[Pixel, ...]
    on_plan: tuple[tuple[float, float], ...]

    @property
    def value(self) -> float:
        """Return m2 or m."""
        return float(self.extent.area_m2 or self.extent.length_m or 0.0)

    @property
    def error(self) -> float:
        """Return m2 or m, about 95 %."""
        return float(self.extent.area_error_m2 or self.extent.length_error_m or 0.0)


def panel_size(panel: Panel) -> tuple[float, float]:
    """Return width and length of a panel that is a rectangle; CornersRefused for any other."""
    if panel.corners:
        raise CornersRefused(
            f"{panel.name} is not a full rectangle, so its four corners say nothing. Choose "
            "another panel, or a frame or card."
        )
    return panel.width_m, panel.length_m


def photo_size(photo: Photo) -> tuple[int, int]:
    """Return width and height of the photo as seen, px."""
    return seen_size(read_original(photo.file))


def flat_frame(rectangle: KnownRectangle, picture_px: tuple[int, int]) -> Flat:
    """Return where the flat picture lies, without its bytes. CornersRefused as `flatten`."""
    corners = tuple((x / picture_px[0], y / picture_px[1]) for x, y in rectangle.corners)
    seen = SeenRectangle(corners, rectangle.size_m, picture_px)
    around = rectangle.around_m
    if around is None:
        longest = max(rectangle.size_m)
        tries = (part * longest for part in USUAL_AROUND)
        around = next((a for a in tries if _is_before(seen, a)), 0.0)
    px_per_m = FLAT_LONGEST_PX / (max(rectangle.size_m) + 2 * around)
    width, height = (round((side + 2 * around) * px_per_m) for side in rectangle.size_m)
    return Flat(b"", width, height, px_per_m, -around, -around, seen)


def _is_before(seen: SeenRectangle, around: float) -> bool:
    width, height = seen.size_m
    ends = ((-around, -around), (width + around, -around))
    frame = (*ends, (width + around, height + around), (-around, height + around))
    return seen.before_camera(np.array(frame), LEAST_DEPTH)


def lay_flat(file: PhotoFile, rectangle: KnownRectangle) -> Flat:
    """Return the flat picture. Raises PhotoRefused or CornersRefused in plain words."""
    data = read_original(file)
    frame = flat_frame(rectangle, seen_size(data))
    return flatten(data, frame.seen.corners, rectangle.size_m, frame.px_per_m, -frame.left_m)


def measure(
    photo: Photo,
    rectangle: KnownRectangle,
    outline: tuple[Pixel, ...],
    kind: str,
    shown_px: int | None,
) -> Measured:
    """Measure what was drawn on the flat picture. Raises OutlineRefused or CornersRefused.

    outline   px of the flat picture. kind: "area" or "line".
    shown_px  width on the screen of the flat picture; None where its points were typed
    """
    frame = flat_frame(rectangle, photo_size(photo))
    points = frame.to_metres([(x / frame.width_px, y / frame.height_px) for x, y in outline])
    marking = _marking(frame, points, rectangle, photo.file, shown_px)
    extent = (area_of if kind == "area" else length_of)(frame.seen, points, marking)
    in_photo = homography.carry(frame.seen.to_picture, np.array(extent.points_m))
    landed = () if rectangle.home is None else on_plan(extent.points_m, rectangle.home)
    pixels = tuple((round(float(x), 2), round(float(y), 2)) for x, y in in_photo)
    return Measured(extent, pixels, landed)


def _marking(
    frame: Flat,
    points: tuple[Pixel, ...],
    rectangle: KnownRectangle,
    file: PhotoFile,
    shown_px: int | None,
) -> Marking:
    """A tap is sure to 3 px of the screen: on the photo for corners, on the flat for the rest.

    One step on the flat picture is another number of px of the photo at each point; the largest
    is taken, so that the error is never told too small.
    """
    picture_px = frame.seen.picture_px[0]
    corner = TAP_PX * picture_px / (rectangle.shown_px or file.page_width_px or picture_px)
    tap_m = TAP_PX * frame.width_px / (shown_px or frame.width_px) / frame.px_per_m
    slopes = homography.jacobian(frame.seen.to_picture, np.array(points))
    steps = np.linalg.svd(slopes, compute_uv=False)[:, 0]
    step = float(steps.max()) if np.isfinite(steps).all() else math.inf
    return Marking(max(1.0, corner), max(1.0, tap_m * step), SIDE_M[rectangle.kind])
