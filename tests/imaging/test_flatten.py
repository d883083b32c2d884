"""A picture is laid flat where the camera model says, and where OpenCV lays it."""

from io import BytesIO

import cv2
import numpy as np
import pytest
from PIL import Image

from registry.imaging import CornersRefused, Flat, PhotoRefused, SeenRectangle, flatten
from tests.imaging import photos
from tests.imaging.cameras import CAMERAS, DARK, PAVEMENT, SIZE_M, Camera, ellipse, polygon_area
from tests.imaging.exif_bytes import taken

STEEP = Camera(60.0, 35.0, 10.0)


def grey(flat: Flat) -> np.ndarray:
    with Image.open(BytesIO(flat.data)) as image:
        assert image.size == (flat.width_px, flat.height_px)
        return np.asarray(image.convert("L"), dtype=float)


@pytest.mark.parametrize("camera", CAMERAS, ids=str)
def test_a_stain_has_its_true_area_in_the_flat_picture_within_two_in_a_hundred(camera: Camera):
    stain = ellipse(200)
    flat = flatten(
        camera.photo_of(stain), camera.corners(whole_px=True), SIZE_M, 150.0, around_m=0.2
    )
    shade = (PAVEMENT - grey(flat)) / (PAVEMENT - DARK)
    found = float(np.clip(shade, 0, 1)[shade > 0.1].sum()) / 150.0**2
    assert found == pytest.approx(polygon_area(stain), rel=0.02)


@pytest.mark.parametrize("camera", CAMERAS[::3], ids=str)
def test_a_stain_lies_where_it_was_painted(camera: Camera):
    flat = flatten(camera.photo_of(ellipse(200)), camera.corners(), SIZE_M, 150.0, around_m=0.5)
    rows, columns = np.nonzero(grey(flat) < (DARK + PAVEMENT) / 2)
    middle = ((columns.mean() + 0.5) / flat.width_px, (rows.mean() + 0.5) / flat.height_px)
    assert flat.to_metres([middle])[0] == pytest.approx((1.4, 2.1), abs=0.005)
    assert np.ptp(columns) / 150 == pytest.approx(1.8, abs=0.02)
    assert np.ptp(rows) / 150 == pytest.approx(2.6, abs=0.02)


def test_opencv_lays_the_same_picture_flat():
    data = STEEP.photo_of(ellipse())
    flat = flatten(data, STEEP.corners(), SIZE_M, 200.0)
    with Image.open(BytesIO(data)) as image:
        photo = np.asarray(image.convert("L"))
    inside = np.float32([(0, 800), (600, 800), (600, 0), (0, 0)])
    corners = np.float32(STEEP.corners()) * np.float32(STEEP.picture_px)
    matrix = cv2.getPerspectiveTransform(corners - np.float32(0.5), inside - np.float32(0.5))
    theirs = cv2.warpPerspective(photo, matrix, (600, 800), flags=cv2.INTER_CUBIC).astype(float)
    difference = np.abs(grey(flat) - theirs)
    assert difference.mean() < 1.5
    assert (difference > 30).mean() < 0.002


def test_the_flat_picture_reaches_as_far_around_as_asked():
    flat = flatten(STEEP.photo_of(ellipse()), STEEP.corners(), SIZE_M, 100.0, around_m=0.25)
    assert (flat.width_px, flat.height_px) == (350, 450)
    assert flat.to_metres([(0, 1), (1, 0)]) == (
        pytest.approx((-0.25, -0.25)),
        pytest.approx((3.25, 4.25)),
    )


def test_corners_are_those_of_the_picture_as_seen_not_as_stored():
    upright = photos.quarters(400, 300)
    corners = [(0.25, 0.75), (0.75, 0.75), (0.75, 0.25), (0.25, 0.25)]
    stored = Image.fromarray(photos.stored_under(np.asarray(upright), 6))
    turned = flatten(photos.jpeg(stored, exif=taken(orientation=6)), corners, (2, 1.5), 100)
    with Image.open(BytesIO(turned.data)) as image:
        assert photos.corner_colours(image) == photos.UPRIGHT
    assert turned.seen.picture_px == (400, 300)


def test_the_flat_picture_says_nothing_of_the_device():
    data = photos.jpeg(photos.quarters(400, 300), exif=taken(position=(-71, 42)))
    corners = [(0.1, 0.9), (0.9, 0.9), (0.9, 0.1), (0.1, 0.1)]
    assert b"Acme" not in flatten(data, corners, (2, 1.5), 100).data


@pytest.mark.parametrize(
    ("size_m", "px_per_m", "around_m", "words"),
    [
        ((3, 4), 1100, 0, "3300 x 4400 pixels; at most 4000"),
        ((3, 4), 0.1, 0, "0 x 0 pixels"),
        ((3, 4), 0, 0, "must be lengths"),
        ((3, 4), -5, 0, "must be lengths"),
        ((3, 4), float("nan"), 0, "must be lengths"),
        ((3, 4), float("inf"), 0, "must be lengths"),
        ((3, 4), 100, -1, "must be lengths"),
        ((3, 4), 100, float("inf"), "must be lengths"),
        ((0, 4), 100, 0, "between"),
        ((3, 400), 100, 0, "between"),
        ((float("nan"), 4), 100, 0, "between"),
        ((3, 4), 100, 6, "where the photo was taken from"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    size_m: tuple, px_per_m: float, around_m: float, words: str
):
    with pytest.raises(CornersRefused, match=words):
        flatten(STEEP.photo_of(ellipse()), STEEP.corners(), size_m, px_per_m, around_m)


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        (STEEP.corners()[:3], "four corners"),
        ([*STEEP.corners()[:3], (1.2, 0.5)], "within the picture"),
        ([*STEEP.corners()[:3], (float("nan"), 0.5)], "within the picture"),
        (STEEP.corners()[::-1], "mirror"),
    ],
)
def test_corners_that_cannot_be_are_refused(corners: list, words: str):
    with pytest.raises(CornersRefused, match=words):
        SeenRectangle(tuple(corners), SIZE_M, STEEP.picture_px)


def test_what_is_no_photo_is_not_laid_flat():
    with pytest.raises(PhotoRefused, match="web page"):
        flatten(b"<svg/>", STEEP.corners(), SIZE_M, 100)
