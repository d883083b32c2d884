"""The homography against OpenCV, a hand-worked case and its own invariances."""

from fractions import Fraction

import cv2
import numpy as np
import pytest

from registry.imaging import CornersRefused
from registry.imaging import homography as h
from tests.imaging.cameras import CAMERAS, Camera, rectangle

RECTANGLE = rectangle()


def test_a_case_worked_by_hand():
    # x' = x / (1 + y), y' = 2 y / (1 + y) carries the unit square to this quadrilateral.
    square = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=float)
    target = np.array([(0, 0), (1, 0), (0.5, 1), (0, 1)], dtype=float)
    expected = [[1, 0, 0], [0, 2, 0], [0, 1, 1]]
    assert h.fit(square, target) == pytest.approx(np.array(expected), abs=1e-12)


@pytest.mark.parametrize("camera", CAMERAS, ids=str)
def test_opencv_agrees_to_a_millionth_for_every_camera(camera: Camera):
    # Single precision is what getPerspectiveTransform takes, so that both see the same corners.
    corners = camera.project(RECTANGLE).astype(np.float32)
    ours = h.fit(corners.astype(float), RECTANGLE)
    assert_same(ours, cv2.findHomography(corners.astype(float), RECTANGLE)[0])
    theirs = cv2.getPerspectiveTransform(corners, RECTANGLE.astype(np.float32))
    of_one_size = ours / np.linalg.norm(ours) - theirs / np.linalg.norm(theirs)
    assert np.abs(of_one_size).max() <= 1e-6


def test_opencv_and_exact_fractions_agree_for_random_quadrilaterals():
    # Not OpenCV's getPerspectiveTransform: it does not normalise, and on such shapes it strays
    # from the exact fractions by up to 1e-5, its findHomography and ours by 1e-12.
    rng = np.random.default_rng(31)
    compared = 0
    while compared < 60:
        corners = (rng.uniform(0, 1, (4, 2)) * (4000, 3000)).astype(np.float32).astype(float)
        try:
            h.check_corners(corners)
        except CornersRefused:
            continue
        compared += 1
        ours = h.fit(corners, RECTANGLE)
        assert_same(ours, cv2.findHomography(corners, RECTANGLE)[0])
        assert ours == pytest.approx(in_fractions(corners, RECTANGLE), rel=1e-9)


def in_fractions(source: np.ndarray, target: np.ndarray) -> np.ndarray:
    """The eight equations of four points solved by elimination without rounding."""
    rows = []
    for (x, y), (u, v) in zip(source, target, strict=True):
        x, y, u, v = (Fraction(float(part)) for part in (x, y, u, v))
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, v])
    for at in range(8):
        pivot = next(row for row in range(at, 8) if rows[row][at])
        rows[at], rows[pivot] = rows[pivot], rows[at]
        rows[at] = [part / rows[at][at] for part in rows[at]]
        for other in range(8):
            factor = rows[other][at]
            if other != at and factor:
                rows[other] = [a - factor * b for a, b in zip(rows[other], rows[at], strict=True)]
    return np.array([float(row[8]) for row in rows] + [1.0]).reshape(3, 3)


def assert_same(ours: np.ndarray, theirs: np.ndarray) -> None:
    """Every entry to 1e-6 of its own size; one that should be nought, of the largest's."""
    ours, theirs = h.scaled(ours), h.scaled(theirs)
    size = np.abs(theirs)
    assert (np.abs(ours - theirs) <= 1e-6 * np.maximum(size, size.max() * 1e-6)).all()


@pytest.mark.parametrize("camera", CAMERAS, ids=str)
def test_points_of_the_plane_come_back_from_the_picture(camera: Camera):
    rng = np.random.default_rng(5)
    points = rng.uniform((-0.5, -0.5), (3.5, 4.5), (200, 2))
    plane = h.fit(camera.project(RECTANGLE), RECTANGLE)
    assert h.carry(plane, camera.project(points)) == pytest.approx(points, abs=1e-8)


def test_the_jacobian_is_the_slope_of_the_map():
    plane = h.fit(CAMERAS[-2].project(RECTANGLE), RECTANGLE)
    at = np.array([(1000.0, 900.0), (1300.0, 1100.0)])
    slopes = h.jacobian(plane, at)
    for axis in (0, 1):
        step = np.eye(2)[axis] * 1e-3
        slope = (h.carry(plane, at + step) - h.carry(plane, at - step)) / 2e-3
        assert slopes[:, :, axis] == pytest.approx(slope, rel=1e-6)


GOOD = np.array([(100, 900), (900, 800), (800, 200), (200, 300)], dtype=float)


@pytest.mark.parametrize("start", range(4))
def test_any_corner_may_be_home(start: int):
    h.check_corners(np.roll(GOOD, start, axis=0))


@pytest.mark.parametrize("camera", CAMERAS, ids=str)
def test_every_camera_up_to_sixty_degrees_sees_a_rectangle(camera: Camera):
    h.check_corners(camera.project(RECTANGLE))


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        (GOOD[::-1], "mirror"),
        (GOOD[[0, 2, 1, 3]], "cross each other"),
        (GOOD[[0, 1, 3, 2]], "cross each other"),
        ([(100, 900), (900, 800), (350, 700), (200, 100)], "inside the other three"),
        ([(100, 900), (500, 900), (900, 900), (200, 300)], "nearly in a line"),
        ([(100, 900), (500, 905), (900, 880), (200, 300)], "nearly in a line"),
        ([(100, 900), (110, 905), (900, 300), (200, 300)], "less than 20 pixels"),
        ([(100, 900), (100, 900), (900, 300), (200, 300)], "less than 20 pixels"),
        ([(0, 510), (1000, 510), (1000, 500), (0, 500)], "less than 20 pixels"),
        ([(0, 540), (1000, 520), (2000, 510), (1000, 490)], "nearly in a line"),
    ],
)
def test_corners_that_are_no_rectangle_are_refused(corners: object, words: str):
    with pytest.raises(CornersRefused, match=words):
        h.check_corners(np.array(corners, dtype=float))
