"""A pinhole camera over a pavement, and photos drawn through it by OpenCV.

Hartley and Zisserman 2004, chapter 6: x = K [R | t] X. Nothing here comes from registry/imaging.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tests.imaging import photos

SIZE_M = (3.0, 4.0)  # the known rectangle, home corner at the origin
DARK, PAVEMENT = 40, 200


@dataclass(frozen=True)
class Camera:
    """tilt_deg from straight down; azimuth_deg where it looks from; roll_deg of its own."""

    tilt_deg: float
    azimuth_deg: float = 0.0
    roll_deg: float = 0.0
    distance_m: float = 7.0
    focal_px: float = 1000.0
    picture_px: tuple[int, int] = (1600, 1300)

    def __str__(self) -> str:
        return f"tilt {self.tilt_deg:g}, from {self.azimuth_deg:g}, roll {self.roll_deg:g}"

    def project(self, points_m: np.ndarray) -> np.ndarray:
        """Pixels of points (n, 2) of the plane; the middle of the rectangle is mid-picture."""
        tilt, azimuth = np.radians(self.tilt_deg), np.radians(self.azimuth_deg)
        forward = np.array(
            [np.sin(tilt) * np.sin(azimuth), np.sin(tilt) * np.cos(azimuth), -np.cos(tilt)]
        )
        right = np.array([np.cos(azimuth), -np.sin(azimuth), 0.0])
        down = np.cross(forward, right)
        roll = np.radians(self.roll_deg)
        axes = np.array(
            [
                np.cos(roll) * right + np.sin(roll) * down,
                np.cos(roll) * down - np.sin(roll) * right,
                forward,
            ]
        )
        middle = np.array([SIZE_M[0] / 2, SIZE_M[1] / 2, 0.0])
        eye = middle - self.distance_m * forward
        in_camera = (np.column_stack([points_m, np.zeros(len(points_m))]) - eye) @ axes.T
        assert (in_camera[:, 2] > 0).all()
        centre = np.array(self.picture_px) / 2
        return self.focal_px * in_camera[:, :2] / in_camera[:, 2:] + centre

    def fractions(self, points_m: np.ndarray, *, whole_px: bool = False) -> list[tuple]:
        """Fractions of the picture; whole_px as a finger on a zoomed picture sets them."""
        pixels = self.project(points_m)
        if whole_px:
            pixels = np.round(pixels)
        return [tuple(float(part) for part in xy) for xy in pixels / self.picture_px]

    def corners(self, *, whole_px: bool = False) -> list[tuple]:
        return self.fractions(rectangle(), whole_px=whole_px)

    def photo_of(self, outline_m: np.ndarray, margin_m: float = 2.0) -> bytes:
        """A JPEG of the outline painted dark on a light pavement, drawn with four-fold samples."""
        per_m, shift = 250, 4
        wide, high = (int((side + 2 * margin_m) * per_m) for side in SIZE_M)
        ground = np.full((high, wide), PAVEMENT, np.uint8)
        sketch = (outline_m + margin_m) * per_m * [1, -1] + [0, high]
        # OpenCV means the middle of a pixel by a whole number; its edge here.
        cv2.fillPoly(
            ground, [np.round((sketch - 0.5) * 2**shift).astype(np.int32)], DARK, cv2.LINE_AA, shift
        )
        ground_px = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
        ground_m = ground_px * [1, -1] / per_m + [-margin_m, high / per_m - margin_m]
        seen = (self.project(ground_m) * 2 - 0.5).astype(np.float32)
        matrix = cv2.getPerspectiveTransform(ground_px - np.float32(0.5), seen)
        double = (self.picture_px[0] * 2, self.picture_px[1] * 2)
        large = cv2.warpPerspective(
            ground, matrix, double, flags=cv2.INTER_LINEAR, borderValue=PAVEMENT
        )
        picture = cv2.resize(large, self.picture_px, interpolation=cv2.INTER_AREA)
        return photos.jpeg(photos.Image.fromarray(picture), quality=92)


def rectangle() -> np.ndarray:
    width, height = SIZE_M
    return np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=float)


def ellipse(count: int = 40) -> np.ndarray:
    """A stain inside the rectangle, as a polygon of `count` corners."""
    angle = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return np.column_stack([1.4 + 0.9 * np.cos(angle), 2.1 + 1.3 * np.sin(angle)])


def polygon_area(points: np.ndarray) -> float:
    return float(cv2.contourArea(points.astype(np.float32)))


CAMERAS = [
    Camera(tilt, azimuth, roll)
    for tilt in (0.0, 20.0, 40.0, 50.0, 60.0)
    for azimuth, roll in ((0.0, 0.0), (35.0, 10.0), (160.0, -20.0), (270.0, 90.0))
]
