"""Area or length of what is drawn on a flattened picture, with its error.

symbol   meaning                                                              unit
c_k      the four corners as marked in the photo                              px
p_i      the points of the outline, in the plane                              m
u_i      the same points in the photo, u = H^-1 p                             px
w, h     sides of the known rectangle                                         m
s_c      standard error of marking a corner, each of x and y                  px
s_o      standard error of drawing a point, each of x and y                   px
s_r      standard error of each side of the rectangle, as measured            m

Errors are carried to first order, Q being the area A or the length L:

    s_Q^2 = s_c^2 sum_k |dQ/dc_k|^2 + D^2 + s_r^2 ((dQ/dw)^2 + (dQ/dh)^2)
    area:    D = s_o sum_i |dA/dp_i dp_i/du_i|
    length:  D = s_o sqrt(sum_i |dL/dp_i dp_i/du_i|^2)

with |dQ/dp_i dp_i/du_i| taken through the Jacobian of H at u_i. For an area the points are added
up as if all erred outward together, because one eye judges one blurred edge all round: drawing
more points does not make it surer. The ends of a line err apart. The stated error is 2 s_Q, about
95 % (BIPM, Guide to the expression of uncertainty in measurement, 2008, 5.1 and 6.2).

dA/dp_i = (y_{i+1} - y_{i-1}, x_{i-1} - x_{i+1}) / 2 for a ring that goes round counterclockwise;
dL/dp_i is the sum of the unit vectors to p_i from its neighbours.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from shapely import LineString, Polygon

from registry.imaging import homography
from registry.imaging.faults import OutlineRefused
from registry.imaging.flatten import SeenRectangle, rectangle_m
from registry.imaging.homography import Array

PointM = tuple[float, float]

COVERAGE = 2.0
MOST_POINTS = 2_000
SAME_POINT_M = 1e-6
_STEP_PX, _STEP_M = 1e-2, 1e-5

LEFT_OUT = (
    "Not in the error: a lens that bends straight lines, ground that is not flat, a rectangle that "
    "does not lie in the pavement, and where the eye lets the damage end."
)


@dataclass(frozen=True)
class Marking:
    """How surely points were marked: standard errors, in pixels of the whole photo as seen.

    A finger on a small screen: about 3 pixels of the screen (common practice, no source), times
    the photo's pixels for each of the screen's.

    corner_px, point_px   of the four corners, and of the outline
    side_m                of each side of the known rectangle; 0 is taken at its word
    """

    corner_px: float
    point_px: float
    side_m: float

    def __post_init__(self) -> None:
        parts = (self.corner_px, self.point_px, self.side_m)
        if not all(math.isfinite(part) and part >= 0 for part in parts) or not self.point_px:
            raise OutlineRefused("How surely the points were marked must be said in pixels.")


@dataclass(frozen=True)
class Extent:
    """points_m from the rectangle's home corner; error on the value is plus or minus, 95 %.

    Exactly one of area_m2 and length_m is set, with its error.
    """

    points_m: tuple[PointM, ...]
    area_m2: float | None = None
    area_error_m2: float | None = None
    length_m: float | None = None
    length_error_m: float | None = None


def area_of(seen: SeenRectangle, points_m: Sequence[PointM], marking: Marking) -> Extent:
    """Area in m2 of a closed outline drawn on the flat picture.

    points_m  right and up from the home corner, metres, shape (n, 2); the first is not repeated

    OutlineRefused: fewer than three points, an outline that crosses or touches itself, points
    outside the photo, an error as large as the area.
    """
    ring = _distinct(points_m, closed=True)
    if len(ring) < 3:
        raise OutlineRefused("An outline needs at least three different points.")
    if not Polygon(ring).is_valid:
        raise OutlineRefused(
            "The outline crosses or touches itself, so it has no one area. Draw it anew, or draw "
            "two outlines."
        )
    if _signed_area(ring) < 0:
        ring = ring[::-1]
    photo = _in_photo(seen, ring)
    value = _signed_area(ring)
    after, before = np.roll(ring, -1, axis=0), np.roll(ring, 1, axis=0)
    slopes = np.column_stack([after[:, 1] - before[:, 1], before[:, 0] - after[:, 0]]) / 2
    drawn = marking.point_px * float(_through(seen, photo, slopes).sum())
    error = COVERAGE * math.hypot(drawn, _of_rectangle(seen, photo, marking, _signed_area))
    _check_error(value, error, "area", "m²")
    return Extent(_plain(ring), area_m2=value, area_error_m2=error)


def length_of(seen: SeenRectangle, points_m: Sequence[PointM], marking: Marking) -> Extent:
    """Length in m of a line drawn on the flat picture, point to point.

    A traced line wanders, and each wander adds length; a crack is drawn with few points. Raises
    OutlineRefused as `area_of` does, for fewer than two points; a line may cross itself.
    """
    line = _distinct(points_m, closed=False)
    if len(line) < 2:
        raise OutlineRefused("A line needs at least two different points.")
    photo = _in_photo(seen, line)
    value = _length(line)
    steps = np.diff(line, axis=0)
    steps /= np.linalg.norm(steps, axis=1)[:, None]
    none = np.zeros((1, 2))
    slopes = np.vstack([none, steps]) - np.vstack([steps, none])
    drawn = marking.point_px * float(np.linalg.norm(_through(seen, photo, slopes)))
    error = COVERAGE * math.hypot(drawn, _of_rectangle(seen, photo, marking, _length))
    _check_error(value, error, "length", "m")
    return Extent(_plain(line), length_m=value, length_error_m=error)


def on_plan(
    points_m: Sequence[PointM], home: PointM, turned_deg: float = 0.0
) -> tuple[PointM, ...]:
    """Points of the rectangle's plane as plan coordinates.

    home        (right_m, up_m) of the rectangle's home corner on the plan
    turned_deg  counterclockwise from the plan's right to the rectangle's lower side; 0 for a
                panel of a lot, whose joints run right and up
    """
    if not all(math.isfinite(part) for part in (*home, turned_deg)):
        raise OutlineRefused("The place of the rectangle on the plan must be written in lengths.")
    cos, sin = math.cos(math.radians(turned_deg)), math.sin(math.radians(turned_deg))
    return tuple((home[0] + x * cos - y * sin, home[1] + x * sin + y * cos) for x, y in points_m)


def _distinct(points_m: Sequence[PointM], *, closed: bool) -> Array:
    """Shape (n, 2) without points set twice by one tap."""
    if len(points_m) > MOST_POINTS:
        raise OutlineRefused(f"An outline may have {MOST_POINTS} points; this has more.")
    kept: list[PointM] = []
    for x, y in points_m:
        if not (math.isfinite(x) and math.isfinite(y)):
            raise OutlineRefused("A point of the outline has no place.")
        if not kept or math.dist(kept[-1], (x, y)) > SAME_POINT_M:
            kept.append((x, y))
    if closed and len(kept) > 1 and math.dist(kept[0], kept[-1]) <= SAME_POINT_M:
        kept.pop()
    return np.array(kept, dtype=float).reshape(-1, 2)


def _in_photo(seen: SeenRectangle, points: Array) -> Array:
    """Where the points lie in the photo, px; OutlineRefused where it does not show one."""
    if seen.before_camera(points):
        photo = homography.carry(seen.to_picture, points)
        if (photo >= -1).all() and (photo <= np.array(seen.picture_px) + 1).all():
            return photo
    raise OutlineRefused("The outline reaches beyond what the photo shows.")


def _through(seen: SeenRectangle, photo: Array, slopes: Array) -> Array:
    """|dQ/du_i| of each point, from dQ/dp_i of shape (n, 2)."""
    jacobians = homography.jacobian(seen.to_plane, photo)
    return np.asarray(np.linalg.norm(np.einsum("ni,nij->nj", slopes, jacobians), axis=1))


def _of_rectangle(
    seen: SeenRectangle, photo: Array, marking: Marking, measure: Callable[[Array], float]
) -> float:
    """Standard error that the corners and sides of the rectangle give, by central differences."""

    def value(corners_px: Array, size_m: Array) -> float:
        plane = homography.fit(corners_px, rectangle_m((size_m[0], size_m[1])))
        return measure(homography.carry(plane, photo))

    corners, size = seen.corners_px, np.array(seen.size_m)
    squares = 0.0
    for moved in np.eye(8).reshape(8, 4, 2) * _STEP_PX:
        slope = (value(corners + moved, size) - value(corners - moved, size)) / (2 * _STEP_PX)
        squares += (marking.corner_px * slope) ** 2
    for moved in np.eye(2) * _STEP_M:
        slope = (value(corners, size + moved) - value(corners, size - moved)) / (2 * _STEP_M)
        squares += (marking.side_m * slope) ** 2
    return math.sqrt(squares)


def _signed_area(ring: Array) -> float:
    x, y = (ring - ring[0]).T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2)


def _length(line: Array) -> float:
    return float(LineString(line).length)


def _check_error(value: float, error: float, noun: str, unit: str) -> None:
    if error >= value:
        raise OutlineRefused(
            f"The {noun} would be {value:.2g} ± {error:.2g} {unit}, which measures nothing. Use a "
            "larger rectangle in the picture, or one nearer to what is drawn."
        )


def _plain(points: Array) -> tuple[PointM, ...]:
    return tuple((float(x), float(y)) for x, y in points)
