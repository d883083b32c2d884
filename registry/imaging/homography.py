"""The map between the plane of a pavement and a picture of it, from four known points.

symbol  meaning                                                             unit
H       3 x 3 homography, picture to plane, up to scale
x, y    picture coordinates: right and down from the upper left corner      px
X, Y    plane coordinates: right and up from the home corner                m

Normalised direct linear transformation: Hartley and Zisserman, Multiple View Geometry in Computer
Vision, 2nd edition 2004, algorithm 4.2; the normalising after Hartley 1997, In defense of the
eight-point algorithm, IEEE PAMI 19(6).
"""

import numpy as np
import numpy.typing as npt

from registry.imaging.faults import CornersRefused

Array = npt.NDArray[np.float64]


def fit(source: Array, target: Array) -> Array:
    """H with target ~ H source, scaled to H[2, 2] = 1 where that is not nought.

    source, target  shape (4, 2), no three of the points in a line
    """
    from_source, to_target = _normaliser(source), _normaliser(target)
    a, b = carry(from_source, source), carry(to_target, target)
    rows = []
    for (x, y), (u, v) in zip(a, b, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    null = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    found = np.linalg.inv(to_target) @ null @ from_source
    return scaled(found)


def scaled(matrix: Array) -> Array:
    """The same map with its last entry 1, or of norm 1 where that entry is nought."""
    norm = float(np.linalg.norm(matrix))
    last = float(matrix[2, 2])
    return matrix / last if abs(last) > 1e-12 * norm else matrix / norm


def _normaliser(points: Array) -> Array:
    """Moves the centroid to the origin and the mean distance from it to the root of two."""
    centre = points.mean(axis=0)
    spread = float(np.linalg.norm(points - centre, axis=1).mean())
    s = np.sqrt(2) / spread
    return np.array([[s, 0, -s * centre[0]], [0, s, -s * centre[1]], [0, 0, 1.0]])


def carry(matrix: Array, points: Array) -> Array:
    """Points of shape (n, 2) through a homography."""
    homogeneous = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:])


def depths(matrix: Array, points: Array) -> Array:
    """The third homogeneous coordinate of each point.

    From the plane to the picture it grows with the distance from the camera, and is negative
    behind it.
    """
    return np.asarray(np.column_stack([points, np.ones(len(points))]) @ matrix[2])


def jacobian(matrix: Array, points: Array) -> Array:
    """Change of the carried points with the points: shape (n, 2, 2)."""
    homogeneous = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    u, v, w = homogeneous.T
    top = np.column_stack([(matrix[0, k] * w - u * matrix[2, k]) / w**2 for k in (0, 1)])
    low = np.column_stack([(matrix[1, k] * w - v * matrix[2, k]) / w**2 for k in (0, 1)])
    return np.stack([top, low], axis=1)


SHORTEST_SIDE_PX = 20.0
# Between 5 and 175 degrees: nearer to a line, a pixel at one corner moves the far side by metres.
LEAST_SINE = float(np.sin(np.radians(5.0)))


def check_corners(corners_px: Array) -> None:
    """Raise CornersRefused unless the four are a rectangle as a camera can see it from above.

    corners_px  shape (4, 2), in the order home, right, far right, far left. A rectangle before
                the camera is always seen convex; going round backwards, it would be seen from
                below, or was marked in the wrong order.
    """
    sides = np.roll(corners_px, -1, axis=0) - corners_px
    lengths = np.linalg.norm(sides, axis=1)
    if lengths.min() < SHORTEST_SIDE_PX:
        raise CornersRefused(
            f"Two corners are less than {SHORTEST_SIDE_PX:.0f} pixels apart in the picture. Mark "
            "a larger rectangle, or take the photo from nearer."
        )
    following = np.roll(sides, -1, axis=0)
    crosses = sides[:, 0] * following[:, 1] - sides[:, 1] * following[:, 0]
    sines = crosses / (lengths * np.roll(lengths, -1))
    if np.abs(sines).min() < LEAST_SINE:
        raise CornersRefused(
            "Three of the corners lie nearly in a line, so the picture is too flat to be turned "
            "into a plan. Take the photo from higher up."
        )
    backwards = int((sines > 0).sum())  # y points down: as seen, the corners go round clockwise
    if backwards == 4:
        raise CornersRefused(
            "The corners go round the wrong way, which would mirror the plan. Mark the home "
            "corner, then the corner to its right, the far right and the far left."
        )
    if backwards == 2:
        raise CornersRefused(
            "The lines between the corners cross each other. Mark the corners in order, going "
            "round: home, right, far right, far left."
        )
    if backwards:
        raise CornersRefused(
            "One corner lies inside the other three, which no rectangle shows. Mark the four "
            "corners again."
        )
